"""POST /v1/batches: JSON, or by Accept or format= the sheet (HTML), the cut face (SVG) and the days (iCalendar)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from kettlewright import __version__, plan
from kettlewright.api.door.operations import Face, operation, operation_by_link
from kettlewright.api.endpoints.batches.request import BatchesRequest
from kettlewright.api.endpoints.batches.response import BatchesResponse
from kettlewright.api.endpoints.cuts import cut_keys
from kettlewright.api.endpoints.fades import SOURCES_OF_FADES
from kettlewright.api.endpoints.portions.request import BUCKET_KEYS
from kettlewright.api.links import BatchReader, Link, link_of_plan, values_of
from kettlewright.api.parts.coop import current_coop
from kettlewright.api.parts.costs import cost_result
from kettlewright.api.parts.dates import DATES_KEYS
from kettlewright.api.parts.envelope import answer
from kettlewright.api.parts.labels import note_names
from kettlewright.api.parts.lye import SOURCES_OF_LYE
from kettlewright.api.parts.moulds import mould_summary
from kettlewright.api.parts.recipe import recipe_keys
from kettlewright.api.parts.scales import SCALE_KEY
from kettlewright.api.parts.units import UNITS_KEY
from kettlewright.identity import identity_of
from kettlewright.plan import Plan, Resolved, ToSale
from kettlewright.pour import Mould
from kettlewright.recipe import Recipe, Scale
from kettlewright.reference import DATA_VERSION
from kettlewright.release import CostOptions, DateOptions, LabelOptions
from kettlewright.views import batch_calendar, batch_card, batch_sheet, cut_face, file_name, sheet_policy

__all__ = ["NO_FIGURE_DEPENDS_ON", "batches"]

NO_FIGURE_DEPENDS_ON = ("locale", "title", "maker", "notes", "workings", "resolved", "compare_to")


@operation("POST", "/v1/batches", name="batches", group="pour", heavy=True,
           request=BatchesRequest, response=BatchesResponse, named_by_body=True,
           summary="One whole batch: what to weigh, pour and cut, dates, label and cost",
           description="From a recipe and a mould to everything on the batch sheet. Fats by share are sized to fill "
           "the mould to its headspace. Fats by mass must fit; if they do not fill the mould, a caution says so. With "
           "\"resolved\": true the response has every value the plan rests on; send it as compare_to with a later "
           "request to see which of them have changed.",
           faces={"html": Face("text/html", batch_sheet, sheet_policy, batch_card),
                  "svg": Face("image/svg+xml", cut_face), "ics": Face("text/calendar", batch_calendar)},
           self_link=link_of_plan, file_name=file_name, many=True)
def batches(recipe: Recipe, mould: Mould, scale: Scale, request_body: Mapping[str, Any],
            title: str | None = None, maker: str | None = None, notes: Sequence[str] = (),
            batch_number: str | None = None,
            dates: DateOptions | None = None, label: LabelOptions | None = None, prices: CostOptions | None = None,
            resolved: bool = False, compare_to: Resolved | None = None, **more: Any) -> object:
    """One whole batch (the loaded request)."""
    found = plan.plan_batch(recipe, mould, scale, **more)
    sale = plan.plan_to_sale(found, dates=dates, label=label, prices=prices, batch_number=batch_number,
                             title=title)
    note_names(sale.label)
    priced = None if sale.cost is None else cost_result(sale.cost)
    identity = identity_of(request_body, DATA_VERSION, leave_out=NO_FIGURE_DEPENDS_ON)
    use = current_coop.get()
    values = None
    if resolved or compare_to is not None:
        values = plan.resolve(found, identity=identity, version=__version__, data_version=DATA_VERSION,
                              request=identity_of(request_body, "", leave_out=NO_FIGURE_DEPENDS_ON),
                              shared=frozenset() if use is None else use.values)
    return answer("batches", (*found.cautions, *sale.cautions), sources=_sources(found, sale),
                  more_sources=found.lye.sources, recipe=found.recipe,
                  stage={"lye": found.lye, "batter": found.batter}, vessels=found.vessels,
                  filled=mould_summary(mould, found.fill), arrangement=found.arrangement,
                  cuts=found.cuts, loss_for_limits_pct=found.division.loss_taken_pct,
                  loss_assumed=found.expected_loss_pct is None, weigh_list=found.weigh_list,
                  division=found.division, pieces=found.pieces, mixes=found.mixes, workings=found.workings or None,
                  bench=found.bench, bottles=found.bottles, fade=found.fade,
                  identity=identity, title=title, maker=maker, notes=notes or None, batch_number=batch_number,
                  dates=sale.dates, label=sale.label,
                  cost=priced, resolved=values,
                  comparison=None if compare_to is None or values is None else plan.compare(compare_to, values))


def _sources(found: Plan, sale: ToSale) -> tuple[str, ...]:
    keys = [*SOURCES_OF_LYE, *(SOURCES_OF_FADES if found.fade is not None else ())]
    if sale.dates is not None:
        keys += ["iso_8601", "cure_practice"]
    if sale.label is not None:
        keys += sale.label.market.sources
    if sale.cost is not None:
        keys.append("iso_4217")
    return tuple(dict.fromkeys(keys))


_LINK = Link("batches", BatchesRequest(), (
    *recipe_keys("recipe"), *BUCKET_KEYS, *cut_keys("cut"), *DATES_KEYS,
    *values_of(BatchesRequest, "arrangement", "expected_loss_pct", "batter_density", "pot_volume", "batch_number",
             "resolved", "workings", "locale"), SCALE_KEY, UNITS_KEY), always=("recipe",))
operation_by_link(
    "batches", BatchReader(_LINK), statuses=(413,),
    description="The whole body in `plan`, as in `links.self` of a response; or a key for each part, without label and "
    "prices. A browser shows the batch sheet. Anyone who has the link can read the recipe in it.")
