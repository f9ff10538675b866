"""Heat of lye beyond dry sodium hydroxide: stocks, potassium hydroxide, ice, and where lye and fats meet."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from kettlewright.cautions import of_lye
from kettlewright.recipe import (
    AcidPortion,
    AlkaliPortion,
    LiquidPortion,
    Scale,
    Stock,
    Temperatures,
    WaterRule,
    make_lye,
)
from kettlewright.recipe.acids import ACIDS
from kettlewright.recipe.heat import (
    AlkaliInJug,
    PeakTemperature,
    WaterInJug,
    lye_heat_capacity,
    naoh_heat,
    peak_temperature,
)
from kettlewright.recipe.lye_result import Lye
from kettlewright.recipe.lye_solution import density_is_valid, koh_solution_density, naoh_solution_density
from kettlewright.recipe.meeting import batter_temperature, lye_temperature_for
from recipes import own_fat, recipe


def peak(alkalis: list[AlkaliInJug], waters: list[WaterInJug], lye_g: float, water_g: float, water_c: float,
         ice_can_be_g: float = 0.0) -> PeakTemperature:
    found = peak_temperature(alkalis, waters, lye_g=lye_g, water_g=water_g, water_c=water_c, ice_can_be_g=ice_can_be_g)
    assert found is not None
    return found


@pytest.mark.parametrize(("fats_c", "lye_c", "solid_g", "lye_g", "expected"), [
    (38, 45, 0, 396.2, 40.89), (25, 90, 0, 396.2, 51.84), (25, 85, 300, 429, 41.57)])
def test_where_fats_and_lye_meet(fats_c: float, lye_c: float, solid_g: float, lye_g: float, expected: float) -> None:
    # computed by hand: heat balance, fats 2.0 and lye 3.55 kJ/(kg K), melting 110 kJ/kg
    found = batter_temperature(fats_g=1000, fats_c=fats_c, solid_g=solid_g, lye_g=lye_g, lye_c=lye_c, cp_lye=3.55)
    assert found == pytest.approx(expected, abs=0.01)
    back = lye_temperature_for(pour_c=found, fats_g=1000, fats_c=fats_c, solid_g=solid_g, lye_g=lye_g, cp_lye=3.55)
    assert back == pytest.approx(lye_c, abs=1e-9)


def test_diluting_a_stock_frees_far_less_than_the_solid() -> None:
    # computed by hand: 50 % to 1/3 at 20 degC raises by about 26 degC, the first piece of the table carried on
    found = peak([AlkaliInJug("NaOH", 100, stock_pct=50)], [], 300, 200, 20)
    assert found.range.min == pytest.approx(46.5, abs=0.5)
    assert found.range.min == found.range.max
    assert found.basis == "extrapolated"
    assert peak([AlkaliInJug("NaOH", 100)], [], 300, 200, 20).range.min > 100


def test_the_heat_of_the_table_carried_on_agrees_with_the_bound_per_kilogram() -> None:
    assert naoh_heat(2.22, carried_on=True) == pytest.approx(24.5, abs=0.05)
    assert naoh_heat(2.22) == pytest.approx(24.5, abs=0.2)  # 307 kJ/kg x (39.9971 + 2.22 x 18.0153) g


def test_a_warm_stock_makes_the_lye_warmer() -> None:
    cool = peak([AlkaliInJug("NaOH", 100, 50, 20)], [], 300, 200, 20)
    warm = peak([AlkaliInJug("NaOH", 100, 50, 40)], [], 300, 200, 20)
    # 200 g of stock of 3.25 kJ/(kg K), 20 degC warmer, in 300 g of 3.574: 13.0 / 1.0722 = 12.12
    assert warm.range.min - cool.range.min == pytest.approx(12.12, abs=0.02)


def test_potassium_hydroxide_has_an_upper_bound_and_says_so() -> None:
    # computed: 30 % lye, 308.0 kJ per kg; over 3.023 kJ/(kg K) = 101.9 K
    found = peak([AlkaliInJug("KOH", 300)], [], 1000, 700, 10)
    assert found.basis == "upper_bound"
    assert found.range.max == pytest.approx(10 + 308.0 / 3.023, abs=0.1)
    assert found.range.min == pytest.approx(10 + 0.8 * 308.0 / 3.023, abs=0.1)  # a fifth less: from memory


def test_a_potassium_hydroxide_stock_is_not_known() -> None:
    assert peak_temperature([AlkaliInJug("KOH", 100, 45)], [], lye_g=300, water_g=200, water_c=20) is None


def test_ice_takes_its_melting_heat_and_its_warming() -> None:
    plain = peak([AlkaliInJug("NaOH", 132)], [], 396, 264, 20, ice_can_be_g=264)
    iced = peak([AlkaliInJug("NaOH", 132)], [WaterInJug("ice", 132, 0, True)], 396, 264, 20, ice_can_be_g=264)
    # 132 g x (334 + 4.18 x 20) J / (396 g x 3.574 J/(g K)) = 38.95
    assert plain.range.min - iced.range.min == pytest.approx(38.95, abs=0.02)
    assert plain.with_half_ice is not None
    assert plain.with_half_ice.min == pytest.approx(iced.range.min, abs=1e-9)
    assert iced.with_half_ice is None


def test_heat_capacity_of_a_mixed_lye_lies_between_its_parts() -> None:
    naoh, koh = lye_heat_capacity({"NaOH": 300}, 1000), lye_heat_capacity({"KOH": 300}, 1000)
    assert (naoh, koh) == (pytest.approx(3.601), pytest.approx(3.023))
    assert lye_heat_capacity({"NaOH": 150, "KOH": 150}, 1000) == pytest.approx((naoh + koh) / 2)


@pytest.mark.parametrize(("percent", "celsius", "density"), [
    (50, 20, 1.5253), (50, 60, 1.4967), (40, 30, 1.4232), (32, 40, 1.3362), (24, 60, 1.2388), (10, 20, 1.1078)])
def test_the_density_table_itself(percent: float, celsius: float, density: float) -> None:
    # read: industrial caustic-soda density table from 24 %; computed below
    assert naoh_solution_density(percent / 100, celsius) == pytest.approx(density, abs=5e-5)


def test_a_model_that_is_wrong_for_strong_lye_is_not_used_for_it() -> None:
    # computed: Laliberte 2009 differs from the table by +0.87 % at 50 % and 60 degC, by -0.59 % at 20 degC
    assert abs(naoh_solution_density(0.50, 60) / (1.4967 * 1.0087) - 1) > 0.005
    assert abs(naoh_solution_density(0.50, 20) / (1.5253 * 0.9941) - 1) > 0.005


def test_below_the_table_the_density_goes_on_without_a_jump() -> None:
    for percent in (10, 25, 33, 50):
        at_15, at_20 = naoh_solution_density(percent / 100, 15), naoh_solution_density(percent / 100, 20)
        assert naoh_solution_density(percent / 100, 19.999) == pytest.approx(at_20, abs=1e-5)
        # t(-.019776w + ...) of the closed form at t = -0.5: 0.0008 to 0.004 g/mL denser
        assert 0.0005 < at_15 - at_20 < 0.005


@pytest.mark.parametrize(("alkali", "concentration", "celsius", "valid"), [
    ("NaOH", 0.5, 15, True), ("NaOH", 0.5, 60, True), ("NaOH", 0.501, 40, False), ("NaOH", 0.3, 14.9, False),
    ("NaOH", 0.3, 60.1, False), ("KOH", 0.52, 40, True), ("KOH", 0.521, 40, False)])
def test_a_density_says_where_it_is_valid(alkali: str, concentration: float, celsius: float, valid: bool) -> None:
    assert density_is_valid(alkali, concentration, celsius) is valid


@pytest.mark.parametrize(("percent", "celsius", "density"), [
    (10, 20, 1.0904), (20, 25, 1.1851), (25, 40, 1.2271), (35, 20, 1.3424), (40, 25, 1.3945), (45, 40, 1.4415)])
def test_potassium_hydroxide_density(percent: float, celsius: float, density: float) -> None:
    # computed: Laliberte 2009 by a general-purpose reference library; agrees with a physics table at 18 degC
    assert koh_solution_density(percent / 100, celsius) == pytest.approx(density, abs=1e-3)


def made(temperatures: Temperatures, water: WaterRule | None = None, **more: Any) -> Lye:
    return make_lye(recipe(own_fat(1000, 192), temperatures=temperatures, water=water or WaterRule(water_to_alkali=2),
                           **more), Scale())


def test_a_recipe_says_where_lye_and_fats_meet() -> None:
    lye = made(Temperatures(water_c=20, fats_c=36, lye_c=45, pour_c=38))
    meeting = lye.meeting
    assert meeting is not None
    # 1000 x 2.0 x 36 + 390 x 3.574 x 45 over 1000 x 2.0 + 390 x 3.574
    assert meeting.batter_c == pytest.approx((72000 + 390 * 3.574 * 45) / (2000 + 390 * 3.574), abs=0.02)
    assert meeting.lye_c == pytest.approx(38 + 2000 * 2 / (390 * 3.574), abs=0.02)
    there = lye.solution.at_temperature
    assert there is not None
    assert there.density < lye.solution.density  # at 45 degC lighter than at 40
    assert there.volume_ml * there.density == pytest.approx(lye.solution.mass_g)


def test_a_recipe_with_ice_weighs_it_and_stays_cooler() -> None:
    plain = made(Temperatures(water_c=20)).solution.peak_temperature
    lye = made(Temperatures(water_c=20), WaterRule(water_to_alkali=2, ice_pct=50))
    assert lye.ice is not None
    assert (lye.water.weigh_g, lye.ice.weigh_g) == (260, 130)
    assert plain is not None
    assert lye.solution.peak_temperature is not None
    assert plain.with_half_ice is not None
    assert lye.solution.peak_temperature.range.min == pytest.approx(plain.with_half_ice.min, abs=0.05)


def test_frozen_milk_cools_like_the_ice_in_it() -> None:
    def milk(**more: Any) -> LiquidPortion:
        return LiquidPortion(name="milk", mass_g=100, water_pct=90, **more)

    warm = made(Temperatures(water_c=20), liquids=(milk(),)).solution.peak_temperature
    cold = made(Temperatures(water_c=20), liquids=(milk(temperature_c=5),)).solution.peak_temperature
    frozen = made(Temperatures(water_c=20), liquids=(milk(frozen=True),)).solution.peak_temperature
    assert warm is not None
    assert cold is not None
    assert frozen is not None
    # 90 g of water: 4.18 x 15 J/g, and 334 + 4.18 x 20 J/g, into 390 g of 3.574 J/(g K)
    assert warm.range.min - cold.range.min == pytest.approx(90 * 62.7 / (390 * 3.574), abs=0.05)
    assert warm.range.min - frozen.range.min == pytest.approx(90 * 417.6 / (390 * 3.574), abs=0.1)


def test_both_alkalis_from_two_stocks() -> None:
    requested = recipe(own_fat(700, 190, name="a"), own_fat(300, 257, name="b"), superfat=3, alkalis=(
        AlkaliPortion("NaOH", stock=Stock(50), share_pct=40), AlkaliPortion("KOH", stock=Stock(45), share_pct=60)),
        water=WaterRule(water_to_alkali=2.5), water_c=20)
    lye = make_lye(requested, Scale(1e-9, 1e-9, 1e-9))
    # by equivalents: KOH 122.278 g pure and NaOH 58.1139 g pure (computed); in stocks over 0.45 and 0.50
    assert [alkali.weigh_g for alkali in lye.alkalis] == [pytest.approx(116.228, rel=1e-4),
                                                          pytest.approx(271.729, rel=1e-4)]
    pure = 122.278 + 58.1139
    assert lye.water.weigh_g == pytest.approx(2.5 * pure - 116.228 / 2 - 271.729 * 0.55, rel=1e-4)
    assert lye.solution.peak_temperature is None


def test_an_acid_adds_its_heat_of_neutralisation() -> None:
    # 128.7 g of NaOH for the fats and 12.5 g for 20 g of citric acid in 261 g of water. By hand, heats from memory
    # (54.8 kJ for each mol of acid hydrogens; 18 kJ/mol taken up as the solid dissolves): 3.5304 mol x 34.78 kJ
    # = 122.8, and 20 g x (3 x 54.8 - 18) / 192.124 = 15.2 kJ, together 138.0 kJ
    plain = peak([AlkaliInJug("NaOH", 128.7)], [], 389.7, 261, 20).range.min
    kind = ACIDS["citric_anhydrous"]
    assert kind.heat_kj(20) == pytest.approx(15.24, abs=0.01)
    found = peak_temperature([AlkaliInJug("NaOH", 141.2)], [], lye_g=402.2, water_g=261, water_c=20, acids_g=20,
                             acids_kj=kind.heat_kj(20))
    assert found is not None
    assert found.range.min == pytest.approx(20 + 138.0e3 / (422.2 * 3.555), abs=0.3)
    assert found.range.min - plain == pytest.approx(8.6, abs=0.5)


def test_alkali_that_acids_take_does_not_raise_the_boiling_point() -> None:
    # 0.3123 mol of 20 g of citric acid take 12.5 g of NaOH: 128.7 g of 422.2 are 30.5 %; 117 degC at 30, 120 at 33 %
    found = peak_temperature([AlkaliInJug("NaOH", 141.2)], [], lye_g=402.2, water_g=261, water_c=20, acids_g=20,
                             acids_mol=0.3123)
    assert found is not None
    assert found.boiling_c == pytest.approx(117.5, abs=0.05)


@pytest.mark.parametrize(("key", "kj_per_g"), [
    ("citric_anhydrous", 0.76), ("citric_monohydrate", 0.64), ("lactic", 0.62), ("acetic", 0.94)])
def test_heats_of_acids_for_a_gram(key: str, kj_per_g: float) -> None:
    # from memory: enthalpies of ionisation added to 55.8 kJ/mol, less the heat of dissolving of the solids
    assert ACIDS[key].heat_kj(1) == pytest.approx(kj_per_g, abs=0.006)


def test_an_acid_whose_heat_is_not_known_counts_as_a_strong_one() -> None:
    for kind in ACIDS.values():
        assert 0 < kind.heat_kj(1) <= kind.heat_kj(1, dissolved=True) <= kind.acid_hydrogens * 56.2 / kind.molar_mass


@pytest.mark.parametrize(("strength", "acids"), [(100.0, 20.0), (50.0, 40.0)], ids=["powder", "solution"])
def test_citric_acid_in_an_ordinary_lye_brings_it_near_boiling(strength: float, acids: float) -> None:
    with_it = recipe(own_fat(1000, 195), water=WaterRule(lye_concentration_pct=33),
                     temperatures=Temperatures(water_c=20),
                     acids=(AcidPortion("citric_anhydrous", mass_g=acids, strength_pct=strength),))
    plain = replace(with_it, acids=())
    hot = {one.key: one for one in of_lye(make_lye(with_it, Scale(1, 0.1, 0.1)))}["lye-hot"]
    usual = {one.key: one for one in of_lye(make_lye(plain, Scale(1, 0.1, 0.1)))}["lye-hot"]
    assert (usual.severity, hot.severity) == ("warning", "danger")
    assert "values from memory" in hot.message


def test_a_fatty_acid_melts_in_the_pot_and_does_not_heat_the_jug() -> None:
    fatty = recipe(own_fat(1000, 195), temperatures=Temperatures(water_c=20),
                   acids=(AcidPortion("stearic", mass_g=50),))
    lye = make_lye(fatty, Scale(1, 0.1, 0.1))
    pure = lye.alkalis[0].weigh_pure_g
    assert lye.solution.peak_temperature == peak_temperature(
        [AlkaliInJug("NaOH", pure)], [], lye_g=lye.solution.mass_g, water_g=lye.solution.water_mass_g, water_c=20,
        ice_can_be_g=lye.water.weigh_g)


def test_strong_lye_takes_up_less_heat_than_the_model_carried_on() -> None:
    # older handbooks have 3.2 to 3.3 kJ/(kg K) at 50 % (from memory); up to 40 % they agree with the model within 2 %
    assert 3.2 <= lye_heat_capacity({"NaOH": 500}, 1000) <= 3.3
    assert lye_heat_capacity({"NaOH": 400}, 1000) == pytest.approx(3.522)
