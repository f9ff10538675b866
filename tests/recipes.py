"""Short ways to say a recipe in a test: masses in grams, saponification values in mg KOH per g."""

from __future__ import annotations

from kettlewright.ranges import Range
from kettlewright.recipe import (
    AcidPortion,
    AlkaliPortion,
    FatPortion,
    LiquidPortion,
    Recipe,
    Scale,
    Temperatures,
    WaterRule,
)

NAOH = AlkaliPortion("NaOH")
TWO_TO_ONE = WaterRule(water_to_alkali=2)
FINE = Scale(1e-6, 1e-6, 1e-6)
SHARES = Recipe(fats=(FatPortion("olive", share_pct=70), FatPortion("coconut", share_pct=30)), superfat_pct=5,
                alkalis=(NAOH,), water=TWO_TO_ONE)


def own_fat(mass_g: float, value: float, half_width: float = 0.0, *, name: str | None = None) -> FatPortion:
    """A fat of the maker's own, with a saponification value and how far it may be off."""
    return FatPortion(name=name or f"fat of {value:g} and {mass_g:g}", mass_g=mass_g,
                      saponification_value=Range(value - half_width, value + half_width))


def recipe(*fats: FatPortion, superfat: float = 5.0, at_least: float | None = None,
           alkalis: tuple[AlkaliPortion, ...] = (NAOH,), water: WaterRule = TWO_TO_ONE,
           acids: tuple[AcidPortion, ...] = (), liquids: tuple[LiquidPortion, ...] = (), water_c: float | None = None,
           temperatures: Temperatures | None = None) -> Recipe:
    """A recipe of these fats."""
    return Recipe(fats=fats, superfat_pct=superfat if at_least is None else None, superfat_at_least_pct=at_least,
                  alkalis=alkalis, water=water, acids=acids, liquids=liquids,
                  temperatures=temperatures or Temperatures(water_c=water_c))


BY_MASS = recipe(FatPortion("olive", mass_g=700), FatPortion("coconut", mass_g=300))
BASE = recipe(own_fat(700, 190, name="a"), own_fat(300, 257, name="b"))
