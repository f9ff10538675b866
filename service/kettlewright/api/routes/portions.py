"""POST /v1/portions."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kettlewright import plan
from kettlewright.api.operations import operation
from kettlewright.api.schemas.envelope import answer
from kettlewright.api.schemas.portions import PortionsReply, PortionsRequest
from kettlewright.pour import Batter, Portion
from kettlewright.recipe import Scale

__all__ = ["portions"]


@operation("POST", "/v1/portions", name="portions", takes=PortionsRequest, gives=PortionsReply,
           summary="What goes into each bucket",
           description="A batter shared out: plain batter, additions and powders to weigh, and where each layer lies. "
           "The weighings add up to the pot less its residue, rounded down to the step of the scale.")
def portions(batter: Batter, portions: Sequence[Portion], scale: Scale, **more: Any) -> object:
    """What goes into each bucket (the loaded request)."""
    found = plan.plan_portions(batter, portions, scale, **more)
    return answer("portions", found.cautions, sources=("own_density_rules",), division=found.division)
