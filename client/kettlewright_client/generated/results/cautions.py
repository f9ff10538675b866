"""Reply of `cautions`. Written by `make contract` from openapi.yaml; do not edit."""

from dataclasses import dataclass

from kettlewright_client.generated.results.shared import Meta
from kettlewright_client.record import Record, Result

__all__ = ["CautionEntry", "Cautions"]


@dataclass(frozen=True, kw_only=True, repr=False)
class CautionEntry(Record):
    """`cautions[]` of `Cautions` (In the order of the work)."""

    key: str
    """Stable key."""

    severity: str
    """The usual one. One of info, warning, danger."""

    message: str
    """Its text."""

    provenance: str
    """How it is known. One of read, second_hand, memory, computed, own_decision."""

    source: str
    """What it rests on."""

    place: str
    """The step of the work at which it matters. One of lye, pot, sifting, pouring, unmoulding, label."""

    standing_for: tuple[str, ...]
    """Operations where it always applies."""


@dataclass(frozen=True, kw_only=True, repr=False)
class Cautions(Result):
    """Reply of `cautions`: the cautions."""

    cautions: tuple[CautionEntry, ...]
    """In the order of the work."""

    locale: str
    """The language of the texts. One of en, de."""

    meta: Meta
    """Versions of service and data."""
