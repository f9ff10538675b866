"""POST /v1/batches: JSON, or by Accept or format= the batch sheet (HTML) and the cut face (SVG)."""

from __future__ import annotations

from typing import Any

from kettlewright import plan
from kettlewright.api.links import link_of_plan
from kettlewright.api.operations import Face, operation
from kettlewright.api.routes.fades import SOURCES_OF_FADES
from kettlewright.api.routes.lye import SOURCES_OF_LYE
from kettlewright.api.schemas.batches import BatchesReply, BatchesRequest
from kettlewright.api.schemas.envelope import answer
from kettlewright.pour import Mould
from kettlewright.recipe import Recipe, Scale
from kettlewright.views import batch_sheet, cut_face, sheet_policy

__all__ = ["batches"]


@operation("POST", "/v1/batches", name="batches", takes=BatchesRequest, gives=BatchesReply,
           summary="One whole batch: what to weigh, pour and cut",
           description="From a recipe and a mould to everything on the batch sheet. Fats by share are sized to fill "
           "the mould to its headspace; fats by mass must fit, and a mould they do not fill is told as a caution.",
           faces={"html": Face("text/html", batch_sheet, sheet_policy), "svg": Face("image/svg+xml", cut_face)},
           self_link=link_of_plan)
def batches(recipe: Recipe, mould: Mould, scale: Scale, **more: Any) -> object:
    """One whole batch (the loaded request)."""
    found = plan.plan_batch(recipe, mould, scale, **more)
    return answer("batches", found.cautions, sources=SOURCES_OF_LYE + (SOURCES_OF_FADES if found.fade else ()),
                  more_sources=found.lye.sources, recipe=found.recipe,
                  stage={"lye": found.lye, "batter": found.batter}, vessels=found.vessels,
                  filled={"mould": mould, "areas": mould.areas, "fill": found.fill}, arrangement=found.arrangement,
                  cuts=found.cuts, loss_for_limits_pct=found.division.loss_pct, weigh_list=found.weigh_list,
                  division=found.division, pieces=found.pieces, mixes=found.mixes, workings=found.workings or None,
                  bench=found.bench, fade=None if found.fade is None else {"fade": found.fade})
