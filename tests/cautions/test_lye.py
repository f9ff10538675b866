"""Cautions of the lye: stock in the cold."""

from __future__ import annotations

import pytest
from kettlewright.cautions import of_lye
from kettlewright.ranges import Range
from kettlewright.recipe import AlkaliPortion, FatPortion, Recipe, Scale, Stock, WaterRule, make_lye


def recipe_of(alkalis: tuple[AlkaliPortion, ...], water: WaterRule, mass_g: float = 1000.0) -> Recipe:
    fat = FatPortion(name="a fat", mass_g=mass_g, saponification_value=Range(185, 195))
    return Recipe(fats=(fat,), superfat_pct=5, alkalis=alkalis, water=water)


@pytest.mark.parametrize(("percent", "celsius", "warned"), [
    # 38 to 41 % crystallises near 15 degC, 50 % near 12 to 14: kept above 20; weaker stock below 15 (from memory)
    (50, 19.9, True), (50, 20, False), (38, 19.9, True), (37.9, 19.9, False), (37.9, 14.9, True), (32, 14.9, True),
    (32, 15, False), (31.9, 5, False)])
def test_stock_that_may_crystallise(percent: float, celsius: float, warned: bool) -> None:
    alkali = AlkaliPortion("NaOH", stock=Stock(percent, temperature_c=celsius))
    lye = make_lye(recipe_of((alkali,), WaterRule(lye_concentration_pct=30)), Scale(1, 0.1, 0.1))
    assert ("stock-may-crystallise" in {one.key for one in of_lye(lye)}) is warned
