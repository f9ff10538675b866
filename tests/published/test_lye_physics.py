"""Density and heat of lye against published and worked values."""

from __future__ import annotations

import pytest
from kettlewright.plan import plan_lye
from kettlewright.pour import batter_of
from kettlewright.recipe import FatPortion, Recipe, Scale, make_lye
from kettlewright.recipe.heat import AlkaliInJug, PeakTemperature, peak_temperature
from kettlewright.recipe.lye_solution import koh_solution_density, naoh_solution_density
from kettlewright.recipe.weighing import EXACT
from recipes import own_fat, recipe


def naoh_peak(naoh: float, water: float, start: float) -> PeakTemperature:
    found = peak_temperature([AlkaliInJug("NaOH", naoh)], [], lye_g=naoh + water, water_g=water, water_c=start)
    assert found is not None
    return found


@pytest.mark.parametrize(("concentration", "temperature", "density"), [
    (1 / 3, 40, 1.3495), (0.30, 25, 1.3244), (0.25, 30, 1.2680), (0.31, 27, 1.3337), (0.28, 45, 1.2907)])
def test_sodium_hydroxide_solution(concentration: float, temperature: float, density: float) -> None:
    # computed: a closed form fitted to the same caustic-soda table; 0.002 g/mL
    assert naoh_solution_density(concentration, temperature) == pytest.approx(density, abs=0.002)


@pytest.mark.parametrize(("percent", "density"), [(10, 1.1089), (20, 1.2191), (30, 1.3279)])
def test_sodium_hydroxide_solution_at_20_degrees_in_another_handbook(percent: float, density: float) -> None:
    # from memory: CRC Handbook, concentrative properties of aqueous solutions, 20 degC; 0.2 %
    assert naoh_solution_density(percent / 100, 20) == pytest.approx(density, rel=2e-3)


def test_fifty_percent_sodium_hydroxide_is_one_and_a_half_times_as_heavy_as_water() -> None:
    assert naoh_solution_density(0.50, 20) == pytest.approx(1.52, abs=0.01)  # read: producers' data, 1.52 at 20 degC


@pytest.mark.parametrize(("concentration", "temperature", "density"), [
    (0.30, 25, 1.2868), (0.45, 20, 1.4538), (0.20, 40, 1.1776)])
def test_potassium_hydroxide_solution(concentration: float, temperature: float, density: float) -> None:
    # computed: Laliberte 2009 as implemented in a general-purpose reference library; 0.001 g/mL
    assert koh_solution_density(concentration, temperature) == pytest.approx(density, abs=0.001)


def test_potassium_hydroxide_at_45_percent_as_a_laboratory_gives_it() -> None:
    assert koh_solution_density(0.45, 25) == pytest.approx(1.456, rel=4e-3)  # read: a laboratory's page


@pytest.mark.parametrize(("naoh", "water", "start", "peak"), [
    (132, 264, 20, 103.7), (132, 264, 5, 88.7), (20, 100, 17, 64.3), (140, 260, 22, 107.6), (100, 300, 20, 87.4)])
def test_peak_temperature_with_the_older_heat(naoh: float, water: float, start: float, peak: float) -> None:
    # computed by hand from the integral heat of solution (older NBS set); 0.2 degC
    found = naoh_peak(naoh, water, start)
    assert found.range.min == pytest.approx(peak, abs=0.2)


def test_peak_temperature_is_above_what_an_experiment_reached() -> None:
    # read: 20 g NaOH into 100 mL water of 17 degC reached 60 degC in an open beaker
    found = naoh_peak(20, 100, 17)
    assert 60 < found.range.min < 66
    assert found.after_heat_loss.min == pytest.approx(17 + 0.9 * 47.3, abs=0.2)


def test_the_newer_heat_adds_three_to_five_degrees() -> None:
    found = naoh_peak(132, 264, 20)
    # 1.62 kJ/mol (Parker 1965 less the older set) x 3.30024 mol / (0.396 kg x 3.574 kJ/(kg K)) = 3.78 K
    assert found.range.max - found.range.min == pytest.approx(3.78, abs=0.02)


def test_beyond_the_table_the_bound_per_kilogram_holds() -> None:
    # 45 % lye: 307 kJ/kg over 3.386 kJ/(kg K) = 90.67 K
    found = naoh_peak(450, 550, 10)
    assert found.range.min == pytest.approx(10 + 90.67, abs=0.05)


@pytest.mark.parametrize(("fat", "superfat", "concentration", "density", "alkali", "mass", "volume", "batter"), [
    (own_fat(1000, 195), 5, 100 / 3, 0.910, 132.063, 1396.19, 1392.5, 1.0027),
    (own_fat(800, 250), 3, 30, 0.908, 138.301, 1261.00, 1231.7, 1.0238)])
def test_batter_volume_by_ideal_mixing(fat: FatPortion, superfat: float, concentration: float, density: float,
                                       alkali: float, mass: float, volume: float, batter: float) -> None:
    # computed by hand; 3 mL
    from dataclasses import replace

    from kettlewright.recipe import WaterRule
    lye = make_lye(recipe(replace(fat, density=density), superfat=superfat,
                          water=WaterRule(lye_concentration_pct=concentration)), EXACT)
    found = batter_of(lye)
    assert lye.alkalis[0].mass_g == pytest.approx(alkali, rel=1e-4)
    assert found.mass_g == pytest.approx(mass, rel=1e-4)
    assert found.volume_ml == pytest.approx(volume, abs=3)
    assert found.density == pytest.approx(batter, abs=0.003)


def _ounces_of_fat_per_cubic_inch(requested: Recipe) -> float:
    found = batter_of(make_lye(requested, EXACT))
    assert found.fats_mass_g is not None
    return 16.387064 / 28.349523 * found.fats_mass_g / found.volume_ml


@pytest.mark.parametrize(("concentration", "at_190", "at_212"), [
    (25, 0.382, 0.371), (28, 0.396, 0.385), (30, 0.404, 0.394), (100 / 3, 0.416, 0.406), (36, 0.424, 0.415),
    (40, 0.434, 0.426)])
def test_the_rule_of_thumb_of_four_tenths_is_right_for_one_strength_of_lye_only(
        concentration: float, at_190: float, at_212: float) -> None:
    # "cubic inches x 0.40 = ounces of fats": common practice, no source; the exact figure computed by hand
    from kettlewright.recipe import WaterRule
    for value, expected in ((190, at_190), (212, at_212)):
        requested = recipe(own_fat(1000, value), water=WaterRule(lye_concentration_pct=concentration))
        assert _ounces_of_fat_per_cubic_inch(requested) == pytest.approx(expected, abs=0.001)


def test_water_at_38_percent_of_fats_overfills_by_the_rule_of_thumb() -> None:
    from kettlewright.recipe import WaterRule
    requested = recipe(own_fat(1000, 190), water=WaterRule(water_pct_of_fats=38))
    assert _ounces_of_fat_per_cubic_inch(requested) == pytest.approx(0.3836, abs=0.001)


def test_a_measured_density_overrides_the_estimate() -> None:
    plan = plan_lye(recipe(own_fat(1000, 190)), Scale(), batter_density=0.95)
    assert plan.batter.density == 0.95
    assert plan.batter.volume_ml == pytest.approx(plan.lye.mass_g / 0.95)
