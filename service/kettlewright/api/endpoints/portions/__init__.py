"""POST /v1/portions."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kettlewright import plan
from kettlewright.api.door.operations import Face, operation
from kettlewright.api.endpoints.portions.request import BUCKET_KEYS, PortionsRequest
from kettlewright.api.endpoints.portions.response import PortionsResponse
from kettlewright.api.links import Key, by_address, values_of
from kettlewright.api.parts.envelope import answer
from kettlewright.api.parts.moulds import mould_summary
from kettlewright.api.parts.scales import SCALE_KEY
from kettlewright.api.parts.units import UNITS_KEY
from kettlewright.pour import Batter, Portion
from kettlewright.recipe import Scale
from kettlewright.views import portions_section

__all__ = ["portions"]


@operation("POST", "/v1/portions", name="portions", group="pour", heavy=True, request=PortionsRequest,
           response=PortionsResponse,
           main_table="portions", summary="What goes into each bucket",
           description="Divides a batter: plain batter, additions and powders to weigh, and the position of each "
           "layer. The weighings add up to the pot less its residue, rounded down to the step of the scale.",
           faces={"svg": Face("image/svg+xml", portions_section)})
def portions(batter: Batter, portions: Sequence[Portion], scale: Scale, **more: Any) -> object:
    """What goes into each bucket (the loaded request)."""
    found = plan.plan_portions(batter, portions, scale, **more)
    mould = found.division.mould
    return answer("portions", found.cautions, sources=("own_density_rules",), result=found,
                  arrangement=more.get("arrangement", "layers"),
                  filled=None if mould is None else mould_summary(mould))


by_address(
    "portions",
    Key(name="batter", into=("batter",), example="mass:5000,density:1,fats_mass:3500", about="The batter before any "
        "addition"),
    *BUCKET_KEYS, *values_of(PortionsRequest, "arrangement", "expected_loss_pct", "locale"), SCALE_KEY, UNITS_KEY)
