"""POST /v1/blends."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from kettlewright import limits, plan
from kettlewright.api.door.fields import Choice, Mass, Number, Text
from kettlewright.api.door.operations import operation
from kettlewright.api.door.responses import ResponsePart
from kettlewright.api.door.strict import ListOf, Part, Strict
from kettlewright.api.parts.envelope import BaseResponse, Request, answer
from kettlewright.api.parts.fat_values import CertificateInput, ProfileInput, SaponificationRange
from kettlewright.api.parts.lye import SOURCES_OF_LYE, LyeResult, SaponificationOfBlend
from kettlewright.api.parts.own_fats import OwnFatInput, current_own_fats, fat_key, fat_key_if_known
from kettlewright.api.parts.prices import PriceInput, PricePerMass
from kettlewright.api.parts.recipe import RecipeInput
from kettlewright.api.parts.recipe_of_reply import RecipeAtNewSize
from kettlewright.api.parts.scales import ScaleSteps
from kettlewright.errors import DomainError
from kettlewright.prices import Price
from kettlewright.recipe import FatPortion
from kettlewright.recipe.blend_constraints import OBJECTIVES, PROPERTIES, FatAtHand, Objective, PropertyLimits

__all__ = ["Blend", "BlendsRequest", "BlendsResponse", "blends"]

_OF_THE_FAT = ("fat", "name", "saponification_value", "certificate", "profile", "acid_value")


class FatAtHandInput(Strict):
    """A fat the blend may hold."""

    exactly_one = (("fat", "name"),)
    at_most_one = (("exactly_pct", "at_least_pct"), ("exactly_pct", "at_most_pct"))

    fat = Text(convert=fat_key, about="Key of /v1/fats or of own_fats, or a name that only one fat has",
               example="olive")
    name = Text(about="Name of a fat of your own", example="shea, lot 7")
    saponification_value = Part(SaponificationRange, about="Of a fat of your own")
    certificate = Part(CertificateInput, about="Of a fat of your own")
    profile = Part(ProfileInput, about="Of a fat of your own; constraints on fatty acids need it")
    acid_value = Number(bounds=limits.ACID_VALUE, about="Free fatty acids", unit="mg KOH per g of fat", example=2)
    at_least_pct = Number(bounds=limits.PART_PCT, about="Smallest share", unit="% of fats", example=10)
    at_most_pct = Number(bounds=limits.PART_PCT, about="Largest share", unit="% of fats", example=40)
    exactly_pct = Number(bounds=limits.PART_PCT, about="Exactly this share", unit="% of fats", example=5)
    stock_g = Mass(bounds=limits.KEEPS_BACK, about="How much you have; needs fats_mass", example=2000)
    price = Part(PriceInput, about="Its price; cheapest needs one of every fat")

    @staticmethod
    def builds(**given: Any) -> tuple[FatAtHand, Price | None]:
        """A fat at hand, its price for a gram, and the price as given."""
        own = current_own_fats.get().get(given.get("fat", ""))
        of_the_fat = {name: given.pop(name) for name in _OF_THE_FAT if name in given}
        price = given.pop("price", None) or (own.price if own is not None else None)
        portion = FatPortion(**of_the_fat, share_pct=100.0) if own is None else own.portion(share_pct=100.0)
        return FatAtHand(fat=portion, price_per_g=None if price is None else price.per_g, **given), price


class WishInput(Strict):
    """A property of the blend, between two ends."""

    builds = PropertyLimits

    prop = Choice(PROPERTIES, required=True, data_key="property", about="Which property")
    of = Text(about="Which fatty acid, such as C18:1, or group: saturated, monounsaturated, polyunsaturated, hydroxy",
              example="C18:1")
    min = Number(bounds=limits.PROPERTY, about="At least", unit="mg KOH/g, g iodine/100 g or % of fatty acids",
                 example=40)
    max = Number(bounds=limits.PROPERTY, about="At most", unit="mg KOH/g, g iodine/100 g or % of fatty acids",
                 example=60)


class ObjectiveInput(Strict):
    """What the blend is to be best at."""

    builds = Objective

    kind = Choice(OBJECTIVES, required=True, about="cheapest; closest to the recipe in fatty acids; replace one fat of "
                  "the recipe, all others kept; least or most of one fat")
    fat = Text(convert=fat_key_if_known, about="Of replace, least and most: the key of the fat", example="palm")


class BlendsRequest(Request):
    """The fats at hand and what the blend is to be."""

    fats = ListOf(Part(FatAtHandInput), required=True, at_least=1, at_most=limits.FATS_MAX, about="The fats at hand")
    wishes = ListOf(Part(WishInput), at_most=60, about="Constraints on the blend")
    objective = Part(ObjectiveInput, required=True, about="What to optimise")
    recipe = Part(RecipeInput, about="Recipe that closest and replace compare with; its lye is computed again for the "
                  "blend")
    fats_mass_g = Mass(bounds=limits.MASS, about="All fats; stock needs it, and a recipe by shares for its lye",
                       example=3000)
    scale = Part(ScaleSteps, about="Steps of the scales")
    own_fats = ListOf(Part(OwnFatInput), at_most=200, about="Fats of your own; fats and recipe name them by their keys")

    def build(self, data: dict[str, Any]) -> Any:
        """Fats at hand without their prices, which must be in one currency (`data`)."""
        pairs = data.pop("fats")
        currencies = {price.currency for _, price in pairs if price is not None}
        if len(currencies) > 1:
            raise DomainError(f"Prices are in {' and '.join(sorted(currencies))}; give all of them in one currency.",
                              field=("fats",))
        return super().build({**data, "at_hand": [fat for fat, _ in pairs],
                              "currency": min(currencies, default=None)})


class BlendShare(ResponsePart):
    """A fat of the blend."""

    key = Text(about="Its key", example="olive")
    name = Text(about="Its name", example="olive oil (virgin, refined)")
    share_pct = Number(about="Of the blend", unit="% of fats", example=55)
    mass_g = Mass(allow_none=True, about="Of the fats, unrounded; null without a size", example=1650)


class BlendAcid(ResponsePart):
    """A fatty acid of the blend."""

    fatty_acid = Text(about="Its notation", example="C18:1")
    share_pct = Number(about="At the middle of each range", unit="% of fatty acids", example=52)


class FattyAcidGroups(ResponsePart):
    """Fatty acids in groups, at the middle of each range."""

    saturated = Number(about="Without double bonds", unit="% of fatty acids", example=30)
    monounsaturated = Number(about="With one", unit="% of fatty acids", example=55)
    polyunsaturated = Number(about="With several", unit="% of fatty acids", example=15)
    hydroxy = Number(about="With a hydroxyl group", unit="% of fatty acids", example=0)


class Blend(ResponsePart):
    """A blend that meets the wishes."""

    omitted = ("recipe", "lye")

    fats = ListOf(Part(BlendShare), about="Fats with a share, in the order given")
    saponification_value = Part(SaponificationOfBlend, about="Of the blend")
    iodine_value = Number(allow_none=True, about="At the middle of each range; null if one is not known",
                          unit="g iodine per 100 g", example=75)
    fatty_acids = ListOf(Part(BlendAcid), allow_none=True, about="In chain order; null if not known of a fat")
    groups = Part(FattyAcidGroups, allow_none=True, about="The same in groups")
    price = Part(PricePerMass, allow_none=True, about="Of the blend; null if a fat in it has no price")
    distance_pct = Number(allow_none=True, about="For closest and replace: half the sum of the differences in fatty "
                          "acids", unit="% of fatty acids", example=4.2)
    recipe = Part(RecipeAtNewSize, about="The recipe with the blend, where one was given")
    lye = Part(LyeResult, about="Computed again for it, if its size is known; never swap fats and keep the old alkali")


class BlendsResponse(BaseResponse, Blend):
    """A blend, with cautions and sources."""


def price_result(per_g: Decimal | None, currency: str | None) -> dict[str, Any] | None:
    """A price of the blend for a kilogram (`per_g` [currency per g], `currency`)."""
    if per_g is None or currency is None:
        return None
    return {"amount": str((per_g * 1000).quantize(Decimal("0.0001"))), "currency": currency, "per_mass_g": 1000.0}


@operation("POST", "/v1/blends", name="blends", group="recipe", heavy=True,
           request=BlendsRequest, response=BlendsResponse, main_table="fats",
           summary="Shares of the fats at hand, within your limits",
           description="A linear program finds the cheapest blend, the blend closest to a recipe in fatty acids, a "
           "replacement for one fat of a recipe, or the least or most of a fat. If no blend meets your limits, the "
           "problem names the smallest change that would make one possible. Plain chemistry at the middle of each "
           "range, no scores.")
def blends(currency: str | None = None, **more: Any) -> object:
    """Shares of the fats at hand under wishes (the loaded request)."""
    found = plan.plan_blend(**more)
    blend, lye = found.blend, found.lye
    return answer(
        "blends", () if lye is None else lye.cautions, sources=SOURCES_OF_LYE if lye else ("iupac_atomic_weights",),
        more_sources=() if lye is None else lye.lye.sources, result=blend,
        fats=[{"key": share.key, "name": share.name, "share_pct": share.share_pct,
               "mass_g": None if found.fats_g is None else found.fats_g * share.share_pct / 100}
              for share in blend.shares],
        fatty_acids=None if blend.fatty_acids is None else [
            {"fatty_acid": notation, "share_pct": share} for notation, share in blend.fatty_acids.items()],
        price=price_result(blend.price_per_g, currency), recipe=found.recipe, lye=lye)

