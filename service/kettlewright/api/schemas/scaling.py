"""Request and reply of /v1/scaling."""

from __future__ import annotations

from typing import Any

from kettlewright import limits
from kettlewright.api.fields import Choice, Dose, ListOf, Mass, Number, Part, Strict, Temperature, Text, Whole
from kettlewright.api.schemas.envelope import Answer, Request, ScaleSteps, Told, scale_of
from kettlewright.api.schemas.lye import LyeResult
from kettlewright.api.schemas.moulds import MouldAsked
from kettlewright.api.schemas.portions import ADDITIONS_MAX, AdditionAsked, ResidueAsked
from kettlewright.api.schemas.recipe import RecipeAsked
from kettlewright.errors import DomainError
from kettlewright.plan import MouldTarget, Target
from kettlewright.pour import Residue
from kettlewright.recipe import BarsWanted, Limiting

__all__ = ["RecipeTold", "ScaledTold", "ScalingReply", "ScalingRequest"]


class BarsAsked(Strict):
    """A number of bars of a cured mass, cutting losses not counted."""

    builds = BarsWanted

    count = Whole(required=True, bounds=limits.BARS_COUNT, about="How many", unit="bars", example=48)
    mass_g = Mass(required=True, bounds=limits.MASS, about="Of one cured bar", example=110)
    expected_loss_pct = Number(required=True, bounds=limits.LOSS_PCT, about="Loss in cure, of the batter's mass",
                               unit="%", example=11)


class LimitingAsked(Strict):
    """All that is left of one thing."""

    builds = Limiting

    kind = Choice(["fat", "alkali", "addition"], required=True, about="What it is")
    key = Text(required=True, about="Its key, or the slug of its name", example="shea")
    mass_g = Mass(required=True, bounds=limits.MASS, about="What is left of it, as bought", example=450)


class TargetAsked(Strict):
    """A size, by exactly one of these; a mould may have a residue beside it."""

    factor = Number(bounds=limits.FACTOR, about="Times the recipe; not for a recipe by shares", unit="1", example=2)
    fats_mass_g = Mass(bounds=limits.MASS, about="All fats", example=3000)
    batter_mass_g = Mass(bounds=limits.MASS, about="All batter, before additions", example=4200)
    mould = MouldAsked(about="A mould filled to its headspace")
    residue = Part(ResidueAsked, about="Beside a mould: what stays behind")
    bars = Part(BarsAsked, about="Bars of a cured mass")
    limiting = Part(LimitingAsked, about="All that is left of one thing")

    @staticmethod
    def builds(**given: Any) -> Target:
        """A target; the mould and its residue are one."""
        residue = given.pop("residue", None)
        if "mould" in given:
            given["mould"] = MouldTarget(given["mould"], residue or Residue())
        elif residue is not None:
            raise DomainError('A "residue" stands beside a "mould" only.', field=("residue",))
        return Target(**given)


class ScalingRequest(Request):
    """A recipe and the size wanted."""

    recipe = Part(RecipeAsked, required=True, about="By mass or by share")
    target = Part(TargetAsked, required=True, about="The size wanted")
    additions = ListOf(Part(AdditionAsked), at_most=ADDITIONS_MAX, about="The batch's own: they take room in a mould, "
                       "and one of them may be what is left")
    scale = Part(ScaleSteps, about="Steps of the scales")
    batter_density = Number(bounds=limits.ADDITION_DENSITY, about="Measured by you; overrides the estimate",
                            unit="g/mL", example=0.99)

    def build(self, data: dict[str, Any]) -> Any:
        """Fill in the usual scale (`data`)."""
        return super().build({"scale": scale_of(), **data})


class SaponificationRangeTold(Told):
    """Of a fat of your own."""

    min = Number(about="Lower end", unit="mg KOH per g of fat", example=178)
    max = Number(about="Upper end", unit="mg KOH per g of fat", example=182)


class FatOfRecipeTold(Told):
    """A fat of the recipe; it can be posted again as it stands."""

    omitted = ("fat", "name", "saponification_value", "density", "lot")

    fat = Text(about="Key of /v1/fats", example="olive")
    name = Text(about="Name of a fat of your own", example="shea, lot 7")
    saponification_value = Part(SaponificationRangeTold, about="Of a fat of your own")
    mass_g = Mass(about="Mass, unrounded", example=1000)
    density = Number(about="As given", unit="g/mL at 40 degC", example=0.9)
    lot = Text(about="Lot number", example="L-7")


class StockOfRecipeTold(Told):
    """A stock solution of the recipe."""

    concentration_pct = Number(about="Pure alkali in it", unit="% by mass", example=50)
    concentration_tolerance_pct = Number(about="How far that may be off", unit="points", example=0.5)


class AlkaliOfRecipeTold(Told):
    """An alkali of the recipe."""

    omitted = ("share_pct", "purity_pct", "purity_tolerance_pct", "purity_at_least_pct", "stock", "lot")

    alkali = Choice(["NaOH", "KOH"], about="Which")
    share_pct = Number(about="Share of the fats, by equivalents", unit="%", example=60)
    purity_pct = Number(about="As given", unit="% by mass", example=98)
    purity_tolerance_pct = Number(about="As given", unit="points", example=1)
    purity_at_least_pct = Number(about="As given", unit="% by mass", example=98)
    stock = Part(StockOfRecipeTold, about="As given")
    lot = Text(about="Lot number", example="N-26")


class WaterOfRecipeTold(Told):
    """How much water, as asked."""

    omitted = ("lye_concentration_pct", "water_to_alkali", "water_pct_of_fats")

    lye_concentration_pct = Number(about="As given", unit="% by mass", example=33)
    water_to_alkali = Number(about="As given", unit="g per g", example=2.1)
    water_pct_of_fats = Number(about="As given", unit="% of fats", example=30)


class AcidOfRecipeTold(Told):
    """An acid of the recipe."""

    omitted = ("mass", "pct_of_fats", "lot")

    acid = Text(about="Which", example="citric_anhydrous")
    mass_g = Dose(about="Mass as bought, unrounded", example=30)
    pct_of_fats = Number(about="As given", unit="% of fats", example=1.5)
    strength_pct = Number(about="As given", unit="% by mass", example=100)
    lot = Text(about="Lot number", example="C-3")


class TemperaturesOfRecipeTold(Told):
    """Temperatures, as asked."""

    omitted = ("water", "fats", "pour")

    water_c = Temperature(about="Of the water before the alkali", example=20)
    fats_c = Temperature(about="Of the fats when the lye goes in", example=38)
    pour_c = Temperature(about="Of the batter at the pour", example=40)


class RecipeTold(Told):
    """The recipe at the new size, unrounded; it can be posted again as it stands."""

    fats = ListOf(Part(FatOfRecipeTold), about="The fats, by mass")
    superfat_pct = Number(about="As asked", unit="%", example=5)
    alkalis = ListOf(Part(AlkaliOfRecipeTold), about="The alkalis, as asked")
    water = Part(WaterOfRecipeTold, about="As asked")
    acids = ListOf(Part(AcidOfRecipeTold), about="The acids")
    temperatures = Part(TemperaturesOfRecipeTold, about="As asked")


class ScaledTold(Told):
    """A recipe at a new size."""

    factor = Number(allow_none=True, about="How much larger; null for a recipe by shares", unit="1", example=2)
    recipe = Part(RecipeTold, about="At the new size, unrounded")
    lye = Part(LyeResult, about="Computed anew for it")


class ScalingReply(Answer, ScaledTold):
    """A recipe at a new size, with cautions and sources."""
