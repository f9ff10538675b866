"""POST /v1/moulds."""

from __future__ import annotations

import math
from collections.abc import Sequence

from kettlewright.api.door.operations import Face, operation
from kettlewright.api.schemas.envelope import answer
from kettlewright.api.schemas.moulds import MouldsRequest, MouldsResponse
from kettlewright.errors import gather
from kettlewright.pour import Mould, MouldAtHand, best_filling, fill_mould
from kettlewright.views import mould_section

__all__ = ["moulds"]


@operation("POST", "/v1/moulds", name="moulds", group="pour", heavy=True, takes=MouldsRequest, gives=MouldsResponse,
           summary="What a mould holds",
           description="Volume and surfaces up to the headspace and to the rim, and the depth of a given volume or "
           "mass. Volumes, masses and areas are for all cavities together, depths and heights for each. With `moulds` "
           "and an `order` in place of `mould`: which of your moulds to fill, and how often.",
           faces={"svg": Face("image/svg+xml", mould_section)})
def moulds(mould: Mould | None = None, fill: dict[str, float] | None = None,
           moulds: Sequence[MouldAtHand] = (), order: float = 0.0, objective: str = "least_left_over") -> object:
    """What a mould holds, or which moulds meet an order (the loaded request)."""
    if mould is None:
        found = best_filling(moulds, order, objective)
        brim = math.fsum(use.times * one.mould.brim_volume_ml for use in found.uses for one in moulds
                         if one.key == use.key)
        return answer("moulds", mould={"volume_ml": found.volume_ml, "brim_volume_ml": brim, "profile": ()}, areas=None,
                      fill=None, filling=found)
    with gather() as checks, checks.at("fill"):
        filled = None if fill is None else fill_mould(mould, **fill)
    return answer("moulds", mould=mould, areas=mould.areas, fill=filled, filling=None)
