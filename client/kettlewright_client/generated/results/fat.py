"""Reply of `fat`. Written by `make contract` from openapi.yaml; do not edit."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal, overload

from kettlewright_client.generated.results.fats import FatLine, OpenFigure
from kettlewright_client.generated.results.shared import Meta
from kettlewright_client.record import Record, Result

__all__ = ["AcidShare", "ConditionFigure", "FatDensity", "FatEntry", "LabelNames", "UnsaponifiableFigure",
           "ValueByAcids"]


@dataclass(frozen=True, kw_only=True, repr=False)
class LabelNames(Record):
    """`label_names` of `FatEntry` (For an ingredient list)."""

    inci_name: str
    """Of the fat."""

    inci_sodium_salt: str
    """Of its sodium soap; empty if none is known."""

    provenance: str
    """How they are known. One of read, second_hand, memory, computed, own_decision."""

    salt_confidence: str
    """High, low or empty; low: look it up before you print it."""


@dataclass(frozen=True, kw_only=True, repr=False)
class UnsaponifiableFigure(Record):
    """`unsaponifiable_max` of `FatEntry` (null if not known)."""

    max: float
    """Upper limit. Unit: g/kg."""

    provenance: str
    """How it is known. One of read, second_hand, memory, computed, own_decision."""


@dataclass(frozen=True, kw_only=True, repr=False)
class ConditionFigure(Record):
    """`relative_density` of `FatEntry` (As the table has it; null if not known), and 1 more."""

    min: float
    """Lower end. Unit: 1."""

    max: float
    """Upper end. Unit: 1."""

    provenance: str
    """How it is known. One of read, second_hand, memory, computed, own_decision."""

    condition: str
    """At what temperature."""


@dataclass(frozen=True, kw_only=True, repr=False)
class FatDensity(Record):
    """`density` of `FatEntry` (As computed with)."""

    value: float
    """At 40 degC. Unit: g/mL."""

    assumed: bool
    """Whether it was assumed."""

    from_memory: bool
    """Whether the table has it from memory."""


@dataclass(frozen=True, kw_only=True, repr=False)
class AcidShare(Record):
    """`fatty_acids[]` of `FatEntry` (In the table's order)."""

    notation: str
    """Chain and double bonds."""

    min_pct: float
    """Lower end. Unit: % of fatty acids."""

    max_pct: float
    """Upper end. Unit: % of fatty acids."""

    typical_pct: float | None
    """Of a data set. Unit: % of fatty acids."""

    provenance: str
    """How it is known. One of read, second_hand, memory, computed, own_decision."""

    source: str
    """Where it is from."""

    if TYPE_CHECKING:
        def need(self, part: Literal["typical_pct"]) -> float: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class ValueByAcids(Record):
    """`saponification_value_by_acids` of `FatEntry` (Compared with the range; null for what is not a triglyceride)."""

    value: float
    """By the fatty acids, each at the middle of its range. Unit: mg KOH per g of fat."""

    middle: float
    """The middle of the range. Unit: mg KOH per g of fat."""

    disagrees: bool
    """They differ by more than 1.5 %: a recipe with this fat says so."""


@dataclass(frozen=True, kw_only=True, repr=False)
class FatEntry(FatLine, Result):
    """Reply of `fat`: everything known of a fat."""

    origin: str
    """Plant or animal."""

    label_names: LabelNames
    """For an ingredient list."""

    unsaponifiable_max: UnsaponifiableFigure | None
    """Null if not known."""

    relative_density: ConditionFigure | None
    """As the table has it; null if not known."""

    density: FatDensity
    """As computed with."""

    refractive_index: ConditionFigure | None
    """Null if not known."""

    second_saponification_value: OpenFigure | None
    """Another published range, mg KOH per g."""

    second_iodine_value: OpenFigure | None
    """Another published range, g iodine per 100 g."""

    fatty_acids: tuple[AcidShare, ...]
    """In the table's order."""

    saponification_value_by_acids: ValueByAcids | None
    """Compared with the range; null for what is not a triglyceride."""

    read_at: str
    """In which text the figures were read."""

    notes: tuple[str, ...]
    """What else to know about it."""

    meta: Meta
    """Versions of service and data."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["iodine_value"]) -> OpenFigure: ...
        @overload
        def need(self, part: Literal["unsaponifiable_max"]) -> UnsaponifiableFigure: ...
        @overload
        def need(self, part: Literal["relative_density"]) -> ConditionFigure: ...
        @overload
        def need(self, part: Literal["refractive_index"]) -> ConditionFigure: ...
        @overload
        def need(self, part: Literal["second_saponification_value"]) -> OpenFigure: ...
        @overload
        def need(self, part: Literal["second_iodine_value"]) -> OpenFigure: ...
        @overload
        def need(self, part: Literal["saponification_value_by_acids"]) -> ValueByAcids: ...
        def need(self, part: str) -> Any: ...
