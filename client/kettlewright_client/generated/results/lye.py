"""Reply of `lye`. Written by `make contract` from openapi.yaml; do not edit."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal, overload

from kettlewright_client.behaviour import WorkingMethods
from kettlewright_client.generated.results.shared import Reply
from kettlewright_client.record import Record

__all__ = ["Batter", "DominantInfluence", "FloorCost", "Heat", "Lye", "LyeAt", "LyeCore", "LyeResult", "LyeSolution",
           "Mixing", "PctRange", "SaponificationOfBlend", "Soap", "SuperfatInfluence", "SuperfatOutcome",
           "TemperatureRange", "Vessels", "WeighListRow", "WeighedAcid", "WeighedAlkali", "WeighedFat", "WeighedIce",
           "WeighedLiquid", "WeighedStock", "WeighedWater", "WorkingLine"]


@dataclass(frozen=True, kw_only=True, repr=False)
class WeighedFat(Record):
    """`fats[]` of `LyeCore` (Fats, in the order given)."""

    key: str
    """Key of the table, or a slug of your name."""

    name: str
    """Name."""

    mass: float
    """Exact, as requested. Unit: `units.mass`, g if not set."""

    weigh: float
    """On the scale. Unit: `units.mass`, g if not set."""

    share_pct: float
    """Of all fats as weighed. Unit: %."""

    lot: str | None
    """Lot number."""

    if TYPE_CHECKING:
        def need(self, part: Literal["lot"]) -> str: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class WeighedAcid(Record):
    """`acids[]` of `LyeCore` (Acids, in the order given)."""

    key: str
    """Key."""

    name: str
    """Name."""

    mass: float
    """Exact, as bought. Unit: `units.dose`, g if not set."""

    weigh: float
    """On the scale. Unit: `units.dose`, g if not set."""

    lot: str | None
    """Lot number."""

    if TYPE_CHECKING:
        def need(self, part: Literal["lot"]) -> str: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class WeighedStock(Record):
    """`stock` of `WeighedAlkali` (If it is a solution)."""

    mass: float
    """Solution, exact. Unit: `units.mass`, g if not set."""

    weigh: float
    """Solution, on the scale. Unit: `units.mass`, g if not set."""

    water_mass: float
    """Water in what is weighed. Unit: `units.mass`, g if not set."""


@dataclass(frozen=True, kw_only=True, repr=False)
class WeighedAlkali(Record):
    """`alkalis[]` of `LyeCore` (Alkalis, in the order given)."""

    key: str
    """Which alkali. One of NaOH, KOH."""

    name: str
    """Name."""

    mass_pure: float
    """Pure alkali, exact. Unit: `units.mass`, g if not set."""

    mass: float
    """As bought, exact. Unit: `units.mass`, g if not set."""

    weigh: float
    """On the scale, rounded down. Unit: `units.mass`, g if not set."""

    lot: str | None
    """Lot number."""

    stock: WeighedStock | None = None
    """If it is a solution."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["lot"]) -> str: ...
        @overload
        def need(self, part: Literal["stock"]) -> WeighedStock: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class WeighedLiquid(Record):
    """`liquids[]` of `LyeCore` (Liquids, in the order given)."""

    key: str
    """A slug of its name."""

    name: str
    """Name."""

    mass: float
    """Exact. Unit: `units.mass`, g if not set."""

    weigh: float
    """On the scale. Unit: `units.mass`, g if not set."""

    lot: str | None
    """Lot number."""

    if TYPE_CHECKING:
        def need(self, part: Literal["lot"]) -> str: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class WeighedIce(Record):
    """`ice` of `WeighedWater` (The part of it that goes in as ice, if requested)."""

    mass: float
    """Exact. Unit: `units.mass`, g if not set."""

    weigh: float
    """On the scale. Unit: `units.mass`, g if not set."""


@dataclass(frozen=True, kw_only=True, repr=False)
class WeighedWater(Record):
    """`water` of `LyeCore` (Water to add)."""

    mass: float
    """Exact, ice included. Unit: `units.mass`, g if not set."""

    weigh: float
    """On the scale, ice included. Unit: `units.mass`, g if not set."""

    ice: WeighedIce | None = None
    """The part of it that goes in as ice, if requested."""

    if TYPE_CHECKING:
        def need(self, part: Literal["ice"]) -> WeighedIce: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class TemperatureRange(Record):
    """`after_heat_loss` of `Heat` (With a tenth of the heat lost to the room and the jug), and 2 more."""

    min: float
    """With the older published heat of solution. Unit: `units.temperature`, degC if not set."""

    max: float
    """With the newer published heat of solution. Unit: `units.temperature`, degC if not set."""


@dataclass(frozen=True, kw_only=True, repr=False)
class Heat(Record):
    """`heat` of `LyeSolution` (How well that heat is known)."""

    basis: str
    """Published heats; or, with potassium hydroxide, only the heat at infinite dilution, which is an upper bound (its
    lower end a fifth less, from memory); or beyond the table. One of tables, upper_bound, extrapolated.
    """

    after_heat_loss: TemperatureRange
    """With a tenth of the heat lost to the room and the jug."""

    with_half_ice: TemperatureRange | None
    """With half of the added water as ice; null if ice is planned already or no water is added."""

    boiling: float
    """Boiling point of a sodium hydroxide lye of this strength, less the alkali that acids consume. Unit:
    `units.temperature`, degC if not set.
    """

    if TYPE_CHECKING:
        def need(self, part: Literal["with_half_ice"]) -> TemperatureRange: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class LyeAt(Record):
    """`at_temperature` of `LyeSolution` (If temperatures.lye is given)."""

    temperature: float
    """As given. Unit: `units.temperature`, degC if not set."""

    density: float
    """There. Unit: g/mL."""

    volume: float
    """There. Unit: `units.volume`, mL if not set."""

    within_validity: bool
    """Whether the source of the density covers it: 15 to 60 degC, up to 50 % NaOH or 52 % KOH."""


@dataclass(frozen=True, kw_only=True, repr=False)
class LyeSolution(Record):
    """`solution` of `LyeCore` (The lye in the jug)."""

    mass: float
    """Alkali as weighed and all water. Unit: `units.mass`, g if not set."""

    concentration_pct: float
    """Alkali as weighed (of stocks: pure) in it. Unit: % by mass."""

    concentration_pure_pct: float
    """Pure alkali in it. Unit: % by mass."""

    water_to_alkali: float | None
    """Water per part of alkali as weighed; null if the alkali was forgotten. Unit: g per g."""

    density: float
    """At 40 degC. Unit: g/mL."""

    volume: float
    """At 40 degC. Unit: `units.volume`, mL if not set."""

    peak_temperature: TemperatureRange | None
    """Upper estimate without heat loss; null without temperatures.water, and with a potassium hydroxide stock, whose
    heat of dilution is not known (it still gets hot).
    """

    heat: Heat | None = None
    """How well that heat is known."""

    at_temperature: LyeAt | None = None
    """If temperatures.lye is given."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["water_to_alkali"]) -> float: ...
        @overload
        def need(self, part: Literal["peak_temperature"]) -> TemperatureRange: ...
        @overload
        def need(self, part: Literal["heat"]) -> Heat: ...
        @overload
        def need(self, part: Literal["at_temperature"]) -> LyeAt: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class PctRange(Record):
    """`likely_pct_if_known` of `DominantInfluence` (The likely range if this input were known exactly), and 5 more."""

    min: float
    """Lower end. Unit: %."""

    max: float
    """Upper end. Unit: %."""


@dataclass(frozen=True, kw_only=True, repr=False)
class SuperfatInfluence(Record):
    """`inputs[]` of `SuperfatOutcome` (Causes of the spread, the largest first)."""

    input: str
    """What is uncertain: the saponification value, the strength of the alkali, or what the step of a scale hides. One
    of saponification_value, strength, alkali_weighing, fat_weighing, acid_weighing.
    """

    key: str
    """Key of what it belongs to."""

    variance_share_pct: float
    """Its share of the variance. Unit: %."""


@dataclass(frozen=True, kw_only=True, repr=False)
class DominantInfluence(SuperfatInfluence):
    """`dominant` of `SuperfatOutcome` (The first of them; null if nothing is uncertain)."""

    likely_pct_if_known: PctRange
    """The likely range if this input were known exactly."""

    message: str
    """The same in words."""


@dataclass(frozen=True, kw_only=True, repr=False)
class FloorCost(Record):
    """`floor_cost` of `SuperfatOutcome` (Of superfat_at_least_pct)."""

    extra_superfat_pct: float
    """Superfat above the requested one, on average. Unit: points."""

    extra_free_fat_mass: float
    """The same as fat without alkali. Unit: `units.mass`, g if not set."""

    message: str
    """In words."""


@dataclass(frozen=True, kw_only=True, repr=False)
class SuperfatOutcome(Record):
    """`superfat` of `LyeCore` (The superfat, and how far it can be off), and 1 more."""

    asked_pct: float
    """As given. Unit: % of the fats' alkali."""

    achieved_pct: float
    """From what is weighed, at the middle of each fat's range. Unit: % of the fats' alkali."""

    likely_pct: PctRange
    """Range of about 95 of 100 batches."""

    worst_case_pct: PctRange
    """If all errors go in the same direction."""

    inputs: tuple[SuperfatInfluence, ...]
    """Causes of the spread, the largest first."""

    dominant: DominantInfluence | None
    """The first of them; null if nothing is uncertain."""

    floor_cost: FloorCost | None = None
    """Of superfat_at_least_pct."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["dominant"]) -> DominantInfluence: ...
        @overload
        def need(self, part: Literal["floor_cost"]) -> FloorCost: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class SaponificationOfBlend(Record):
    """`saponification_value` of `LyeCore` (Of the blend), and 1 more."""

    min: float
    """Every fat at its lower end. Unit: mg KOH per g of fat."""

    mid: float
    """Middle. Unit: mg KOH per g of fat."""

    max: float
    """Every fat at its upper end. Unit: mg KOH per g of fat."""


@dataclass(frozen=True, kw_only=True, repr=False)
class Soap(Record):
    """`soap` of `LyeCore` (Soap made, and what stays free)."""

    mass: float
    """Anhydrous soap. Unit: `units.mass`, g if not set."""

    glycerol_mass: float
    """Glycerol released. Unit: `units.mass`, g if not set."""

    tfm_pct: float
    """Total fatty matter of the fresh batter and the oil of its additions. Unit: % by mass."""

    tfm_after_loss_pct: float | None
    """The same after the loss in cure; null without expected_loss_pct. Unit: % by mass."""

    free_fat_mass: float
    """Fat left without alkali. Unit: `units.mass`, g if not set."""

    free_alkali_mass: float
    """Pure alkali left without fat; a computed 0 is not a measurement. Unit: `units.mass`, g if not set."""

    free_alkali_worst_case_mass: float
    """The same if all errors lower the superfat. Unit: `units.mass`, g if not set."""

    water_mass: float
    """Water of the lye, and what free fatty acids release. Unit: `units.mass`, g if not set."""

    if TYPE_CHECKING:
        def need(self, part: Literal["tfm_after_loss_pct"]) -> float: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class Batter(Record):
    """`batter` of `LyeCore` (The batter before any addition)."""

    mass: float
    """All of it. Unit: `units.mass`, g if not set."""

    density: float
    """At 40 degC, without air. Unit: g/mL."""

    volume: float
    """At 40 degC. Unit: `units.volume`, mL if not set."""


@dataclass(frozen=True, kw_only=True, repr=False)
class Mixing(Record):
    """`mixing` of `LyeCore` (If temperatures.fats is given with lye or pour)."""

    batter: float | None
    """Of the batter; null without temperatures.lye. Unit: `units.temperature`, degC if not set."""

    lye: float | None
    """Lye temperature that brings the batter to temperatures.pour; null without it. Unit: `units.temperature`, degC if
    not set.
    """

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["batter"]) -> float: ...
        @overload
        def need(self, part: Literal["lye"]) -> float: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class LyeCore(Record):
    """`lye` of `BatchCore` (What to weigh for the pot and the jug, as at /v1/lye), and 1 more."""

    fats: tuple[WeighedFat, ...]
    """Fats, in the order given."""

    acids: tuple[WeighedAcid, ...]
    """Acids, in the order given."""

    alkalis: tuple[WeighedAlkali, ...]
    """Alkalis, in the order given."""

    liquids: tuple[WeighedLiquid, ...]
    """Liquids, in the order given."""

    water: WeighedWater
    """Water to add."""

    solution: LyeSolution
    """The lye in the jug."""

    superfat: SuperfatOutcome
    """The superfat, and how far it can be off."""

    saponification_value: SaponificationOfBlend
    """Of the blend."""

    soap: Soap
    """Soap made, and what stays free."""

    batter: Batter
    """The batter before any addition."""

    mixing: Mixing | None = None
    """If temperatures.fats is given with lye or pour."""

    if TYPE_CHECKING:
        def need(self, part: Literal["mixing"]) -> Mixing: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class Vessels(Record):
    """`vessels` of `LyeResult` (The smallest pot and jug), and 1 more."""

    pot: float
    """For the batter, two thirds full. Unit: `units.volume`, mL if not set."""

    jug: float
    """For the lye; half full if that may exceed 90 degC, or its heat is not known. Unit: `units.volume`, mL if not set.
    """


@dataclass(frozen=True, kw_only=True, repr=False)
class WeighListRow(Record):
    """`weigh_list[]` of `LyeResult` (Everything to weigh, in bench order), and 4 more."""

    kind: str
    """What it is; dispersion, batter and kept_back are made at the bench from other rows. One of water, ice, alkali,
    stock, acid, liquid, fat, addition, carrier, dispersion, batter, dusting, spray, kept_back.
    """

    where: str
    """The vessel it goes into; what is sifted or sprayed on top goes into the mould. One of jug, pot, jar, bucket,
    mould, aside.
    """

    portion: str | None = None
    """Key of the portion it belongs to; left out if it belongs to the whole batch."""

    key: str
    """Key; both rows of a jar have the key of the addition dispersed in it, and batter has the key of the portion it
    comes from.
    """

    name: str
    """Name."""

    form: str | None = None
    """What is in the bottle if the name does not say: its strength, or that it is frozen."""

    lot: str | None = None
    """Lot number; left out if none was given."""

    weigh: float
    """On the scale. Unit: in this row's unit."""

    step: float
    """Step of the scale it is weighed on. Unit: in this row's unit."""

    unit: str
    """Unit of this row. One of g, kg, oz, lb."""

    each_mix: float | None = None
    """On the scale for each mix, if the pot takes several mixes and each is weighed separately; weigh is their sum.
    Unit: in this row's unit.
    """

    take: float | None = None
    """Dilution to weigh instead, if the dose is too small for the scale; for each mix if there is each_mix. Unit: in
    this row's unit.
    """

    buy: str | None = None
    """Key in prices and packs, the same in every language; absent for what is made at the bench."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["portion"]) -> str: ...
        @overload
        def need(self, part: Literal["form"]) -> str: ...
        @overload
        def need(self, part: Literal["lot"]) -> str: ...
        @overload
        def need(self, part: Literal["each_mix"]) -> float: ...
        @overload
        def need(self, part: Literal["take"]) -> float: ...
        @overload
        def need(self, part: Literal["buy"]) -> str: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class LyeResult(LyeCore):
    """`lye` of `ScaledCore` (Computed again for it), and 1 more."""

    vessels: Vessels
    """The smallest pot and jug."""

    weigh_list: tuple[WeighListRow, ...]
    """Everything to weigh, in bench order."""

    if TYPE_CHECKING:
        def need(self, part: Literal["mixing"]) -> Mixing: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class WorkingLine(WorkingMethods, Record):
    """`workings[]` of `Lye` (The calculation line by line, if requested), and 2 more."""

    figure: str
    """Which figure it gives."""

    formula: str
    """Formula, in names."""

    numbers: str
    """The same with numbers."""

    result: float
    """Result. Unit: unit of the line."""

    unit: str
    """Its unit."""

    source: str
    """Source of the formula."""


@dataclass(frozen=True, kw_only=True, repr=False)
class Lye(Reply, LyeResult):
    """Reply of `lye`: what to weigh for a recipe."""

    workings: tuple[WorkingLine, ...] = ()
    """The calculation line by line, if requested."""

    if TYPE_CHECKING:
        def need(self, part: Literal["mixing"]) -> Mixing: ...
