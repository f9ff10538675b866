"""A batter shared out into buckets."""

from __future__ import annotations

import pytest
from kettlewright.plan import plan_batch, plan_lye
from kettlewright.pour import Box, Mould, Portion
from kettlewright.recipe import FatPortion, Scale
from recipes import recipe

SLAB = Mould(Box(380, 260, 60), headspace_mm=6)


def test_portions_by_mass_must_meet_fats_by_mass() -> None:
    by_mass = recipe(FatPortion("olive", mass_g=700), FatPortion("coconut", mass_g=300))
    made = plan_lye(by_mass, Scale()).lye.mass_g
    plan = plan_batch(by_mass, SLAB, Scale(), portions=(Portion("a", mass_g=500), Portion("b", mass_g=made - 500)))
    assert plan.division.residue_mass_g == pytest.approx(0.4, abs=0.61)
