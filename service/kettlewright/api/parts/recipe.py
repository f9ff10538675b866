"""A recipe in a request."""

from __future__ import annotations

from collections.abc import Callable
from types import MappingProxyType
from typing import Any, ClassVar

from kettlewright import limits
from kettlewright.api.door.fields import Choice, Dose, Flag, Mass, Number, Temperature, Text
from kettlewright.api.door.strict import ListOf, Part, Strict
from kettlewright.api.links import Key, values_of
from kettlewright.api.parts.fat_values import CertificateInput, ProfileInput, SaponificationRange
from kettlewright.api.parts.own_fats import current_own_fats, fat_key, own_value_in
from kettlewright.recipe import (
    ACIDS,
    AcidPortion,
    AlkaliPortion,
    FatPortion,
    LiquidPortion,
    Recipe,
    Stock,
    Temperatures,
    WaterRule,
)

__all__ = ["RECIPE_FIELDS", "AcidInput", "AlkaliInput", "FatInput", "LiquidInput", "RecipeInput",
           "StockInput", "TemperaturesInput", "WaterInput", "recipe_keys"]

class FatInput(Strict):
    """A fat: of the table or of own_fats by `fat`, or the maker's own by `name` with one of `saponification_value`,
    `certificate` and `profile`; by mass or by share."""

    exactly_one = (("fat", "name"), ("mass", "share_pct"))

    builds = FatPortion

    fat = Text(convert=fat_key, about="Key of /v1/fats or of own_fats, or a name that only one fat has",
               example="olive")
    name = Text(about="Name of a fat of your own", example="shea, lot 7")
    saponification_value = Part(SaponificationRange, about="Of a fat of your own")
    certificate = Part(CertificateInput, about="Of a fat of your own: what the certificate of the lot states")
    profile = Part(ProfileInput, about="Of a fat of your own: its fatty acids")
    acid_value = Number(bounds=limits.ACID_VALUE, about="Free fatty acids of an old fat, included in its "
                        "saponification value; they release water instead of glycerol",
                        unit="mg KOH per g of fat", example=2)
    mass_g = Mass(bounds=limits.MASS, about="Mass; all fats by mass, or all by share", example=500)
    share_pct = Number(bounds=limits.SHARE_PCT, about="Share of all fats, by mass", unit="%", example=55)
    density = Number(bounds=limits.FAT_DENSITY, about="Overrides the table", unit="g/mL at 40 degC", example=0.9)
    lot = Text(about="Lot number", example="L-7")
    inci = Text(about="Name on a label; default the table's", example="Butyrospermum Parkii Butter")
    inci_as_reacted = Text(about="Name on a label of its sodium soap", example="Sodium Shea Butterate")

    def build(self, data: dict[str, Any]) -> Any:
        """Put a fat of own_fats in place of its key (`data`)."""
        own = current_own_fats.get().get(data.get("fat", ""))
        return super().build(data) if own is None else own.portion(**{**data, "fat": None})


class StockInput(Strict):
    """A solution of alkali made earlier."""

    builds = Stock

    concentration_pct = Number(required=True, bounds=limits.STOCK_CONCENTRATION_PCT, about="Pure alkali in it, by mass",
                               unit="%", example=50)
    concentration_tolerance_pct = Number(bounds=limits.TOLERANCE_PCT, about="Tolerance either way; default 0.5",
                                         unit="points", example=0.5)
    temperature_c = Temperature(bounds=limits.TEMPERATURE, about="Its temperature when it goes into the water; default "
                                "that of the water", example=20)


class AlkaliInput(Strict):
    """An alkali, dry or as a stock solution."""

    at_most_one = (("purity_pct", "purity_at_least_pct"), ("purity_pct", "stock"), ("purity_at_least_pct", "stock"))
    needed_with = MappingProxyType({"purity_tolerance_pct": ("purity_pct",)})

    builds = AlkaliPortion

    alkali = Choice(["NaOH", "KOH"], required=True, about="Which alkali")
    share_pct = Number(bounds=limits.SHARE_PCT, about="With two alkalis: share of the fats, by equivalents", unit="%",
                       example=60)
    purity_pct = Number(bounds=limits.PURITY_PCT, about="Purity on the label; default 100 for NaOH, required for KOH",
                        unit="% by mass", example=98)
    purity_tolerance_pct = Number(bounds=limits.TOLERANCE_PCT, about="Tolerance of purity_pct either way; default 1",
                                  unit="points", example=1)
    purity_at_least_pct = Number(bounds=limits.PURITY_PCT, about='In place of purity_pct: a guarantee such as "at '
                                 'least 98 %"', unit="% by mass", example=98)
    stock = Part(StockInput, about="In place of dry alkali")
    count_impurity_as_water = Flag(about="Its impurity is absorbed water (as in potassium hydroxide) and counts as "
                                   "water; the water rule then uses the pure mass. An assay of total alkali includes "
                                   "carbonate, which makes no soap: subtract 0.81 points of KOH for each percent of "
                                   "potassium carbonate", example=True)
    lot = Text(about="Lot number", example="N-26")


class WaterInput(Strict):
    """How much water, by exactly one of the three."""

    exactly_one = (("lye_concentration_pct", "water_to_alkali", "water_pct_of_fats"),)

    builds = WaterRule

    lye_concentration_pct = Number(bounds=limits.LYE_CONCENTRATION_PCT, about="Alkali as weighed (in stocks: pure) in "
                                   "the lye", unit="% by mass", example=33)
    water_to_alkali = Number(bounds=limits.WATER_TO_ALKALI, about="Water per part of that alkali", unit="g per g",
                             example=2.1)
    water_pct_of_fats = Number(bounds=limits.WATER_PCT_OF_FATS, about="Water as a share of all fats", unit="% of fats",
                               example=30)
    ice_pct = Number(bounds=limits.ICE_PCT, about="Part of the water to add that goes in as ice", unit="% of added "
                     "water", example=50)


class AcidInput(Strict):
    """An acid; the alkali it consumes is added on top."""

    exactly_one = (("mass", "pct_of_fats"),)

    builds = AcidPortion

    acid = Choice(list(ACIDS), required=True, about="Which acid")
    mass_g = Dose(bounds=limits.MASS, about="Mass as bought", example=15)
    pct_of_fats = Number(bounds=limits.PCT_OF_FATS, about="Mass as bought, as a share of all fats; use this if fats "
                         "are by share",
                         unit="% of fats", example=1.5)
    strength_pct = Number(bounds=limits.STRENGTH_PCT, about="Acid in the product as bought, the rest water; "
                          "default 100",
                          unit="% by mass", example=100)
    lot = Text(about="Lot number", example="C-3")


class LiquidInput(Strict):
    """A liquid in place of part of the water: milk, tea, puree."""

    exactly_one = (("mass", "pct_of_fats", "rest_of_water"),)

    builds = LiquidPortion

    name = Text(required=True, about="Name", example="goat milk")
    mass_g = Mass(bounds=limits.MASS, about="Mass", example=150)
    pct_of_fats = Number(bounds=limits.PCT_OF_FATS, about="In place of mass",
                         unit="% of fats", example=10)
    rest_of_water = Flag(about="In place of mass or pct_of_fats: as much as the water rule leaves, so that no water is "
                         "added",
                         example=True)
    water_pct = Number(required=True, bounds=limits.PART_PCT, about="Water in it", unit="% by mass", example=87)
    fat_pct = Number(bounds=limits.PART_PCT, about="Fat in it; it gets alkali", unit="% by mass", example=4)
    fat = Text(convert=fat_key, about="Which fat: a key of /v1/fats or own_fats, or its name", example="butterfat")
    saponification_value = Part(SaponificationRange, about="In place of fat")
    temperature_c = Temperature(bounds=limits.TEMPERATURE, about="Its temperature when the alkali goes in; default "
                                "that of the water", example=4)
    frozen = Flag(about="Frozen: its water is ice of 0 degC", example=True)
    lot = Text(about="Lot number", example="M-2")

    def build(self, data: dict[str, Any]) -> Any:
        """Put the value of a fat of own_fats in place of its key (`data`)."""
        return super().build(own_value_in(data))


class TemperaturesInput(Strict):
    """Temperatures, where known."""

    water_c = Temperature(bounds=limits.TEMPERATURE, about="Of the water before the alkali goes in", example=20)
    fats_c = Temperature(bounds=limits.TEMPERATURE, about="Of the fats when the lye goes in", example=38)
    lye_c = Temperature(bounds=limits.TEMPERATURE, about="Of the lye when it goes into the fats", example=45)
    pour_c = Temperature(bounds=limits.TEMPERATURE, about="Of the batter at the pour", example=40)
    fats_solid_pct = Number(bounds=limits.PART_PCT, about="Part of the fats that is still solid when the lye goes in",
                            unit="% of fats", example=20)

    builds = Temperatures


class RecipeInput(Strict):
    """What goes into the pot."""

    exactly_one = (("superfat_pct", "superfat_at_least_pct"),)

    builds: ClassVar[Callable[..., Any]] = Recipe  # the request of a lye builds more

    fats = ListOf(Part(FatInput), required=True, at_least=1, at_most=limits.FATS_MAX, about="The fats")
    superfat_pct = Number(bounds=limits.SUPERFAT_PCT, about="Share of the fats' alkali that is left "
                          "out, counted at the middle of each range; this or superfat_at_least_pct", unit="%",
                          example=5)
    superfat_at_least_pct = Number(bounds=limits.SUPERFAT_PCT, about="In place of superfat_pct: a minimum over the "
                                   "whole declared range, scale errors included", unit="%", example=2)
    alkalis = ListOf(Part(AlkaliInput), required=True, at_least=1, at_most=2, about="One alkali, or both with shares")
    water = Part(WaterInput, required=True, about="How much water")
    acids = ListOf(Part(AcidInput), at_most=len(ACIDS), about="Acids; they consume alkali")
    liquids = ListOf(Part(LiquidInput), at_most=20, about="Liquids in place of part of the water")
    temperatures = Part(TemperaturesInput, about="Temperatures, where known")


RECIPE_FIELDS = ("fats", "superfat_pct", "superfat_at_least_pct", "alkalis", "water", "acids", "liquids",
                 "temperatures")
"""The fields a recipe has, where it is at the top level of a body."""


def recipe_keys(*where: str) -> tuple[Key, ...]:
    """Keys of a recipe, at the top of a body or inside it (`where`). [keys]"""
    return (
        Key(name="fat", into=(*where, "fats"), many=True, head="fat", own=("saponification_value", "name"),
            deeper={"sv": ("saponification_value",)}, example="olive,mass:700" if not where else "olive,share:70",
            about="A fat: its key, its mass or share. With sv, a range such as 180-185, the first word is your own "
            "name for it"),
        Key(name="alkali", into=(*where, "alkalis"), many=True, head="alkali", example="NaOH,purity:98",
            deeper={"stock_concentration_pct": ("stock", "concentration_pct"),
                    "stock_tolerance_pct": ("stock", "concentration_tolerance_pct"),
                    "stock_temperature": ("stock", "temperature")}, about="An alkali: NaOH or KOH"),
        Key(name="water", into=(*where, "water"), example="lye_concentration:33", about="How much water, by one of "
            "the three ways"),
        *values_of(RecipeInput, "superfat_pct", "superfat_at_least_pct", within=where),
        Key(name="acid", into=(*where, "acids"), many=True, head="acid", example="citric_anhydrous,pct_of_fats:1.5",
            about="An acid that consumes alkali"),
        Key(name="liquid", into=(*where, "liquids"), many=True, head="name", about="A liquid in place of part of the "
            "water", example="goat milk,pct_of_fats:10,water:87,fat_pct:4,fat:butterfat"),
        Key(name="temperatures", into=(*where, "temperatures"), example="water:20,fats:38", about="Where known"))
