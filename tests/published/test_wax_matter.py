"""Total fatty matter of waxes and of fats with free acids, worked by hand."""

from __future__ import annotations

import pytest
from kettlewright.recipe.soap import Saponified, soap_made

# from the atomic weights of IUPAC: glycerol C3H8O3 92.094, water 18.0153, NaOH 39.9971 g/mol
GLYCEROL, WATER, NAOH = 92.094, 18.0153, 39.9971


def test_a_wax_ester_gains_a_water_and_yields_no_glycerol() -> None:
    # 100 g of a wax ester of 600 g/mol: 1/6 mol; hydrolysis makes acid and fatty alcohol of 100 + 18.0153/6 g, all of
    # it fatty matter (ISO 685: fatty acids and what else of the fat is not soluble in water)
    made = soap_made([Saponified(100, 1 / 600, "wax_ester", 1.0)], alkali_molar_mass=NAOH, batter_g=150)
    assert made.tfm_pct == pytest.approx(100 * (100 + WATER / 6) / 150, rel=1e-6)
    assert made.glycerol_mass_g == 0
    assert made.mass_g == pytest.approx(100 + NAOH / 6, rel=1e-6)


def test_a_triglyceride_loses_its_glycerol() -> None:
    # 100 g of a triglyceride of 900 g/mol: 1/9 mol with three esters; 100 g + 3/9 x 18.0153 - 92.094 / 9
    made = soap_made([Saponified(100, 3 / 900, "triglyceride", 1.0)], alkali_molar_mass=NAOH, batter_g=150)
    assert made.tfm_pct == pytest.approx(100 * (100 + WATER / 3 - GLYCEROL / 9) / 150, rel=1e-5)
    assert made.glycerol_mass_g == pytest.approx(GLYCEROL / 9, rel=1e-5)


def test_wax_and_fat_together_add_up() -> None:
    wax, fat = Saponified(40, 1 / 600, "wax_ester", 0.9), Saponified(60, 3 / 900, "triglyceride", 0.9)
    made = soap_made([wax, fat], alkali_molar_mass=NAOH, batter_g=150)
    fatty = 100 + 0.9 * (40 / 600 * WATER + 60 / 300 * (WATER - GLYCEROL / 3))
    assert made.tfm_pct == pytest.approx(100 * fatty / 150, rel=1e-5)
    assert made.free_fat_mass_g == pytest.approx(10)
