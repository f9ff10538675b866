"""Buckets, doses, limits, powders, layers, columns, cavities and overflow by hand."""

from __future__ import annotations

import pytest
from kettlewright.errors import DomainError, DomainErrors
from kettlewright.plan import plan_batch
from kettlewright.pour import (
    Addition,
    Batter,
    Box,
    Cylinder,
    Division,
    Dusting,
    Measured,
    Mould,
    Portion,
    Residue,
    Trough,
    divide,
)
from kettlewright.recipe import Scale
from recipes import BY_MASS, FINE, SHARES

BATTER = Batter(1000, 1.0, 700)
BOX = Mould(Box(100, 100, 200))  # 100 mL for every 10 mm


def split(*portions: Portion, additions: tuple[Addition, ...] = (), residue: Residue | None = None,
          mould: Mould | None = None, scale: Scale | None = None, arrangement: str = "layers",
          loss: float | None = None) -> Division:
    return divide(BATTER, portions, additions, residue=residue, scale=scale or Scale(), mould=mould,
                  arrangement=arrangement, loss_pct=loss)


@pytest.mark.parametrize(("dose", "basis", "mass"), [
    (5, "pct_of_batter", 20), (5, "g_per_kg_batter", 2), (5, "pct_of_fats", 14), (5, "g_per_kg_fats", 1.4),
    (5, "mass", 5)])
def test_a_dose_counts_on_its_basis(dose: float, basis: str, mass: float) -> None:
    # the portion holds 400 g of batter with 280 g of fats
    found = split(Portion("red", share_pct=40, additions=(Addition("x", "other", dose, basis),)),
                  Portion("plain", share_pct=60))
    assert found.portions[0].additions[0].mass_g == pytest.approx(mass)
    assert found.portions[0].mass_g == pytest.approx(400 + mass)


def test_the_batchs_own_additions_are_in_every_bucket() -> None:
    found = split(Portion("red", share_pct=40), Portion("plain", share_pct=60),
                  additions=(Addition("sugar", "sugar", 2, "pct_of_batter"), Addition("salt", "salt", 10, "mass")))
    assert [addition.mass_g for addition in found.additions] == [20, 10]
    assert found.pot_mass_g == 1030
    assert [portion.batter_mass_g for portion in found.portions] == [pytest.approx(412), pytest.approx(618)]


def test_a_dose_on_a_portion_counts_the_batter_with_the_batchs_additions_but_the_fats_alone() -> None:
    found = split(Portion("all", share_pct=100, additions=(Addition("a", "other", 1, "pct_of_batter"),
                                                           Addition("b", "other", 1, "pct_of_fats"))),
                  additions=(Addition("salt", "salt", 100, "mass"),))
    assert [addition.mass_g for addition in found.portions[0].additions] == [pytest.approx(11), pytest.approx(7)]


def test_a_spray_goes_into_no_sum() -> None:
    found = split(Portion("all", share_pct=100, additions=(Addition("mist", "spray", 5, "mass"),)))
    assert found.portions[0].mass_g == 1000
    assert found.portions[0].additions[0].weigh_g == 5


def test_shares_are_of_the_pot_less_its_residue() -> None:
    found = split(Portion("red", share_pct=30), Portion("plain", share_pct=70), residue=Residue(15, 4), mould=BOX)
    assert [portion.batter_mass_g for portion in found.portions] == [pytest.approx(295.5), pytest.approx(689.5)]
    # 985 g in whole grams: 295 and 689 by the floor, the one left to the larger remainder, first among equals
    assert [portion.weigh_g for portion in found.portions] == [296, 689]
    assert found.residue_mass_g == 15
    assert found.mould_mass_g == pytest.approx(985 - 8)
    layers = [portion.layer for portion in found.portions]
    assert layers[0] is not None
    assert layers[1] is not None
    assert (layers[0].bottom_mm, layers[0].top_mm) == (0, pytest.approx(29.15))
    assert layers[1].top_mm == pytest.approx(97.7)


def test_what_is_below_a_step_stays_in_the_pot() -> None:
    found = split(Portion("red", share_pct=50), Portion("plain", share_pct=50), residue=Residue(0.7),
                  scale=Scale(5, 0.1, 0.1))
    assert sorted(portion.weigh_g for portion in found.portions) == [495, 500]
    assert found.residue_mass_g == pytest.approx(5)


def test_a_portion_by_mass_is_the_full_bucket() -> None:
    red = Portion("red", mass_g=408, additions=(Addition("x", "other", 2, "pct_of_batter"),))
    found = split(red, Portion("plain", mass_g=600.4))
    assert found.portions[0].batter_mass_g == pytest.approx(400)
    assert found.portions[0].mass_g == pytest.approx(408)
    assert found.portions[1].batter_mass_g == 600.4  # within one step of what the pot gives
    with pytest.raises(ValueError, match="more plain batter than the 1000 g"):
        split(red, Portion("plain", mass_g=601.5))


def test_an_addition_of_its_own_density_takes_its_own_room() -> None:
    heavy = Addition("pigment", "colourant", 40, "mass", density=4.0)
    like_batter = Addition("pigment", "colourant", 40, "mass")
    assert split(Portion("all", share_pct=100, additions=(heavy,))).portions[0].volume_ml == pytest.approx(1010)
    assert split(Portion("all", share_pct=100, additions=(like_batter,))).portions[0].volume_ml == pytest.approx(1040)


def test_a_fragrance_lighter_than_batter_makes_it_lighter() -> None:
    # computed by hand: 1396.19 g in 1392.5 mL and 30 g at 0.95 g/mL: 1426.19 g in 1424.1 mL
    found = divide(Batter(1396.19, 1396.19 / 1392.5), [Portion("all", share_pct=100)],
                   [Addition("scent", "fragrance", 30, "mass", density=0.95)], scale=Scale())
    assert found.pot_mass_g == pytest.approx(1426.19)
    assert found.pot_volume_ml == pytest.approx(1424.1, abs=0.1)


def test_powder_follows_the_surface_it_falls_on() -> None:
    found = split(Portion("red", share_pct=40, dusting=Dusting("kaolin", 60)), Portion("plain", share_pct=60),
                  mould=Mould(Cylinder(100, 100), count=2))
    powder = found.portions[0].dusting
    assert powder is not None
    assert powder.area_cm2 == pytest.approx(2 * 78.5398, rel=1e-6)
    assert powder.mass_g == pytest.approx(0.942478, rel=1e-6)  # 60 g/m2 on 0.0157080 m2
    assert powder.weigh_g == pytest.approx(0.9)
    assert found.mould_mass_g == pytest.approx(1000 + powder.mass_g)


def test_portions_are_shared_evenly_over_the_cavities() -> None:
    one = split(Portion("a", share_pct=50), Portion("b", share_pct=50), mould=BOX)
    four = split(Portion("a", share_pct=50), Portion("b", share_pct=50), mould=Mould(Box(100, 100, 200), count=4))
    assert one.portions[0].layer is not None
    assert four.portions[0].layer is not None
    assert four.portions[0].layer.top_mm == pytest.approx(one.portions[0].layer.top_mm / 4)


def test_swirled_batter_has_masses_but_no_heights() -> None:
    found = split(Portion("a", share_pct=50), Portion("b", share_pct=50), mould=BOX, arrangement="mingled")
    assert [portion.layer for portion in found.portions] == [None, None]
    assert found.missing_depth_mm == pytest.approx(100)
    with pytest.raises(ValueError, match="Only flat layers can be dusted"):
        split(Portion("a", share_pct=100, dusting=Dusting("kaolin", 60)), mould=BOX, arrangement="mingled")


def test_a_measured_mould_without_depth_has_no_layers() -> None:
    found = split(Portion("a", share_pct=100), mould=Mould(Measured(1200)))
    assert found.portions[0].layer is None
    assert found.missing_depth_mm is None
    with pytest.raises(ValueError, match='give the measured mould its "depth"'):
        split(Portion("a", share_pct=100, dusting=Dusting("kaolin", 60)), mould=Mould(Measured(1200)))


def test_the_limit_holds_on_the_cured_bar() -> None:
    # by hand: m = 0.025 x 0.89 x (1396 + m), so m = 31.061 / (1 - 0.02225) = 31.7678 g
    found = divide(Batter(1396, 1.0, 1000), [Portion("all", share_pct=100, additions=(
        Addition("scent", "fragrance", 3, "pct_of_fats", limit_pct=2.5),))], scale=Scale(), loss_pct=11)
    scent = found.portions[0].additions[0]
    assert scent.allowed_mass_g == pytest.approx(31.7678, abs=1e-4)
    assert not scent.over_limit


@pytest.mark.parametrize(("dose", "weigh", "over"), [(31.74, 31.7, False), (31.767, 31.7, False),
                                                     (31.77, 31.7, True)])
def test_rounding_never_crosses_a_limit(dose: float, weigh: float, over: bool) -> None:
    found = divide(Batter(1396, 1.0, 1000), [Portion("all", share_pct=100, additions=(
        Addition("scent", "fragrance", dose, "mass", limit_pct=2.5),))], scale=Scale(), loss_pct=11)
    scent = found.portions[0].additions[0]
    assert scent.weigh_g == pytest.approx(weigh)
    assert scent.over_limit == over
    assert scent.mass_g == dose  # kept as requested, and reported


def test_two_things_of_one_name_need_two_names() -> None:
    twice = Addition("ochre", "colourant", 1, "mass")
    with pytest.raises(ValueError, match='two of "ochre"'):
        Portion("a", share_pct=100, additions=(twice, twice))
    with pytest.raises(ValueError, match='two of "ochre"'):
        split(Portion("a", share_pct=100), additions=(twice, twice))


def test_ways_of_sizing_are_not_mixed() -> None:
    with pytest.raises(DomainErrors, match="by layer_depth and by share_pct"):
        divide(Batter(1000, 1.0), [Portion("a", layer_depth_mm=5), Portion("b", share_pct=50)], scale=Scale(),
               mould=Mould(Box(100, 100, 60)))
    with pytest.raises(DomainErrors, match="exactly one of"):
        Portion("a", layer_depth_mm=5, mass_g=3)


def test_a_layer_covers_the_surface_it_really_has() -> None:
    mould = Mould(Trough(250, 90, 70, 80))
    portions = [Portion("red", layer_depth_mm=20, dusting=Dusting("kaolin", 100)), Portion("plain", layer_depth_mm=40)]
    found = plan_batch(SHARES, mould, FINE, portions=portions).division.portions[0].dusting
    assert found is not None
    assert found.area_cm2 == pytest.approx(25 * 7.5, rel=1e-6)  # 70 + 20 x 20 / 80 = 75 mm wide there
    assert found.mass_g == pytest.approx(100 * 25 * 7.5 / 10_000, rel=1e-6)


def test_columns_share_the_width() -> None:
    plan = plan_batch(SHARES, Mould(Box(300, 200, 50)), FINE, arrangement="columns", portions=[
        Portion("a", share_pct=25), Portion("b", share_pct=75)])
    columns = [portion.column for portion in plan.division.portions]
    assert columns[0] is not None
    assert columns[1] is not None
    assert (columns[0].start_mm, columns[0].end_mm) == (0, pytest.approx(50))
    assert (columns[1].start_mm, columns[1].end_mm) == (pytest.approx(50), pytest.approx(200))
    assert plan.fill.depth_mm == pytest.approx(50, abs=1e-3)
    assert all(portion.layer is None for portion in plan.division.portions)


def test_one_portion_to_a_cavity() -> None:
    plan = plan_batch(SHARES, Mould(Box(80, 50, 40), count=3), FINE, arrangement="separate", portions=[
        Portion("a", share_pct=50), Portion("b", share_pct=30), Portion("c", share_pct=20)])
    tops = [portion.layer.top_mm for portion in plan.division.portions if portion.layer is not None]
    # the largest fills its cavity, the others reach 30 / 50 and 20 / 50 of it
    assert tops == [pytest.approx(40, abs=1e-3), pytest.approx(24, abs=1e-3), pytest.approx(16, abs=1e-3)]
    assert plan.fill.depth_mm == pytest.approx(40, abs=1e-3)
    with pytest.raises(DomainErrors, match="2 portions need 2 cavities; the mould has 3"):
        plan_batch(SHARES, Mould(Box(80, 50, 40), count=3), FINE, arrangement="separate",
                   portions=[Portion("a", share_pct=50), Portion("b", share_pct=50)])


def test_a_portion_too_large_for_its_cavity_is_rejected() -> None:
    with pytest.raises(DomainError, match='"a" has a volume'):
        plan_batch(BY_MASS, Mould(Box(100, 100, 100), count=2), Scale(), arrangement="separate",
                   portions=[Portion("a", share_pct=80), Portion("b", share_pct=20)])


def test_what_the_mould_does_not_take_goes_into_the_overflow() -> None:
    plan = plan_batch(BY_MASS, Mould(Box(200, 100, 50)), FINE, overflow_mould=Mould(Box(100, 80, 60)), portions=[
        Portion("red", share_pct=50), Portion("plain", share_pct=50)])
    over = plan.division.overflow
    assert over is not None
    assert plan.division.mould_volume_ml == pytest.approx(1000)
    assert over.volume_ml == pytest.approx(plan.batter.volume_ml - 1000, abs=0.01)
    assert over.mass_g + plan.division.mould_mass_g == pytest.approx(plan.batter.mass_g, abs=0.01)
    assert over.depth_mm == pytest.approx(over.volume_ml / 8, rel=1e-6)
    assert [layer.key for layer in over.layers] == ["plain"]  # only the top layer went over
    assert plan.fill.depth_mm == pytest.approx(50)


def test_more_than_both_moulds_hold_is_rejected() -> None:
    with pytest.raises(DomainError, match="the mould and its overflow"):
        plan_batch(BY_MASS, Mould(Box(200, 100, 50)), FINE, overflow_mould=Mould(Box(100, 80, 50)))
