"""POST /v1/rebatches."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from kettlewright import cautions as caution_texts
from kettlewright import plan
from kettlewright.actuals import PourSettings, ReportedWeighing, as_made, plan_actuals
from kettlewright.api.door.operations import operation
from kettlewright.api.endpoints.batches import NO_FIGURE_DEPENDS_ON
from kettlewright.api.endpoints.rebatches.request import RebatchesRequest
from kettlewright.api.endpoints.rebatches.response import RebatchesResponse
from kettlewright.api.parts.answer_pages import add_page
from kettlewright.api.parts.envelope import answer
from kettlewright.api.parts.lye import SOURCES_OF_LYE
from kettlewright.api.parts.moulds import mould_summary
from kettlewright.copies import replace
from kettlewright.errors import Unsolvable, gather
from kettlewright.identity import identity_of
from kettlewright.plan import OffcutOptions, Offcuts, Plan, check_batches
from kettlewright.pour import Mould, Residue
from kettlewright.recipe import Scale
from kettlewright.reference import DATA_VERSION
from kettlewright.release import BatchDates, DateOptions, LabelOptions, batch_dates

__all__ = ["rebatches"]

_NOT_OF_THE_SOAP = ("title", "maker", "notes", "batch_number", "dates", "label", "prices", "resolved", "compare_to",
                    "workings", "cut")


@operation("POST", "/v1/rebatches", name="rebatches", group="pour", heavy=True, named_by_body=True,
           request=RebatchesRequest, response=RebatchesResponse, main_table="offcuts",
           summary="Offcuts and shavings of known batches, melted down",
           description="Liquid to add, mould fill, loss, superfat, ingredients and allergens of the mixture. Only soap "
           "whose plan you have: lye-heavy soap stays dangerous when it is melted.")
def rebatches(offcuts: Sequence[tuple[Mapping[str, Any], Sequence[ReportedWeighing], OffcutOptions]], mould: Mould,
              scale: Scale, label: LabelOptions, request_body: Mapping[str, Any], dates: DateOptions | None = None,
              **more: Any) -> object:
    """Offcuts melted down (the loaded request)."""
    check_batches((body.get("portions", ()), body.get("additions", ())) for body, _, _ in offcuts)
    soaps: list[Offcuts] = []
    when: BatchDates | None = None
    with gather() as checks:
        for index, (body, weighed, options) in enumerate(offcuts):
            with checks.at("offcuts", index):
                soaps.append(Offcuts(_made(body, weighed), options))
        with checks.at("dates"):
            when = None if dates is None else batch_dates(dates)
    label = replace(label, sold_on=label.sold_on or (None if when is None else when.release.isoformat()))
    found = plan.plan_rebatch(soaps, mould, scale, label=label, **more)
    bodies = [one["plan"] for one in request_body["offcuts"]]
    sources = (*SOURCES_OF_LYE, *(found.labels[0].market.sources if found.labels else ()),
               *(() if when is None else ("iso_8601", "cure_practice")))
    return answer(
        "rebatches", (*found.cautions, *(caution_texts.of_label(found.labels[0]) if found.labels else ())),
        sources=dict.fromkeys(sources),
        more_sources=dict.fromkeys(source for one in soaps for source in one.plan.lye.sources), result=found,
        offcuts=[{"identity": identity_of(body, DATA_VERSION, leave_out=NO_FIGURE_DEPENDS_ON), "mass_g": one.mass_g,
                  "fresh_mass_g": one.fresh_mass_g, "water": one.water, "superfat": one.superfat}
                 for body, one in zip(bodies, found.soaps, strict=True)],
        additions=found.poured.division.additions, mould=mould_summary(mould, found.fill),
        labels=found.labels or None, dates=when)


def _made(body: Mapping[str, Any], weighed: Sequence[ReportedWeighing]) -> Plan:
    """A batch as planned, or as it was weighed."""
    figures = {name: value for name, value in body.items() if name not in _NOT_OF_THE_SOAP}
    with gather() as checks, checks.at("plan"):
        planned = plan.plan_batch(**figures)
    if not weighed:
        return planned
    found = plan_actuals(planned, "poured", weighed, settings=PourSettings(
        figures.get("residue") or Residue(), figures.get("overflow_mould"), figures.get("batter_density")))
    if found.pour.division is None:
        raise Unsolvable(found.pour.reason, field=("weighed",))
    return as_made(planned, found)


add_page("rebatches")
