"""Reply of `fats`. Written by `make contract` from openapi.yaml; do not edit."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal, overload

from kettlewright_client.generated.results.shared import Meta
from kettlewright_client.record import Record, Result

__all__ = ["Alias", "CoopCertificateLine", "CoopFatLine", "FatLine", "Fats", "OpenFigure", "SaponificationFigure",
           "SaponificationRangeOfRecipe"]


@dataclass(frozen=True, kw_only=True, repr=False)
class Alias(Record):
    """`aliases[]` of `FatLine` (Other names, from memory)."""

    name: str
    """The name."""

    language: str
    """Its language, by ISO 639-1."""


@dataclass(frozen=True, kw_only=True, repr=False)
class SaponificationFigure(Record):
    """`saponification_value` of `FatLine` (Range, and how it is known)."""

    min: float
    """Lower end. Unit: mg KOH per g of fat."""

    max: float
    """Upper end. Unit: mg KOH per g of fat."""

    provenance: str
    """How it is known. One of read, second_hand, memory, computed, own_decision."""


@dataclass(frozen=True, kw_only=True, repr=False)
class OpenFigure(Record):
    """`iodine_value` of `FatLine` (Wijs, g iodine per 100 g; null if not known), and 2 more."""

    min: float | None
    """Lower end. Unit: as the name says."""

    max: float | None
    """Upper end. Unit: as the name says."""

    provenance: str
    """How it is known. One of read, second_hand, memory, computed, own_decision."""

    source: str
    """If it differs from the fat's own source."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["min"]) -> float: ...
        @overload
        def need(self, part: Literal["max"]) -> float: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class FatLine(Record):
    """`fats[]` of `Fats` (In the table's order)."""

    key: str
    """Key."""

    name: str
    """Name."""

    aliases: tuple[Alias, ...]
    """Other names, from memory."""

    kind: str
    """Triglyceride, wax_ester or fatty_acid. One of triglyceride, wax_ester, fatty_acid."""

    saponification_value: SaponificationFigure
    """Range, and how it is known."""

    iodine_value: OpenFigure | None
    """Wijs, g iodine per 100 g; null if not known."""

    source: str
    """Where the figures are from."""

    provenance: str
    """Read: every figure was read again; otherwise how the weakest of them is known. One of read, second_hand, memory,
    computed, own_decision.
    """

    if TYPE_CHECKING:
        def need(self, part: Literal["iodine_value"]) -> OpenFigure: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class SaponificationRangeOfRecipe(Record):
    """`saponification_value` of `CoopFatLine` (Range)."""

    min: float
    """Lower end. Unit: mg KOH per g of fat."""

    max: float
    """Upper end. Unit: mg KOH per g of fat."""


@dataclass(frozen=True, kw_only=True, repr=False)
class CoopFatLine(Record):
    """`coop_fats[]` of `Fats` (All fats of the operator's data folder, whatever was searched for; absent without such a
    folder).
    """

    key: str
    """Key that a request may use."""

    name: str
    """Name, which a request may use too."""

    saponification_value: SaponificationRangeOfRecipe
    """Range."""


@dataclass(frozen=True, kw_only=True, repr=False)
class CoopCertificateLine(Record):
    """`coop_certificates[]` of `Fats` (All certificates of that folder)."""

    fat: str
    """Key of the fat."""

    lot: str
    """Lot that a request may name beside that fat; the figures then are those of the certificate."""


@dataclass(frozen=True, kw_only=True, repr=False)
class Fats(Result):
    """Reply of `fats`: the table of fats."""

    fats: tuple[FatLine, ...]
    """In the table's order."""

    coop_fats: tuple[CoopFatLine, ...] = ()
    """All fats of the operator's data folder, whatever was searched for; absent without such a folder."""

    coop_certificates: tuple[CoopCertificateLine, ...] = ()
    """All certificates of that folder."""

    meta: Meta
    """Versions of service and data."""
