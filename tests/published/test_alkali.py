"""Alkali, water and soap against stoichiometry worked by hand.

Source of every expected value here: computed by hand from IUPAC standard atomic weights (NaOH 39.9971, KOH 56.1056,
water 18.0153, glycerol 92.0940 g/mol) and the definition of the saponification value (ISO 3657, from memory). The
recipes are invented. Relative tolerance 1e-4, which covers the rounding of the atomic weights.
"""

from __future__ import annotations

import pytest
from kettlewright.plan import plan_lye
from kettlewright.recipe import AcidPortion, AlkaliPortion, Lye, Recipe, WaterRule, make_lye
from kettlewright.recipe.soap import Saponified, soap_made
from kettlewright.recipe.weighing import EXACT
from recipes import NAOH, own_fat, recipe

THREE_FATS = (own_fat(500, 190), own_fat(300, 257), own_fat(200, 199))


def close(value: float) -> object:
    return pytest.approx(value, rel=1e-4)


def exact(requested: Recipe) -> Lye:
    return make_lye(requested, EXACT)


def test_three_fats_take_this_much_pure_sodium_hydroxide() -> None:
    # 95000 + 77100 + 39800 = 211900 mg; / 56105.6 = 3.77681 mol; x 0.95 x 39.9971
    assert exact(recipe(*THREE_FATS)).alkalis[0].mass_g == close(143.508)


def test_purity_divides() -> None:
    alkali = AlkaliPortion("NaOH", purity_pct=98)
    lye = exact(recipe(*THREE_FATS, alkalis=(alkali,))).alkalis[0]
    assert lye.mass_g == close(146.437)
    assert lye.mass_pure_g == close(143.508)


def test_potassium_hydroxide_takes_its_own_molar_mass() -> None:
    koh = AlkaliPortion("KOH", purity_pct=100)
    assert exact(recipe(*THREE_FATS, alkalis=(koh,))).alkalis[0].mass_g == close(201.305)


@pytest.mark.parametrize(("water", "mass", "concentration", "ratio"), [
    (WaterRule(lye_concentration_pct=33), 297.311, 33.0, 2.0303),
    (WaterRule(water_to_alkali=2), 292.874, 100 / 3, 2.0),
    (WaterRule(water_pct_of_fats=38), 380.0, 27.8166, 2.59497),
])
def test_the_three_ways_to_say_water(water: WaterRule, mass: float, concentration: float, ratio: float) -> None:
    lye = exact(recipe(*THREE_FATS, alkalis=(AlkaliPortion("NaOH", purity_pct=98),), water=water))
    assert lye.water.mass_g == close(mass)
    assert lye.solution.concentration_pct == close(concentration)
    assert lye.solution.water_to_alkali == close(ratio)


def test_two_alkalis_are_shared_by_equivalents_of_fat() -> None:
    lye = exact(recipe(own_fat(700, 190), own_fat(300, 257), superfat=3, alkalis=(
        AlkaliPortion("KOH", purity_pct=90, share_pct=60), AlkaliPortion("NaOH", purity_pct=98, share_pct=40))))
    koh, naoh = lye.alkalis
    assert (koh.mass_pure_g, koh.mass_g) == (close(122.278), close(135.865))
    assert (naoh.mass_pure_g, naoh.mass_g) == (close(58.1139), close(59.2999))


def test_a_split_by_mass_would_be_another_recipe() -> None:
    # the same fats with 60 % KOH by mass of pure alkali hold 105.313 g KOH, which is 51.6753 % by equivalents
    lye = exact(recipe(own_fat(700, 190), own_fat(300, 257), superfat=3, alkalis=(
        AlkaliPortion("KOH", purity_pct=90, share_pct=51.6753),
        AlkaliPortion("NaOH", purity_pct=98, share_pct=48.3247))))
    assert (lye.alkalis[0].mass_g, lye.alkalis[1].mass_g) == (close(117.014), close(71.6413))


@pytest.mark.parametrize(("water", "make_up"), [
    (WaterRule(lye_concentration_pct=32), 173.694), (WaterRule(water_to_alkali=2.2), 185.274)])
def test_stock_solution_brings_half_of_itself_as_water(water: WaterRule, make_up: float) -> None:
    from kettlewright.recipe import Stock
    lye = exact(recipe(own_fat(1200, 192), superfat=6, water=water,
                       alkalis=(AlkaliPortion("NaOH", stock=Stock(concentration_pct=50)),)))
    alkali = lye.alkalis[0]
    assert alkali.stock is not None
    assert (alkali.mass_pure_g, alkali.mass_g) == (close(154.395), close(308.789))
    assert alkali.stock.water_mass_g == close(154.395)
    assert lye.water.mass_g == close(make_up)


def test_citric_acid_takes_alkali_on_top_untouched_by_the_discount() -> None:
    requested = recipe(own_fat(1000, 196), alkalis=(AlkaliPortion("NaOH", purity_pct=98),),
                       acids=(AcidPortion("citric_anhydrous", mass_g=15),))
    lye = exact(requested)
    assert lye.alkalis[0].mass_pure_g == close(142.108)  # 132.740 for the fat, 9.36828 for the acid
    assert lye.alkalis[0].mass_g == close(145.008)
    assert lye.superfat.achieved_pct == pytest.approx(5, abs=1e-4)


@pytest.mark.parametrize(("acid", "naoh", "koh"), [
    ("citric_anhydrous", 0.62455, 0.87609), ("citric_monohydrate", 0.57101, 0.80098), ("lactic", 0.44403, 0.62286),
    ("acetic", 0.66604, 0.93428), ("tartaric", 0.53299, 0.74764), ("ascorbic", 0.22710, 0.31856),
    ("sorbic", 0.35671, 0.50038), ("lauric", 0.19967, 0.28008), ("myristic", 0.17514, 0.24568),
    ("palmitic", 0.15598, 0.21880), ("stearic", 0.14060, 0.19722), ("oleic", 0.14160, 0.19863),
    ("ricinoleic", 0.13401, 0.18798)])
def test_each_acid_takes_its_own_share_of_either_alkali(acid: str, naoh: float, koh: float) -> None:
    fat = own_fat(1000, 190)
    for alkali, expected in ((NAOH, naoh), (AlkaliPortion("KOH", purity_pct=100), koh)):
        without = exact(recipe(fat, alkalis=(alkali,))).alkalis[0].mass_g
        with_acid = exact(recipe(fat, alkalis=(alkali,), acids=(AcidPortion(acid, mass_g=10),))).alkalis[0].mass_g
        assert (with_acid - without) / 10 == close(expected)


def test_vinegar_brings_little_acid_and_much_water() -> None:
    lye = exact(recipe(own_fat(1000, 190), superfat=0, acids=(AcidPortion("acetic", mass_g=200, strength_pct=5),)))
    fat_alone = exact(recipe(own_fat(1000, 190), superfat=0))
    assert lye.alkalis[0].mass_g - fat_alone.alkalis[0].mass_g == close(6.66041)
    assert lye.water.mass_g == close(2 * lye.alkalis[0].mass_g - 190)


def test_soap_glycerol_and_fatty_matter_of_one_fat() -> None:
    lye = exact(recipe(own_fat(1000, 192)))
    assert lye.alkalis[0].mass_g == close(130.031)
    assert lye.mass_g == close(1390.09)
    assert lye.soap.glycerol_mass_g == close(99.7995)
    assert lye.soap.mass_g == close(980.232)
    assert lye.soap.tfm_pct == close(68.97)
    # after losing 12 % of the batter the same fatty matter (958.768 g) is in less soap
    assert lye.soap.tfm_pct / 0.88 == close(78.38)


def test_stearic_acid_among_the_fats_takes_the_discount() -> None:
    assert exact(recipe(own_fat(500, 195), own_fat(100, 197.223), superfat=4)).alkalis[0].mass_g == close(80.2239)


def test_free_fatty_acids_yield_no_glycerol_and_waxes_none_either() -> None:
    for kind in ("fatty_acid", "wax_ester"):
        assert soap_made([Saponified(100, 0.003, kind, 1.0)], alkali_molar_mass=40, batter_g=150).glycerol_mass_g == 0
    # stearic acid, 284.478 g/mol, one mol with one mol of NaOH gives 306.46 g/mol of sodium stearate
    assert soap_made([Saponified(284.478, 1 / 284.478, "fatty_acid", 1.0)], alkali_molar_mass=39.9971,
                     batter_g=400).mass_g == close(306.46)


def test_extra_fat_on_a_full_recipe_counts_by_its_own_saponification_value() -> None:
    # 950 g of SV 192 fully paired with alkali, then 50 g of SV 128: 6400 of 188800 mg, not 5 % of the mass
    lye = exact(recipe(own_fat(950, 192), own_fat(50, 128), superfat=100 * 6400 / 188800))
    full = exact(recipe(own_fat(950, 192), superfat=0))
    assert lye.alkalis[0].mass_g == close(full.alkalis[0].mass_g)
    assert close(3.3898) == 100 * 6400 / 188800


def test_both_strengths_of_a_lye_are_reported() -> None:
    # 140 g of 97 % NaOH in 280 g of water: 33.3333 % as weighed, 32.3333 % pure
    fat = own_fat(1000, 140 * 0.97 / 39.9971 * 56105.6 / 1000)
    lye = exact(recipe(fat, superfat=0, alkalis=(AlkaliPortion("NaOH", purity_pct=97),)))
    assert lye.alkalis[0].mass_g == close(140)
    assert lye.solution.concentration_pct == close(33.3333)
    assert lye.solution.concentration_pure_pct == close(32.3333)


def test_a_lye_plan_lists_water_before_alkali_and_alkali_before_fats() -> None:
    from kettlewright.recipe import Scale
    rows = plan_lye(recipe(*THREE_FATS), Scale()).weigh_list
    assert [row.where for row in rows] == ["jug", "jug", "pot", "pot", "pot"]
    assert [row.key for row in rows[:2]] == ["water", "NaOH"]
