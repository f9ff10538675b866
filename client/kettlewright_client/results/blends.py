"""Replies of `blends`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from kettlewright_client.results.ground import Reply, Spread
from kettlewright_client.results.recipe import LyeWithList

__all__ = ["AcidOfBlend", "Blend", "BlendShare", "Groups", "Price"]


@dataclass(frozen=True, kw_only=True)
class BlendShare:
    """A fat of a blend."""

    key: str
    name: str
    share_pct: float
    mass: float | None


@dataclass(frozen=True, kw_only=True)
class AcidOfBlend:
    """A fatty acid of a blend."""

    fatty_acid: str
    share_pct: float


@dataclass(frozen=True, kw_only=True)
class Groups:
    """Fatty acids in groups."""

    saturated: float
    monounsaturated: float
    polyunsaturated: float
    hydroxy: float


@dataclass(frozen=True, kw_only=True)
class Price:
    """A price by mass; the amount is decimal text."""

    amount: str
    currency: str
    per_mass: float


@dataclass(frozen=True, kw_only=True)
class Blend(Reply):
    """Reply of `blends`."""

    fats: tuple[BlendShare, ...]
    saponification_value: Spread
    iodine_value: float | None
    fatty_acids: tuple[AcidOfBlend, ...] | None
    groups: Groups | None
    price: Price | None
    distance_pct: float | None
    recipe: Mapping[str, Any] | None = None
    lye: LyeWithList | None = None
