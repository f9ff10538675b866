"""Twice as many additions are about twice the work, counted in calls and never in seconds."""

from __future__ import annotations

import sys
from types import FrameType
from typing import Any

import pytest
from kettlewright.plan import CutOptions, plan_batch
from kettlewright.pour import Addition, BarCut, LoafCut, Mould, Portion, Trough
from kettlewright.recipe import AlkaliPortion, FatPortion, Recipe, Scale, WaterRule

SHARES = Recipe(fats=(FatPortion("olive", share_pct=100),), superfat_pct=5, alkalis=(AlkaliPortion("NaOH"),),
                water=WaterRule(water_to_alkali=2))


def calls(additions: int, loaves: int) -> int:
    """Python calls of a batch in a trough; two portions, each with its own additions, all above their limit."""
    portions = [Portion(name, share_pct=50, additions=tuple(
        Addition(f"{name} {number}", "colourant", 0.05, "pct_of_batter", limit_pct=0.01)
        for number in range(additions))) for name in ("low", "high")]
    counted = 0

    def count(frame: FrameType, event: str, what: Any) -> None:
        nonlocal counted
        counted += event == "call"

    sys.setprofile(count)
    try:
        plan_batch(SHARES, Mould(Trough(300, 400, 100, 80)), Scale(1e-6, 1e-6, 1e-6), portions=portions,
                   expected_loss_pct=8, cut=CutOptions(BarCut(count=2), loaf=LoafCut(400 / loaves)))
    finally:
        sys.setprofile(None)
    return counted


@pytest.mark.parametrize(("few", "many"), [((40, 4), (80, 4)), ((20, 20), (20, 40))])
def test_twice_as_much_is_about_twice_the_work(few: tuple[int, int], many: tuple[int, int]) -> None:
    calls(2, 2)  # what is made once and kept
    assert calls(*many) < 2.5 * calls(*few)
