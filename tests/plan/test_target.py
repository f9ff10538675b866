"""The size that a recipe is scaled to."""

from __future__ import annotations

import pytest
from kettlewright.plan import MouldTarget, Target, plan_lye, scale_recipe
from kettlewright.pour import Addition, Box, Mould, Residue
from kettlewright.recipe import BarsWanted, Limiting, Scale
from kettlewright.recipe.weighing import EXACT
from recipes import BASE


@pytest.mark.parametrize(("target", "factor"), [
    (Target(factor=2.5), 2.5), (Target(fats_mass_g=3000), 3.0), (Target(limiting=Limiting("fat", "b", 450)), 1.5),
    # 142.289 g of alkali at factor 1
    (Target(limiting=Limiting("alkali", "NaOH", 142.289 * 4)), 4.0),
    # batter 1000 + 3 x 142.289
    (Target(batter_mass_g=1426.867 * 2), 2.0),
    # 20 bars of 100 g after 11 % loss: 2247.19 g
    (Target(bars=BarsWanted(20, 100, 11)), 2247.191 / 1426.867)])
def test_every_target_gives_its_factor(target: Target, factor: float) -> None:
    found = scale_recipe(BASE, target, Scale())
    assert found.factor == pytest.approx(factor, rel=1e-4)
    assert [fat.mass_g for fat in found.recipe.fats] == [pytest.approx(700 * factor, rel=1e-4),
                                                         pytest.approx(300 * factor, rel=1e-4)]


def test_a_mould_is_filled_by_the_factor() -> None:
    # a recipe of 1420 g of batter for a mould of 5000 g and 35 g of residue: 3.54577 times as much
    mould = Mould(Box(200, 100, 100))
    residue = Residue(35, 0)
    lye = plan_lye(BASE, EXACT)
    found = scale_recipe(BASE, Target(mould=MouldTarget(mould, residue)), Scale())
    assert found.factor == pytest.approx((2000 * lye.batter.density + 35) / lye.lye.mass_g, rel=1e-9)
    assert pytest.approx(3.54577, rel=1e-5) == (5000 + 35) / 1420


def test_additions_take_room_and_can_be_what_is_left() -> None:
    sugar = Addition("sugar", "sugar", 2, "pct_of_fats")
    mould = Target(mould=MouldTarget(Mould(Box(200, 100, 100)), Residue()))
    with_sugar, without = scale_recipe(BASE, mould, Scale(), additions=[sugar]), scale_recipe(BASE, mould, Scale())
    assert with_sugar.factor is not None
    assert without.factor is not None
    assert with_sugar.factor == pytest.approx(without.factor * 1426.867 / 1446.867, rel=1e-4)
    left = scale_recipe(BASE, Target(limiting=Limiting("addition", "sugar", 60)), Scale(), additions=[sugar])
    assert left.factor == pytest.approx(3.0)
