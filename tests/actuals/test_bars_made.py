"""Bars that were cut, compared with the plan."""

from __future__ import annotations

from dataclasses import replace

import pytest
from actuals.plans import replan, slab
from kettlewright.actuals import ReportedBars


def test_bars_are_compared_with_the_plan() -> None:
    plan = slab()
    assert plan.cuts is not None
    mass = plan.cuts.bars.mass
    assert mass is not None
    found = replan(plan, "cut", bars=ReportedBars(8, (mass.mid_g, mass.max_g + 1, mass.min_g - 1, mass.min_g)))
    assert found.bars is not None
    assert (found.bars.planned_count, found.bars.off_count, found.bars.outside_count) == (10, -2, 2)
    assert found.bars.yield_pct == 80
    assert found.bars.mean_g == pytest.approx((mass.mid_g + mass.max_g + 2 * mass.min_g) / 4)
    assert replan(plan, "cut", bars=ReportedBars(0)).bars == replace(found.bars, count=0, off_count=-10, yield_pct=0.0,
                                                             min_g=None, mean_g=None, max_g=None, total_g=None,
                                                             weighed_count=0, outside_count=None)
