"""POST /v1/moulds."""

from __future__ import annotations

from kettlewright.api.operations import Face, operation
from kettlewright.api.schemas.envelope import answer
from kettlewright.api.schemas.moulds import MouldsReply, MouldsRequest
from kettlewright.errors import gather
from kettlewright.pour import Mould, fill_mould
from kettlewright.views import mould_section

__all__ = ["moulds"]


@operation("POST", "/v1/moulds", name="moulds", takes=MouldsRequest, gives=MouldsReply, summary="What a mould holds",
           description="Volume and surfaces up to the headspace and to the rim, and how high a volume, a mass or a "
           "depth stands. Volumes, masses and areas are over all cavities, depths and heights in each.",
           faces={"svg": Face("image/svg+xml", mould_section)})
def moulds(mould: Mould, fill: dict[str, float] | None = None) -> object:
    """What a mould holds (the loaded request)."""
    with gather() as checks, checks.at("fill"):
        filled = None if fill is None else fill_mould(mould, **fill)
    return answer("moulds", mould=mould, areas=mould.areas, fill=filled)
