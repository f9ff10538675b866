"""POST /v1/lye."""

from __future__ import annotations

from typing import Any, ClassVar

from kettlewright import limits, plan
from kettlewright.api.door.fields import Flag, Number
from kettlewright.api.door.operations import Face, operation
from kettlewright.api.door.strict import ListOf, Part
from kettlewright.api.links import by_address, values_of
from kettlewright.api.parts.envelope import BaseResponse, Request, answer
from kettlewright.api.parts.lye import SOURCES_OF_LYE, LyeResult, Working
from kettlewright.api.parts.own_fats import OwnFatInput
from kettlewright.api.parts.recipe import RECIPE_FIELDS, RecipeInput, recipe_keys
from kettlewright.api.parts.scales import SCALE_KEY, ScaleSteps
from kettlewright.api.parts.units import UNITS_KEY
from kettlewright.recipe import Recipe, Scale
from kettlewright.views import lye_page, sheet_policy

__all__ = ["LyeRequest", "LyeResponse", "lye"]


class LyeRequest(RecipeInput, Request):
    """A recipe by masses, at top level."""

    scale = Part(ScaleSteps, about="Steps of the scales")
    batter_density = Number(bounds=limits.ADDITION_DENSITY, about="Measured by you; overrides the estimate",
                            unit="g/mL", example=0.99)
    expected_loss_pct = Number(bounds=limits.LOSS_PCT, about="Loss in cure, as a share of the mass of a whole bar as "
                               "cut: for the total fatty matter of the cured bar", unit="%", example=11)
    workings = Flag(about="The calculation of the lye line by line, in grams", example=True)
    own_fats = ListOf(Part(OwnFatInput), at_most=200, about="Fats of your own; the recipe names them by their keys")

    @staticmethod
    def builds(**given: Any) -> dict[str, Any]:
        """The recipe of its fields, and the rest beside it."""
        recipe = {name: given.pop(name) for name in RECIPE_FIELDS if name in given}
        return {**given, "recipe": Recipe(**recipe)}


class LyeResponse(BaseResponse, LyeResult):
    """Everything of one recipe."""

    omitted: ClassVar[tuple[str, ...]] = ("workings", "mixing")

    workings = ListOf(Part(Working), about="The calculation line by line, if requested")


@operation("POST", "/v1/lye", name="lye", group="recipe", request=LyeRequest, response=LyeResponse,
           summary="What to weigh for a recipe",
           description="Alkali, water and acids for fats by mass; the superfat and its ranges; the lye, the soap and "
           "the batter. `mass` is exact, `weigh` is what the scale shows. Alkali is computed from the weighed fats and "
           "rounded down, so the superfat is never below the one you set.",
           faces={"html": Face("text/html", lye_page, sheet_policy)})
def lye(recipe: Recipe, scale: Scale, **more: Any) -> object:
    """What to weigh for a recipe (the loaded request)."""
    found = plan.plan_lye(recipe, scale, **more)
    return answer("lye", found.cautions, sources=SOURCES_OF_LYE, more_sources=found.lye.sources, result=found,
                  workings=found.workings or None)


by_address(
    "lye",
    *recipe_keys(), *values_of(LyeRequest, "batter_density", "expected_loss_pct", "workings", "locale"), SCALE_KEY,
    UNITS_KEY)
