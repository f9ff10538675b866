"""The next action is safe whatever was weighed, and the superfat is kept."""

from __future__ import annotations

from types import SimpleNamespace

import pytest
from actuals.plans import BOX, PLANS, by_share, replan, row, slab, weighing
from hypothesis import given
from hypothesis import strategies as st
from kettlewright.actuals import ACTIONS, STAGES, PourSettings
from kettlewright.actuals import steps as actual_steps
from kettlewright.errors import DomainError, DomainErrors
from kettlewright.plan import plan_batch
from kettlewright.pour import Residue
from kettlewright.recipe import Scale
from recipes import own_fat, recipe


def test_a_step_that_makes_it_lye_heavy_counts() -> None:
    plan = plan_batch(recipe(own_fat(20, 190, 2), own_fat(20, 250, 2), superfat=1), BOX, Scale())
    found = replan(plan, "fats", row(plan, plan.lye.fats[0].key, -1.0), settings=PourSettings(Residue()))
    assert found.step.what == "weigh"
    assert found.step.with_lye_of_plan_pct is not None
    assert found.step.with_lye_of_plan_pct < 0
    assert next(one for one in found.cautions if one.key == "lye-of-plan-outdated").severity == "danger"


def test_a_minimum_superfat_is_kept_exactly() -> None:
    plan = slab(by_share(superfat_pct=None, superfat_at_least_pct=1.0))
    assert replan(plan, "lye_made").step.what == "go_on"
    found = replan(plan, "lye_made", row(plan, "NaOH", 0.5))
    assert found.step.what == "use_part_of_lye"
    assert found.step.after is not None
    assert found.step.after.superfat.worst_case_pct.min >= 1
    rescued = replan(plan, "in_pot", row(plan, "NaOH", 6.0))
    assert rescued.step.what == "add_fat"
    assert rescued.lye.superfat.achieved_pct > 0
    assert rescued.step.after is not None
    assert rescued.step.after.superfat.likely_pct.min >= 1
    slight = replan(plan, "in_pot", row(plan, "NaOH", 1.0))
    assert slight.step.what == "pour"
    assert "no longer certain" in slight.step.text
    assert next(one for one in slight.cautions if one.key == "superfat-not-kept").severity == "warning"


@given(st.data())
def test_any_weighings_give_a_safe_next_action(data: st.DataObject) -> None:
    plan = data.draw(st.sampled_from(PLANS))
    stage = data.draw(st.sampled_from([one for one in STAGES if one != "cut" or plan.cuts is not None]))
    parts = st.sampled_from([0.0, 0.001, 0.5, 0.97, 1.0, 1.03, 1.2, 40.0])
    rows = [weighing(one, max(one.weigh_g, 0.1) * data.draw(parts), one.lot) for one in plan.weigh_list
            if data.draw(st.booleans())]
    try:
        found = replan(plan, stage, *rows)
    except (DomainError, DomainErrors):
        return
    assert found.step.what in ACTIONS
    heavy = found.lye.superfat.achieved_pct < 0
    assert heavy == ("superfat-negative" in {one.key for one in found.cautions})
    if heavy:
        assert found.step.what in ("use_part_of_lye", "make_lye_anew", "do_not_pour", "rebatch_or_discard") or (
            found.step.what == "put_in_missing" and stage in ("fats", "lye_made"))
    if found.step.what == "pour":
        assert found.lye.superfat.likely_pct.min > 0
    if found.step.after is not None:
        assert found.step.after.superfat.achieved_pct >= 0
    if found.pour.division is not None:
        weighed = sum(one.weigh_g for one in found.pour.portions)
        assert weighed + found.pour.remains_g == pytest.approx(found.pour.in_pot_g)


def test_for_a_minimum_superfat_even_one_step_counts() -> None:
    plan = slab(by_share(superfat_pct=None, superfat_at_least_pct=1.0))
    spare = plan.lye.superfat.worst_case_pct.min - 1
    assert spare < 0.1
    assert replan(plan, "lye_made", row(plan, "NaOH", 0.1)).step.what == "use_part_of_lye"


@pytest.mark.parametrize(("low", "pours"), [(-1e-9, False), (0.0, False), (1e-9, True)])
def test_a_likely_edge_of_exactly_0_is_not_poured(low: float, pours: bool) -> None:
    # a range that reaches 0 may be lye-heavy already; only above it is it safe
    plan = SimpleNamespace(lye=SimpleNamespace(recipe=SimpleNamespace(superfat_at_least_pct=None)))
    lye = SimpleNamespace(superfat=SimpleNamespace(likely_pct=SimpleNamespace(min=low)))
    assert actual_steps.is_safe(plan, lye) is pours
