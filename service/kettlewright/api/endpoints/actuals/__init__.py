"""POST /v1/batches/actuals."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kettlewright import cautions
from kettlewright.actuals import (
    BatchRecord,
    PourSettings,
    RecordOptions,
    Remedy,
    Step,
    cost_of_remedy,
    plan_actuals,
    record_of,
)
from kettlewright.api.door.operations import Face, operation
from kettlewright.api.endpoints.actuals.request import ActualsRequest
from kettlewright.api.endpoints.actuals.response import ActualsResponse
from kettlewright.api.endpoints.batches import NO_FIGURE_DEPENDS_ON
from kettlewright.api.parts.coop import current_coop
from kettlewright.api.parts.costs import cost_result
from kettlewright.api.parts.envelope import answer
from kettlewright.api.parts.labels import note_names
from kettlewright.api.parts.lye import SOURCES_OF_LYE
from kettlewright.errors import DomainError, gather
from kettlewright.identity import find_data_version, identity_of
from kettlewright.languages import in_english
from kettlewright.plan import plan_batch
from kettlewright.pour import Residue, batter_of
from kettlewright.reference import DATA_VERSION
from kettlewright.release import CostOptions
from kettlewright.units import current_units
from kettlewright.views import batch_record, file_name, sheet_policy

__all__ = ["actuals"]

_TO_SALE = ("title", "maker", "notes", "batch_number", "dates", "label", "prices", "resolved",
            "compare_to")  # they change no mass


def _file_name(reply: Mapping[str, Any]) -> str:
    """Of the record, which has an identity of its own (`reply`). [text]"""
    return file_name(reply["record"])


@operation("POST", "/v1/batches/actuals", name="actuals", group="pour", heavy=True,
           request=ActualsRequest, response=ActualsResponse, named_by_body=True,
           main_table="difference", faces={"html": Face("text/html", batch_record, sheet_policy)}, file_name=_file_name,
           summary="What was really weighed so far: the batch as it is, and what to do next",
           description="Send the body of /v1/batches again with the identity from its response, the stage, and the "
           "rows you weighed. The service plans the batch again with your weighings. You get its superfat with ranges, "
           "the differences from the plan, what to weigh from here on, and the next action: new alkali while the lye "
           "is not made, part of the lye once it is, fat to add in the pot, new layers, bars and drying. Never pour a "
           "lye-heavy batch. As HTML it is the record of the batch, to print and sign; as CSV, the weighings "
           "row by row.")
def actuals(plan: Mapping[str, Any], identity: str, stage: str, request_body: Mapping[str, Any],
            data_version: str | None = None, record: RecordOptions | None = None, **more: Any) -> object:
    """What a batch really is (the loaded request)."""
    _check_identity(identity, request_body["plan"], data_version)
    body = {name: value for name, value in plan.items() if name not in _TO_SALE}
    with gather() as checks, checks.at("plan"):
        planned = plan_batch(**body)
    density = body.get("batter_density")
    prices = plan.get("prices")
    found = plan_actuals(planned, stage, settings=PourSettings(
        body.get("residue") or Residue(), body.get("overflow_mould"), density), **more)
    made = record_of(planned, found, record or RecordOptions(), prices=prices, write=in_english, **{
        name: plan.get(name) for name in ("dates", "label", "batch_number", "title")})
    note_names(made.label)
    of_record = _record(made, plan, request_body)
    step, after = found.step, found.step.after
    cured = found.cured
    return answer(
        "actuals", (*found.cautions, *(() if made.label is None else cautions.of_label(made.label))),
        sources=(*SOURCES_OF_LYE, *(() if cured is None else ("first_order_drying",)), *_sources(made)),
        more_sources=planned.lye.sources, identity=identity, stage=stage,
        next_action={**_action(step), "missing": step.missing or None,
                     "otherwise": None if step.otherwise is None else _action(step.otherwise)},
        as_weighed={"lye": found.lye, "batter": found.batter},
        after=None if after is None else {"lye": after, "batter": batter_of(after, measured_density=density)},
        remedies=[_remedy(one, prices) for one in found.remedies], difference=found.differences,
        assumed_as_planned=found.assumed,
        record=of_record, still_to_weigh=found.still_to_weigh, pour=found.pour, bars=found.bars,
        drying=None if cured is None else {"curve": None if cured.drying is None else cured,
                                           "loss_bound_pct": cured.bound_pct, "notes": cured.notes})


def _action(step: Step) -> dict[str, Any]:
    return {"what": step.what, "key": step.key, "weigh_g": step.weigh_g, "unit": current_units.get().mass,
            "text": step.text}


def _sources(made: BatchRecord) -> tuple[str, ...]:
    return (*(() if made.dates is None else ("iso_8601", "cure_practice")),
            *(() if made.label is None else made.label.market.sources), *(() if made.cost is None else ("iso_4217",)))


def _record(made: BatchRecord, plan: Mapping[str, Any], request_body: Mapping[str, Any]) -> dict[str, Any]:
    planned = {name: value for name, value in request_body["plan"].items() if name not in NO_FIGURE_DEPENDS_ON}
    options = made.options
    return {"identity": identity_of({**request_body, "plan": planned}, DATA_VERSION, leave_out=("locale",)),
            "title": plan.get("title"), "batch_number": plan.get("batch_number"), "made_on": options.made_on,
            "made_by": options.made_by or plan.get("maker"), "checked_by": options.checked_by,
            "corrections": options.corrections,
            "complete": made.complete, "dates": made.dates, "label": made.label,
            "cost": None if made.cost is None else cost_result(made.cost), "notes": made.notes}


def _remedy(one: Remedy, prices: CostOptions | None) -> dict[str, Any]:
    return {"what": one.what, "text": one.text, "rows": one.rows, "after": one.after, "discarded_g": one.discarded_g,
            "cost": cost_of_remedy(one, prices)}


def _check_identity(identity: str, request_body: Mapping[str, Any], data_version: str | None) -> None:
    now = identity_of(request_body, DATA_VERSION, leave_out=NO_FIGURE_DEPENDS_ON)
    if identity == now:
        return
    other = find_data_version(identity, request_body, DATA_VERSION, stated=data_version, leave_out=NO_FIGURE_DEPENDS_ON)
    use = current_coop.get()
    if other is not None:
        why = f"the request is the same, but it was planned with data {other} and this service has {DATA_VERSION}. " \
              "Plan it again at /v1/batches (compare_to shows what changed) and send the new identity"
    elif use is not None and use.values:
        why = "this body refers to data of the co-op that have changed since. Put each value of meta.from_coop in " \
              "the response of /v1/batches into the plan, at its pointer; or plan it again and send the new identity"
    else:
        why = "this body is not the one it was planned with. Send that body exactly, or the identity that belongs to it"
    raise DomainError(f"The identity does not match the plan: you sent {identity}, this plan has {now}; {why}.",
                      field=("identity",), value=identity, allowed=now)

