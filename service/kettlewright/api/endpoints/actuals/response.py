"""Response of /v1/batches/actuals."""

from __future__ import annotations

from typing import Any, ClassVar

from kettlewright.actuals import ACTIONS, REMEDIES, STAGES
from kettlewright.actuals import RemedyRow as Weighed
from kettlewright.actuals.rows import Difference
from kettlewright.actuals.steps import MissingRow
from kettlewright.api.door.fields import Choice, Day, Flag, Length, Mass, Number, Text, Whole
from kettlewright.api.door.responses import ResponsePart
from kettlewright.api.door.strict import ListOf, Part
from kettlewright.api.endpoints.cure import Curve
from kettlewright.api.endpoints.portions.response import PortionColumn, PortionLayer
from kettlewright.api.parts.costs import CostOfBatch
from kettlewright.api.parts.dates import DatesWithNotes
from kettlewright.api.parts.envelope import BaseResponse
from kettlewright.api.parts.labels import LabelDraft
from kettlewright.api.parts.lye import LyeCore, SuperfatOutcome
from kettlewright.api.parts.prices import MoneyAmount
from kettlewright.api.parts.ranges import MassRange, PctRange
from kettlewright.api.parts.weigh_list import WeighListRow, row_identity
from kettlewright.digits import nine_digits
from kettlewright.languages import translated
from kettlewright.units import OPTIONS, current_units, from_base
from kettlewright.weigh_list import KINDS, WHERES

__all__ = ["ActualsResponse"]

STATES = ("as_planned", "off", "not_told")


class MissingIngredient(ResponsePart):
    """An ingredient that was forgotten or weighed short; it names its own unit."""

    omitted = ("portion", "form", "lot")

    kind = Choice(KINDS, about="As in the weigh list", example="fat")
    where = Choice(WHERES, about="As in the weigh list", example="pot")
    portion = Text(about="As in the weigh list", example="deep_red")
    key = Text(about="As in the weigh list", example="shea")
    name = Text(about="Name", example="shea butter, unrefined")
    form = Text(about="As in the weigh list", example="98 % pure")
    lot = Text(about="As in the weigh list", example="L-7")
    put_in = Number(about="What is missing of it: planned less weighed", unit="in this row's unit", example=120)
    unit = Choice(["g", "kg", "oz", "lb"], about="Unit of this row")

    def dump(self, obj: Any, *, many: bool | None = None) -> Any:
        """One row, or several (`obj`, `many`), in their own units."""
        return [_missing(one) for one in obj] if many else _missing(obj)


def _missing(one: MissingRow) -> dict[str, Any]:
    row = one.row.row
    kind = "dose" if row.fine else "mass"
    return {**row_identity(row, lot=row.lot), "put_in": nine_digits(from_base(one.mass_g, kind)),
            "unit": getattr(current_units.get(), kind)}


class OtherAction(ResponsePart):
    """What to do where the missing masses cannot be put in."""

    what = Choice(ACTIONS, about="In one word")
    key = Text(allow_none=True, about="What is weighed for it; null if nothing is", example="lye")
    weigh_g = Mass(allow_none=True, about="How much of it; null if nothing is weighed", example=421)
    unit = Choice(list(OPTIONS["mass"]), about="Unit of weigh")
    message = Text(attribute="text", about="In words", example="Use 421 g of the 445.6 g of lye and leave 24.6 g.")


class NextAction(ResponsePart):
    """What to do next."""

    omitted: ClassVar[tuple[str, ...]] = ("missing", "otherwise")

    what = Choice(ACTIONS, about="In one word; do_not_pour and rebatch_or_discard if it is lye-heavy or not soap")
    key = Text(allow_none=True, about="What is weighed for it: a fat, an alkali, lye, or a portion; null if nothing "
               "is", example="olive")
    weigh_g = Mass(allow_none=True, about="How much of it; null if nothing is weighed", example=34)
    unit = Choice(list(OPTIONS["mass"]), about="Unit of weigh")
    message = Text(attribute="text", about="In words", example="Pour. The superfat is 5.02 %.")
    missing = ListOf(Part(MissingIngredient), about="If something was forgotten or is short: what to put in. `key` and "
                     "`weigh` are those of the first")
    otherwise = Part(OtherAction, about="If something is missing: what to do if you cannot put it in")


class AfterNextAction(ResponsePart):
    """The batch once the next action is done."""

    superfat = Part(SuperfatOutcome, attribute="lye.superfat", about="Superfat after it")
    batter_mass_g = Mass(attribute="batter.mass_g", about="Batter after it", example=1424)


class RemedyRow(ResponsePart):
    """Something to weigh for a remedy; it names its own unit."""

    key = Text(about="Key of a fat, an alkali, water ...; lye is what the jug contains", example="coconut")
    name = Text(about="Name", example="coconut oil")
    weigh = Number(about="How much", unit="in this row's unit", example=51)
    unit = Choice(["g", "kg", "oz", "lb"], about="Unit of this row")

    def dump(self, obj: Any, *, many: bool | None = None) -> Any:
        """One row, or several (`obj`, `many`), in their own units."""
        return [_remedy_row(one) for one in obj] if many else _remedy_row(obj)


def _remedy_row(one: Weighed) -> dict[str, Any]:
    kind = "dose" if one.fine else "mass"
    return {"key": one.key, "name": translated(one.name), "weigh": nine_digits(from_base(one.mass_g, kind)),
            "unit": getattr(current_units.get(), kind)}


class Remedy(ResponsePart):
    """One way to put the batch right."""

    what = Choice(REMEDIES, about="In one word; add_lye is a second, small lye")
    message = Text(attribute="text", about="In words", example="Put 51 g more of coconut oil into the pot.")
    weigh = ListOf(Part(RemedyRow), attribute="rows", about="What to weigh for it")
    achieved_pct = Number(signed=True, attribute="after.superfat.achieved_pct", about="Superfat after it",
                          unit="% of the fats' alkali", example=6.01)
    likely_pct = Part(PctRange, attribute="after.superfat.likely_pct", about="Its likely range")
    batter_mass_g = Mass(attribute="after.mass_g", about="Lye and fats after it", example=1490)
    left_over_mass_g = Mass(attribute="discarded_g", about="Lye that is left over", example=0)
    cost = Part(MoneyAmount, allow_none=True, about="Of what it adds; null if the plan has no price for it")


class WeighingDifference(ResponsePart):
    """A row beside what was weighed; it names its own unit."""

    omitted = ("portion", "form", "lot")

    kind = Choice(KINDS, about="As in the weigh list", example="fat")
    where = Choice(WHERES, about="As in the weigh list", example="pot")
    portion = Text(about="As in the weigh list", example="deep_red")
    key = Text(about="As in the weigh list", example="olive")
    name = Text(about="Name", example="olive oil (virgin, refined)")
    form = Text(about="As in the weigh list", example="98 % pure")
    lot = Text(about="Lot that was used, else the plan's; absent if there is none", example="L-7")
    planned = Number(about="By the weigh list", unit="in this row's unit", example=500)
    weighed = Number(allow_none=True, about="As given; null if not given, which counts as planned",
                     unit="in this row's unit", example=512)
    off = Number(allow_none=True, signed=True, about="Weighed less planned; null if not given",
                 unit="in this row's unit", example=12)
    off_pct = Number(allow_none=True, signed=True, about="The same of the planned; null if not given",
                     unit="% of planned", example=2.4)
    step = Number(about="Step of the scale it is weighed on", unit="in this row's unit", example=1)
    unit = Choice(["g", "kg", "oz", "lb"], about="Unit of this row")
    state = Choice(STATES, about="as_planned: within one step of the scale")

    def dump(self, obj: Any, *, many: bool | None = None) -> Any:
        """One row, or several (`obj`, `many`), in their own units."""
        return [_difference(one) for one in obj] if many else _difference(obj)


def _difference(one: Difference) -> dict[str, Any]:
    row = one.row
    kind = "dose" if row.fine else "mass"

    def in_unit(mass_g: float | None) -> float | None:
        return None if mass_g is None else nine_digits(from_base(mass_g, kind))

    return {**row_identity(row, lot=one.lot), "planned": in_unit(row.weigh_g),
            "weighed": in_unit(one.weighed_g), "off": in_unit(one.off_g),
            "off_pct": None if one.off_pct is None else nine_digits(one.off_pct), "step": in_unit(row.step_g),
            "unit": getattr(current_units.get(), kind), "state": one.state}


class ActualPortion(ResponsePart):
    """A bucket as it is, or as it will be."""

    omitted: ClassVar[tuple[str, ...]] = ("column",)

    key = Text(about="A slug of the name", example="deep_red")
    name = Text(about="Your name for it", example="deep red")
    told = Flag(attribute="was_weighed", about="Whether its bucket was weighed", example=False)
    planned_weigh_g = Mass(about="Plain batter by the plan", example=1596)
    weigh_g = Mass(about="Plain batter as weighed, or its part of what is left", example=1580)
    planned_layer = Part(PortionLayer, allow_none=True, about="Planned position; null if heights are not known")
    layer = Part(PortionLayer, allow_none=True, about="Where it is now; null if heights are not known")
    column = Part(PortionColumn, about="Where it is, between dividers in a box")


class ActualPour(ResponsePart):
    """How the batter that is there fills buckets and mould, once the next action is done."""

    portions = ListOf(Part(ActualPortion), about="In pour order; empty if it cannot be divided")
    in_pot_mass_g = Mass(attribute="in_pot_g", about="Batter and what is stirred into the pot", example=5320)
    remains_mass_g = Mass(attribute="remains_g", about="What stays in the pot", example=15)
    over_mass_g = Mass(attribute="over_g", about="What mould and overflow do not hold", example=0)
    missing_depth_mm = Length(allow_none=True, signed=True, about="From the top to the fill limit, negative if it is "
                              "above; null if heights are not known", example=0.1)


class BarsMade(ResponsePart):
    """Bars made beside bars planned."""

    planned_count = Whole(about="By the plan", unit="bars", example=45)
    count = Whole(about="Made", unit="bars", example=44)
    off_count = Whole(signed=True, about="Made less planned", unit="bars", example=-1)
    yield_pct = Number(about="Made, of the planned", unit="%", example=97.8)
    planned_mass = Part(MassRange, allow_none=True, about="What a bar may weigh fresh; null if not known")
    min_mass_g = Mass(attribute="min_g", allow_none=True, about="Of those weighed; null if none was", example=118)
    mean_mass_g = Mass(attribute="mean_g", allow_none=True, about="Of those weighed", example=124.2)
    max_mass_g = Mass(attribute="max_g", allow_none=True, about="Of those weighed", example=131)
    total_mass_g = Mass(attribute="total_g", allow_none=True, about="Of those weighed", example=5465)
    weighed_count = Whole(about="How many were weighed", unit="bars", example=44)
    outside_count = Whole(allow_none=True, about="Of them, lighter or heavier than the tolerances of the plan allow; "
                          "null if nothing can be said", unit="bars", example=0)


class Drying(ResponsePart):
    """How a bar dries."""

    curve = Part(Curve, about="Fitted to the weighings, as at /v1/cure")
    loss_bound_pct = Number(about="The most a bar can lose: all water of the batter as weighed", unit="% of the batter",
                            example=19.86)
    notes = ListOf(Text(example="Curing is not only drying."), about="What to know about it")


class CorrectionMade(ResponsePart):
    """Something that was put right."""

    what = Text(about="What was done", example="Stirred in 22 g of coconut oil.")
    reason = Text(about="Why", example="The scale showed 161.1 g of NaOH, 9 g over.")


class BatchRecord(ResponsePart):
    """The record of the batch as it was made."""

    omitted: ClassVar[tuple[str, ...]] = ("title", "batch_number", "made_on", "made_by", "checked_by", "dates", "label",
                                          "cost")

    identity = Text(about="Of this record: of the plan, the weighings and all that you gave", example="9QX4T-M2D7K")
    title = Text(about="Of the plan", example="Kiln Dusk")
    batch_number = Text(about="Of the plan", example="KD-27-03")
    made_on = Day(about="As given", example="2027-02-02")
    made_by = Text(about="As given, else the maker of the plan", example="A. Example")
    checked_by = Text(about="As given", example="B. Example")
    corrections = ListOf(Part(CorrectionMade), about="What was put right, and why")
    complete = Flag(about="The batch is poured and every row was reported", example=False)
    dates = Part(DatesWithNotes, about="From made_on, else as planned")
    label = Part(LabelDraft, about="From what was weighed, if the plan has a label and the batch is poured and may be "
                 "sold")
    cost = Part(CostOfBatch, about="From what was weighed, if the plan has prices and the batch is poured")
    notes = ListOf(Text(example="No label yet: the batch is not poured."), about="What is not in it, and why")


class ActualsResponse(BaseResponse):
    """What the batch really is, and the next thing to do."""

    omitted: ClassVar[tuple[str, ...]] = ("after", "bars", "drying")

    identity = Text(about="Of the plan", example="7KQ4D-X2M9F")
    stage = Choice(STAGES, about="As given")
    next_action = Part(NextAction, about="What to do next")
    as_weighed = Part(LyeCore, about="The batch as weighed, like `lye` at /v1/batches; what was not given counts as "
                      "planned. At stage fats, with the lye still to be made")
    after = Part(AfterNextAction, about="The batch after the next action, if that changes it")
    remedies = ListOf(Part(Remedy), about="Every remedy that would do, the best first: by the low end of the likely "
                      "superfat, up to the plan's, then by the lye left over. Empty if none is needed")
    difference = ListOf(Part(WeighingDifference), about="Rows of the weigh list so far, in bench order")
    assumed_as_planned = ListOf(Part(WeighListRow), about="Rows of the weigh list so far that were not reported: they "
                                "count as planned. Rows still to weigh are not among them")
    still_to_weigh = ListOf(Part(WeighListRow), about="Rows to come, with their new figures; they replace those of the "
                            "plan")
    pour = Part(ActualPour, about="Buckets and layers from the batter you have")
    bars = Part(BarsMade, about="If given")
    record = Part(BatchRecord, about="The record of the batch; as HTML it is a form to print and sign")
    drying = Part(Drying, about="If weighings in cure were given")

