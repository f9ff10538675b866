"""Request of /v1/rebatches."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import ExitStack, contextmanager
from contextvars import ContextVar
from typing import Any

from kettlewright import limits
from kettlewright.api.door.checking import unchecked
from kettlewright.api.door.fields import Mass, Number, Text
from kettlewright.api.door.strict import ListOf, Part, Strict
from kettlewright.api.endpoints.actuals.request import WEIGHED_MAX, WeighedRowInput
from kettlewright.api.endpoints.batches.request import BatchesRequest
from kettlewright.api.endpoints.cuts import CutInput
from kettlewright.api.parts.additions import AdditionInput
from kettlewright.api.parts.coop import current_coop
from kettlewright.api.parts.dates import DatesInput
from kettlewright.api.parts.envelope import Request, governed
from kettlewright.api.parts.labels import LabelInput
from kettlewright.api.parts.moulds import MouldInput
from kettlewright.api.parts.scales import ScaleSteps
from kettlewright.languages import current_locale
from kettlewright.plan import MeltingLiquid, OffcutOptions

__all__ = ["RebatchesRequest"]


_BATCHES = BatchesRequest()
_OWN_FATS: Any = _BATCHES.load_fields["own_fats"]


_plan: ContextVar[Mapping[str, Any]] = ContextVar("plan_of_offcuts")


@contextmanager
def _governed_by_plan() -> Iterator[None]:
    """Units and own fats of the plan of the offcuts hold, as when it was sent alone."""
    given = _plan.get()
    with ExitStack() as stack:
        with unchecked():
            stack.enter_context(governed(units=given.get("units"), locale=current_locale.get(),
                                         own_fats=given.get("own_fats"), own_fats_max=_OWN_FATS.at_most))
        yield


class _PlanOfBatch(Part):
    """A plan inside a request."""

    def _deserialize(self, value: Any, attr: str | None, data: Any, partial: Any = None, **more: Any) -> Any:
        with _governed_by_plan():
            return super()._deserialize(value, attr, data, partial, **more)


class _RowsOfPlan(ListOf):
    """Rows in the units of the plan beside them."""

    def _deserialize(self, value: Any, attr: str | None, data: Any, **more: Any) -> list[Any]:
        with _governed_by_plan():
            return super()._deserialize(value, attr, data, **more)


class OffcutsInput(Strict):
    """Offcuts or shavings of one batch, and how dry they are."""

    exactly_one = (("days", "lost_pct"),)

    plan = _PlanOfBatch(BatchesRequest, required=True, about="Body of /v1/batches, as it was sent")
    weighed = _RowsOfPlan(Part(WeighedRowInput), at_most=WEIGHED_MAX, about="Rows weighed otherwise than planned")
    portion = Text(about="Portion they were cut from; default the whole batch", example="slate")
    mass_g = Mass(required=True, bounds=limits.MASS, about="What they weigh now", example=420)
    days = Number(bounds=limits.DRYING_DAY, about="Since the pour; the water left is estimated from them", unit="days",
                  example=20)
    lost_pct = Number(bounds=limits.LOSS_PCT, about="Loss so far: weigh a piece fresh and again now", unit="%",
                      example=6)

    def _deserialize(self, data: Any, **more: Any) -> Any:
        """Load as usual, but let the fields know the plan."""
        plan = data.get("plan") if isinstance(data, dict) else None
        token = _plan.set(plan if isinstance(plan, dict) else {})
        try:
            return super()._deserialize(data, **more)
        finally:
            _plan.reset(token)

    def build(self, data: dict[str, Any]) -> Any:
        """Plan, weighings and the offcuts themselves (`data`)."""
        return data.pop("plan"), data.pop("weighed", []), OffcutOptions(**data)


class MeltingLiquidInput(Strict):
    """Liquid to melt them with."""

    at_most_one = (("mass", "pct_of_offcuts"),)
    builds = MeltingLiquid

    name = Text(about="Default water", example="oat milk")
    mass_g = Mass(bounds=limits.KEEPS_BACK, about="Its mass", example=90)
    pct_of_offcuts = Number(bounds=limits.PART_PCT, about="Or its share", unit="% of the offcuts", example=15)
    water_pct = Number(bounds=limits.PART_PCT, about="Water in it; needed unless it is water", unit="% by mass",
                       example=90)


class RebatchesRequest(Request):
    """Offcuts of known batches, to be melted down."""

    offcuts = ListOf(Part(OffcutsInput), required=True, at_least=1, at_most=limits.OFFCUTS_MAX, about="Batch by batch")
    mould = MouldInput(required=True)
    label = Part(LabelInput, required=True, about="The market, and what you want on the label")
    liquid = Part(MeltingLiquidInput, about="Default water, in the usual amount")
    additions = ListOf(Part(AdditionInput), at_most=limits.ADDITIONS_MAX, about="Stirred into the melted soap. Doses "
                       "count its mass as batter and the fats in it as fats. Oil in an addition gets no alkali")
    residue_g = Mass(bounds=limits.KEEPS_BACK, about="Sticks to the pot; default 0", example=15)
    melting_loss_pct = Number(bounds=limits.LOSS_PCT, about="Evaporates while it melts; default 1 to 6 (common "
                              "practice, no source)", unit="% of the pot", example=3)
    expected_loss_pct = Number(bounds=limits.LOSS_PCT, about="Loss in cure", unit="% of a bar as cut", example=9)
    cut = Part(CutInput, about="How the block is cut; for a box mould")
    dates = Part(DatesInput, about="From the day of the release or of the pour")
    scale = Part(ScaleSteps, about="Steps of the scales")

    def completed(self, body: Mapping[str, Any], *, at: str = "") -> Mapping[str, Any]:
        """The body and each of its plans with what they refer to in the co-op's folder (`body`, `at`)."""
        found = super().completed(body, at=at)
        offcuts = found.get("offcuts")
        if current_coop.get() is None or not isinstance(offcuts, list):
            return found
        return {**found, "offcuts": [
            {**one, "plan": _BATCHES.completed(one["plan"], at=f"{at}/offcuts/{index}/plan")}
            if isinstance(one, dict) and isinstance(one.get("plan"), dict) else one
            for index, one in enumerate(offcuts)]}
