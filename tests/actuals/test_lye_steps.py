"""Next actions before fats and lye meet: a new lye, a part of the lye, or go on."""

from __future__ import annotations

import re

import pytest
from actuals.plans import BOX, replan, row, slab
from kettlewright.actuals import PourSettings, ReportedWeighing
from kettlewright.plan import plan_batch
from kettlewright.pour import Residue
from kettlewright.recipe import AlkaliPortion, Scale, Stock, WaterRule
from recipes import own_fat, recipe


def test_too_much_of_a_fat_before_the_lye_gives_new_alkali_and_water() -> None:
    # by hand: 0.95 x (512 x 190 + 500 x 190) / 56105.6 x 39.9971 = 130.2206, down to 130.2; water twice that
    plan = plan_batch(recipe(own_fat(500, 190, name="red"), own_fat(500, 190, name="white")), BOX, Scale())
    found = replan(plan, "fats", row(plan, "red", 12.0), settings=PourSettings(Residue()))
    assert (found.step.what, found.step.key, found.step.weigh_g) == ("weigh", "NaOH", pytest.approx(130.2))
    jug = {one.key: one.weigh_g for one in found.still_to_weigh if one.where == "jug"}
    assert jug == {"water": 260, "NaOH": pytest.approx(130.2)}
    assert found.lye.superfat.achieved_pct >= 5
    # with the alkali of the plan, 128.6 g: 1 - 128.6 / 137.0743
    assert found.step.with_lye_of_plan_pct == pytest.approx(100 * (1 - 128.6 / 137.0743), abs=1e-3)
    assert "red 12 g over" in found.step.text


def test_with_too_much_alkali_a_part_of_the_lye_is_left_over() -> None:
    # by hand: 128.677 of 140 g, 0.91912 of the 400 g in the jug is 367.65, down to 367
    plan = plan_batch(recipe(own_fat(1000, 190), alkalis=(AlkaliPortion("NaOH", purity_pct=100),),
                             water=WaterRule(water_to_alkali=2)), BOX, Scale())
    jug = (ReportedWeighing("jug", "NaOH", 140.0, 140.0), ReportedWeighing("jug", "water", 260.0, 260.0))
    found = replan(plan, "lye_made", *jug, settings=PourSettings(Residue()))
    assert (found.step.what, found.step.key, found.step.weigh_g) == ("use_part_of_lye", "lye", pytest.approx(367))
    assert found.lye.superfat.achieved_pct == pytest.approx(-3.360, abs=1e-3)
    assert "Do not pour all of the lye" in found.step.text
    assert "goggles and gloves" in found.step.text
    assert {"superfat-negative", "rebatch-or-discard", "lye-left-over"} <= {one.key for one in found.cautions}
    used = replan(plan, "in_pot", *jug, ReportedWeighing("pot", "lye", 367.0, 367.0), settings=PourSettings(Residue()))
    assert used.step.what == "pour"
    assert used.lye.superfat.achieved_pct == pytest.approx(100 * (1 - 140 * 367 / 400 / 135.449), abs=1e-3)
    assert used.step.after is None
    assert found.step.after is not None
    assert used.lye.superfat == found.step.after.superfat


def test_with_too_little_alkali_the_lye_is_used_and_the_superfat_reported() -> None:
    plan = slab()
    found = replan(plan, "lye_made", row(plan, "NaOH", -8.0))
    assert found.step.what == "go_on"
    assert found.lye.superfat.achieved_pct > plan.lye.superfat.achieved_pct + 4
    assert "with less alkali than planned" in found.step.text


def test_a_fat_weighed_short_leaves_a_part_of_the_lye_over() -> None:
    plan = slab()
    found = replan(plan, "lye_made", row(plan, "coconut", -60.0))
    instead = found.step.otherwise
    assert instead is not None
    assert instead.what == "use_part_of_lye"
    assert instead.after is not None
    assert 6 <= instead.after.superfat.achieved_pct < 6.3
    assert "coconut oil 60 g short" in instead.text
    assert instead.text not in found.step.text


def test_water_alone_changes_no_superfat() -> None:
    plan = slab()
    found = replan(plan, "lye_made", row(plan, "water", -60.0))
    assert found.step.what == "go_on"
    assert found.lye.superfat.achieved_pct == pytest.approx(plan.lye.superfat.achieved_pct)
    assert found.lye.solution.concentration_pct > plan.lye.solution.concentration_pct + 3


def test_a_lye_that_cannot_dissolve_is_made_again() -> None:
    plan = slab()
    # water alone does not set it right: there is too much alkali as well
    found = replan(plan, "lye_made", ReportedWeighing("jug", "water", 100.0, 100.0), row(plan, "NaOH", 20.0))
    assert found.step.what == "make_lye_anew"
    assert "lye-not-dissolved" in {one.key for one in found.cautions}
    assert {one.key for one in found.still_to_weigh if one.where == "jug"} == {"water", "NaOH"}


def test_a_stock_is_called_a_stock_when_lye_is_made_again() -> None:
    # so much dry alkali as there must be of a 50 % stock would be twice too much
    stock = AlkaliPortion("NaOH", stock=Stock(50))
    plan = plan_batch(recipe(own_fat(1000, 190), alkalis=(stock,)), BOX, Scale())
    found = replan(plan, "lye_made", *(ReportedWeighing("pot", one.key, 1.0, 1.0, one.lot) for one in plan.weigh_list
                                     if one.where == "pot"))
    assert found.step.otherwise is not None
    assert found.step.otherwise.what == "make_lye_anew"
    assert re.search(r" g of sodium hydroxide stock, ", found.step.otherwise.text)
    assert "of sodium hydroxide," not in found.step.otherwise.text
