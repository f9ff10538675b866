"""Batter for a layer: what is poured, at the density of its bucket, is the volume of the layer."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from kettlewright.errors import DomainError, DomainErrors
from kettlewright.plan import plan_batch
from kettlewright.pour import Addition, Box, Measured, Mould, Portion
from kettlewright.pour.layer_batter import plain_for_layer
from kettlewright.recipe import Scale
from portions import layers
from recipes import BY_MASS, SHARES

PARTS = st.floats(0, 0.3)


@given(layer=st.floats(10, 10_000), density=st.floats(0.85, 1.15), stays=st.one_of(st.just(0.0), st.floats(0.1, 60)),
       dose=PARTS, heavy=st.floats(0.3, 3), fixed=PARTS, light=st.floats(0.3, 3), fats=st.floats(0.4, 0.8))
def test_what_is_poured_has_the_volume_of_the_layer(layer: float, density: float, stays: float, dose: float,
                                                    heavy: float, fixed: float, light: float, fats: float) -> None:
    grams = fixed * layer
    assume(grams / light < 0.9 * layer)
    additions = (*((Addition("clay", "clay", 100 * dose, "pct_of_fats", density=heavy),) if dose > 0.001 else ()),
                 *((Addition("flakes", "other", grams, "mass", density=light),) if grams > 0.001 else ()))
    plain = plain_for_layer(Portion("one", layer_depth_mm=10, additions=additions), layer, fats, density, stays)
    masses = [plain, plain * fats * dose if dose > 0.001 else 0.0, grams if grams > 0.001 else 0.0]
    mass = math.fsum(masses)
    volume = math.fsum(one / each for one, each in zip(masses, (density, heavy, light), strict=True))
    assert volume * (mass - stays) / mass == pytest.approx(layer, rel=1e-9)


def test_a_residue_heavier_than_a_thin_layer_is_allowed_for() -> None:
    # 5 mL of layer and 60 g that stay, all of the batter's own density: 65 mL in the bucket
    assert plain_for_layer(Portion("thin", layer_depth_mm=1), 5.0, 0.6, 1.0, 60.0) == pytest.approx(65.0, rel=1e-12)


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
