"""Layers by their depth, columns, one portion to a cavity, overflow, and a pot that is too small."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from kettlewright.errors import DomainError, DomainErrors
from kettlewright.plan import plan_batch
from kettlewright.pour import (
    Addition,
    Batter,
    Bowl,
    Box,
    Cylinder,
    Dusting,
    HalfRound,
    Measured,
    Mould,
    Portion,
    Residue,
    Shape,
    TaperedBox,
    Trough,
    divide,
)
from kettlewright.recipe import FatPortion, Scale
from recipes import FINE, SHARES, recipe

BY_MASS = recipe(FatPortion("olive", mass_g=700), FatPortion("coconut", mass_g=300))


def layers(*depths: float, **more: Any) -> list[Portion]:
    return [Portion(f"layer {index}", layer_depth_mm=depth, **more)
            for index, depth in enumerate(depths)]


@pytest.mark.parametrize("shape", [
    Box(400, 300, 60), TaperedBox(220, 95, 200, 80, 70), Trough(250, 90, 70, 80), HalfRound(300, 120), Bowl(140, 60),
    Cylinder(75, 70)])
def test_layers_lie_where_they_were_requested_in_every_shape(shape: Shape) -> None:
    mould = Mould(shape, count=2)
    colour = Addition("colour", "colourant", 20, "g_per_kg_batter", density=4)
    plan = plan_batch(SHARES, mould, FINE, portions=layers(12, 5.5, 30, additions=(colour,)), residue=Residue(20, 3))
    tops = [portion.layer.top_mm for portion in plan.division.portions if portion.layer is not None]
    assert tops == [pytest.approx(12, abs=1e-4), pytest.approx(17.5, abs=1e-4), pytest.approx(47.5, abs=1e-4)]
    assert plan.division.mould_volume_ml == pytest.approx(2 * shape.volume_to(47.5), rel=1e-5)


def test_layers_of_a_batch_by_mass_leave_the_rest_in_the_pot() -> None:
    plan = plan_batch(BY_MASS, Mould(Box(200, 100, 80)), Scale(), portions=layers(20, 20))
    # 2 x 20 mm x 200 cm2 = 800 mL, of about 1431 mL
    assert plan.division.mould_volume_ml == pytest.approx(800)
    assert plan.division.residue_mass_g == pytest.approx(plan.batter.mass_g - 800 * plan.batter.density, abs=1)


def test_layers_that_take_more_than_there_is_are_rejected() -> None:
    with pytest.raises((DomainError, DomainErrors), match="more plain batter than"):
        plan_batch(BY_MASS, Mould(Box(300, 200, 80)), Scale(), portions=layers(20, 20))


@pytest.mark.parametrize(("mould", "words"), [
    (Mould(Box(100, 100, 60), headspace_mm=25), "reach 40 mm here"),
    (Mould(Measured(500)), "Layers by depth need the mould")])
def test_layers_deeper_than_the_mould_are_rejected(mould: Mould, words: str) -> None:
    with pytest.raises(DomainErrors, match=words):
        plan_batch(SHARES, mould, Scale(), portions=layers(20, 20))


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
    # the largest fills its cavity, the others stand at 30 / 50 and 20 / 50 of it
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


@pytest.mark.parametrize(("pot", "count"), [(2200, 1), (2000, 2), (1100, 2), (1000, 3)])
def test_a_pot_that_holds_less_makes_several_mixes(pot: float, count: int) -> None:
    # 1431 mL of batter; two thirds of the pot are used: 1467, 1333, 733 and 667 mL
    plan = plan_batch(BY_MASS, Mould(Box(200, 100, 80)), Scale(), pot_volume_ml=pot)
    assert plan.mixes is not None
    assert plan.mixes.count == count
    rows = {row.key: row.weigh_g for row in plan.mixes.weigh_list}
    assert rows["olive"] == pytest.approx(700 / count, abs=0.5)
    # 142.1876 g of alkali for 1000 g, computed anew from what each mix weighs
    assert rows["NaOH"] == pytest.approx(142.1876 / count, abs=0.2)
    assert {row.where for row in plan.mixes.weigh_list} == {"jug", "pot"}


def test_a_thimble_is_no_pot() -> None:
    with pytest.raises(DomainError, match="unit right"):
        plan_batch(BY_MASS, Mould(Box(200, 100, 80)), Scale(), pot_volume_ml=50)


def test_a_layer_too_thin_to_pour_is_reported() -> None:
    plan = plan_batch(SHARES, Mould(Box(200, 100, 80)), Scale(), portions=layers(2.9, 3.3))
    told = [caution for caution in plan.cautions if caution.key == "layer-thin"]
    assert [caution.pointer for caution in told] == ["/portions/0"]


def test_heights_in_a_measured_mould_are_called_estimates() -> None:
    plan = plan_batch(SHARES, Mould(Measured(900, 60)), Scale())
    assert "height-estimated" in {caution.key for caution in plan.cautions}


@given(st.lists(st.floats(1, 30), min_size=1, max_size=6), st.floats(0, 20), st.floats(0, 10), st.floats(0, 5))
def test_what_is_made_for_layers_is_what_they_take(depths: list[float], pot: float, bucket: float, dose: float) -> None:
    mould = Mould(Trough(250, 120, 70, 200))
    scent = Addition("scent", "fragrance", max(dose, 0.01), "pct_of_fats", density=0.9)
    portions = layers(*depths, additions=(scent,))
    try:
        plan = plan_batch(SHARES, mould, FINE, portions=portions, residue=Residue(pot, bucket))
    except (DomainError, DomainErrors):
        return  # a bucket smaller than what stays behind in it
    division = plan.division
    assert division.mould_volume_ml == pytest.approx(mould.cavity.volume_to(math.fsum(depths)), rel=1e-6)
    assert division.residue_mass_g == pytest.approx(pot, abs=0.01)
    assert math.fsum(portion.weigh_g for portion in division.portions) + division.residue_mass_g \
        == pytest.approx(division.pot_mass_g, rel=1e-9)
