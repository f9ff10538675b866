"""Replies of `fats` and `fat`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

__all__ = ["FatEntry", "Fats", "Figure"]


@dataclass(frozen=True, kw_only=True)
class Figure:
    """A range of the table, with its provenance; an end may be unknown."""

    min: float | None
    max: float | None
    provenance: str


@dataclass(frozen=True, kw_only=True)
class FatEntry:
    """A fat of the table; all other fields are in `raw`."""

    key: str
    name: str
    kind: str
    saponification_value: Figure
    iodine_value: Figure | None
    source: str
    provenance: str
    meta: Mapping[str, Any] = field(default_factory=dict)
    raw: Mapping[str, Any] = field(default_factory=dict, repr=False)


@dataclass(frozen=True, kw_only=True)
class Fats:
    """Reply of `fats`."""

    fats: tuple[FatEntry, ...]
    meta: Mapping[str, Any]
    raw: Mapping[str, Any] = field(repr=False)
