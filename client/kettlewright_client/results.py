"""Replies as frozen objects, with the names of the contract. Quantities are in the units of the request.

What a newer service says beyond this stays in `raw`; words this client does not know stay words.
"""

from __future__ import annotations

import dataclasses
import types
import typing
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Any

__all__ = ["Addition", "Alkali", "Areas", "Bars", "BatchDates", "BatchDays", "Batter", "Caution",
           "CoursePoint", "Cure", "CureDay", "CurveErrors", "Cuts", "DryingCurve", "Dusting", "Fat", "FatEntry",
           "Fats", "Figure", "Fill", "Ingredient", "Labels", "Layer", "Load", "Loaves", "Lye", "LyeSolution", "Mould",
           "Offcut", "Portion", "Portions", "Positions", "Practice", "Range", "Reply", "Scaled", "Schedule",
           "ScheduledBatch", "Soap", "Spread", "Stock", "Superfat", "Until", "Vessels", "Water", "WeighRow",
           "WeighedOn", "WetTarget", "When", "read"]


@dataclass(frozen=True, kw_only=True)
class Range:
    """Two ends."""

    min: float
    max: float


@dataclass(frozen=True, kw_only=True)
class Spread:
    """Two ends and the middle."""

    min: float
    mid: float
    max: float


@dataclass(frozen=True, kw_only=True)
class Caution:
    """A caution this request brings on."""

    key: str
    severity: str
    message: str
    pointer: str


@dataclass(frozen=True, kw_only=True)
class Ingredient:
    """An acid to weigh."""

    key: str
    name: str
    mass: float
    weigh: float
    lot: str | None = None


@dataclass(frozen=True, kw_only=True)
class Fat(Ingredient):
    """A fat to weigh."""

    share_pct: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Stock:
    """A stock solution to weigh."""

    mass: float
    weigh: float
    water_mass: float


@dataclass(frozen=True, kw_only=True)
class Alkali(Ingredient):
    """An alkali to weigh; of a stock, mass and weigh are the solution's."""

    mass_pure: float = 0.0
    stock: Stock | None = None


@dataclass(frozen=True, kw_only=True)
class Ice:
    """Ice to weigh."""

    mass: float
    weigh: float


@dataclass(frozen=True, kw_only=True)
class Water:
    """Water to weigh, ice included."""

    mass: float
    weigh: float
    ice: Ice | None = None


@dataclass(frozen=True, kw_only=True)
class Liquid:
    """A liquid to weigh, in place of part of the water."""

    key: str
    name: str
    mass: float
    weigh: float
    lot: str | None


@dataclass(frozen=True, kw_only=True)
class Heat:
    """What is known of the heat behind the peak temperature."""

    basis: str
    after_heat_loss: Range
    with_half_ice: Range | None
    boiling: float


@dataclass(frozen=True, kw_only=True)
class LyeAt:
    """The lye at the temperature told for it."""

    temperature: float
    density: float
    volume: float
    within_validity: bool


@dataclass(frozen=True, kw_only=True)
class LyeSolution:
    """The lye in the jug."""

    mass: float
    concentration_pct: float
    concentration_pure_pct: float
    water_to_alkali: float
    density: float
    volume: float
    peak_temperature: Range | None
    heat: Heat | None = None
    at_temperature: LyeAt | None = None


@dataclass(frozen=True, kw_only=True)
class InputShare:
    """What one input adds to the spread of the superfat."""

    input: str
    key: str
    variance_share_pct: float


@dataclass(frozen=True, kw_only=True)
class Dominant:
    """The input that makes most of the spread, and what to do about it."""

    input: str
    key: str
    variance_share_pct: float
    likely_pct_if_known: Range
    text: str


@dataclass(frozen=True, kw_only=True)
class FloorCost:
    """What it costs to keep a superfat over the whole declared range."""

    extra_superfat_pct: float
    extra_free_fat_mass: float
    text: str


@dataclass(frozen=True, kw_only=True)
class Superfat:
    """The superfat, and how far it can be off."""

    asked_pct: float
    achieved_pct: float
    likely_pct: Range
    worst_case_pct: Range
    inputs: tuple[InputShare, ...]
    dominant: Dominant | None
    floor_cost: FloorCost | None = None


@dataclass(frozen=True, kw_only=True)
class Soap:
    """What comes out of the pot."""

    mass: float
    glycerol_mass: float
    tfm_pct: float
    tfm_after_loss_pct: float | None
    free_fat_mass: float
    free_alkali_mass: float
    free_alkali_worst_case_mass: float
    water_mass: float


@dataclass(frozen=True, kw_only=True)
class Mixing:
    """Where fats and lye meet."""

    batter: float | None
    lye: float | None


@dataclass(frozen=True, kw_only=True)
class WorkingLine:
    """A line of the calculation; `print` shows it as one reads it."""

    figure: str
    formula: str
    numbers: str
    result: float
    unit: str
    source: str

    def __str__(self) -> str:
        return (f"{self.figure}\n    {self.formula}\n    {self.numbers} = {self.result:.6g} {self.unit}"
                f"\n    {self.source}")


@dataclass(frozen=True, kw_only=True)
class Batter:
    """The batter before any addition."""

    mass: float
    density: float
    volume: float


@dataclass(frozen=True, kw_only=True)
class Vessels:
    """The smallest pot and jug."""

    pot: float
    jug: float


@dataclass(frozen=True, kw_only=True)
class WeighRow:
    """One weighing, in its own unit."""

    key: str
    name: str
    lot: str | None
    where: str
    weigh: float
    step: float
    unit: str


@dataclass(frozen=True, kw_only=True)
class Reply:
    """What every reply of a calculation has."""

    cautions: tuple[Caution, ...]
    standing_cautions: tuple[str, ...]
    worst_severity: str
    units: Mapping[str, str]
    locale: str = "en"
    meta: Mapping[str, Any]
    raw: Mapping[str, Any] = field(repr=False)


@dataclass(frozen=True, kw_only=True)
class LyeCore:
    """What to weigh for a recipe, and what comes of it."""

    fats: tuple[Fat, ...]
    acids: tuple[Ingredient, ...]
    liquids: tuple[Liquid, ...]
    alkalis: tuple[Alkali, ...]
    water: Water
    lye: LyeSolution
    superfat: Superfat
    saponification_value: Spread
    soap: Soap
    batter: Batter
    mixing: Mixing | None = None


@dataclass(frozen=True, kw_only=True)
class LyeWithList(LyeCore):
    """The same, with vessels and the weigh list."""

    vessels: Vessels
    weigh_list: tuple[WeighRow, ...]


@dataclass(frozen=True, kw_only=True)
class Lye(LyeWithList, Reply):
    """Reply of `lye`."""

    workings: tuple[WorkingLine, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Scaled(Reply):
    """Reply of `scaling`; `recipe` can be sent again as it stands."""

    factor: float | None
    recipe: Mapping[str, Any]
    lye: LyeWithList
    workings: tuple[WorkingLine, ...] = ()


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
    """A price by mass; the amount is a decimal text."""

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


@dataclass(frozen=True, kw_only=True)
class Lab:
    """A colour of CIELAB."""

    lightness: float
    a: float
    b: float


@dataclass(frozen=True, kw_only=True)
class ColourBand:
    """Between which colours a swatch is likely to lie."""

    darkest: str
    lightest: str
    lightness_min: float
    lightness_max: float


@dataclass(frozen=True, kw_only=True)
class FadeStep:
    """A portion of a fade."""

    key: str
    name: str
    end: int
    dose: float
    colour: str
    lab: Lab
    band: ColourBand | None
    colourant_mass: float | None
    dispersion_mass: float | None
    darker_by_mass: float | None
    to_next: float | None


@dataclass(frozen=True, kw_only=True)
class FittedSwatch:
    """A swatch beside what the fit makes of it."""

    dose: float
    colour: str
    predicted: str
    off: float


@dataclass(frozen=True, kw_only=True)
class Fit:
    """How swatches were fitted."""

    error: float | None
    swatches: tuple[FittedSwatch, ...]
    dose_min: float
    dose_max: float


@dataclass(frozen=True, kw_only=True)
class CarryOver:
    """A step of the carry-over."""

    key: str
    plain_mass: float
    colourant_mass: float
    make_mass: float
    pour_mass: float
    keep_mass: float


@dataclass(frozen=True, kw_only=True)
class MoreColour:
    """What a bucket needs."""

    now_dose: float
    wanted_dose: float
    colourant_mass: float
    plain_mass: float


@dataclass(frozen=True, kw_only=True)
class FadeCost:
    """What the colourant of a fade costs."""

    amount: str
    equal_doses_amount: str
    currency: str


@dataclass(frozen=True, kw_only=True)
class FadeCore:
    """A fade."""

    portions: tuple[FadeStep, ...]
    fit: Fit
    other_fit: Fit | None
    state: str
    gelled: str
    colourant_mass: float | None
    equal_doses_mass: float | None
    notes: tuple[str, ...]
    cost: FadeCost | None = None
    carry_over: tuple[CarryOver, ...] | None = None
    more: MoreColour | None = None


@dataclass(frozen=True, kw_only=True)
class Fade(FadeCore, Reply):
    """Reply of `fades`."""


@dataclass(frozen=True, kw_only=True)
class Areas:
    """Surfaces, in cm2."""

    bottom: float
    top: float


@dataclass(frozen=True, kw_only=True)
class Fill:
    """Batter standing in a mould."""

    depth: float | None
    volume: float
    mass: float | None
    area: float | None


@dataclass(frozen=True, kw_only=True)
class ProfilePoint:
    """Width of a section at a height."""

    height: float
    width: float


@dataclass(frozen=True, kw_only=True)
class MouldCore:
    """What a mould holds."""

    volume: float
    brim_volume: float
    areas: Areas | None
    profile: tuple[ProfilePoint, ...]
    fill: Fill | None


@dataclass(frozen=True, kw_only=True)
class MouldUse:
    """A mould that is filled."""

    key: str
    name: str
    times: int
    volume: float


@dataclass(frozen=True, kw_only=True)
class Filling:
    """How an order is met."""

    uses: tuple[MouldUse, ...]
    left_over: float
    pours_count: int
    proven_optimal: bool


@dataclass(frozen=True, kw_only=True)
class Mould(MouldCore, Reply):
    """Reply of `moulds`."""

    filling: Filling | None = None


@dataclass(frozen=True, kw_only=True)
class Dilution:
    """How to weigh what is too little for the scale."""

    weigh: float
    carrier_weigh: float
    take_mass: float
    take_weigh: float
    carrier_mass: float


@dataclass(frozen=True, kw_only=True)
class Addition:
    """An addition to weigh."""

    key: str
    name: str
    mass: float
    weigh: float
    allowed_mass: float | None = None
    dilution: Dilution | None = None


@dataclass(frozen=True, kw_only=True)
class Dusting:
    """Powder to sift."""

    key: str
    name: str
    mass: float
    weigh: float
    area: float


@dataclass(frozen=True, kw_only=True)
class Layer:
    """Heights in each cavity."""

    bottom: float
    top: float


@dataclass(frozen=True, kw_only=True)
class Column:
    """Where a portion stands between dividers."""

    start: float
    end: float


@dataclass(frozen=True, kw_only=True)
class OverflowLayer:
    """A portion's part in the overflow mould."""

    key: str
    name: str
    layer: Layer | None


@dataclass(frozen=True, kw_only=True)
class Overflow:
    """What did not go into the mould."""

    mass: float
    volume: float
    depth: float | None
    layers: tuple[OverflowLayer, ...]


@dataclass(frozen=True, kw_only=True)
class Pieces:
    """What a batch that is not cut comes to."""

    count: int
    mass: float
    cured_mass: float | None


@dataclass(frozen=True, kw_only=True)
class Mixes:
    """The batch in equal goes."""

    count: int
    weigh_list: tuple[WeighRow, ...]


@dataclass(frozen=True, kw_only=True)
class Borrowed:
    """Batter out of another bucket."""

    key: str
    name: str
    mass: float
    weigh: float


@dataclass(frozen=True, kw_only=True)
class Portion:
    """A bucket to fill."""

    key: str
    name: str
    batter_mass: float
    weigh: float
    mass: float
    volume: float
    additions: tuple[Addition, ...]
    borrowed: tuple[Borrowed, ...]
    lent_mass: float
    layer: Layer | None
    colour: str | None
    dusting: Dusting | None = None
    column: Column | None = None


@dataclass(frozen=True, kw_only=True)
class KeptBack:
    """Plain batter set aside."""

    mass: float
    weigh: float


@dataclass(frozen=True, kw_only=True)
class Dispersion:
    """A jar to make before the pour."""

    key: str
    name: str
    carrier: str
    carrier_name: str
    weigh: float
    carrier_weigh: float
    used_mass: float
    left_mass: float


@dataclass(frozen=True, kw_only=True)
class MixingStep:
    """What to stir in next."""

    key: str | None
    name: str
    additions: tuple[str, ...]
    borrows: tuple[str, ...]
    when: str


@dataclass(frozen=True, kw_only=True)
class LargestDose:
    """The largest dose that keeps within a limit."""

    portion: str | None
    dose: float
    basis: str
    mass: float


@dataclass(frozen=True, kw_only=True)
class Limit:
    """An ingredient held to its limit on the cured bar."""

    key: str
    name: str
    limit_pct: float
    portion: str
    portion_pct: float
    bar: str | None
    bar_pct: float | None
    exceeded: bool
    largest_doses: tuple[LargestDose, ...]


@dataclass(frozen=True, kw_only=True)
class Division:
    """A batch, shared out."""

    additions: tuple[Addition, ...]
    portions: tuple[Portion, ...]
    residue_mass: float
    pot_mass: float
    mould_mass: float
    dispersions: tuple[Dispersion, ...]
    mixing_order: tuple[MixingStep, ...]
    limits: tuple[Limit, ...]
    overflow: Overflow | None = None
    kept_back: KeptBack | None = None


@dataclass(frozen=True, kw_only=True)
class Portions(Division, Reply):
    """Reply of `portions`."""

    arrangement: str
    mould: MouldCore | None = None


@dataclass(frozen=True, kw_only=True)
class Loaves:
    """The loaves."""

    count: int
    length: float
    width: float
    height: float


@dataclass(frozen=True, kw_only=True)
class Bars:
    """The bars."""

    count: int
    length: float
    thickness: float
    height: float
    mass: Spread | None
    cured_mass: Spread | None = None


@dataclass(frozen=True, kw_only=True)
class Offcut:
    """A piece that is no bar."""

    name: str
    length: float
    width: float
    height: float
    mass: float | None


@dataclass(frozen=True, kw_only=True)
class Positions:
    """Near edge of each cut, from the block's start."""

    loaf: tuple[float, ...]
    bar: tuple[float, ...]
    loaf_starts: tuple[float, ...]
    bar_starts: tuple[float, ...]


@dataclass(frozen=True, kw_only=True)
class LayerShare:
    """A layer's part of a bar."""

    key: str
    share_pct: float


@dataclass(frozen=True, kw_only=True)
class BarKind:
    """Bars that are alike."""

    count: int
    first_loaf: int
    first_bar: int
    volume: float
    mass: Spread | None
    layers: tuple[LayerShare, ...]


@dataclass(frozen=True, kw_only=True)
class Turned:
    """The same cut with the block turned by a quarter."""

    bars_count: int
    volume_yield_pct: float


@dataclass(frozen=True, kw_only=True)
class Rebatch:
    """What the offcuts come to."""

    mass: float
    bars_count: int


@dataclass(frozen=True, kw_only=True)
class BlockSize:
    """The block that is cut."""

    length: float
    width: float
    height: float


@dataclass(frozen=True, kw_only=True)
class CutsCore:
    """How a block is cut."""

    block: BlockSize
    loaves: Loaves
    bars: Bars
    offcuts: tuple[Offcut, ...]
    kerf_mass: float | None
    rebatch: Rebatch | None
    shavings_mass: float | None
    volume_yield_pct: float
    kinds: tuple[BarKind, ...]
    cuts: Positions
    turned: Turned | None = None


@dataclass(frozen=True, kw_only=True)
class Cuts(CutsCore, Reply):
    """Reply of `cuts`."""


@dataclass(frozen=True, kw_only=True)
class LabelLine:
    """A line of an ingredient list."""

    name: str
    share_pct: float
    group: str
    role: str
    named_by: str
    made_of: tuple[str, ...]
    remarks: tuple[str, ...]
    doubts: tuple[str, ...]
    colour_status: str | None = None


@dataclass(frozen=True, kw_only=True)
class Allergen:
    """A listed allergen in bars, named on their label or not."""

    name: str
    concentration_pct: float
    limit_pct: float
    above_limit: bool
    lists: tuple[str, ...]
    prohibited: bool


@dataclass(frozen=True, kw_only=True)
class AllergensByList:
    """What a list of allergens names."""

    list: str
    names: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class NetQuantity:
    """What a label promises, and how bars keep it."""

    promise: float
    asked: bool
    every_bar: float
    largest: float
    tolerance: float
    tolerance_known: str
    mass: Spread
    short_share_pct: float
    beyond_share_pct: float
    short_count: int
    beyond_count: int
    text: str | None = None
    largest_text: str | None = None


@dataclass(frozen=True, kw_only=True)
class BarLabel:
    """The label of bars whose list is the same."""

    count: int | None
    where: tuple[str, ...]
    holds: tuple[str, ...]
    text: str
    ingredients: tuple[LabelLine, ...]
    declared: tuple[str, ...]
    allergens: tuple[Allergen, ...]
    by_list: tuple[AllergensByList, ...]
    net_quantity: NetQuantity | None


@dataclass(frozen=True, kw_only=True)
class ChosenList:
    """The list of allergens a label goes by."""

    key: str
    reason: str


@dataclass(frozen=True, kw_only=True)
class LabelElement:
    """Something a label bears beside its ingredients."""

    key: str
    name: str
    required: str
    text: str | None


@dataclass(frozen=True, kw_only=True)
class Missing:
    """Something a label needs and nobody has told."""

    key: str
    message: str


@dataclass(frozen=True, kw_only=True)
class LeftOut:
    """Something that is used and does not stand on the list."""

    name: str
    reason: str


@dataclass(frozen=True, kw_only=True)
class Label:
    """The labels of a batch."""

    market: str
    naming: str
    labels: tuple[BarLabel, ...]
    allergen_list: ChosenList
    elements: tuple[LabelElement, ...]
    missing: tuple[Missing, ...]
    left_out: tuple[LeftOut, ...]
    loss_pct: float
    loss_assumed: bool
    soap_part_pct: float
    steps_outside: tuple[str, ...]
    notes: tuple[str, ...]
    sold_as: str | None = None
    what_follows: str | None = None


@dataclass(frozen=True, kw_only=True)
class Labels(Reply):
    """Reply of `labels`."""

    label: Label


@dataclass(frozen=True, kw_only=True)
class Figure:
    """A range of the table and how it is known; an end may not be."""

    min: float | None
    max: float | None
    verified: str


@dataclass(frozen=True, kw_only=True)
class FatEntry:
    """A fat of the table; everything else known of it is in `raw`."""

    key: str
    name: str
    kind: str
    saponification_value: Figure
    iodine_value: Figure | None
    source: str
    verified: str
    meta: Mapping[str, Any] = field(default_factory=dict)
    raw: Mapping[str, Any] = field(default_factory=dict, repr=False)


@dataclass(frozen=True, kw_only=True)
class Fats:
    """Reply of `fats`."""

    fats: tuple[FatEntry, ...]
    meta: Mapping[str, Any]
    raw: Mapping[str, Any] = field(repr=False)


@dataclass(frozen=True, kw_only=True)
class BatchDays:
    """The days of a batch, as year-month-day."""

    pour: str
    unmould: str
    cure_until: str
    pack_from: str
    release: str
    in_mould_days: int
    curing_days: int


@dataclass(frozen=True, kw_only=True)
class BatchDates(BatchDays):
    """The days of a batch, and what to know of them."""

    assumed: tuple[str, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class CurveErrors:
    """Standard errors of a drying curve."""

    equilibrium_mass: float
    to_lose_mass: float
    rate_per_day: float


@dataclass(frozen=True, kw_only=True)
class WeighedOn:
    """A weighing."""

    day: float
    mass: float


@dataclass(frozen=True, kw_only=True)
class CoursePoint:
    """A point of a drying curve, with its band."""

    day: float
    mass: float
    band: Range | None


@dataclass(frozen=True, kw_only=True)
class DryingCurve:
    """A drying curve."""

    start_mass: float
    equilibrium_mass: float
    to_lose_mass: float
    rate_per_day: float
    half_life_days: float
    errors: CurveErrors | None
    scatter_mass: float | None
    weighings: tuple[WeighedOn, ...]
    course: tuple[CoursePoint, ...]


@dataclass(frozen=True, kw_only=True)
class CureDay:
    """What a bar weighs on a day."""

    day: float
    date: str | None
    mass: float
    band: Range | None
    loss_pct: float
    daily_loss: float
    beyond: bool


@dataclass(frozen=True, kw_only=True)
class When:
    """When something is reached."""

    day: float
    date: str | None


@dataclass(frozen=True, kw_only=True)
class Until:
    """When a bar is dry."""

    daily_loss: When | None
    within: When | None


@dataclass(frozen=True, kw_only=True)
class WetTarget:
    """What to make wet for a promised mass."""

    mass: float
    wet_mass: float
    loss_pct: float
    basis: str
    day: float | None
    wet_for_band_mass: float | None


@dataclass(frozen=True, kw_only=True)
class Practice:
    """What workshops usually do; common practice, no source."""

    unmould_hours: Range
    cure_days: Range
    text: str
    basis: str


@dataclass(frozen=True, kw_only=True)
class Cure(Reply):
    """Reply of `cure`."""

    name: str | None
    dates: BatchDates | None
    stamp: str | None
    day_zero: str | None
    curve: DryingCurve | None
    loss_bound_pct: float | None
    on: tuple[CureDay, ...]
    until: Until | None
    promise: WetTarget | None
    practice: Practice
    notes: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class ScheduledBatch:
    """A batch in the calendar."""

    key: str
    name: str
    number: int
    of_count: int
    mould: str
    moulds_count: int
    release_name: str | None
    dates: BatchDays


@dataclass(frozen=True, kw_only=True)
class Load:
    """How much of something is taken on its fullest day."""

    key: str
    name: str
    most_count: int
    of_count: int
    date: str


@dataclass(frozen=True, kw_only=True)
class Schedule(Reply):
    """Reply of `schedules`."""

    batches: tuple[ScheduledBatch, ...]
    fullest: tuple[Load, ...]
    objective: str
    proven_optimal: bool
    stamp: str
    notes: tuple[str, ...]


T = typing.TypeVar("T")


@cache
def _hints(kind: Any) -> dict[str, Any]:
    return typing.get_type_hints(kind)


def read(kind: type[T], data: Mapping[str, Any]) -> T:
    """A result of a JSON object.

    Parameters
    ----------
    kind : type
        One of the results above. [class]
    data : mapping
        The JSON object. [as in JSON]

    Returns
    -------
    kind : what it does not name stays in `raw`

    Raises
    ------
    KeyError : something it needs is missing.
    """
    hints = _hints(typing.cast(Any, kind))
    known: dict[str, Any] = {}
    for entry in dataclasses.fields(typing.cast(Any, kind)):
        if entry.name == "raw":
            known["raw"] = data
        elif entry.name in data:
            known[entry.name] = _value(hints[entry.name], data[entry.name])
        elif entry.default is dataclasses.MISSING and entry.default_factory is dataclasses.MISSING:
            if type(None) not in typing.get_args(hints[entry.name]):
                raise KeyError(entry.name)
            known[entry.name] = None
    return kind(**known)


def _value(hint: Any, value: Any) -> Any:
    if typing.get_origin(hint) in (typing.Union, types.UnionType):
        if value is None:
            return None
        hint = next(part for part in typing.get_args(hint) if part is not type(None))
    if typing.get_origin(hint) is tuple:
        return tuple(_value(typing.get_args(hint)[0], item) for item in value)
    return read(hint, value) if isinstance(hint, type) and dataclasses.is_dataclass(hint) else value
