"""Reply of `sources`. Written by `make contract` from openapi.yaml; do not edit."""

from dataclasses import dataclass

from kettlewright_client.generated.results.shared import Meta
from kettlewright_client.record import Record, Result

__all__ = ["SourceEntry", "Sources"]


@dataclass(frozen=True, kw_only=True, repr=False)
class SourceEntry(Record):
    """`sources[]` of `Sources` (In the order of the work, those of single fats last)."""

    key: str
    """Key, as in `meta.sources`."""

    title: str
    """Title, edition, table."""

    provenance: str
    """How most of it is known. One of read, second_hand, memory, computed, own_decision."""

    message: str
    """How each part of it is known, in words."""


@dataclass(frozen=True, kw_only=True, repr=False)
class Sources(Result):
    """Reply of `sources`: the sources."""

    sources: tuple[SourceEntry, ...]
    """In the order of the work, those of single fats last."""

    meta: Meta
    """Versions of service and data."""
