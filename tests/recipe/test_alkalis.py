"""The alkali as it is sold: its strength, impurity that is water, a stock."""

from __future__ import annotations

import pytest
from kettlewright.errors import DomainErrors
from kettlewright.recipe import AlkaliPortion, Stock, WaterRule, make_lye
from kettlewright.recipe.weighing import EXACT
from recipes import own_fat, recipe


@pytest.mark.parametrize(("portion", "used", "low", "high"), [
    (AlkaliPortion("NaOH"), 1.0, 0.99, 1.0),
    (AlkaliPortion("NaOH", purity_pct=98), 0.98, 0.97, 0.99),
    (AlkaliPortion("NaOH", purity_pct=99.5), 0.995, 0.985, 1.0),
    (AlkaliPortion("NaOH", purity_pct=98, purity_tolerance_pct=0.5), 0.98, 0.975, 0.985),
    (AlkaliPortion("NaOH", purity_at_least_pct=98), 1.0, 0.98, 1.0),
    (AlkaliPortion("KOH", purity_at_least_pct=85), 0.95, 0.85, 0.95),
    (AlkaliPortion("KOH", purity_at_least_pct=97), 1.0, 0.97, 1.0),
    (AlkaliPortion("KOH", purity_pct=90), 0.90, 0.89, 0.91),
    (AlkaliPortion("NaOH", stock=Stock(50)), 0.50, 0.495, 0.505),
    (AlkaliPortion("NaOH", stock=Stock(50, 0)), 0.50, 0.50, 0.50)])
def test_strength_is_computed_with_as_it_is_sold(portion: AlkaliPortion, used: float, low: float, high: float) -> None:
    assert portion.strength == pytest.approx(used)
    assert (portion.strength_range.min, portion.strength_range.max) == (pytest.approx(low), pytest.approx(high))


def test_impurity_counted_as_water_makes_the_lye_as_strong_as_requested() -> None:
    # 100 g of pure KOH, 90 %, in a lye of 30 %: weighed 111.111, all water 233.333, to add 222.222 (computed)
    fats = 100 / 56.1056 * 56105.6 / 200 / 0.95
    wet = AlkaliPortion("KOH", purity_pct=90, count_impurity_as_water=True)
    lye = make_lye(recipe(own_fat(fats, 200), alkalis=(wet,), water=WaterRule(lye_concentration_pct=30)), EXACT)
    assert lye.alkalis[0].mass_pure_g == pytest.approx(100, rel=1e-6)
    assert lye.alkalis[0].weigh_g == pytest.approx(111.111, rel=1e-5)
    assert lye.water.weigh_g == pytest.approx(222.222, rel=1e-5)
    assert lye.solution.concentration_pure_pct == pytest.approx(30)
    dry = make_lye(recipe(own_fat(fats, 200), alkalis=(AlkaliPortion("KOH", purity_pct=90),),
                          water=WaterRule(lye_concentration_pct=30)), EXACT)
    assert dry.water.weigh_g == pytest.approx(111.111 * 7 / 3, rel=1e-5)
    assert dry.solution.concentration_pure_pct == pytest.approx(27)


def test_a_stock_counts_its_water_on_its_own() -> None:
    from kettlewright.recipe import Stock
    with pytest.raises(DomainErrors, match="already counts its water"):
        AlkaliPortion("NaOH", stock=Stock(50), count_impurity_as_water=True)
