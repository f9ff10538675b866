"""What is weighed for a recipe; fifty percent is the strongest lye, however it is made up."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from kettlewright.errors import DomainError, DomainErrors, Unsolvable
from kettlewright.ranges import Range
from kettlewright.recipe import AlkaliPortion, FatPortion, Recipe, Scale, Stock, WaterRule, make_lye
from kettlewright.recipe.weighing import EXACT
from recipes import BASE, own_fat, recipe


def recipe_of(alkalis: tuple[AlkaliPortion, ...], water: WaterRule, mass_g: float = 1000.0) -> Recipe:
    fat = FatPortion(name="a fat", mass_g=mass_g, saponification_value=Range(185, 195))
    return Recipe(fats=(fat,), superfat_pct=5, alkalis=alkalis, water=water)


STEPS = st.sampled_from([0.01, 0.1, 1.0, 5.0, 28.349523125 / 20])


def test_the_blend_has_the_range_of_its_fats_by_mass() -> None:
    lye = make_lye(recipe(FatPortion("olive", mass_g=700), FatPortion("coconut", mass_g=300)), EXACT)
    value = lye.saponification_value
    # 0.7 x 184 + 0.3 x 248 and 0.7 x 196 + 0.3 x 265
    assert (value.min, value.mid, value.max) == (pytest.approx(203.2), pytest.approx(209.95), pytest.approx(216.7))


def test_alkali_goes_down_and_water_to_the_nearest_step() -> None:
    lye = make_lye(BASE, Scale(5, 0.5, 0.1))
    assert [fat.weigh_g for fat in lye.fats] == [700, 300]
    # 210100 / 56105.6 x 0.95 x 39.9971 = 142.289, down to 142.0; water from 142.0: 284, to the nearest 5
    assert lye.alkalis[0].mass_g == pytest.approx(142.289, rel=1e-4)
    assert lye.alkalis[0].weigh_g == 142.0
    assert lye.water.weigh_g == 285
    assert lye.solution.mass_g == 427.0


def test_fats_go_to_the_nearest_step_but_down_where_the_size_is_ours() -> None:
    requested = recipe(own_fat(100.6, 190))
    assert make_lye(requested, Scale()).fats[0].weigh_g == 101
    assert make_lye(requested, Scale(), sized_here=True).fats[0].weigh_g == 100


def test_errors_name_their_place() -> None:
    with pytest.raises(DomainError) as caught:
        make_lye(recipe(own_fat(1000, 190), own_fat(0.2, 200)), Scale())
    assert caught.value.field == ("fats", 1)


@given(st.floats(200, 9000), STEPS, st.floats(90, 100), st.sampled_from([
    WaterRule(lye_concentration_pct=50), WaterRule(water_to_alkali=1)]))
def test_exactly_half_alkali_is_accepted_whatever_the_rounding(mass: float, step: float, purity: float,
                                                               water: WaterRule) -> None:
    for alkali in (AlkaliPortion("NaOH"), AlkaliPortion("NaOH", purity_pct=purity),
                   AlkaliPortion("NaOH", stock=Stock(50))):
        lye = make_lye(recipe_of((alkali,), water, mass), Scale(step, 0.1, 0.1))
        assert lye.solution.concentration_pure_pct <= 50 + 1e-6
        assert lye.solution.concentration_pct >= 45 - step


def test_dry_alkali_stirred_into_a_stock_counts_together() -> None:
    # half of the equivalents dry and half from a 50 % stock: 50 % is reached with water for the dry part alone
    both = (AlkaliPortion("NaOH", share_pct=50), AlkaliPortion("KOH", share_pct=50, stock=Stock(50)))
    lye = make_lye(recipe_of(both, WaterRule(lye_concentration_pct=50)), Scale(1, 0.1, 0.1))
    assert lye.water.weigh_g == pytest.approx(lye.alkalis[0].weigh_g, abs=1)
    with pytest.raises((Unsolvable, DomainErrors), match="above 50 %"):
        make_lye(recipe_of(both, WaterRule(lye_concentration_pct=51)), Scale(1, 0.1, 0.1))


@pytest.mark.parametrize("alkali", [AlkaliPortion("NaOH"), AlkaliPortion("KOH", purity_pct=95)])
def test_more_than_half_is_rejected(alkali: AlkaliPortion) -> None:
    with pytest.raises((Unsolvable, DomainErrors), match="above 50 %"):
        make_lye(recipe_of((alkali,), WaterRule(water_to_alkali=0.8)), Scale(1, 0.1, 0.1))
