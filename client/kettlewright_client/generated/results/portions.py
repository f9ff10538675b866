"""Reply of `portions`. Written by `make contract` from openapi.yaml; do not edit."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal, overload

from kettlewright_client.generated.results.moulds import MouldSummary
from kettlewright_client.generated.results.shared import Reply
from kettlewright_client.record import Record

__all__ = ["Borrowed", "Dilution", "DispersionToMake", "Division", "DosedAddition", "FilledPortion", "KeptBack",
           "LargestDose", "Limit", "MixingStep", "Overflow", "OverflowLayer", "PortionColumn", "PortionLayer",
           "PortionMass", "Portions", "WeighedDusting"]


@dataclass(frozen=True, kw_only=True, repr=False)
class Dilution(Record):
    """`dilution` of `DosedAddition` (If the scale is too coarse for the dose (fewer than ten steps))."""

    weigh: float
    """Of the addition. Unit: `units.dose`, g if not set."""

    carrier_weigh: float
    """Of oil, water or glycerol to stir it into. Unit: `units.dose`, g if not set."""

    take_mass: float
    """Dilution to add to the batter, exact. Unit: `units.dose`, g if not set."""

    take_weigh: float
    """The same on the scale. Unit: `units.dose`, g if not set."""

    carrier_mass: float
    """Carrier that goes in with it; oil gets no alkali and stays free on top of the superfat. Unit: `units.dose`, g if
    not set.
    """


@dataclass(frozen=True, kw_only=True, repr=False)
class DosedAddition(Record):
    """`additions[]` of `FilledPortion` (Stirred into this bucket), and 2 more."""

    key: str
    """A slug of the name."""

    name: str
    """Your name for it."""

    mass: float
    """Exact. Unit: `units.dose`, g if not set."""

    weigh: float
    """On the scale. Unit: `units.dose`, g if not set."""

    allowed_mass: float | None = None
    """The most its limit allows in this portion alone; left out without a limit. Unit: `units.dose`, g if not set."""

    dilution: Dilution | None = None
    """If the scale is too coarse for the dose (fewer than ten steps)."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["allowed_mass"]) -> float: ...
        @overload
        def need(self, part: Literal["dilution"]) -> Dilution: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class Borrowed(Record):
    """`borrowed[]` of `FilledPortion` (Taken out of other buckets)."""

    key: str
    """Of the lender."""

    name: str
    """Its name."""

    mass: float
    """Exact, its additions in it. Unit: `units.mass`, g if not set."""

    weigh: float
    """On the scale. Unit: `units.mass`, g if not set."""


@dataclass(frozen=True, kw_only=True, repr=False)
class WeighedDusting(Record):
    """`dusting` of `FilledPortion` (Powder sifted on top)."""

    key: str
    """A slug of the name."""

    name: str
    """The powder."""

    mass: float
    """Exact. Unit: `units.dose`, g if not set."""

    weigh: float
    """On the scale. Unit: `units.dose`, g if not set."""

    area: float
    """Surface it covers, over all cavities. Unit: cm2."""

    colour: str | None = None
    """As given."""

    if TYPE_CHECKING:
        def need(self, part: Literal["colour"]) -> str: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class PortionLayer(Record):
    """`layer` of `FilledPortion` (Where it is; null without a mould of known depth, and when mingled or in columns),
    and 3 more.
    """

    bottom: float
    """Height of its bottom. Unit: `units.length`, mm if not set."""

    top: float
    """Height of its top: pour to this mark. Unit: `units.length`, mm if not set."""

    below_rim: float
    """From there up to the rim. Unit: `units.length`, mm if not set."""


@dataclass(frozen=True, kw_only=True, repr=False)
class PortionColumn(Record):
    """`column` of `FilledPortion` (Where it is, between dividers in a box), and 1 more."""

    start: float
    """From the first wall. Unit: `units.length`, mm if not set."""

    end: float
    """From the first wall. Unit: `units.length`, mm if not set."""


@dataclass(frozen=True, kw_only=True, repr=False)
class FilledPortion(Record):
    """`portions[]` of `Division` (Buckets, in pour order)."""

    key: str
    """A slug of the name."""

    name: str
    """Your name for it."""

    batter_mass: float
    """Plain batter, exact; the batch's additions are in it. Unit: `units.mass`, g if not set."""

    weigh: float
    """That plain batter on the scale. Unit: `units.mass`, g if not set."""

    mass: float
    """The full bucket, its own additions and what it borrowed in it, before it lends. Unit: `units.mass`, g if not set.
    """

    volume: float
    """The full bucket. Unit: `units.volume`, mL if not set."""

    additions: tuple[DosedAddition, ...]
    """Stirred into this bucket."""

    borrowed: tuple[Borrowed, ...]
    """Taken out of other buckets."""

    lent_mass: float
    """What other buckets take out of it. Unit: `units.mass`, g if not set."""

    free_fat_mass: float | None = None
    """Oil of additions in it that gets no alkali. Unit: `units.mass`, g if not set."""

    superfat_pct: float | None = None
    """Of this bucket, where that oil shifts it. Unit: %."""

    dusting: WeighedDusting | None = None
    """Powder sifted on top."""

    layer: PortionLayer | None
    """Where it is; null without a mould of known depth, and when mingled or in columns."""

    column: PortionColumn | None = None
    """Where it is, between dividers in a box."""

    colour: str | None
    """For the picture."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["free_fat_mass"]) -> float: ...
        @overload
        def need(self, part: Literal["superfat_pct"]) -> float: ...
        @overload
        def need(self, part: Literal["dusting"]) -> WeighedDusting: ...
        @overload
        def need(self, part: Literal["layer"]) -> PortionLayer: ...
        @overload
        def need(self, part: Literal["column"]) -> PortionColumn: ...
        @overload
        def need(self, part: Literal["colour"]) -> str: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class OverflowLayer(Record):
    """`layers[]` of `Overflow` (Its layers)."""

    key: str
    """Of the portion."""

    name: str
    """Its name."""

    layer: PortionLayer | None
    """Where it is; null if heights are not known."""

    if TYPE_CHECKING:
        def need(self, part: Literal["layer"]) -> PortionLayer: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class Overflow(Record):
    """`overflow` of `Division` (What went into the overflow mould)."""

    mass: float
    """In the overflow mould, over all cavities. Unit: `units.mass`, g if not set."""

    volume: float
    """The same. Unit: `units.volume`, mL if not set."""

    depth: float | None
    """How high it is there; null if not known. Unit: `units.length`, mm if not set."""

    layers: tuple[OverflowLayer, ...]
    """Its layers."""

    if TYPE_CHECKING:
        def need(self, part: Literal["depth"]) -> float: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class KeptBack(Record):
    """`kept_back` of `Division` (Plain batter set aside)."""

    mass: float
    """Exact. Unit: `units.mass`, g if not set."""

    weigh: float
    """On the scale. Unit: `units.mass`, g if not set."""


@dataclass(frozen=True, kw_only=True, repr=False)
class DispersionToMake(Record):
    """`dispersions[]` of `Division` (Jars to make before the pour)."""

    key: str
    """Of the addition."""

    name: str
    """Its name."""

    carrier: str
    """What it is stirred into. One of oil, water, glycerol."""

    carrier_name: str
    """The same in words."""

    weigh: float
    """Of the dry addition. Unit: `units.dose`, g if not set."""

    carrier_weigh: float
    """Of the carrier. Unit: `units.dose`, g if not set."""

    used_mass: float
    """What all its doses take, as weighed. Unit: `units.dose`, g if not set."""

    left_mass: float
    """What is left of it. Unit: `units.dose`, g if not set."""


@dataclass(frozen=True, kw_only=True, repr=False)
class MixingStep(Record):
    """`mixing_order[]` of `Division` (Order of stirring, if something thickens fast or is borrowed; not the order of
    the pour).
    """

    key: str | None
    """Of the bucket; null for the pot."""

    name: str
    """Of bucket or pot."""

    additions: tuple[str, ...]
    """Names of what goes in now."""

    borrows: tuple[str, ...]
    """Names of the portions whose batter goes in now."""

    when: str
    """at_pour: just before you pour this bucket, not earlier. One of ahead, at_pour."""

    if TYPE_CHECKING:
        def need(self, part: Literal["key"]) -> str: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class LargestDose(Record):
    """`largest_doses[]` of `Limit` (If it is exceeded: doses that meet the limits. You may send back all of them, or
    only those of one ingredient (the latter is not checked in a batch with very many additions)).
    """

    portion: str | None
    """Key of the portion; null for the batch's own."""

    dose: float
    """In the unit of its basis: send it back and the limit is kept. Unit: % or g/kg; with basis mass in the unit of
    units.dose.
    """

    basis: str
    """As given. One of pct_of_fats, pct_of_batter, g_per_kg_fats, g_per_kg_batter, mass."""

    mass: float
    """Its mass in the batch made with it; of a dispersion, all of it. Unit: `units.dose`, g if not set."""

    if TYPE_CHECKING:
        def need(self, part: Literal["portion"]) -> str: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class PortionMass(Record):
    """`portion_masses[]` of `Limit` (If portions are given by mass: their masses with those doses; else empty)."""

    portion: str
    """Key of the portion."""

    mass: float
    """The full bucket, its own additions included. Unit: `units.mass`, g if not set."""


@dataclass(frozen=True, kw_only=True, repr=False)
class Limit(Record):
    """`limits[]` of `Division` (Ingredients with a limit: the portion and the cut bar with the most of each)."""

    key: str
    """Of the addition."""

    name: str
    """Its name."""

    limit_pct: float
    """Largest share of the cured bar; the lowest limit given. Unit: % of cured bar."""

    portion: str
    """Key of the portion with the most of it."""

    portion_pct: float
    """Share in that portion alone. Unit: % of cured portion."""

    bar: str | None
    """The bar with the most of it, in words; null if bars are not known."""

    bar_pct: float | None
    """Share in that bar. Unit: % of cured bar."""

    exceeded: bool
    """Whether that bar (that portion, if bars are not known) is above the limit."""

    largest_doses: tuple[LargestDose, ...]
    """If it is exceeded: doses that meet the limits. You may send back all of them, or only those of one ingredient
    (the latter is not checked in a batch with very many additions).
    """

    portion_masses: tuple[PortionMass, ...]
    """If portions are given by mass: their masses with those doses; else empty."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["bar"]) -> str: ...
        @overload
        def need(self, part: Literal["bar_pct"]) -> float: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class Division(Record):
    """Fields that several objects have."""

    additions: tuple[DosedAddition, ...]
    """The batch's own, into the pot."""

    portions: tuple[FilledPortion, ...]
    """Buckets, in pour order."""

    residue_mass: float
    """What stays in the pot: its residue, and what is below one step of the scale. Unit: `units.mass`, g if not set."""

    pot_mass: float
    """All in the pot, the batch's additions in it. Unit: `units.mass`, g if not set."""

    mould_mass: float
    """What goes into the mould, powders included. Unit: `units.mass`, g if not set."""

    overflow: Overflow | None = None
    """What went into the overflow mould."""

    kept_back: KeptBack | None = None
    """Plain batter set aside."""

    dispersions: tuple[DispersionToMake, ...]
    """Jars to make before the pour."""

    mixing_order: tuple[MixingStep, ...]
    """Order of stirring, if something thickens fast or is borrowed; not the order of the pour."""

    bucket_order: tuple[str, ...]
    """Keys of the portions in the order to fill and stir their buckets: lenders first."""

    limits: tuple[Limit, ...]
    """Ingredients with a limit: the portion and the cut bar with the most of each."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["overflow"]) -> Overflow: ...
        @overload
        def need(self, part: Literal["kept_back"]) -> KeptBack: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class Portions(Reply, Division):
    """Reply of `portions`: what goes into each bucket."""

    arrangement: str
    """How the portions lie. One of layers, columns, mingled, separate."""

    mould: MouldSummary | None = None
    """Where they go, if it was given."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["overflow"]) -> Overflow: ...
        @overload
        def need(self, part: Literal["kept_back"]) -> KeptBack: ...
        @overload
        def need(self, part: Literal["mould"]) -> MouldSummary: ...
        def need(self, part: str) -> Any: ...
