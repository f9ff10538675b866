"""How a recipe is read, weighed and brought to another size."""

from __future__ import annotations

from fractions import Fraction

import pytest
from kettlewright.errors import DomainError
from kettlewright.plan import MouldTarget, Target, plan_lye, scale_recipe
from kettlewright.pour import Addition, Box, Mould, Residue
from kettlewright.recipe import (
    AlkaliPortion,
    BarsWanted,
    FatPortion,
    Limiting,
    Scale,
    Stock,
    make_lye,
)
from kettlewright.recipe.ingredients import check_shares
from kettlewright.recipe.weighing import EXACT, round_down, round_nearest
from recipes import own_fat, recipe

BASE = recipe(own_fat(700, 190, name="a"), own_fat(300, 257, name="b"))


@pytest.mark.parametrize(("mass", "step", "down", "nearest"), [
    (131.3026, 1, 131, 131), (143.7764, 0.1, 143.7, 143.8), (0.3, 0.1, 0.3, 0.3), (13.0031, 1, 13, 13),
    (2.5, 1, 2, 3), (0.35, 0.1, 0.3, 0.4), (7, 2, 6, 8), (0.0499, 0.05, 0, 0.05)])
def test_masses_go_to_a_step_of_the_scale(mass: float, step: float, down: float, nearest: float) -> None:
    assert round_down(mass, step) == pytest.approx(down, abs=1e-9)
    assert round_nearest(mass, step) == pytest.approx(nearest, abs=1e-9)


def test_every_tenth_of_a_gram_stays_what_it_is() -> None:
    for tenths in range(1, 20_000, 7):
        mass = tenths / 10
        assert Fraction(round_down(mass, 0.1)).limit_denominator(10) == Fraction(tenths, 10)


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


def test_a_one_sided_promise_can_only_leave_more_superfat() -> None:
    found = make_lye(recipe(own_fat(1000, 190), alkalis=(AlkaliPortion("NaOH", purity_at_least_pct=98),)),
                     EXACT).superfat
    assert found.worst_case_pct.min == pytest.approx(5, abs=1e-6)
    assert found.worst_case_pct.max == pytest.approx(100 * (1 - 0.95 * 0.98), abs=1e-6)


def test_a_table_range_too_narrow_to_be_true_is_widened_to_one_percent_either_way() -> None:
    fat = make_lye(recipe(FatPortion("jojoba", mass_g=100)), EXACT).fats[0].fat
    assert fat.range_widened
    value = fat.saponification_value
    assert (value.min, value.max) == (pytest.approx(91.278), pytest.approx(93.122))
    assert not make_lye(recipe(FatPortion("olive", mass_g=100)), EXACT).fats[0].fat.range_widened


def test_the_blend_has_the_range_of_its_fats_by_mass() -> None:
    lye = make_lye(recipe(FatPortion("olive", mass_g=700), FatPortion("coconut", mass_g=300)), EXACT)
    value = lye.saponification_value
    # 0.7 x 184 + 0.3 x 248 and 0.7 x 196 + 0.3 x 265
    assert (value.min, value.mid, value.max) == (pytest.approx(203.2), pytest.approx(209.95), pytest.approx(216.7))


def test_the_same_fat_of_two_lots_is_two_fats() -> None:
    two = recipe(FatPortion("olive", mass_g=10, lot="A"), FatPortion("olive", mass_g=20, lot="B"))
    assert [fat.lot for fat in make_lye(two, EXACT).fats] == ["A", "B"]
    with pytest.raises(ValueError, match="appears twice"):
        recipe(FatPortion("olive", mass_g=10, lot="A"), FatPortion("olive", mass_g=20))


def test_alkali_goes_down_and_water_to_the_nearest_step() -> None:
    lye = make_lye(BASE, Scale(5, 0.5, 0.1))
    assert [fat.weigh_g for fat in lye.fats] == [700, 300]
    # 210100 / 56105.6 x 0.95 x 39.9971 = 142.289, down to 142.0; water from 142.0: 284, to the nearest 5
    assert lye.alkalis[0].mass_g == pytest.approx(142.289, rel=1e-4)
    assert lye.alkalis[0].weigh_g == 142.0
    assert lye.water.weigh_g == 285
    assert lye.solution.mass_g == 427.0


def test_fats_go_to_the_nearest_step_but_down_where_the_size_is_ours() -> None:
    asked = recipe(own_fat(100.6, 190))
    assert make_lye(asked, Scale()).fats[0].weigh_g == 101
    assert make_lye(asked, Scale(), sized_here=True).fats[0].weigh_g == 100


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


def test_alkali_is_computed_anew_and_never_scaled() -> None:
    # 10 g of fat take 1.42 g of alkali, weighed as 1 g; a hundred times that would be 100 g, the true figure 142 g
    small = recipe(own_fat(7, 190), own_fat(3, 257))
    assert make_lye(small, Scale(1, 1, 1)).alkalis[0].weigh_g == 1
    assert scale_recipe(small, Target(factor=100), Scale(1, 1, 1)).lye.lye.alkalis[0].weigh_g == 142


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


def test_what_is_left_must_be_in_the_recipe() -> None:
    for kind, key in (("fat", "c"), ("alkali", "KOH"), ("addition", "sugar")):
        with pytest.raises(ValueError, match=key):
            scale_recipe(BASE, Target(limiting=Limiting(kind, key, 60)), Scale())


@pytest.mark.parametrize(("shares", "good"), [
    ([33.33, 33.33, 33.33], True), ([33.34, 33.33, 33.34], True), ([14.29] * 6 + [14.27], True),
    ([33.33, 33.33, 33.32], False), ([50, 50.011], False)])
def test_shares_add_up_to_100_to_a_hundredth_in_decimals(shares: list[float], good: bool) -> None:
    # the sums in decimals: 99.99, 100.01, 100.01; 99.98, 100.011
    if good:
        check_shares(shares, "fats")
    else:
        with pytest.raises(DomainError, match="must add up to 100"):
            check_shares(shares, "fats")


def test_a_size_beyond_any_workshop_is_rejected() -> None:
    with pytest.raises(ValueError, match="has masses outside the limits"):
        scale_recipe(BASE, Target(factor=9000), Scale())


def test_errors_name_their_place() -> None:
    with pytest.raises(DomainError) as caught:
        make_lye(recipe(own_fat(1000, 190), own_fat(0.2, 200)), Scale())
    assert caught.value.field == ("fats", 1)
