"""Reply of `batches`. Written by `make contract` from openapi.yaml; do not edit."""

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Literal, overload

from kettlewright_client.behaviour import BatchMethods, MoneyMethods
from kettlewright_client.generated.results.cure import DatesWithNotes
from kettlewright_client.generated.results.cuts import CutsOfBatch, MassRange
from kettlewright_client.generated.results.fades import FadeOfBatch
from kettlewright_client.generated.results.lye import LyeCore, Vessels, WeighListRow, WorkingLine
from kettlewright_client.generated.results.moulds import MouldSummary
from kettlewright_client.generated.results.portions import Division, KeptBack, Overflow
from kettlewright_client.generated.results.shared import Reply
from kettlewright_client.record import Record

if TYPE_CHECKING:
    from kettlewright_client.generated.inputs import RecipeInput

__all__ = ["Allergen", "AllergensByList", "BarLabel", "Batch", "BatchCore", "Bottle", "CavityPieces", "ChosenList",
           "Comparison", "CostOfBatch", "CostParts", "Cup", "GoodBars", "Ingredient", "IngredientCost", "LabelDraft",
           "LabelElement", "LeftOutSpray", "Links", "MissingName", "Mixes", "Money", "Moved", "NetQuantity",
           "PortionCost", "ResolvedValue", "ResolvedValues", "SellingPriceResult", "Unpriced"]


@dataclass(frozen=True, kw_only=True, repr=False)
class Cup(Record):
    """`cups[]` of `Bottle` (In pour order, the pot first)."""

    portion: str | None = None
    """Key of the portion it is for; left out for the pot."""

    name: str
    """Name of portion or pot."""

    weigh: float
    """On the scale. Unit: `units.dose`, g if not set."""

    diluted: bool
    """Weighed of its dilution."""

    count: int
    """Equal cups, one a mix. Unit: cups."""

    if TYPE_CHECKING:
        def need(self, part: Literal["portion"]) -> str: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class Bottle(Record):
    """`set_out[]` of `BatchCore` (Cups of dyes, scents, powders and dispersions to weigh before any lye, bottle by
    bottle).
    """

    kind: str
    """As in the weigh list. One of dispersion, addition, dusting, spray."""

    key: str
    """Key."""

    name: str
    """Name."""

    form: str | None = None
    """What it holds."""

    lot: str | None = None
    """Lot number."""

    total: float
    """Of all cups, undiluted. Unit: `units.dose`, g if not set."""

    step: float
    """Step of its scale. Unit: `units.dose`, g if not set."""

    cups: tuple[Cup, ...]
    """In pour order, the pot first."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["form"]) -> str: ...
        @overload
        def need(self, part: Literal["lot"]) -> str: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class CavityPieces(Record):
    """`pieces` of `BatchCore` (Without a cut: one piece for each cavity)."""

    count: int
    """How many. Unit: pieces."""

    mass: float
    """Wet, of one, where all are filled alike. Unit: `units.mass`, g if not set."""

    cured_mass: float | None
    """After the loss in cure; null if that is not given. Unit: `units.mass`, g if not set."""

    if TYPE_CHECKING:
        def need(self, part: Literal["cured_mass"]) -> float: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class Mixes(Record):
    """`mixes` of `BatchCore` (Where pot_volume is given)."""

    count: int
    """How many. Unit: mixes."""

    batter_mass: float
    """Fresh batter of one mix, before additions. Unit: `units.mass`, g if not set."""

    pot_mass: float
    """All that is in the pot of one mix, additions included. Unit: `units.mass`, g if not set."""

    weigh_list: tuple[WeighListRow, ...]
    """For each mix: jug and pot, with the alkali for the fats of this mix. `count` mixes make the whole batch."""


@dataclass(frozen=True, kw_only=True, repr=False)
class BatchCore(Division):
    """Fields that several objects have."""

    recipe: "RecipeInput" = field(hash=False)
    """At the size made, unrounded."""

    lye: LyeCore
    """What to weigh for the pot and the jug, as at /v1/lye."""

    vessels: Vessels
    """The smallest pot, additions included, and jug; of one mix where there are several."""

    mould: MouldSummary
    """The mould and how far it is filled, as at /v1/moulds."""

    arrangement: str
    """How the portions lie. One of layers, columns, mingled, separate."""

    cuts: CutsOfBatch | None
    """How the block is cut, as at /v1/cuts; null without a cut."""

    loss_for_limits_pct: float
    """Loss in cure used for limits, allergens and net quantity: expected_loss_pct, else all the water of batter and
    additions. Unit: % of a bar as cut.
    """

    loss_assumed: bool
    """No expected_loss_pct was given: all the water is assumed lost, and cautions on limits are stricter than they need
    be.
    """

    weigh_list: tuple[WeighListRow, ...]
    """Everything to weigh, in bench order."""

    set_out: tuple[Bottle, ...]
    """Cups of dyes, scents, powders and dispersions to weigh before any lye, bottle by bottle."""

    pieces: CavityPieces | None = None
    """Without a cut: one piece for each cavity."""

    mixes: Mixes | None = None
    """Where pot_volume is given."""

    fade: FadeOfBatch | None = None
    """If requested: its colours, and how to make each bucket darker."""

    workings: tuple[WorkingLine, ...] = ()
    """Of the lye, line by line, if requested."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["overflow"]) -> Overflow: ...
        @overload
        def need(self, part: Literal["kept_back"]) -> KeptBack: ...
        @overload
        def need(self, part: Literal["cuts"]) -> CutsOfBatch: ...
        @overload
        def need(self, part: Literal["pieces"]) -> CavityPieces: ...
        @overload
        def need(self, part: Literal["mixes"]) -> Mixes: ...
        @overload
        def need(self, part: Literal["fade"]) -> FadeOfBatch: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class Ingredient(Record):
    """`ingredients[]` of `BarLabel` (The list, line by line; shares are of the most numerous bars)."""

    name: str
    """As printed."""

    share_pct: float
    """As added; of an allergen, which is a part of the scent, the same. Unit: % by mass."""

    group: str
    """In falling order; below 1 %, in any order; or colourants, last in any order. One of ordered, any_order,
    colourants.
    """

    role: str
    """What it is on the list. One of ingredient, perfume, allergen, colourant."""

    named_by: str
    """Where the name comes from: you, the table, the law, your own word because no label name is known, or the
    operator's data folder. One of you, table, market, fallback, coop.
    """

    made_of: tuple[str, ...]
    """Your words for what it is made from."""

    notes: tuple[str, ...]
    """What to know about it."""

    doubts: tuple[str, ...]
    """Why something in it is listed as added although you requested its salt."""

    colour_status: str | None = None
    """Of a colourant: stated as permitted by you, listed in our table, not listed there, or not shown as permitted. One
    of stated, listed, not_listed, not_shown.
    """

    if TYPE_CHECKING:
        def need(self, part: Literal["colour_status"]) -> str: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class Allergen(Record):
    """`allergens[]` of `BarLabel` (Every listed allergen in these bars)."""

    name: str
    """On a label."""

    concentration_pct: float
    """In the bar with the most of it, on its lowest, cured mass. Unit: % by mass."""

    limit_pct: float
    """Named above this. Unit: % by mass."""

    above_limit: bool
    """Whether it is above the limit."""

    lists: tuple[str, ...]
    """Lists it is on. One of long, first_26."""

    prohibited: bool
    """No longer allowed in cosmetics in the EU and in Great Britain."""


@dataclass(frozen=True, kw_only=True, repr=False)
class AllergensByList(Record):
    """`by_list[]` of `BarLabel` (What each list would name; empty if no list binds)."""

    list: str
    """Which list. One of long, first_26."""

    names: tuple[str, ...]
    """What it names on this label."""


@dataclass(frozen=True, kw_only=True, repr=False)
class NetQuantity(Record):
    """`net_quantity` of `BarLabel` (Null if the mass of a bar is not known)."""

    promise: float
    """Net quantity on the label, which the bars must meet: yours, else what every bar contains; rounded down. Unit:
    `units.mass`, g if not set.
    """

    asked: bool
    """Given by you."""

    text: str | None = None
    """As printed, in the units of the market, rounded down; absent if that is zero."""

    every_bar: float
    """What the lightest bar contains, rounded down. Unit: `units.mass`, g if not set."""

    largest: float
    """Largest net quantity that the rules of the market allow, rounded down. Unit: `units.mass`, g if not set."""

    largest_text: str | None = None
    """The same as printed."""

    tolerance: float
    """How far a bar may fall short of the promise. Unit: `units.mass`, g if not set."""

    provenance: str
    """How the tolerance is known. One of read, second_hand, memory, computed, own_decision."""

    source: str
    """Source of the tolerance."""

    mass: MassRange
    """Of one bar on the day of packing."""

    short_share_pct: float
    """Bars that weigh less than the promise, an estimate. Unit: % of bars."""

    beyond_share_pct: float
    """Bars short by more than the tolerance, an estimate. Unit: % of bars."""

    short_count: int
    """The first, rounded up. Unit: bars."""

    beyond_count: int
    """The second, rounded up. Unit: bars."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["text"]) -> str: ...
        @overload
        def need(self, part: Literal["largest_text"]) -> str: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class BarLabel(Record):
    """`labels[]` of `LabelDraft` (One for each ingredient list that differs)."""

    count: int | None
    """How many; null if it is not known. Unit: bars."""

    where: tuple[str, ...]
    """Which bars."""

    holds: tuple[str, ...]
    """Keys of the portions in them."""

    text: str
    """The list as printed."""

    ingredients: tuple[Ingredient, ...]
    """The list, line by line; shares are of the most numerous bars."""

    declared: tuple[str, ...]
    """Allergens named in it."""

    allergens: tuple[Allergen, ...]
    """Every listed allergen in these bars."""

    by_list: tuple[AllergensByList, ...]
    """What each list would name; empty if no list binds."""

    net_quantity: NetQuantity | None
    """Null if the mass of a bar is not known."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["count"]) -> int: ...
        @overload
        def need(self, part: Literal["net_quantity"]) -> NetQuantity: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class ChosenList(Record):
    """`allergen_list` of `LabelDraft` (The list of allergens used)."""

    key: str
    """Which list. One of long, first_26, none."""

    message: str
    """Why."""


@dataclass(frozen=True, kw_only=True, repr=False)
class LabelElement(Record):
    """`elements[]` of `LabelDraft` (What else is on the label)."""

    key: str
    """Key."""

    name: str
    """What it is."""

    required: str
    """Always, if there is any, or unless it is obvious. One of always, if_any, unless_clear."""

    text: str | None
    """As printed; null if not given."""

    if TYPE_CHECKING:
        def need(self, part: Literal["text"]) -> str: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class MissingName(Record):
    """`missing[]` of `LabelDraft` (What is still missing)."""

    key: str
    """Which element."""

    message: str
    """What to do."""


@dataclass(frozen=True, kw_only=True, repr=False)
class LeftOutSpray(Record):
    """`left_out[]` of `LabelDraft` (What is used but not on the list)."""

    name: str
    """What."""

    message: str
    """Why."""


@dataclass(frozen=True, kw_only=True, repr=False)
class LabelDraft(Record):
    """`label` of `Batch` (If requested), and 3 more."""

    title: str | None = None
    """Title of the batch."""

    market: str
    """Where it is sold. One of EU, GB, US."""

    naming: str
    """As added or as reacted. One of as_added, as_reacted."""

    labels: tuple[BarLabel, ...]
    """One for each ingredient list that differs."""

    allergen_list: ChosenList
    """The list of allergens used."""

    elements: tuple[LabelElement, ...]
    """What else is on the label."""

    missing: tuple[MissingName, ...]
    """What is still missing."""

    left_out: tuple[LeftOutSpray, ...]
    """What is used but not on the list."""

    loss_pct: float
    """Loss in cure that was used. Unit: % of the bar as poured."""

    loss_assumed: bool
    """No loss was given: all water is assumed lost."""

    soap_part_pct: float
    """Salts of fatty acids in the mass without water, over the whole batch. Unit: % by mass."""

    sold_as: str | None = None
    """United States: as given. One of soap, cosmetic."""

    message: str | None = None
    """United States: what follows from soap or cosmetic."""

    steps_outside: tuple[str, ...]
    """What else you have to do before you sell."""

    notes: tuple[str, ...]
    """What to know, and how certain it is."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["title"]) -> str: ...
        @overload
        def need(self, part: Literal["sold_as"]) -> str: ...
        @overload
        def need(self, part: Literal["message"]) -> str: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class Unpriced(Record):
    """`missing[]` of `CostOfBatch` (What had no price)."""

    key: str
    """Its key."""

    name: str
    """Its name."""

    mass: float
    """As weighed. Unit: `units.mass`, g if not set."""


@dataclass(frozen=True, kw_only=True, repr=False)
class Money(MoneyMethods, Record):
    """`cost` of `IngredientCost` (Of it), and 29 more."""

    amount: str
    """Amount, as decimal text."""

    currency: str
    """ISO 4217."""


@dataclass(frozen=True, kw_only=True, repr=False)
class IngredientCost(Record):
    """`ingredients[]` of `CostOfBatch` (The dearest first)."""

    key: str
    """Its key."""

    name: str
    """Its name."""

    mass: float
    """As weighed. Unit: `units.mass`, g if not set."""

    cost: Money
    """Of it."""

    share_pct: float
    """Of all ingredients. Unit: % of their cost."""


@dataclass(frozen=True, kw_only=True, repr=False)
class PortionCost(Record):
    """`portions[]` of `CostOfBatch` (The dearest first; empty for rows)."""

    key: str
    """Of the portion."""

    name: str
    """Its name."""

    cost: Money
    """Of its ingredients."""

    share_pct: float
    """Of all ingredients. Unit: % of their cost."""


@dataclass(frozen=True, kw_only=True, repr=False)
class CostParts(Record):
    """`batch` of `CostOfBatch` (Of the batch), and 1 more."""

    ingredients: Money
    """Everything that goes in and has a price."""

    packaging: Money
    """Of the bars that are sold."""

    labour: Money
    """Work."""

    overhead: Money
    """On these three."""

    total: Money
    """All of it."""


@dataclass(frozen=True, kw_only=True, repr=False)
class GoodBars(Record):
    """`bars` of `CostOfBatch` (Bars that carry the cost)."""

    made: float
    """Cut, or one per cavity. Unit: bars."""

    broken: float
    """Broken or failed. Unit: bars."""

    kept_back: float
    """Good, but not sold. Unit: bars."""

    good: float
    """Sold; they carry the cost of all. Unit: bars."""


@dataclass(frozen=True, kw_only=True, repr=False)
class SellingPriceResult(Record):
    """`selling[]` of `CostOfBatch` (By margin, by markup, or both; empty if not requested, or if a price is missing).
    """

    by: str
    """What you gave. One of margin, markup."""

    asked_pct: float
    """Of it. Unit: % of net price, or % of cost."""

    net_exact: Money
    """The net price that leaves exactly that."""

    tag: Money
    """On the tag: with tax if it is included, without if it is added on top."""

    gross: Money
    """What the customer pays for the bar."""

    net: Money
    """Without tax."""

    sales_tax: Money
    """Tax in the gross price."""

    fees: Money
    """Fees of shop and card, and the bar's share of the fee for the order."""

    cost: Money
    """Of the bar."""

    profit: Money
    """What is left; below 0 a loss."""

    margin_pct: float | None
    """What the tag really leaves; null if the price is 0. Unit: % of net price."""

    markup_pct: float | None
    """The same; null if the bar costs nothing. Unit: % of cost."""

    batch_gross: Money
    """What customers pay for all good bars of a batch."""

    batch_profit: Money
    """What is left of it."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["margin_pct"]) -> float: ...
        @overload
        def need(self, part: Literal["markup_pct"]) -> float: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class CostOfBatch(Record):
    """`cost` of `Batch` (If prices were given), and 2 more."""

    currency: str
    """Of every amount, ISO 4217."""

    complete: bool
    """Everything had a price; else the cost is too low, and no selling price is given."""

    missing: tuple[Unpriced, ...]
    """What had no price."""

    ingredients: tuple[IngredientCost, ...]
    """The dearest first."""

    portions: tuple[PortionCost, ...]
    """The dearest first; empty for rows."""

    residue: Money | None = None
    """Ingredients that stay behind in the pot; left out for rows."""

    batch: CostParts
    """Of the batch."""

    bar: CostParts
    """Of one bar that is sold."""

    bars: GoodBars
    """Bars that carry the cost."""

    selling: tuple[SellingPriceResult, ...]
    """By margin, by markup, or both; empty if not requested, or if a price is missing."""

    if TYPE_CHECKING:
        def need(self, part: Literal["residue"]) -> Money: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class ResolvedValue(Record):
    """`lines[]` of `ResolvedValues` (In the order of the work)."""

    what: str
    """Dotted name of the value."""

    value: float
    """In the unit of the line, whatever the units of the request. Unit: unit of the line."""

    unit: str
    """Its unit. One of g, mL, mm, g/mL, mg KOH/g, %, % of the bar as cut, bars."""

    rests_on: str
    """Request: as given; table: of the tables; assumed: given nowhere; computed: follows from the others; coop: of the
    operator's data folder. One of request, table, assumed, computed, coop.
    """


@dataclass(frozen=True, kw_only=True, repr=False)
class ResolvedValues(Record):
    """`resolved` of `Batch` (With "resolved": true or compare_to: every value the plan rests on. Keep it to compare a
    plan made years later with this one).
    """

    identity: str
    """Of this plan."""

    request: str
    """Of its request alone, whatever the data."""

    version: str
    """Version of the service."""

    data_version: str
    """Version of the tables."""

    lines: tuple[ResolvedValue, ...]
    """In the order of the work."""


@dataclass(frozen=True, kw_only=True, repr=False)
class Moved(Record):
    """`moved[]` of `Comparison` (Values that changed, in the order of the work)."""

    what: str
    """Dotted name of the value."""

    unit: str
    """Its unit. One of g, mL, mm, g/mL, mg KOH/g, %, % of the bar as cut, bars."""

    then: float | None
    """In the earlier plan; null if it had none. Unit: unit of the line."""

    now: float | None
    """In this one; null if it has none. Unit: unit of the line."""

    message: str
    """Why it changed."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["then"]) -> float: ...
        @overload
        def need(self, part: Literal["now"]) -> float: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class Comparison(Record):
    """`comparison` of `Batch` (If compare_to was given: what changed, and why)."""

    identity: str
    """Of the earlier plan."""

    message: str
    """Whether request and tables are the same, in words."""

    moved: tuple[Moved, ...]
    """Values that changed, in the order of the work."""

    unmoved_count: int
    """Values that did not change. Unit: values."""


@dataclass(frozen=True, kw_only=True, repr=False)
class Links(Record):
    """`links` of `Batch` (This plan as an address: GET opens it again, in a browser as the batch sheet)."""

    self: str | None = None
    """Of this plan, relative to the service. It contains the whole body: anyone who has the link can read the recipe.
    Absent if it would be too long.
    """

    message: str | None = None
    """Why there is none."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["self"]) -> str: ...
        @overload
        def need(self, part: Literal["message"]) -> str: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class Batch(BatchMethods, Reply, BatchCore):
    """Reply of `batches`: one whole batch: what to weigh, pour and cut, dates, label and cost."""

    identity: str
    """Short digest of the request and the data: the same plan has the same identity on any machine. locale, title,
    maker, notes, workings and compare_to do not count.
    """

    title: str | None = None
    """As given."""

    maker: str | None = None
    """As given."""

    notes: tuple[str, ...] = ()
    """As given."""

    batch_number: str | None = None
    """As given."""

    dates: DatesWithNotes | None = None
    """If requested."""

    label: LabelDraft | None = None
    """If requested."""

    cost: CostOfBatch | None = None
    """If prices were given."""

    resolved: ResolvedValues | None = None
    """With "resolved": true or compare_to: every value the plan rests on. Keep it to compare a plan made years later
    with this one.
    """

    comparison: Comparison | None = None
    """If compare_to was given: what changed, and why."""

    links: Links
    """This plan as an address: GET opens it again, in a browser as the batch sheet."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["overflow"]) -> Overflow: ...
        @overload
        def need(self, part: Literal["kept_back"]) -> KeptBack: ...
        @overload
        def need(self, part: Literal["cuts"]) -> CutsOfBatch: ...
        @overload
        def need(self, part: Literal["pieces"]) -> CavityPieces: ...
        @overload
        def need(self, part: Literal["mixes"]) -> Mixes: ...
        @overload
        def need(self, part: Literal["fade"]) -> FadeOfBatch: ...
        @overload
        def need(self, part: Literal["title"]) -> str: ...
        @overload
        def need(self, part: Literal["maker"]) -> str: ...
        @overload
        def need(self, part: Literal["batch_number"]) -> str: ...
        @overload
        def need(self, part: Literal["dates"]) -> DatesWithNotes: ...
        @overload
        def need(self, part: Literal["label"]) -> LabelDraft: ...
        @overload
        def need(self, part: Literal["cost"]) -> CostOfBatch: ...
        @overload
        def need(self, part: Literal["resolved"]) -> ResolvedValues: ...
        @overload
        def need(self, part: Literal["comparison"]) -> Comparison: ...
        def need(self, part: str) -> Any: ...
