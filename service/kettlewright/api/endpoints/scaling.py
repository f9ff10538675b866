"""POST /v1/scaling."""

from __future__ import annotations

from types import MappingProxyType
from typing import Any

from kettlewright import limits, plan
from kettlewright.api.door.fields import Choice, Flag, Mass, Number, Text, Whole
from kettlewright.api.door.operations import operation
from kettlewright.api.door.responses import ResponsePart
from kettlewright.api.door.strict import ListOf, Part, Strict
from kettlewright.api.links import Key, by_address, values_of
from kettlewright.api.parts.additions import AdditionInput, ResidueInput, addition_key
from kettlewright.api.parts.envelope import BaseResponse, Request, answer
from kettlewright.api.parts.lye import SOURCES_OF_LYE, LyeResult, Working
from kettlewright.api.parts.moulds import MOULD_EXAMPLE, MouldInput
from kettlewright.api.parts.own_fats import OwnFatInput, fat_key_if_known
from kettlewright.api.parts.recipe import RecipeInput, recipe_keys
from kettlewright.api.parts.recipe_of_reply import RecipeAtNewSize
from kettlewright.api.parts.scales import SCALE_KEY, ScaleSteps
from kettlewright.api.parts.units import UNITS_KEY
from kettlewright.errors import DomainError
from kettlewright.plan import MouldTarget, Target
from kettlewright.pour import Residue
from kettlewright.recipe import BarsWanted, Limiting, Recipe, Scale

__all__ = ["Scaled", "ScalingRequest", "ScalingResponse", "scaling"]


class BarsInput(Strict):
    """A number of bars of a cured mass, cutting losses not counted."""

    builds = BarsWanted

    count = Whole(required=True, bounds=limits.BARS_COUNT, about="How many", unit="bars", example=48)
    mass_g = Mass(required=True, bounds=limits.MASS, about="Of one cured bar", example=110)
    expected_loss_pct = Number(required=True, bounds=limits.LOSS_PCT, about="Loss in cure, as a share of the mass of "
                               "a whole bar as cut", unit="%", example=11)


class LimitingInput(Strict):
    """All that is left of one thing."""

    kind = Choice(["fat", "alkali", "addition"], required=True, about="What it is")
    key = Text(required=True, about="Its key, or the slug of its name", example="shea")
    mass_g = Mass(required=True, bounds=limits.MASS, about="What is left of it, as bought", example=450)

    @staticmethod
    def builds(kind: str, key: str, mass_g: float) -> Limiting:
        """What is left; a fat by any of its names."""
        return Limiting(kind, fat_key_if_known(key) if kind == "fat" else key, mass_g)


class TargetInput(Strict):
    """A size, by exactly one of these; a mould may have a residue beside it."""

    exactly_one = (("factor", "fats_mass", "batter_mass", "mould", "bars", "limiting"),)
    needed_with = MappingProxyType({"residue": ("mould",)})

    factor = Number(bounds=limits.FACTOR, about="Multiplies the recipe; not for a recipe by shares",
                    unit="1", example=2)
    fats_mass_g = Mass(bounds=limits.MASS, about="All fats", example=3000)
    batter_mass_g = Mass(bounds=limits.MASS, about="All batter, before additions", example=4200)
    mould = MouldInput(about="A mould filled to its headspace")
    residue = Part(ResidueInput, about="With a mould: what stays behind")
    bars = Part(BarsInput, about="Bars of a cured mass")
    limiting = Part(LimitingInput, about="All that is left of one ingredient")

    @staticmethod
    def builds(**given: Any) -> Target:
        """A target; the mould and its residue are one."""
        residue = given.pop("residue", None)
        if "mould" in given:
            given["mould"] = MouldTarget(given["mould"], residue or Residue())
        elif residue is not None:
            raise DomainError('"residue" goes with a "mould" only.', field=("residue",))
        return Target(**given)


class ScalingRequest(Request):
    """A recipe and the size wanted."""

    recipe = Part(RecipeInput, required=True, about="By mass or by share")
    target = Part(TargetInput, required=True, about="The new size")
    additions = ListOf(Part(AdditionInput), at_most=limits.ADDITIONS_MAX, about="Of the whole batch: they take room in "
                       "a mould, and one of them may be the limiting ingredient")
    scale = Part(ScaleSteps, about="Steps of the scales")
    batter_density = Number(bounds=limits.ADDITION_DENSITY, about="Measured by you; overrides the estimate",
                            unit="g/mL", example=0.99)
    expected_loss_pct = Number(bounds=limits.LOSS_PCT, about="Loss in cure, as a share of the mass of a whole bar as "
                               "cut: for the total fatty matter of the cured bar", unit="%", example=11)
    workings = Flag(about="The calculation of the lye line by line, in grams", example=True)
    own_fats = ListOf(Part(OwnFatInput), at_most=200, about="Fats of your own; the recipe names them by their keys")


class Scaled(ResponsePart):
    """A recipe at a new size."""

    omitted = ("workings",)

    factor = Number(allow_none=True, about="How much larger; null for a recipe by shares", unit="1", example=2)
    recipe = Part(RecipeAtNewSize, about="At the new size, unrounded")
    lye = Part(LyeResult, about="Computed again for it")
    workings = ListOf(Part(Working), about="Line by line, if requested")


class ScalingResponse(BaseResponse, Scaled):
    """A recipe at a new size, with cautions and sources."""


@operation("POST", "/v1/scaling", name="scaling", group="recipe", request=ScalingRequest, response=ScalingResponse,
           main_table="lye.weigh_list", summary="A recipe at another size",
           description="Fats and acids are multiplied by one factor. Alkali and water are computed again, never "
           "scaled. Fats are rounded down to the step of the scale, so that the pour does not overfill.")
def scaling(recipe: Recipe, target: Target, scale: Scale, **more: Any) -> object:
    """A recipe at another size (the loaded request)."""
    found = plan.scale_recipe(recipe, target, scale, **more)
    return answer("scaling", found.lye.cautions, sources=SOURCES_OF_LYE, more_sources=found.lye.lye.sources,
                  result=found, workings=found.lye.workings or None)


by_address(
    "scaling",
    *recipe_keys("recipe"),
    *values_of(ScalingRequest, "factor", "fats_mass", "batter_mass", where=("target",)),
    Key(name="mould", into=("target", "mould"), head="shape", example=MOULD_EXAMPLE, about="Filled to its headspace"),
    Key(name="residue", into=("target", "residue"), example="pot:15", about="With a mould: what stays behind"),
    Key(name="bars", into=("target", "bars"), example="count:40,mass:110,expected_loss:11", about="Bars of a cured "
        "mass"),
    Key(name="limiting", into=("target", "limiting"), head="key", example="coconut,kind:fat,mass:450", about="All that "
        "is left of one ingredient"),
    addition_key(),
    *values_of(ScalingRequest, "batter_density", "expected_loss_pct", "workings", "locale"), SCALE_KEY, UNITS_KEY,
    always=("recipe", "target"))
