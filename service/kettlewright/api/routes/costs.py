"""POST /v1/costs."""

from __future__ import annotations

from typing import Any

from kettlewright import plan
from kettlewright.api.door.operations import operation
from kettlewright.api.schemas.costs import CostsRequest, CostsResponse, cost_told
from kettlewright.api.schemas.envelope import answer
from kettlewright.errors import gather
from kettlewright.release import CostOptions, CostRow

__all__ = ["costs"]


@operation("POST", "/v1/costs", name="costs", group="release", heavy=True, takes=CostsRequest, gives=CostsResponse,
           summary="What a batch and a bar cost, and what a bar must sell for",
           description="A batch as at /v1/batches, or its ingredients as rows, with the prices of the packs you buy, "
           "packaging, work, overhead and losses. An ingredient without a price is named and never counts as free. "
           "Margin (of the net price) and markup (on the cost) are separate; tax and shop fees are added so that your "
           "margin is left. You must know the rates and duties: local law and a bookkeeper decide.")
def costs(prices: CostOptions, rows: list[CostRow] | None = None, **batch: Any) -> object:
    """What a batch costs (the loaded request)."""
    planned = None if rows is not None else plan.plan_batch(**batch)
    with gather() as checks, checks.at("prices"):
        found = plan.plan_cost(planned, prices) if planned is not None else plan.plan_cost_of_rows(
            tuple(rows or ()), prices)
    grave = () if planned is None else tuple(one for one in planned.cautions if one.severity == "danger")
    return answer("costs", (*grave, *found.cautions), sources=("iso_4217",), cost=cost_told(found.cost))
