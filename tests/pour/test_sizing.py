"""A batch sized by its layers, in every shape."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from kettlewright.errors import DomainError, DomainErrors
from kettlewright.plan import plan_batch
from kettlewright.pour import Addition, Bowl, Box, Cylinder, HalfRound, Mould, Residue, Shape, TaperedBox, Trough
from portions import layers
from recipes import FINE, SHARES


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
