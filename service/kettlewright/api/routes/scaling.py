"""POST /v1/scaling."""

from __future__ import annotations

from typing import Any

from kettlewright import plan
from kettlewright.api.door.operations import operation
from kettlewright.api.routes.lye import SOURCES_OF_LYE
from kettlewright.api.schemas.envelope import answer
from kettlewright.api.schemas.scaling import ScalingRequest, ScalingResponse
from kettlewright.plan import Target
from kettlewright.recipe import Recipe, Scale

__all__ = ["scaling"]


@operation("POST", "/v1/scaling", name="scaling", group="recipe", takes=ScalingRequest, gives=ScalingResponse,
           summary="A recipe at another size",
           description="Fats and acids are multiplied by one factor. Alkali and water are computed again, never "
           "scaled. Fats are rounded down to the step of the scale, so that the pour does not overfill.")
def scaling(recipe: Recipe, target: Target, scale: Scale, **more: Any) -> object:
    """A recipe at another size (the loaded request)."""
    found = plan.scale_recipe(recipe, target, scale, **more)
    return answer("scaling", found.lye.cautions, sources=SOURCES_OF_LYE, more_sources=found.lye.lye.sources,
                  factor=found.factor, recipe=found.recipe, lye=found.lye, workings=found.lye.workings or None)
