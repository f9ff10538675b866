"""A recipe as it stands in a request."""

from __future__ import annotations

from kettlewright import limits
from kettlewright.api.fields import Choice, Dose, ListOf, Mass, Number, Part, Strict, Temperature, Text
from kettlewright.ranges import Range
from kettlewright.recipe import ACIDS, AcidPortion, AlkaliPortion, FatPortion, Recipe, Stock, Temperatures, WaterRule
from kettlewright.reference import fat as table_fat

__all__ = ["FATS_MAX", "RECIPE_FIELDS", "AcidAsked", "AlkaliAsked", "FatAsked", "RecipeAsked", "SaponificationRange",
           "StockAsked", "TemperaturesAsked", "WaterAsked"]

FATS_MAX = 60


class SaponificationRange(Strict):
    """What a fat takes of pure potassium hydroxide."""

    builds = Range

    min = Number(required=True, bounds=limits.SAPONIFICATION_VALUE, about="Lower end", unit="mg KOH per g of fat",
                 example=178)
    max = Number(required=True, bounds=limits.SAPONIFICATION_VALUE, about="Upper end", unit="mg KOH per g of fat",
                 example=182)


class FatAsked(Strict):
    """A fat: of the table by `fat`, or the maker's own by `name` with `saponification_value`; by mass or by share."""

    builds = FatPortion

    fat = Text(check=table_fat, about="Key of /v1/fats", example="olive")
    name = Text(about="Name of a fat of your own", example="shea, lot 7")
    saponification_value = Part(SaponificationRange, about="Of a fat of your own, as on the certificate of the lot")
    mass_g = Mass(bounds=limits.MASS, about="Mass; all fats by mass, or all by share", example=500)
    share_pct = Number(bounds=limits.SHARE_PCT, about="Share of all fats, by mass", unit="%", example=55)
    density = Number(bounds=limits.FAT_DENSITY, about="Overrides the table", unit="g/mL at 40 degC", example=0.9)
    lot = Text(about="Lot number", example="L-7")


class StockAsked(Strict):
    """A solution of alkali made earlier."""

    builds = Stock

    concentration_pct = Number(required=True, bounds=limits.STOCK_CONCENTRATION_PCT, about="Pure alkali in it, by mass",
                               unit="%", example=50)
    concentration_tolerance_pct = Number(bounds=limits.TOLERANCE_PCT, about="How far that may be off, either way; 0.5 "
                                         "where not given", unit="points", example=0.5)


class AlkaliAsked(Strict):
    """An alkali, dry or as a stock solution."""

    builds = AlkaliPortion

    alkali = Choice(["NaOH", "KOH"], required=True, about="Which")
    share_pct = Number(bounds=limits.SHARE_PCT, about="With two alkalis: share of the fats, by equivalents", unit="%",
                       example=60)
    purity_pct = Number(bounds=limits.PURITY_PCT, about="Purity on the label; NaOH counts as 100 where none is given, "
                        "KOH must state one", unit="% by mass", example=98)
    purity_tolerance_pct = Number(bounds=limits.TOLERANCE_PCT, about="How far purity_pct may be off, either way; 1 "
                                  "where not given", unit="points", example=1)
    purity_at_least_pct = Number(bounds=limits.PURITY_PCT, about='In place of purity_pct: a promise such as "at least '
                                 '98 %"', unit="% by mass", example=98)
    stock = Part(StockAsked, about="In place of dry alkali")
    lot = Text(about="Lot number", example="N-26")


class WaterAsked(Strict):
    """How much water, by exactly one of the three."""

    builds = WaterRule

    lye_concentration_pct = Number(bounds=limits.LYE_CONCENTRATION_PCT, about="Alkali as weighed (in stocks: pure) in "
                                   "the lye", unit="% by mass", example=33)
    water_to_alkali = Number(bounds=limits.WATER_TO_ALKALI, about="Water for one part of that alkali", unit="g per g",
                             example=2.1)
    water_pct_of_fats = Number(bounds=limits.WATER_PCT_OF_FATS, about="Water on all fats", unit="% of fats",
                               example=30)


class AcidAsked(Strict):
    """An acid; the alkali it eats is added on top."""

    builds = AcidPortion

    acid = Choice(list(ACIDS), required=True, about="Which")
    mass_g = Dose(bounds=limits.MASS, about="Mass as bought", example=15)
    pct_of_fats = Number(bounds=limits.PCT_OF_FATS, about="Mass as bought, on all fats; the only way with shares",
                         unit="% of fats", example=1.5)
    strength_pct = Number(bounds=limits.STRENGTH_PCT, about="Acid in what is bought, the rest being water; 100 where "
                          "not given", unit="% by mass", example=100)
    lot = Text(about="Lot number", example="C-3")


class TemperaturesAsked(Strict):
    """Temperatures, where known."""

    water_c = Temperature(bounds=limits.TEMPERATURE, about="Of the water before the alkali", example=20)
    fats_c = Temperature(bounds=limits.TEMPERATURE, about="Of the fats when the lye goes in", example=38)
    pour_c = Temperature(bounds=limits.TEMPERATURE, about="Of the batter at the pour", example=40)

    builds = Temperatures


class RecipeAsked(Strict):
    """What goes into the pot."""

    builds = Recipe

    fats = ListOf(Part(FatAsked), required=True, at_least=1, at_most=FATS_MAX, about="The fats")
    superfat_pct = Number(required=True, bounds=limits.SUPERFAT_PCT, about="Share of the fats' alkali that is left "
                          "out, counted at the middle of each range", unit="%", example=5)
    alkalis = ListOf(Part(AlkaliAsked), required=True, at_least=1, at_most=2, about="One alkali, or both with shares")
    water = Part(WaterAsked, required=True, about="How much water")
    acids = ListOf(Part(AcidAsked), at_most=len(ACIDS), about="Acids that eat alkali")
    temperatures = Part(TemperaturesAsked, about="Temperatures, where known")


RECIPE_FIELDS = ("fats", "superfat_pct", "alkalis", "water", "acids", "temperatures")
"""The fields a recipe has, where it stands at the top level of a body."""
