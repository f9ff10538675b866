"""Dispersions: each carrier in its sum, jars before the pour, and doses too small for the scale."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from kettlewright.errors import Unsolvable
from kettlewright.plan import plan_batch, plan_portions
from kettlewright.pour import (
    Addition,
    Batter,
    Box,
    Contains,
    Dispersion,
    Mould,
    Portion,
    check_dispersions,
    dispersions_of,
    divide,
)
from kettlewright.pour.dilution import Dilution, dilutions_for
from kettlewright.ranges import Range
from kettlewright.recipe import Recipe, Scale
from recipes import own_fat, recipe

IN_OIL = Dispersion("oil", 25, saponification_value=Range(190, 190))
IN_WATER, IN_GLYCEROL = Dispersion("water", 25), Dispersion("glycerol", 25)
BY_MASS = recipe(own_fat(1000, 190))
MOULD = Mould(Box(300, 100, 60))


def dyed(dispersion: Dispersion | None, *, limit: float | None = None) -> Addition:
    return Addition("dye", "colourant", 10, "g_per_kg_batter", dispersion=dispersion, limit_pct=limit)


def alkali(requested: Recipe, *additions: Addition) -> float:
    plan = plan_batch(requested, MOULD, Scale(1e-6, 1e-6, 1e-6), additions=additions, expected_loss_pct=10)
    return sum(one.weigh_g for one in plan.lye.alkalis)


@pytest.mark.parametrize("dispersion", [IN_OIL, IN_WATER, IN_GLYCEROL])
def test_the_dose_is_that_of_the_dry_addition(dispersion: Dispersion) -> None:
    found = divide(Batter(1000, 1.0, 700), [Portion("all", share_pct=100, additions=(dyed(dispersion),))],
                   scale=Scale(1, 0.1, 0.1))
    # 10 g of dye in 1 kg, 25 % strong: 40 g
    assert found.portions[0].additions[0].weigh_g == pytest.approx(40)
    assert found.portions[0].mix.pure_g("dye") == pytest.approx(10)


def test_each_carrier_enters_its_own_sum() -> None:
    plain = alkali(BY_MASS)
    # glycerol and water take no alkali; 3 g of oil to every gram of dye does, superfat 5 %
    assert alkali(BY_MASS, dyed(IN_WATER)) == pytest.approx(plain, abs=1e-4)
    assert alkali(BY_MASS, dyed(IN_GLYCEROL)) == pytest.approx(plain, abs=1e-4)
    fixed = Addition("dye", "colourant", 15, "mass", dispersion=IN_OIL)  # 15 g of dye, 45 g of oil
    assert alkali(BY_MASS, fixed) == pytest.approx(plain * 1045 / 1000, rel=1e-6)


@pytest.mark.parametrize(("dispersion", "stays"), [(None, 10), (IN_OIL, 40), (IN_WATER, 10), (IN_GLYCEROL, 40)])
def test_water_leaves_in_cure_and_oil_and_glycerol_stay(dispersion: Dispersion | None, stays: float) -> None:
    found = divide(Batter(1000, 1.0, 700, 200), [Portion("all", share_pct=100, additions=(dyed(dispersion),))],
                   scale=Scale())
    assert found.portions[0].mix.cured_g(None) == pytest.approx(800 + stays)
    # a loss that was weighed is one of the whole piece, whatever leaves it
    assert found.portions[0].mix.cured_g(10) == pytest.approx(0.9 * (1010 if dispersion is None else 1040))


@pytest.mark.parametrize(("dispersion", "allowed_dye"), [
    # p = L x 0.9 x (1000 + what is weighed): worked by hand for L = 2 %, a quarter of what is weighed being dye
    (None, 18 / (1 - 0.018)), (IN_WATER, 18 / (1 - 0.072)), (IN_OIL, 18 / (1 - 0.072)),
    (IN_GLYCEROL, 18 / (1 - 0.072))])
def test_a_limit_speaks_of_the_dry_addition(dispersion: Dispersion | None, allowed_dye: float) -> None:
    found = divide(Batter(1000, 1.0, 700), [Portion("all", share_pct=100, additions=(dyed(dispersion, limit=2),))],
                   scale=Scale(), loss_pct=10)
    parts = 1 if dispersion is None else 4
    assert found.portions[0].additions[0].allowed_mass_g == pytest.approx(parts * allowed_dye)


def test_one_jar_serves_all_buckets_and_says_what_is_left() -> None:
    portions = [Portion("a", share_pct=60, additions=(dyed(IN_OIL),)), Portion("b", share_pct=40, additions=(
        Addition("dye", "colourant", 3, "g_per_kg_batter", dispersion=IN_OIL),))]
    found = divide(Batter(1000, 1.0, 700), portions, scale=Scale())
    jar, = dispersions_of(found, step_g=0.1)
    # 24.0 + 4.8 g are used, 31.68 g with a tenth to spare; a quarter of that is 7.92 g, up to a step 8.0
    assert (jar.used_g, jar.dry_weigh_g, jar.carrier_weigh_g) == (
        pytest.approx(28.8), pytest.approx(8.0), pytest.approx(24.0))
    assert jar.left_g == pytest.approx(3.2)


def test_two_jars_of_one_name_are_rejected() -> None:
    other = Addition("dye", "colourant", 3, "g_per_kg_batter", dispersion=IN_WATER)
    with pytest.raises(Unsolvable, match="each jar its own name"):
        check_dispersions([(("additions", 0), dyed(IN_OIL)), (("portions", 0, "additions", 0), other)])
    check_dispersions([(("additions", 0), dyed(IN_OIL)), (("portions", 0, "additions", 0), dyed(IN_OIL))])


@pytest.mark.parametrize(("make", "words"), [
    (lambda: Dispersion("oil", 25), "Give the oil"), (lambda: Dispersion("water", 25, fat="olive"), "Give the oil"),
    (lambda: Dispersion("oil", 0.05, fat="olive"), "from 0.1 to 99"),
    (lambda: Dispersion("oil", 99.5, fat="olive"), "from 0.1 to 99"),
    (lambda: Dispersion("milk", 25), "oil, water, glycerol"),
    (lambda: Addition("dye", "colourant", 1, "mass", dispersion=IN_WATER, contains=Contains(water_pct=10)),
     "not both")])
def test_dispersions_that_cannot_be_are_reported(make: object, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        make()


def dilution_for(mass: float, step: float) -> Dilution | None:
    found, = dilutions_for([(mass, step)])
    return found


@given(st.lists(st.floats(0.0011, 3), min_size=1, max_size=6))
def test_a_dilution_that_is_made_as_described_holds_every_dose(masses: list[float]) -> None:
    dilutions = dilutions_for([(mass, 0.1) for mass in masses])
    small = [(mass, one) for mass, one in zip(masses, dilutions, strict=True) if one is not None]
    assert [mass for mass, _ in small] == [mass for mass in masses if mass < 1 - 1e-9]
    assert len({(one.weigh_g, one.carrier_g) for _, one in small}) <= 1  # one jar, one instruction
    for mass, one in small:
        assert one.weigh_g >= 1 - 1e-9
        held = one.take_weigh_g * one.weigh_g / (one.weigh_g + one.carrier_g)
        assert held == pytest.approx(mass, rel=0.05 + 1e-9)  # half a step of ten
    if small:
        made = small[0][1].weigh_g + small[0][1].carrier_g
        assert sum(one.take_weigh_g for _, one in small) <= made * (1 + 1e-9)


def test_two_small_doses_of_one_pigment_are_one_caution() -> None:
    violet = [Addition("violet", "colourant", mass, "mass", inci="CI 77007") for mass in (0.06, 0.3, 2.0)]
    found = plan_portions(Batter(3000, 1.0), [Portion(name, share_pct=100 / 3, additions=(one,))
                                              for name, one in zip("abc", violet, strict=True)], Scale())
    message, = [caution.message for caution in found.cautions if caution.key == "dose-too-fine"]
    # by hand: 17 parts, so that 0.06 g become 1.02 g; of the same jar 0.3 g are 5.1 g
    assert "Stir 1 g into 16 g" in message
    assert 'weigh from that: 1 g for "a", 5.1 g for "b".' in message


def test_a_dose_of_ten_steps_is_weighed_and_a_smaller_one_diluted() -> None:
    assert dilution_for(1.0, 0.1) is None
    found = dilution_for(0.99, 0.1)
    assert found is not None
    assert (found.weigh_g, found.carrier_g, found.take_g) == (1.0, 1.0, 1.98)


@pytest.mark.parametrize(("mass", "carrier", "take", "on_scale"), [
    # ten steps are 1 g; the fewest whole parts with which the part taken is 1 g at least
    (0.06, 16.0, 1.02, 1.0), (0.05, 19.0, 1.0, 1.0), (0.3, 3.0, 1.2, 1.2), (0.7, 1.0, 1.4, 1.4)])
def test_what_is_taken_of_a_dilution_holds_the_dose(mass: float, carrier: float, take: float, on_scale: float) -> None:
    found = dilution_for(mass, 0.1)
    assert found is not None
    assert (found.weigh_g, found.carrier_g) == (pytest.approx(1.0), pytest.approx(carrier))
    assert (found.take_g, found.take_weigh_g) == (pytest.approx(take), pytest.approx(on_scale))
    assert found.take_g * found.weigh_g / (found.weigh_g + found.carrier_g) == pytest.approx(mass)
    assert found.carrier_in_take_g == pytest.approx(take - mass)
    assert abs(found.take_weigh_g - found.take_g) / found.take_g <= 0.05


def test_nothing_is_diluted_a_thousand_times() -> None:
    assert dilution_for(0.001, 0.1) is None
    assert dilution_for(0.00101, 0.1) is not None


def test_pieces_are_not_diluted() -> None:
    found = divide(Batter(100, 1.0), [Portion("all", share_pct=100, additions=(
        Addition("petals", "botanical", 0.3, "mass"), Addition("violet", "colourant", 0.3, "mass")))], scale=Scale())
    assert [one.dilution is not None for one in found.portions[0].additions] == [False, True]
