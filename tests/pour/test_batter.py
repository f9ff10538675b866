"""Vessels for the lye and the batter."""

from __future__ import annotations

import pytest
from kettlewright.plan import plan_lye
from kettlewright.recipe import Scale
from recipes import own_fat, recipe


@pytest.mark.parametrize(("water_c", "jug"), [(None, 750), (20, 750), (1, 500)])
def test_the_jug_is_half_full_where_the_lye_is_hot_or_unknown(water_c: float | None, jug: float) -> None:
    # 386 g of lye in 286 mL: half full takes 572, so 750; two thirds full 429, so 500
    plan = plan_lye(recipe(own_fat(1000, 190), water_c=water_c), Scale())
    assert plan.lye.solution.volume_ml == pytest.approx(286, abs=2)
    assert plan.vessels.jug_ml == jug


def test_the_pot_is_two_thirds_full() -> None:
    plan = plan_lye(recipe(own_fat(1000, 190)), Scale())
    assert plan.batter.volume_ml == pytest.approx(1391, abs=3)
    assert plan.vessels.pot_ml == 2250  # 2087 up to the next quarter of a litre
