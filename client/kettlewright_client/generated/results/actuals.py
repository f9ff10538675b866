"""Reply of `actuals`. Written by `make contract` from openapi.yaml; do not edit."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal, overload

from kettlewright_client.generated.results.batches import CostOfBatch, LabelDraft, Money
from kettlewright_client.generated.results.cure import Curve, DatesWithNotes
from kettlewright_client.generated.results.cuts import MassRange
from kettlewright_client.generated.results.lye import LyeCore, PctRange, SuperfatOutcome, WeighListRow
from kettlewright_client.generated.results.portions import PortionColumn, PortionLayer
from kettlewright_client.generated.results.shared import Reply
from kettlewright_client.record import Record

__all__ = ["ActualPortion", "ActualPour", "Actuals", "AfterNextAction", "BarsMade", "BatchRecord", "CorrectionMade",
           "Drying", "MissingIngredient", "NextAction", "OtherAction", "Remedy", "RemedyRow", "WeighingDifference"]


@dataclass(frozen=True, kw_only=True, repr=False)
class MissingIngredient(Record):
    """`missing[]` of `NextAction` (If something was forgotten or is short: what to put in. `key` and `weigh` are those
    of the first).
    """

    kind: str
    """As in the weigh list. One of water, ice, alkali, stock, acid, liquid, fat, addition, carrier, dispersion, batter,
    dusting, spray, kept_back.
    """

    where: str
    """As in the weigh list. One of jug, pot, jar, bucket, mould, aside."""

    portion: str | None = None
    """As in the weigh list."""

    key: str
    """As in the weigh list."""

    name: str
    """Name."""

    form: str | None = None
    """As in the weigh list."""

    lot: str | None = None
    """As in the weigh list."""

    put_in: float
    """What is missing of it: planned less weighed. Unit: in this row's unit."""

    unit: str
    """Unit of this row. One of g, kg, oz, lb."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["portion"]) -> str: ...
        @overload
        def need(self, part: Literal["form"]) -> str: ...
        @overload
        def need(self, part: Literal["lot"]) -> str: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class OtherAction(Record):
    """`otherwise` of `NextAction` (If something is missing: what to do if you cannot put it in)."""

    what: str
    """In one word. One of go_on, weigh, put_in_missing, use_part_of_lye, make_lye_anew, add_fat, pour, do_not_pour,
    hold_back, rebatch_or_discard.
    """

    key: str | None
    """What is weighed for it; null if nothing is."""

    weigh: float | None
    """How much of it; null if nothing is weighed. Unit: `units.mass`, g if not set."""

    unit: str
    """Unit of weigh. One of g, kg, oz, lb."""

    message: str
    """In words."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["key"]) -> str: ...
        @overload
        def need(self, part: Literal["weigh"]) -> float: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class NextAction(Record):
    """`next_action` of `Actuals` (What to do next)."""

    what: str
    """In one word; do_not_pour and rebatch_or_discard if it is lye-heavy or not soap. One of go_on, weigh,
    put_in_missing, use_part_of_lye, make_lye_anew, add_fat, pour, do_not_pour, hold_back, rebatch_or_discard.
    """

    key: str | None
    """What is weighed for it: a fat, an alkali, lye, or a portion; null if nothing is."""

    weigh: float | None
    """How much of it; null if nothing is weighed. Unit: `units.mass`, g if not set."""

    unit: str
    """Unit of weigh. One of g, kg, oz, lb."""

    message: str
    """In words."""

    missing: tuple[MissingIngredient, ...] = ()
    """If something was forgotten or is short: what to put in. `key` and `weigh` are those of the first."""

    otherwise: OtherAction | None = None
    """If something is missing: what to do if you cannot put it in."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["key"]) -> str: ...
        @overload
        def need(self, part: Literal["weigh"]) -> float: ...
        @overload
        def need(self, part: Literal["otherwise"]) -> OtherAction: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class AfterNextAction(Record):
    """`after` of `Actuals` (The batch after the next action, if that changes it)."""

    superfat: SuperfatOutcome
    """Superfat after it."""

    batter_mass: float
    """Batter after it. Unit: `units.mass`, g if not set."""


@dataclass(frozen=True, kw_only=True, repr=False)
class RemedyRow(Record):
    """`weigh[]` of `Remedy` (What to weigh for it)."""

    key: str
    """Key of a fat, an alkali, water ...; lye is what the jug contains."""

    name: str
    """Name."""

    weigh: float
    """How much. Unit: in this row's unit."""

    unit: str
    """Unit of this row. One of g, kg, oz, lb."""


@dataclass(frozen=True, kw_only=True, repr=False)
class Remedy(Record):
    """`remedies[]` of `Actuals` (Every remedy that would do, the best first: by the low end of the likely superfat, up
    to the plan's, then by the lye left over. Empty if none is needed).
    """

    what: str
    """In one word; add_lye is a second, small lye. One of put_in_missing, add_fat, use_part_of_lye, weigh_alkali,
    make_lye_anew, add_lye.
    """

    message: str
    """In words."""

    weigh: tuple[RemedyRow, ...]
    """What to weigh for it."""

    achieved_pct: float
    """Superfat after it. Unit: % of the fats' alkali."""

    likely_pct: PctRange
    """Its likely range."""

    batter_mass: float
    """Lye and fats after it. Unit: `units.mass`, g if not set."""

    left_over_mass: float
    """Lye that is left over. Unit: `units.mass`, g if not set."""

    cost: Money | None
    """Of what it adds; null if the plan has no price for it."""

    if TYPE_CHECKING:
        def need(self, part: Literal["cost"]) -> Money: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class WeighingDifference(Record):
    """`difference[]` of `Actuals` (Rows of the weigh list so far, in bench order)."""

    kind: str
    """As in the weigh list. One of water, ice, alkali, stock, acid, liquid, fat, addition, carrier, dispersion, batter,
    dusting, spray, kept_back.
    """

    where: str
    """As in the weigh list. One of jug, pot, jar, bucket, mould, aside."""

    portion: str | None = None
    """As in the weigh list."""

    key: str
    """As in the weigh list."""

    name: str
    """Name."""

    form: str | None = None
    """As in the weigh list."""

    lot: str | None = None
    """Lot that was used, else the plan's; absent if there is none."""

    planned: float
    """By the weigh list. Unit: in this row's unit."""

    weighed: float | None
    """As given; null if not given, which counts as planned. Unit: in this row's unit."""

    off: float | None
    """Weighed less planned; null if not given. Unit: in this row's unit."""

    off_pct: float | None
    """The same of the planned; null if not given. Unit: % of planned."""

    step: float
    """Step of the scale it is weighed on. Unit: in this row's unit."""

    unit: str
    """Unit of this row. One of g, kg, oz, lb."""

    state: str
    """as_planned: within one step of the scale. One of as_planned, off, not_told."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["portion"]) -> str: ...
        @overload
        def need(self, part: Literal["form"]) -> str: ...
        @overload
        def need(self, part: Literal["lot"]) -> str: ...
        @overload
        def need(self, part: Literal["weighed"]) -> float: ...
        @overload
        def need(self, part: Literal["off"]) -> float: ...
        @overload
        def need(self, part: Literal["off_pct"]) -> float: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class ActualPortion(Record):
    """`portions[]` of `ActualPour` (In pour order; empty if it cannot be divided)."""

    key: str
    """A slug of the name."""

    name: str
    """Your name for it."""

    told: bool
    """Whether its bucket was weighed."""

    planned_weigh: float
    """Plain batter by the plan. Unit: `units.mass`, g if not set."""

    weigh: float
    """Plain batter as weighed, or its part of what is left. Unit: `units.mass`, g if not set."""

    planned_layer: PortionLayer | None
    """Planned position; null if heights are not known."""

    layer: PortionLayer | None
    """Where it is now; null if heights are not known."""

    column: PortionColumn | None = None
    """Where it is, between dividers in a box."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["planned_layer"]) -> PortionLayer: ...
        @overload
        def need(self, part: Literal["layer"]) -> PortionLayer: ...
        @overload
        def need(self, part: Literal["column"]) -> PortionColumn: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class ActualPour(Record):
    """`pour` of `Actuals` (Buckets and layers from the batter you have)."""

    portions: tuple[ActualPortion, ...]
    """In pour order; empty if it cannot be divided."""

    in_pot_mass: float
    """Batter and what is stirred into the pot. Unit: `units.mass`, g if not set."""

    remains_mass: float
    """What stays in the pot. Unit: `units.mass`, g if not set."""

    over_mass: float
    """What mould and overflow do not hold. Unit: `units.mass`, g if not set."""

    missing_depth: float | None
    """From the top to the fill limit, negative if it is above; null if heights are not known. Unit: `units.length`, mm
    if not set.
    """

    if TYPE_CHECKING:
        def need(self, part: Literal["missing_depth"]) -> float: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class BarsMade(Record):
    """`bars` of `Actuals` (If given)."""

    planned_count: int
    """By the plan. Unit: bars."""

    count: int
    """Made. Unit: bars."""

    off_count: int
    """Made less planned. Unit: bars."""

    yield_pct: float
    """Made, of the planned. Unit: %."""

    planned_mass: MassRange | None
    """What a bar may weigh fresh; null if not known."""

    min_mass: float | None
    """Of those weighed; null if none was. Unit: `units.mass`, g if not set."""

    mean_mass: float | None
    """Of those weighed. Unit: `units.mass`, g if not set."""

    max_mass: float | None
    """Of those weighed. Unit: `units.mass`, g if not set."""

    total_mass: float | None
    """Of those weighed. Unit: `units.mass`, g if not set."""

    weighed_count: int
    """How many were weighed. Unit: bars."""

    outside_count: int | None
    """Of them, lighter or heavier than the tolerances of the plan allow; null if nothing can be said. Unit: bars."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["planned_mass"]) -> MassRange: ...
        @overload
        def need(self, part: Literal["min_mass"]) -> float: ...
        @overload
        def need(self, part: Literal["mean_mass"]) -> float: ...
        @overload
        def need(self, part: Literal["max_mass"]) -> float: ...
        @overload
        def need(self, part: Literal["total_mass"]) -> float: ...
        @overload
        def need(self, part: Literal["outside_count"]) -> int: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class CorrectionMade(Record):
    """`corrections[]` of `BatchRecord` (What was put right, and why)."""

    what: str
    """What was done."""

    reason: str
    """Why."""


@dataclass(frozen=True, kw_only=True, repr=False)
class BatchRecord(Record):
    """`record` of `Actuals` (The record of the batch; as HTML it is a form to print and sign)."""

    identity: str
    """Of this record: of the plan, the weighings and all that you gave."""

    title: str | None = None
    """Of the plan."""

    batch_number: str | None = None
    """Of the plan."""

    made_on: str | None = None
    """As given. A date such as 2027-03-20."""

    made_by: str | None = None
    """As given, else the maker of the plan."""

    checked_by: str | None = None
    """As given."""

    corrections: tuple[CorrectionMade, ...]
    """What was put right, and why."""

    complete: bool
    """The batch is poured and every row was reported."""

    dates: DatesWithNotes | None = None
    """From made_on, else as planned."""

    label: LabelDraft | None = None
    """From what was weighed, if the plan has a label and the batch is poured and may be sold."""

    cost: CostOfBatch | None = None
    """From what was weighed, if the plan has prices and the batch is poured."""

    notes: tuple[str, ...]
    """What is not in it, and why."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["title"]) -> str: ...
        @overload
        def need(self, part: Literal["batch_number"]) -> str: ...
        @overload
        def need(self, part: Literal["made_on"]) -> str: ...
        @overload
        def need(self, part: Literal["made_by"]) -> str: ...
        @overload
        def need(self, part: Literal["checked_by"]) -> str: ...
        @overload
        def need(self, part: Literal["dates"]) -> DatesWithNotes: ...
        @overload
        def need(self, part: Literal["label"]) -> LabelDraft: ...
        @overload
        def need(self, part: Literal["cost"]) -> CostOfBatch: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class Drying(Record):
    """`drying` of `Actuals` (If weighings in cure were given)."""

    curve: Curve
    """Fitted to the weighings, as at /v1/cure."""

    loss_bound_pct: float
    """The most a bar can lose: all water of the batter as weighed. Unit: % of the batter."""

    notes: tuple[str, ...]
    """What to know about it."""


@dataclass(frozen=True, kw_only=True, repr=False)
class Actuals(Reply):
    """Reply of `actuals`: what was really weighed so far: the batch as it is, and what to do next."""

    identity: str
    """Of the plan."""

    stage: str
    """As given. One of fats, lye_made, in_pot, poured, cut."""

    next_action: NextAction
    """What to do next."""

    as_weighed: LyeCore
    """The batch as weighed, like `lye` at /v1/batches; what was not given counts as planned. At stage fats, with the
    lye still to be made.
    """

    after: AfterNextAction | None = None
    """The batch after the next action, if that changes it."""

    remedies: tuple[Remedy, ...]
    """Every remedy that would do, the best first: by the low end of the likely superfat, up to the plan's, then by the
    lye left over. Empty if none is needed.
    """

    difference: tuple[WeighingDifference, ...]
    """Rows of the weigh list so far, in bench order."""

    assumed_as_planned: tuple[WeighListRow, ...]
    """Rows of the weigh list so far that were not reported: they count as planned. Rows still to weigh are not among
    them.
    """

    still_to_weigh: tuple[WeighListRow, ...]
    """Rows to come, with their new figures; they replace those of the plan."""

    pour: ActualPour
    """Buckets and layers from the batter you have."""

    bars: BarsMade | None = None
    """If given."""

    record: BatchRecord
    """The record of the batch; as HTML it is a form to print and sign."""

    drying: Drying | None = None
    """If weighings in cure were given."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["after"]) -> AfterNextAction: ...
        @overload
        def need(self, part: Literal["bars"]) -> BarsMade: ...
        @overload
        def need(self, part: Literal["drying"]) -> Drying: ...
        def need(self, part: str) -> Any: ...
