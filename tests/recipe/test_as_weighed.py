"""A batch of what was weighed, the part of the lye to use, the fat to add: hand-worked numbers, laws, edges."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from kettlewright.recipe import (
    AcidPortion,
    AlkaliPortion,
    LiquidPortion,
    Lye,
    OnScale,
    Recipe,
    Scale,
    WaterRule,
    fat_to_add,
    is_kept,
    jug_mass,
    lye_as_weighed,
    make_lye,
    make_lye_for,
    part_of_lye,
    planned_masses,
    with_more_fat,
)
from recipes import own_fat, recipe

PURE = AlkaliPortion("NaOH", purity_pct=100, purity_tolerance_pct=0)
FINE = Scale(readability_g=1e-3, alkali_readability_g=1e-6, dose_readability_g=1e-6)
M_NAOH, M_CITRIC, MG_KOH = 39.9971, 192.124, 56105.6  # computed: IUPAC standard atomic weights


def planned(requested: Recipe, scale: Scale = FINE) -> tuple[Lye, OnScale]:
    lye = make_lye(requested, scale)
    return lye, planned_masses(lye)


def with_alkali(on_scale: OnScale, *masses_g: float, water_g: float | None = None) -> OnScale:
    return replace(on_scale, alkalis_g=masses_g, water_g=on_scale.water_g if water_g is None else water_g)


def test_140_g_of_pure_alkali_on_1000_g_of_190_is_a_superfat_below_0() -> None:
    # by hand: 1 - 140 / (1000 x 190 / 56105.6 x 39.9971) = 1 - 140 / 135.449 = -0.03360
    lye, on_scale = planned(recipe(own_fat(1000, 190), alkalis=(PURE,)))
    found = lye_as_weighed(lye, with_alkali(on_scale, 140.0)).superfat
    assert found.achieved_pct == pytest.approx(-3.360, abs=5e-4)
    assert found.asked_pct == 5
    assert lye_as_weighed(lye, with_alkali(on_scale, 140.0)).alkalis[0].mass_g == lye.alkalis[0].mass_g


@pytest.mark.parametrize(("value", "mass_g"), [(190, 33.600), (257, 24.841)])
def test_the_fat_that_brings_it_back_is_that_of_the_formula(value: float, mass_g: float) -> None:
    # m_x = (140 / 39.9971 - 1000 x 190 / 56105.6) x 56105.6 / SV_x, by hand: 0.1137834 mol; exact values, fine scale
    requested = recipe(own_fat(999.9, 190, name="pot"), own_fat(0.1, value, name="rescue"), alkalis=(PURE,))
    lye, on_scale = planned(requested)
    demand = (999.9 * 190 + 0.1 * value) / MG_KOH
    by_hand = (140 / M_NAOH - demand) * MG_KOH / value
    assert by_hand == pytest.approx(mass_g, abs=0.04)
    found = fat_to_add(lye, with_alkali(on_scale, 140.0), 1)
    assert found == pytest.approx(by_hand, abs=3e-3)
    assert found > by_hand


def likely_low(mass_g: float, alkali_g: float) -> float:
    """Lower likely edge, one fat of 190 +/- 6, purity 98 +/- 1, scales of 1 and 0.1 g (JCGM 100, read second-hand)."""
    s = 1 - alkali_g * 0.98 / (M_NAOH * mass_g * 190 / MG_KOH)
    u = (1 - s) * math.sqrt(((0.05 / alkali_g) ** 2 + (0.01 / 0.98) ** 2 + (6 / 190) ** 2 + (0.5 / mass_g) ** 2) / 3)
    worst = 1 - (alkali_g + 0.05) * 0.99 / (M_NAOH * (mass_g - 0.5) * 184 / MG_KOH)
    return max(s - 2 * u, worst)


def test_the_fat_to_add_is_the_first_gram_that_lifts_the_lower_likely_edge_above_0() -> None:
    requested = recipe(own_fat(1000, 190, 6), alkalis=(AlkaliPortion("NaOH", purity_pct=98, purity_tolerance_pct=1),))
    lye, on_scale = planned(requested, Scale())
    by_hand = next(grams for grams in range(1, 400) if likely_low(1000 + grams, 140.0) > 0)
    assert likely_low(1000, 140.0) < 0
    assert fat_to_add(lye, with_alkali(on_scale, 140.0), 0) == pytest.approx(by_hand)


def test_a_superfat_at_least_is_the_goal_of_the_fat_to_add() -> None:
    requested = recipe(own_fat(1000, 190, 6), at_least=2,
                       alkalis=(AlkaliPortion("NaOH", purity_pct=98, purity_tolerance_pct=1),))
    lye, on_scale = planned(requested, Scale())
    by_hand = next(grams for grams in range(1, 400) if likely_low(1000 + grams, 140.0) >= 0.02)
    assert fat_to_add(lye, with_alkali(on_scale, 140.0), 0) == pytest.approx(by_hand)


def test_no_mass_that_a_workshop_holds_may_be_enough() -> None:
    lye, on_scale = planned(recipe(own_fat(1000, 190), alkalis=(PURE,)), Scale())
    assert fat_to_add(lye, with_alkali(on_scale, 999_999.0), 0) is None


def test_the_part_of_a_lye_too_strong_is_that_of_the_formula() -> None:
    # 0.95 x 1000 x 190 / 56105.6 x 39.9971 = 128.677 of 140 g, so 0.91912 of the 420 g in the jug: 386.03, down to 386
    lye, on_scale = planned(recipe(own_fat(1000, 190), alkalis=(PURE,)), Scale())
    weighed = with_alkali(on_scale, 140.0, water_g=280.0)
    found = part_of_lye(lye, weighed)
    assert found is not None
    assert found.lye_part * jug_mass(lye, weighed) == pytest.approx(386)
    after = lye_as_weighed(lye, found)
    assert after.superfat.achieved_pct == pytest.approx(100 - 95 * 386 / 386.03, abs=1e-3)
    assert after.water.weigh_g == pytest.approx(280 * 386 / 420)


def test_acid_in_the_jug_is_left_behind_with_the_lye_and_acid_in_the_pot_is_not() -> None:
    demand = 1000 * 190 / MG_KOH
    jug = recipe(own_fat(1000, 190), alkalis=(PURE,), acids=(AcidPortion("citric_anhydrous", mass_g=15),))
    lye, on_scale = planned(jug)
    weighed = with_alkali(on_scale, 150.0, water_g=300.0)
    found = part_of_lye(lye, weighed)
    # by hand: f (150 / 39.9971 - 15 x 3 / 192.124) = 0.95 E
    assert found is not None
    assert found.lye_part == pytest.approx(0.95 * demand / (150 / M_NAOH - 45 / M_CITRIC), rel=1e-5)
    pot = recipe(own_fat(1000, 190), alkalis=(PURE,), acids=(AcidPortion("stearic", mass_g=20),))
    lye, on_scale = planned(pot)
    weighed = with_alkali(on_scale, 150.0, water_g=300.0)
    found = part_of_lye(lye, weighed)
    assert found is not None
    assert jug_mass(lye, weighed) == 450  # without the stearic acid
    # by hand: f x 150 / 39.9971 - 20 / 284.478 = 0.95 E
    assert found.lye_part == pytest.approx((0.95 * demand + 20 / 284.478) / (150 / M_NAOH), rel=1e-5)


def test_fat_in_a_liquid_stays_in_the_lye_that_is_left() -> None:
    milk = LiquidPortion(name="goat milk", mass_g=200, water_pct=90, fat_pct=10,
                         saponification_value=own_fat(1, 230).saponification_value)
    lye, on_scale = planned(recipe(own_fat(1000, 190), alkalis=(PURE,), liquids=(milk,)))
    found = part_of_lye(lye, with_alkali(on_scale, 160.0))
    assert found is not None
    # by hand: f x 160 / 39.9971 = 0.95 (E_pot + f x 20 x 230 / 56105.6)
    assert found.lye_part == pytest.approx(
        0.95 * 1000 * 190 / MG_KOH / (160 / M_NAOH - 0.95 * 20 * 230 / MG_KOH), rel=1e-5)


def test_a_part_of_the_lye_keeps_a_superfat_at_least_over_the_whole_range() -> None:
    requested = recipe(own_fat(1000, 190, 6), at_least=2,
                       alkalis=(AlkaliPortion("NaOH", purity_pct=98, purity_tolerance_pct=1),))
    lye, on_scale = planned(requested, Scale())
    weighed = with_alkali(on_scale, 140.0, water_g=280.0)
    found = part_of_lye(lye, weighed)
    assert found is not None
    used = found.lye_part * 420
    # by hand: lowest fat and value, strongest alkali, half a step of the jug's scale and of the lye's over it
    worst = 100 * (1 - (140 * used / 420 + 0.05 * used / 420 + 140 * 0.5 / 420) * 0.99 / M_NAOH
                   / (999.5 * 184 / MG_KOH))
    assert lye_as_weighed(lye, found).superfat.worst_case_pct.min == pytest.approx(worst, abs=1e-4)
    assert worst >= 2
    more = replace(found, lye_part=(used + 1) / 420)
    assert not is_kept(lye_as_weighed(lye, more).superfat, 2, at_least=True)


def test_not_one_step_of_a_lye_may_be_fit() -> None:
    lye, on_scale = planned(recipe(own_fat(3, 190), alkalis=(PURE,)),
                            Scale(readability_g=1, alkali_readability_g=1e-3, dose_readability_g=1e-3))
    # 3 g of 190 take 0.406 g of alkali, and the smallest step of this lye holds more
    assert part_of_lye(lye, with_alkali(on_scale, 900_000.0, water_g=3.0)) is None


def test_alkali_for_fats_in_the_pot_does_not_round_them() -> None:
    requested = recipe(own_fat(1000, 190), alkalis=(PURE,), water=WaterRule(water_to_alkali=2))
    found = make_lye_for(requested, Scale(), [1012.4], fatty_acids_g={})
    # 0.95 x 1012.4 x 190 / 56105.6 x 39.9971 = 130.272, down to 130.2; 1012 g would give 130.2 as well, 1012.8 not
    assert found.fats[0].weigh_g == 1012.4
    assert found.alkalis[0].weigh_g == pytest.approx(130.2)
    assert found.alkalis[0].mass_g == pytest.approx(130.2721, abs=1e-3)
    assert found.water.weigh_g == 260
    assert make_lye_for(requested, Scale(), [1012.8], fatty_acids_g={}).alkalis[0].weigh_g == pytest.approx(130.3)


def test_acids_in_percent_follow_the_fats_and_fatty_ones_lie_in_the_pot() -> None:
    requested = recipe(own_fat(1000, 190), alkalis=(PURE,), acids=(
        AcidPortion("citric_anhydrous", pct_of_fats=2), AcidPortion("stearic", pct_of_fats=2)))
    found = make_lye_for(requested, Scale(), [1100.0], fatty_acids_g={1: 25.0})
    assert [one.weigh_g for one in found.acids] == [pytest.approx(22.0), 25.0]


@given(st.floats(-40, 40), st.floats(-40, 40))
def test_more_fat_never_asks_for_less_alkali(off_g: float, more_g: float) -> None:
    requested = recipe(own_fat(700, 190, 6), own_fat(300, 257, 8))
    less = make_lye_for(requested, Scale(), [700 + off_g, 300.0], fatty_acids_g={})
    more = make_lye_for(requested, Scale(), [700 + off_g + abs(more_g), 300.0], fatty_acids_g={})
    assert more.alkalis[0].weigh_g >= less.alkalis[0].weigh_g
    assert less.superfat.achieved_pct >= 5 - 1e-9


def test_weighing_what_was_planned_gives_what_was_planned() -> None:
    milk = LiquidPortion(name="goat milk", mass_g=60, water_pct=87, fat_pct=4,
                         saponification_value=own_fat(1, 230, 10).saponification_value)
    requested = recipe(own_fat(700, 190, 6), own_fat(300, 257, 8), liquids=(milk,), water_c=10, acids=(
        AcidPortion("citric_anhydrous", mass_g=10), AcidPortion("stearic", mass_g=20)),
        alkalis=(AlkaliPortion("NaOH", share_pct=60, purity_pct=98), AlkaliPortion("KOH", share_pct=40, purity_pct=90)))
    lye, on_scale = planned(requested, Scale())
    found = lye_as_weighed(lye, on_scale)
    assert (found.superfat, found.solution, found.soap, found.mass_g, found.alkalis) == (
        lye.superfat, lye.solution, lye.soap, lye.mass_g, lye.alkalis)


@given(st.floats(1.0, 400.0), st.sampled_from([0, 1]))
def test_the_fat_to_add_is_enough_and_a_step_less_is_not(over_g: float, index: int) -> None:
    lye, on_scale = planned(recipe(own_fat(700, 190, 6), own_fat(300, 257, 8)), Scale())
    weighed = with_alkali(on_scale, on_scale.alkalis_g[0] + over_g)
    if lye_as_weighed(lye, weighed).superfat.likely_pct.min > 0:
        return
    mass = fat_to_add(lye, weighed, index)
    assert mass is not None
    assert lye_as_weighed(lye, with_more_fat(weighed, index, mass)).superfat.likely_pct.min > 0
    if mass > 1:
        assert lye_as_weighed(lye, with_more_fat(weighed, index, mass - 1)).superfat.likely_pct.min <= 0


def test_acid_that_eats_more_alkali_than_there_is_leaves_all_fat_free() -> None:
    lye, on_scale = planned(recipe(own_fat(1000, 190, 6), alkalis=(PURE,), acids=(AcidPortion("stearic", mass_g=80),)))
    found = lye_as_weighed(lye, with_alkali(on_scale, 0.1))
    assert found.superfat.achieved_pct > 100
    assert found.superfat.likely_pct.min <= found.superfat.achieved_pct <= found.superfat.likely_pct.max
    assert found.soap.free_fat_mass_g == 1000
