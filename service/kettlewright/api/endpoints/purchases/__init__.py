"""POST /v1/purchases."""

from __future__ import annotations

from typing import Any

from kettlewright import cautions, release
from kettlewright.api.door.operations import operation
from kettlewright.api.endpoints.purchases.request import PurchasesRequest
from kettlewright.api.endpoints.purchases.response import PurchasesResponse, purchases_result
from kettlewright.api.parts.coop import current_coop
from kettlewright.api.parts.envelope import answer
from kettlewright.release import Need, Pack

__all__ = ["purchases"]


@operation("POST", "/v1/purchases", name="purchases", group="release", heavy=True,
           request=PurchasesRequest, response=PurchasesResponse,
           main_table="ingredients.packs", summary="Which packs to buy for what you need",
           description="Needs, or weigh lists of batches, less what you have. An integer program finds the packs with "
           "the least cost; of equal costs those with the least left over, and of these the fewest. It includes the "
           "terms of suppliers (shipping, free shipping from, minimum order).")
def purchases(needs: list[Need], packs: list[Pack], times: list[int], **more: Any) -> object:
    """Which packs to buy (the loaded request)."""
    found = release.choose_purchases(needs, packs, **more)
    use = current_coop.get()
    if use is not None:
        use.note_packs(chosen.pack for one in found.ingredients for chosen in one.packs)
    without = [(one.key, one.name) for one in found.ingredients if one.without_packs]
    return answer("purchases", cautions.of_missing_packs(without, [pack.key for pack in packs]), sources=("iso_4217",),
                  **purchases_result(found, times))

