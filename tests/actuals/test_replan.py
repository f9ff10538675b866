"""Replanning from weighings: the batch as weighed, its doses, its cure."""

from __future__ import annotations

import pytest
from actuals.plans import SCENT, all_rows, replan, row, slab
from kettlewright.release.days.cure_days import DayInput, Weighed


@pytest.mark.parametrize(("stage", "what", "wheres"), [
    ("fats", "go_on", ("fats",)), ("lye_made", "go_on", ("jug",)), ("in_pot", "pour", ("jug", "pot")),
    ("poured", "go_on", ("jug", "pot", "bucket")), ("cut", "go_on", ("jug", "pot", "bucket"))])
def test_weighing_as_planned_gives_the_plan(stage: str, what: str, wheres: tuple[str, ...]) -> None:
    plan = slab(additions=(SCENT,))
    for rows in ([], all_rows(plan, *wheres)):
        found = replan(plan, stage, *rows)
        assert (found.lye.superfat, found.lye.mass_g) == (plan.lye.superfat, plan.lye.mass_g)
        assert found.step.what == what or (stage == "poured" and not rows and found.step.what == "weigh")
        assert found.step.after is None
        assert {one.state for one in found.differences} <= {"as_planned", "not_told"}
        assert [one.weigh_g for one in found.pour.portions] == [one.weigh_g for one in plan.division.portions]
        for now, then in zip(found.pour.portions, plan.division.portions, strict=True):
            assert now.layer is not None
            assert then.layer is not None
            assert now.layer.top_mm == pytest.approx(then.layer.top_mm, abs=0.05)
        assert not {one.key for one in found.cautions} & {"superfat-not-kept", "lye-of-plan-outdated", "lye-left-over"}


def test_doses_change_with_the_batch_until_they_are_weighed() -> None:
    plan = slab(additions=(SCENT,))
    found = replan(plan, "fats", row(plan, "coconut", -100.0))
    fats = found.lye.fats_mass_g
    cedar = next(one.weigh_g for one in found.still_to_weigh if one.key == "cedar")
    assert cedar == pytest.approx(fats * 0.02, abs=0.05)


def test_weighings_in_cure_give_the_drying_curve() -> None:
    # 140, 130, 125 at equal distances: half of what is left goes in 14 days, and it ends at 120
    weighings = tuple(Weighed(DayInput(day=day), mass) for day, mass in ((0, 140.0), (14, 130.0), (28, 125.0)))
    found = replan(slab(), "cut", weighings=weighings)
    assert found.cured is not None
    assert found.cured.drying is not None
    assert found.cured.drying.equilibrium_g == pytest.approx(120)
    assert found.cured.bound_pct == pytest.approx(100 * found.lye.water_mass_g / found.lye.mass_g)
