"""Fifty percent is the strongest lye, however it is made up; strong stock in the cold."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from kettlewright.cautions import of_lye
from kettlewright.errors import DomainErrors, Unsolvable
from kettlewright.ranges import Range
from kettlewright.recipe import AlkaliPortion, FatPortion, Recipe, Scale, Stock, WaterRule, make_lye


def _of(alkalis: tuple[AlkaliPortion, ...], water: WaterRule, mass_g: float = 1000.0) -> Recipe:
    fat = FatPortion(name="a fat", mass_g=mass_g, saponification_value=Range(185, 195))
    return Recipe(fats=(fat,), superfat_pct=5, alkalis=alkalis, water=water)


STEPS = st.sampled_from([0.01, 0.1, 1.0, 5.0, 28.349523125 / 20])


@given(st.floats(200, 9000), STEPS, st.floats(90, 100), st.sampled_from([
    WaterRule(lye_concentration_pct=50), WaterRule(water_to_alkali=1)]))
def test_exactly_half_alkali_is_accepted_whatever_the_rounding(mass: float, step: float, purity: float,
                                                               water: WaterRule) -> None:
    for alkali in (AlkaliPortion("NaOH"), AlkaliPortion("NaOH", purity_pct=purity),
                   AlkaliPortion("NaOH", stock=Stock(50))):
        lye = make_lye(_of((alkali,), water, mass), Scale(step, 0.1, 0.1))
        assert lye.solution.concentration_pure_pct <= 50 + 1e-6
        assert lye.solution.concentration_pct >= 45 - step


def test_dry_alkali_stirred_into_a_stock_counts_together() -> None:
    # half of the equivalents dry and half from a 50 % stock: 50 % is reached with water for the dry part alone
    both = (AlkaliPortion("NaOH", share_pct=50), AlkaliPortion("KOH", share_pct=50, stock=Stock(50)))
    lye = make_lye(_of(both, WaterRule(lye_concentration_pct=50)), Scale(1, 0.1, 0.1))
    assert lye.water.weigh_g == pytest.approx(lye.alkalis[0].weigh_g, abs=1)
    with pytest.raises((Unsolvable, DomainErrors), match="above 50 %"):
        make_lye(_of(both, WaterRule(lye_concentration_pct=51)), Scale(1, 0.1, 0.1))


@pytest.mark.parametrize("alkali", [AlkaliPortion("NaOH"), AlkaliPortion("KOH", purity_pct=95)])
def test_more_than_half_is_rejected(alkali: AlkaliPortion) -> None:
    with pytest.raises((Unsolvable, DomainErrors), match="above 50 %"):
        make_lye(_of((alkali,), WaterRule(water_to_alkali=0.8)), Scale(1, 0.1, 0.1))


@pytest.mark.parametrize(("percent", "celsius", "warned"), [
    # 38 to 41 % crystallises near 15 degC, 50 % near 12 to 14: kept above 20; weaker stock below 15 (from memory)
    (50, 19.9, True), (50, 20, False), (38, 19.9, True), (37.9, 19.9, False), (37.9, 14.9, True), (32, 14.9, True),
    (32, 15, False), (31.9, 5, False)])
def test_stock_that_may_crystallise(percent: float, celsius: float, warned: bool) -> None:
    alkali = AlkaliPortion("NaOH", stock=Stock(percent, temperature_c=celsius))
    lye = make_lye(_of((alkali,), WaterRule(lye_concentration_pct=30)), Scale(1, 0.1, 0.1))
    assert ("stock-may-crystallise" in {one.key for one in of_lye(lye)}) is warned
