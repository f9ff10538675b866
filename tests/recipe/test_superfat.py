"""The range of the superfat."""

from __future__ import annotations

import pytest
from kettlewright.recipe import AlkaliPortion, make_lye
from kettlewright.recipe.weighing import EXACT
from recipes import own_fat, recipe


def test_a_one_sided_promise_can_only_leave_more_superfat() -> None:
    found = make_lye(recipe(own_fat(1000, 190), alkalis=(AlkaliPortion("NaOH", purity_at_least_pct=98),)),
                     EXACT).superfat
    assert found.worst_case_pct.min == pytest.approx(5, abs=1e-6)
    assert found.worst_case_pct.max == pytest.approx(100 * (1 - 0.95 * 0.98), abs=1e-6)
