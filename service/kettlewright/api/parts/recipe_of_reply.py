"""A recipe in a response; it can be posted again unchanged."""

from __future__ import annotations

from typing import Any

from kettlewright.api.door.fields import Choice, Dose, Flag, Mass, Number, Temperature, Text
from kettlewright.api.door.responses import ResponsePart
from kettlewright.api.door.strict import ListOf, Part

__all__ = ["RecipeAtNewSize"]


class SaponificationRangeOfRecipe(ResponsePart):
    """Of a fat of your own."""

    min = Number(about="Lower end", unit="mg KOH per g of fat", example=178)
    max = Number(about="Upper end", unit="mg KOH per g of fat", example=182)


class Certificate(ResponsePart):
    """The certificate of a lot, as given."""

    omitted = ("date",)

    value = Number(about="Saponification value", unit="mg KOH per g of fat", example=191.2)
    tolerance = Number(about="Either way", unit="mg KOH per g of fat", example=1)
    acid_value = Number(about="Free fatty acids", unit="mg KOH per g of fat", example=0.4)
    date = Text(about="Day of the certificate", example="2026-10-01")


class FattyAcidShareOfRecipe(ResponsePart):
    """A fatty acid of a profile."""

    fatty_acid = Text(about="Its notation", example="C18:1")
    share_pct = Number(about="Of all fatty acids", unit="%", example=100)


class Profile(ResponsePart):
    """The fatty acids of a fat, as given."""

    fatty_acids = ListOf(Part(FattyAcidShareOfRecipe), about="They add up to 100")
    unsaponifiable_pct = Number(about="Unsaponifiable matter", unit="% of fat", example=0.5)

    def get_attribute(self, obj: Any, attr: str, default: Any) -> Any:
        """The shares as a list (`obj`, `attr`, `default`)."""
        value = super().get_attribute(obj, attr, default)
        if attr == "fatty_acids":
            return [{"fatty_acid": notation, "share_pct": share} for notation, share in value.items()]
        return value


class FatOfRecipe(ResponsePart):
    """A fat of the recipe; it can be posted again unchanged."""

    omitted = ("fat", "name", "saponification_value", "certificate", "profile", "acid_value", "density", "lot", "inci",
               "inci_as_reacted")

    fat = Text(about="Key of /v1/fats", example="olive")
    name = Text(about="Name of a fat of your own", example="shea, lot 7")
    saponification_value = Part(SaponificationRangeOfRecipe, about="Of a fat of your own")
    certificate = Part(Certificate, about="As given")
    profile = Part(Profile, about="As given")
    acid_value = Number(about="As given", unit="mg KOH per g of fat", example=2)
    mass_g = Mass(about="Mass, unrounded", example=1000)
    density = Number(about="As given", unit="g/mL at 40 degC", example=0.9)
    lot = Text(about="Lot number", example="L-7")
    inci = Text(about="As given", example="Butyrospermum Parkii Butter")
    inci_as_reacted = Text(about="As given", example="Sodium Shea Butterate")


class StockOfRecipe(ResponsePart):
    """A stock solution of the recipe."""

    omitted = ("temperature",)

    concentration_pct = Number(about="Pure alkali in it", unit="% by mass", example=50)
    concentration_tolerance_pct = Number(about="Its tolerance either way", unit="points", example=0.5)
    temperature_c = Temperature(about="As given", example=20)


class AlkaliOfRecipe(ResponsePart):
    """An alkali of the recipe."""

    omitted = ("share_pct", "purity_pct", "purity_tolerance_pct", "purity_at_least_pct", "stock", "lot")

    alkali = Choice(["NaOH", "KOH"], about="Which alkali")
    share_pct = Number(about="Share of the fats, by equivalents", unit="%", example=60)
    purity_pct = Number(about="As given", unit="% by mass", example=98)
    purity_tolerance_pct = Number(about="As given", unit="points", example=1)
    purity_at_least_pct = Number(about="As given", unit="% by mass", example=98)
    stock = Part(StockOfRecipe, about="As given")
    count_impurity_as_water = Flag(about="As given", example=False)
    lot = Text(about="Lot number", example="N-26")


class WaterOfRecipe(ResponsePart):
    """How much water, as requested."""

    omitted = ("lye_concentration_pct", "water_to_alkali", "water_pct_of_fats")

    lye_concentration_pct = Number(about="As given", unit="% by mass", example=33)
    water_to_alkali = Number(about="As given", unit="g per g", example=2.1)
    water_pct_of_fats = Number(about="As given", unit="% of fats", example=30)
    ice_pct = Number(about="As given", unit="% of added water", example=50)


class AcidOfRecipe(ResponsePart):
    """An acid of the recipe."""

    omitted = ("mass", "pct_of_fats", "lot")

    acid = Text(about="Which acid", example="citric_anhydrous")
    mass_g = Dose(about="Mass as bought, unrounded", example=30)
    pct_of_fats = Number(about="As given", unit="% of fats", example=1.5)
    strength_pct = Number(about="As given", unit="% by mass", example=100)
    lot = Text(about="Lot number", example="C-3")


class LiquidOfRecipe(ResponsePart):
    """A liquid of the recipe."""

    omitted = ("mass", "pct_of_fats", "rest_of_water", "fat", "saponification_value", "temperature", "lot")

    name = Text(about="Name", example="goat milk")
    mass_g = Mass(about="Mass, unrounded", example=150)
    pct_of_fats = Number(about="As given", unit="% of fats", example=10)
    rest_of_water = Flag(about="As given", example=False)
    water_pct = Number(about="As given", unit="% by mass", example=87)
    fat_pct = Number(about="As given", unit="% by mass", example=4)
    fat = Text(about="As given", example="butterfat")
    saponification_value = Part(SaponificationRangeOfRecipe, about="As given")
    temperature_c = Temperature(about="As given", example=4)
    frozen = Flag(about="As given", example=False)
    lot = Text(about="Lot number", example="M-2")


class TemperaturesOfRecipe(ResponsePart):
    """Temperatures, as requested."""

    omitted = ("water", "fats", "lye", "pour")

    water_c = Temperature(about="Of the water before the alkali goes in", example=20)
    fats_c = Temperature(about="Of the fats when the lye goes in", example=38)
    lye_c = Temperature(about="Of the lye when it goes into the fats", example=45)
    pour_c = Temperature(about="Of the batter at the pour", example=40)
    fats_solid_pct = Number(about="As given", unit="% of fats", example=20)


class RecipeAtNewSize(ResponsePart):
    """The recipe at the new size, unrounded; it can be posted again unchanged."""

    omitted = ("superfat_pct", "superfat_at_least_pct")

    fats = ListOf(Part(FatOfRecipe), about="The fats, by mass")
    superfat_pct = Number(about="As given", unit="%", example=5)
    superfat_at_least_pct = Number(about="As given", unit="%", example=2)
    alkalis = ListOf(Part(AlkaliOfRecipe), about="The alkalis, as requested")
    water = Part(WaterOfRecipe, about="As given")
    acids = ListOf(Part(AcidOfRecipe), about="The acids")
    liquids = ListOf(Part(LiquidOfRecipe), about="The liquids")
    temperatures = Part(TemperaturesOfRecipe, about="As given")

