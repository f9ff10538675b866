"""The range of the superfat against values worked by hand.

Source: computed by hand; corners exact, likely range after JCGM 100 (GUM), rectangular inputs, coverage factor 2 (read
second-hand). Absolute tolerance 2e-5 of the fraction, so 2e-3 points.
"""

from __future__ import annotations

import pytest
from kettlewright.ranges import Range
from kettlewright.recipe import AlkaliPortion, Scale, make_lye
from kettlewright.recipe.superfat import AlkaliInPot, FatInPot, superfat
from recipes import own_fat, recipe

NAOH_98 = AlkaliPortion("NaOH", purity_pct=98, purity_tolerance_pct=1)
# a purity of exactly 100: what the tolerance below leaves out, the hand calculation leaves out as well
PURE = AlkaliPortion("NaOH", purity_pct=100, purity_tolerance_pct=0)


def points(fraction: float) -> object:
    return pytest.approx(100 * fraction, abs=2e-3)


def test_one_fat_on_a_kitchen_scale() -> None:
    lye = make_lye(recipe(own_fat(1000, 190, 6), alkalis=(NAOH_98,)), Scale(1, 1, 1))
    assert lye.alkalis[0].mass_g == pytest.approx(131.3026, abs=1e-3)
    assert lye.alkalis[0].weigh_g == 131
    found = lye.superfat
    assert found.achieved_pct == points(0.052190)
    assert (found.worst_case_pct.min, found.worst_case_pct.max) == (points(0.00703), points(0.09450))
    assert (found.likely_pct.min, found.likely_pct.max) == (points(0.01563), points(0.08875))


def test_three_fats_and_a_finer_scale_for_the_alkali() -> None:
    requested = recipe(own_fat(600, 190, 6), own_fat(250, 256.5, 8.5), own_fat(150, 199.5, 9.5), alkalis=(NAOH_98,))
    lye = make_lye(requested, Scale(1, 0.1, 0.1))
    assert lye.alkalis[0].mass_g == pytest.approx(143.7764, abs=1e-3)
    assert lye.alkalis[0].weigh_g == pytest.approx(143.7)
    found = lye.superfat
    assert found.achieved_pct == points(0.050505)
    assert (found.worst_case_pct.min, found.worst_case_pct.max) == (points(0.00479), points(0.09315))
    assert (found.likely_pct.min, found.likely_pct.max) == (points(0.02466), points(0.07635))


def test_a_small_batch_is_rounded_down_never_up() -> None:
    lye = make_lye(recipe(own_fat(100, 192), alkalis=(PURE,)), Scale(1, 1, 1))
    assert lye.alkalis[0].mass_g == pytest.approx(13.0031, abs=1e-4)
    assert lye.alkalis[0].weigh_g == 13  # 14 would be lye-heavy: -2.2832 %
    assert lye.superfat.achieved_pct == points(0.050227)
    assert lye.superfat.worst_case_pct.min == points(0.00874)
    assert lye.superfat.worst_case_pct.max == points(0.09130)


def test_a_finer_scale_narrows_the_range() -> None:
    found = make_lye(recipe(own_fat(100, 192), alkalis=(PURE,)), Scale(0.1, 0.1, 0.1)).superfat
    assert found.worst_case_pct.min == points(0.04610)
    assert found.worst_case_pct.max == points(0.05435)


def test_a_gain_error_common_to_both_scales_cancels() -> None:
    def achieved(alkali_g: float, fat_g: float) -> float:
        return superfat([FatInPot("fat", "fat", fat_g, Range(184, 196))],
                        [AlkaliInPot("NaOH", "lye", alkali_g, 0.98, Range(0.97, 0.99), 39.9971)],
                        asked_pct=2, readability_g=0.1, alkali_readability_g=0.1,
                        dose_readability_g=0.1).achieved_pct

    assert achieved(129.8, 1000) == points(0.060872)
    assert achieved(129.8 * 1.01, 1010) == points(0.060872)
    assert achieved(129.8 * 1.01, 1000) == points(0.051481)


B4 = recipe(own_fat(1000, 190, 6), at_least=2, alkalis=(AlkaliPortion("NaOH", purity_pct=98),))
TENTHS = Scale(0.1, 0.1, 0.1)


def test_a_floor_holds_over_the_whole_declared_range_scale_errors_included() -> None:
    # computed by hand: (1 - 0.02) x 39.9971 x (1000 - 0.05) x 184 / 56105.6 / 0.99 - 0.05 = 129.7902
    lye = make_lye(B4, TENTHS)
    assert lye.alkalis[0].weigh_g == pytest.approx(129.7)
    assert lye.superfat.worst_case_pct.min == points(0.020681)


def test_a_floor_without_the_scale_errors_would_not_hold() -> None:
    # 129.8 g: 0.020353 at the corner of fat and purity, but 0.019926 once scales of 0.1 g err by 0.05 g
    found = superfat([FatInPot("fat", "fat", 1000, Range(184, 196))],
                     [AlkaliInPot("NaOH", "lye", 129.8, 0.98, Range(0.97, 0.99), 39.9971)], asked_pct=2,
                     readability_g=0.1, alkali_readability_g=0.1, dose_readability_g=0.1)
    assert found.worst_case_pct.min == points(0.019926)
    assert found.achieved_pct == points(0.060872)


def test_what_a_floor_costs_is_reported() -> None:
    cost = make_lye(B4, TENTHS).superfat.floor_cost
    assert cost is not None
    # 129.7 g: 1 - 129.7 x 0.98 / 39.9971 / (190000 / 56105.6) = 6.1596 %
    assert cost.extra_superfat_pct == pytest.approx(4.1596, abs=1e-3)
    assert cost.extra_free_fat_mass_g == pytest.approx(41.6, abs=0.05)
    assert "averages 6.2 %: 4.2 percentage points more than requested, or about 42 g of fat" in cost.text


def test_the_remedy_is_the_calculation_done_again() -> None:
    requested = recipe(own_fat(1000, 190, 6), alkalis=(AlkaliPortion("NaOH", purity_pct=98),))
    found = make_lye(requested, Scale(1, 1, 1)).superfat.dominant
    known = make_lye(recipe(own_fat(1000, 190), alkalis=(AlkaliPortion("NaOH", purity_pct=98),)), Scale(1, 1, 1))
    assert found is not None
    assert found.variance_share_pct == pytest.approx(89.34, abs=0.01)  # computed: .8934 of the variance
    assert found.likely_pct_if_known.min == pytest.approx(known.superfat.likely_pct.min, abs=1e-9)
    assert found.likely_pct_if_known.max == pytest.approx(known.superfat.likely_pct.max, abs=1e-9)
    assert f"to one of {known.superfat.likely_pct.min:.1f} to {known.superfat.likely_pct.max:.1f} %." in found.text


def test_where_nothing_is_uncertain_nothing_dominates() -> None:
    exact = AlkaliPortion("NaOH", purity_pct=98, purity_tolerance_pct=0)
    found = make_lye(recipe(own_fat(1000, 190), alkalis=(exact,)), Scale(1e-9, 1e-9, 1e-9)).superfat
    assert found.likely_pct.max - found.likely_pct.min < 1e-6
