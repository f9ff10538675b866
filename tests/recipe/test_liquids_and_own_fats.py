"""What else goes into the pot: liquids, impurity that is water, old fats, fats of one's own."""

from __future__ import annotations

from typing import Any

import pytest
from kettlewright.errors import DomainErrors
from kettlewright.plan import plan_batch, plan_lye
from kettlewright.pour import Addition, Box, Contains, Mould, Portion
from kettlewright.ranges import Range
from kettlewright.recipe import (
    AcidPortion,
    AlkaliPortion,
    Certificate,
    FatPortion,
    LiquidPortion,
    Profile,
    Scale,
    WaterRule,
    make_lye,
)
from kettlewright.recipe.certificates import check_value
from kettlewright.recipe.soap import Saponified, soap_made
from kettlewright.recipe.weighing import EXACT
from recipes import own_fat, recipe

MILK = LiquidPortion(name="goat milk", mass_g=150, water_pct=87, fat_pct=4, saponification_value=Range(230, 230))


def test_a_liquid_brings_water_and_its_fat_takes_alkali() -> None:
    lye = make_lye(recipe(own_fat(1000, 190), liquids=(MILK,)), EXACT)
    # (190000 + 6 x 230) / 56105.6 x 0.95 x 39.9971 = 129.615; water 2 x that less 130.5
    assert lye.alkalis[0].mass_g == pytest.approx(129.615, rel=1e-4)
    assert lye.water.mass_g == pytest.approx(259.23 - 130.5, abs=0.02)
    assert lye.solution.water_mass_g == pytest.approx(2 * lye.alkalis[0].weigh_g, rel=1e-6)
    assert lye.mass_g == pytest.approx(1000 + 150 + 129.615 + 128.73, abs=0.05)
    assert lye.superfat.achieved_pct == pytest.approx(5, abs=1e-6)


def test_a_liquid_with_more_water_than_the_lye_is_rejected() -> None:
    flood = LiquidPortion(name="tea", mass_g=400, water_pct=99)
    with pytest.raises(ValueError, match=r"^153\.9 % of the water.*at most 259\.952 g of tea fits") as caught:
        make_lye(recipe(own_fat(1000, 190), liquids=(flood,)), EXACT)
    assert caught.value.field == ("water",)


@pytest.mark.parametrize(("more", "words"), [
    ({"water_pct": 97, "fat_pct": 4, "fat": "butterfat"}, "more than 100 % together"),
    ({"water_pct": 87, "fat_pct": 4}, "Give the fat in"),
    ({"water_pct": 87, "fat": "butterfat"}, "contains none"),
    ({"water_pct": 87, "frozen": True, "temperature_c": 4}, "frozen, so it is at 0"),
    ({"water_pct": 120}, "from 0 to 100"),
    ({"water_pct": 87, "pct_of_fats": 10}, "2 given")])
def test_a_liquid_that_cannot_be_is_rejected(more: dict[str, Any], words: str) -> None:
    with pytest.raises(DomainErrors, match=words):
        LiquidPortion(name="milk", mass_g=100, **more)


def test_impurity_counted_as_water_makes_the_lye_as_strong_as_requested() -> None:
    # 100 g of pure KOH, 90 %, in a lye of 30 %: weighed 111.111, all water 233.333, to add 222.222 (computed)
    fats = 100 / 56.1056 * 56105.6 / 200 / 0.95
    wet = AlkaliPortion("KOH", purity_pct=90, count_impurity_as_water=True)
    lye = make_lye(recipe(own_fat(fats, 200), alkalis=(wet,), water=WaterRule(lye_concentration_pct=30)), EXACT)
    assert lye.alkalis[0].mass_pure_g == pytest.approx(100, rel=1e-6)
    assert lye.alkalis[0].weigh_g == pytest.approx(111.111, rel=1e-5)
    assert lye.water.weigh_g == pytest.approx(222.222, rel=1e-5)
    assert lye.solution.concentration_pure_pct == pytest.approx(30)
    dry = make_lye(recipe(own_fat(fats, 200), alkalis=(AlkaliPortion("KOH", purity_pct=90),),
                          water=WaterRule(lye_concentration_pct=30)), EXACT)
    assert dry.water.weigh_g == pytest.approx(111.111 * 7 / 3, rel=1e-5)
    assert dry.solution.concentration_pure_pct == pytest.approx(27)


def test_a_stock_counts_its_water_on_its_own() -> None:
    from kettlewright.recipe import Stock
    with pytest.raises(DomainErrors, match="already counts its water"):
        AlkaliPortion("NaOH", stock=Stock(50), count_impurity_as_water=True)


@pytest.mark.parametrize(("acid", "mass", "strength", "naoh"), [
    ("acetic", 200, 5, 6.66041), ("lactic", 20, 88, 7.81488), ("lactic", 20, 80, 7.10448)])
def test_an_acid_in_the_strength_it_is_sold_in(acid: str, mass: float, strength: float, naoh: float) -> None:
    # computed from molar masses: 200 g of vinegar of 5 % by mass, 20 g of lactic acid of 88 and 80 %
    plain = make_lye(recipe(own_fat(1000, 190)), EXACT).alkalis[0].weigh_g
    sour = make_lye(recipe(own_fat(1000, 190), acids=(AcidPortion(acid, mass_g=mass, strength_pct=strength),)), EXACT)
    assert sour.alkalis[0].weigh_g - plain == pytest.approx(naoh, rel=1e-4)


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


@pytest.mark.parametrize(("value", "words"), [
    (0.135, "189.4 if these are grams of NaOH, 135.0 if grams of KOH"), (0.19, "190.0 if grams of KOH"),
    (59.9, "from 60 to 400"), (400.1, "from 60 to 400")])
def test_a_coefficient_is_recognised_by_its_size(value: float, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        check_value(value)


def test_a_certificate_gives_a_range_and_a_source() -> None:
    fat = FatPortion(name="olive, lot 9", certificate=Certificate(190.4, 0.8, acid_value=1.2, date="2026-10-01"),
                     mass_g=1000)
    lye = make_lye(recipe(fat), EXACT)
    value = lye.fats[0].fat.saponification_value
    assert (value.min, value.max) == (pytest.approx(189.6), pytest.approx(191.2))
    assert [source.title for source in lye.sources] == ["Certificate of olive, lot 9, 2026-10-01"]
    assert lye.soap.water_mass_g > lye.solution.water_mass_g


@pytest.mark.parametrize(("given", "words"), [
    ({"value": 190, "acid_value": 191}, "part of the saponification value"),
    ({"value": 190, "date": "1.10.2026"}, "not a date"),
    ({"value": 40}, "from 60 to 400"), ({"value": 190, "tolerance": -1}, "tolerance")])
def test_a_certificate_that_cannot_be_is_rejected(given: dict[str, Any], words: str) -> None:
    with pytest.raises(DomainErrors, match=words):
        Certificate(**given)


def test_a_profile_gives_the_value_that_follows() -> None:
    # triolein 885.43 g/mol by periodictable: 3 x 56105.6 / 885.43 = 190.10, less half a percent
    olein = Profile({"C18:1": 100}, unsaponifiable_pct=0.5)
    assert olein.range.mid == pytest.approx(190.10 * 0.995, abs=0.02)
    assert olein.range.half_width == pytest.approx(0.01 * olein.range.mid)
    # shares that a laboratory rounded tell the same fat
    assert Profile({"C18:1": 99.6}, unsaponifiable_pct=0.5).range.mid == pytest.approx(olein.range.mid, rel=1e-12)


@pytest.mark.parametrize(("shares", "words"), [
    ({"C18:1": 90}, "add up to 90"), ({"C18:9": 100}, "is not a known fatty acid"),
    ({"oleic": 100}, 'Did you mean "C18:1"')])
def test_a_profile_that_cannot_be_is_rejected(shares: dict[str, float], words: str) -> None:
    with pytest.raises(DomainErrors, match=words):
        Profile(shares)


@pytest.mark.parametrize(("given", "words"), [
    ({"fat": "olive", "saponification_value": Range(188, 192)}, "is in the table"),
    ({"name": "mine", "certificate": Certificate(190), "profile": Profile({"C18:1": 100})}, "give only one of them"),
    ({"name": "mine", "certificate": Certificate(190, acid_value=1), "acid_value": 2}, "already states an acid value"),
    ({"fat": "olive", "acid_value": 190}, "part of the saponification value")])
def test_contradicting_statements_of_a_fat_are_rejected(given: dict[str, Any], words: str) -> None:
    with pytest.raises(DomainErrors, match=words):
        FatPortion(mass_g=100, **given)


def test_the_oil_of_the_batchs_additions_counts_as_fat() -> None:
    red = Addition("red in oil", "colourant", 50, "g_per_kg_fats",
                   contains=Contains(fat_pct=80, saponification_value=Range(190, 190)))
    plain = plan_lye(recipe(own_fat(1000, 190)), EXACT).lye.alkalis[0].weigh_g
    # 50 g of dispersion bring 40 g of oil: 4 % more alkali
    assert plan_lye(recipe(own_fat(1000, 190)), EXACT, additions=[red]).lye.alkalis[0].weigh_g == pytest.approx(
        1.04 * plain, rel=1e-8)


def test_a_dose_on_the_batter_grows_with_the_alkali_for_its_oil() -> None:
    red = Addition("red in oil", "colourant", 5, "pct_of_batter",
                   contains=Contains(fat_pct=80, saponification_value=Range(190, 190)))
    lye = plan_lye(recipe(own_fat(1000, 190)), EXACT, additions=[red]).lye
    # batter B = 1000 + 3 A, A = a (1000 + 0.04 B), a = 0.95 x 190 / 56105.6 x 39.9971 = 0.128677
    batter = (1000 + 3 * 0.128677 * 1000) / (1 - 3 * 0.128677 * 0.04)
    assert lye.mass_g == pytest.approx(batter, rel=1e-5)


def test_the_oil_of_a_portion_stays_free_and_is_reported() -> None:
    red = Addition("red in oil", "colourant", 20, "mass", contains=Contains(fat_pct=80, fat="sunflower"))
    plan = plan_batch(recipe(own_fat(700, 190)), Mould(Box(100, 100, 120)), Scale(), portions=(
        Portion("red", share_pct=50, additions=(red,)), Portion("plain", share_pct=50)))
    told = {caution.key: caution for caution in plan.cautions}["dispersion-oil-free"]
    assert told.message.startswith("Free fat beside the superfat")
    assert told.message.endswith(": red 16 g.")
    assert told.pointer == "/portions/0/additions/0"


def test_an_acid_that_outweighs_the_fat_is_rejected() -> None:
    def sour(mass: float) -> object:
        return make_lye(recipe(own_fat(100, 190), acids=(AcidPortion("citric_anhydrous", mass_g=mass),)), EXACT)

    assert sour(100)
    with pytest.raises(ValueError, match=r"acids weigh 101 g, more than the fats \(100 g\).*fine scale"):
        sour(101)
