"""POST /v1/costs."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kettlewright import limits, plan
from kettlewright.api.door.fields import Mass, Text
from kettlewright.api.door.operations import operation
from kettlewright.api.door.strict import ListOf, Part, Strict
from kettlewright.api.endpoints.batches.request import PlannedRequest
from kettlewright.api.parts.coop import has_packs
from kettlewright.api.parts.costs import INGREDIENTS_MAX, CostOfBatch, PricesInput, cost_result
from kettlewright.api.parts.envelope import GOVERNING, BaseResponse, answer
from kettlewright.api.parts.moulds import MouldInput
from kettlewright.api.parts.own_fats import fat_key_if_known
from kettlewright.api.parts.recipe import RecipeInput
from kettlewright.errors import DomainError, DomainErrors, Missing, gather
from kettlewright.names import slug
from kettlewright.release import CostOptions, CostRow

__all__ = ["CostsRequest", "CostsResponse", "costs"]


class CostRowInput(Strict):
    """An ingredient by mass, where there is no recipe to plan."""

    key = Text(about="Key of its price; default a slug of the name", example="olive")
    name = Text(required=True, about="Name", example="olive oil")
    mass_g = Mass(required=True, bounds=limits.MASS, about="How much goes into the batch", example=500)

    @staticmethod
    def builds(name: str, mass_g: float, key: str | None = None) -> CostRow:
        """A row of the batch."""
        return CostRow(key or slug(fat_key_if_known(name)), name, mass_g)


class CostsRequest(PlannedRequest):
    """A batch as at /v1/batches, or its ingredients as rows; and prices."""

    recipe = Part(RecipeInput, about="By share: the mould gives the size. By mass: it must fit")
    mould = MouldInput()
    rows = ListOf(Part(CostRowInput), at_least=1, at_most=INGREDIENTS_MAX, about="In place of recipe and mould: what "
                  "goes into the batch")
    prices = Part(PricesInput, required=True, about="Prices, packaging, work, losses, and how a bar is to be priced")

    def completed(self, body: Mapping[str, Any], *, at: str = "") -> Mapping[str, Any]:
        """The body; where the co-op has prices, `prices` may be left out (`body`, `at`)."""
        found = super().completed(body, at=at)
        return {"prices": {}, **found} if has_packs() else found

    def build(self, data: dict[str, Any]) -> Any:
        """Either a batch or rows (`data`)."""
        if "rows" in data:
            of_a_batch = [name for name in data if name not in ("rows", "prices", "scale", *GOVERNING)]
            if of_a_batch:
                raise DomainErrors([DomainError(f'"{name}" belongs to a batch that is planned; give the batch or '
                                                '"rows", not both.', field=(name,)) for name in of_a_batch])
        else:
            with gather() as checks:
                for name in ("recipe", "mould"):
                    with checks.at(name):
                        if name not in data:
                            raise Missing(f'{name} is required, or "rows" in place of recipe and mould.')
        return super().build(data)


class CostsResponse(BaseResponse):
    """What a batch and a bar cost."""

    cost = Part(CostOfBatch, about="The cost")


@operation("POST", "/v1/costs", name="costs", group="release", heavy=True, request=CostsRequest, response=CostsResponse,
           main_table="cost.ingredients", summary="What a batch and a bar cost, and what a bar must sell for",
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
    return answer("costs", (*grave, *found.cautions), sources=("iso_4217",), cost=cost_result(found.cost))

