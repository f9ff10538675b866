"""What the batch becomes: soap, glycerol, free fat, free alkali, fatty matter."""

from __future__ import annotations

import pytest
from kettlewright.ranges import Range
from kettlewright.recipe import FatPortion, make_lye
from kettlewright.recipe.soap import Saponified, soap_made
from kettlewright.recipe.weighing import EXACT
from recipes import own_fat, recipe


def test_free_acids_of_an_old_fat_set_water_free_in_place_of_glycerol() -> None:
    old = FatPortion(name="old lard", saponification_value=Range(196, 196), mass_g=1000, acid_value=10)
    fresh, aged = make_lye(recipe(own_fat(1000, 196)), EXACT), make_lye(recipe(old), EXACT)
    assert aged.alkalis[0].weigh_g == fresh.alkalis[0].weigh_g  # the acid value is a part of the saponification value
    # glycerol of 950 g: 950 x (196 - 10) x 0.00054714; water of 950 x 10 / 56105.6 x 18.0153
    assert fresh.soap.glycerol_mass_g == pytest.approx(950 * 196 * 0.00054714, rel=1e-4)
    assert aged.soap.glycerol_mass_g == pytest.approx(950 * 186 * 0.00054714, rel=1e-4)
    assert aged.soap.water_mass_g - aged.solution.water_mass_g == pytest.approx(950 * 10 / 56105.6 * 18.0153, rel=1e-4)


def test_what_comes_out_weighs_what_went_in() -> None:
    lye = make_lye(recipe(FatPortion("olive", mass_g=700), FatPortion("stearic_acid", mass_g=50),
                          FatPortion("coconut", mass_g=250)), EXACT)
    soap = lye.soap
    assert soap.mass_g + soap.glycerol_mass_g + soap.free_fat_mass_g + soap.water_mass_g \
        == pytest.approx(lye.mass_g, rel=1e-9)


def test_free_alkali_where_there_is_more_than_the_fats_take() -> None:
    # computed: 1000 g of 190, 140 g of pure NaOH: -3.360 %, 4.5510 g free
    demand = 190000 / 56105.6
    found = soap_made([Saponified(1000, 190 / 56105.6, "triglyceride", 1.0)], alkali_molar_mass=39.9971, batter_g=1350,
                      superfat_pct=100 * (1 - 140 / 39.9971 / demand), demand_mol=demand)
    assert found.free_alkali_mass_g == pytest.approx(4.5510, abs=1e-3)
    assert 100 * found.free_alkali_mass_g / 1350 == pytest.approx(0.3371, abs=1e-4)


def test_fatty_matter_rises_as_the_bar_dries() -> None:
    # computed: 68.97 % fresh, 78.38 % after 12 % of the batter is lost
    soap = make_lye(recipe(own_fat(1000, 192)), EXACT, expected_loss_pct=12).soap
    assert soap.tfm_pct == pytest.approx(68.97, abs=0.01)
    assert soap.tfm_after_loss_pct == pytest.approx(78.38, abs=0.01)
