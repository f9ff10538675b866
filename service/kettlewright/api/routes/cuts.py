"""POST /v1/cuts."""

from __future__ import annotations

from typing import Any

from kettlewright import cautions as caution_texts
from kettlewright.api.door.operations import Face, operation
from kettlewright.api.schemas.cuts import CutsRequest, CutsResponse
from kettlewright.api.schemas.envelope import answer
from kettlewright.pour import BarCut, Block, cut_block
from kettlewright.views import cut_plan

__all__ = ["cuts"]


@operation("POST", "/v1/cuts", name="cuts", group="pour", heavy=True, takes=CutsRequest, gives=CutsResponse,
           summary="A block cut into loaves and bars",
           description="How many bars, their size, where to cut, the mass of a bar within the tolerance of the cut, "
           "and every offcut. Bars, offcuts, kerf and shavings add up to the block.",
           faces={"svg": Face("image/svg+xml", cut_plan)})
def cuts(block: Block, bar: BarCut, **more: Any) -> object:
    """A block cut into loaves and bars (the loaded request)."""
    found = cut_block(block, bar, **more)
    return answer("cuts", caution_texts.of_cuts(found), block=found.block, loaves=found.loaves, bars=found.bars,
                  offcuts=found.offcuts, kerf_mass_g=found.kerf_mass_g, shavings_mass_g=found.shavings_mass_g,
                  rebatch=found.rebatch, kinds=found.kinds, turned=found.turned,
                  volume_yield_pct=found.volume_yield_pct, positions=found.positions)
