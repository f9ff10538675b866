"""Cautions of a batch as it was weighed: which there are at a stage, and how severe."""

from __future__ import annotations

from dataclasses import replace

from actuals.plans import by_share, replan, row, slab
from kettlewright.recipe import Temperatures


def test_there_are_no_cautions_about_the_lye_once_it_is_in_the_pot() -> None:
    hot = replace(by_share(), temperatures=Temperatures(water_c=20.0))
    plan = slab(hot)
    of_stage = {stage: {one.key for one in replan(plan, stage).cautions} for stage in ("lye_made", "in_pot", "poured")}
    assert "lye-hot" in of_stage["lye_made"]
    assert "lye-hot" not in of_stage["in_pot"] | of_stage["poured"]


def test_the_caution_about_the_planned_alkali_is_as_severe_as_its_effect() -> None:
    plan = slab()
    severities = {off: next(one.severity for one in replan(plan, "fats", row(plan, "coconut", off)).cautions
                       if one.key == "lye-of-plan-outdated") for off in (40.0, -20.0, -90.0)}
    assert severities == {40.0: "info", -20.0: "warning", -90.0: "danger"}
