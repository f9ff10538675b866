"""Oil of additions, as fat of the pot."""

from __future__ import annotations

import pytest
from kettlewright.plan import plan_lye
from kettlewright.pour import Addition, Contains
from kettlewright.ranges import Range
from kettlewright.recipe.weighing import EXACT
from recipes import own_fat, recipe


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
