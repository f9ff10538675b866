"""Reports checked against the plan, and planned masses replaced by weighed ones."""

from __future__ import annotations

from dataclasses import replace

import pytest
from actuals.plans import PLANS, SETTINGS, replan, row, slab, weighing
from hypothesis import given
from hypothesis import strategies as st
from kettlewright.actuals import STAGES, PourSettings, ReportedBars, ReportedWeighing
from kettlewright.actuals.rows import rows_of
from kettlewright.errors import DomainError, DomainErrors
from kettlewright.plan import resolve
from kettlewright.pour import Addition, Residue


def test_the_oil_of_an_addition_counts_as_weighed() -> None:
    from kettlewright.pour import Contains
    oily = Addition("warm oil", "other", 50, "mass", contains=Contains(fat_pct=100, fat="olive"))
    plan = slab(additions=(oily,))
    found = replan(plan, "in_pot", row(plan, "warm_oil", -25.0))
    assert found.lye.dispersed[0].mass_g == pytest.approx(25)
    assert found.lye.superfat.achieved_pct < plan.lye.superfat.achieved_pct - 1


def test_all_errors_are_reported_at_once() -> None:
    with pytest.raises(DomainErrors) as caught:
        replan(slab(cut=None), "cut", ReportedWeighing("pot", "olve", 1.0, 1.0),
               ReportedWeighing("jig", "water", 1.0, 1.0), rescue_with="coconot")
    assert [fault.field for fault in caught.value.errors] == [
        ("weighed", 0, "key"), ("weighed", 1, "where"), ("rescue_with",), ("stage",)]
    assert 'Did you mean "coconut"' in caught.value.errors[2].detail


def test_bars_need_stage_cut_and_stage_cut_needs_a_planned_cut() -> None:
    with pytest.raises(DomainErrors, match="There are no bars before they are cut"):
        replan(slab(), "poured", bars=ReportedBars(3))
    with pytest.raises(DomainErrors, match="The plan has no cut"):
        replan(slab(cut=None), "cut", bars=ReportedBars(3))
    with pytest.raises(DomainErrors, match="weigh each bar once"):
        ReportedBars(1, (100.0, 101.0))
    with pytest.raises(DomainError, match="is not a stage"):
        replan(slab(), "stirred")


@given(st.data())
def test_rows_not_reported_count_as_planned_at_every_stage(data: st.DataObject) -> None:
    plan = data.draw(st.sampled_from(PLANS))
    stage = data.draw(st.sampled_from([one for one in STAGES if one != "cut" or plan.cuts is not None]))
    so_far = [one for one in rows_of(plan) if STAGES.index(one.stage) <= STAGES.index(stage)]
    some = {id(one): one.row.weigh_g * data.draw(st.sampled_from([0.0, 0.9, 1.0, 1.0, 1.1]))
            for one in so_far if one.stage != "poured" and data.draw(st.booleans())}
    rows = [weighing(one.row, some[id(one)], one.row.lot) for one in so_far if id(one) in some]
    rest = [weighing(one.row, one.row.weigh_g, one.row.lot) for one in so_far
            if id(one) not in some and (one.stage != "poured" or stage == "cut")]
    try:
        settings = PourSettings(Residue()) if plan is PLANS[-1] else SETTINGS  # that one leaves nothing behind
        found = replan(plan, stage, *rows, settings=settings)
        all_reported = replan(plan, stage, *rows, *rest, settings=settings)
    except (DomainError, DomainErrors):
        return
    assert (found.lye.superfat, found.lye.mass_g) == (all_reported.lye.superfat, all_reported.lye.mass_g)
    assert found.lye.solution.peak_temperature == all_reported.lye.solution.peak_temperature
    assert (found.step.what, found.step.key, found.step.weigh_g) == (
        all_reported.step.what, all_reported.step.key, all_reported.step.weigh_g)
    if all_reported.pour.division is not None:  # else less is there than the buckets would have taken by the plan
        assert [one.weigh_g for one in found.pour.portions] == pytest.approx(
            [one.weigh_g for one in all_reported.pour.portions], abs=1e-6)
    # each row so far is reported, assumed, or still to weigh
    reported = {one.row.identity for one in so_far if id(one) in some}
    assumed, to_come = {one.identity for one in found.assumed}, {one.identity for one in found.still_to_weigh}
    here = {one.row.identity for one in so_far}
    assert reported | assumed | (to_come & here) == here
    assert not assumed & (reported | to_come)
    if not rows and stage != "poured":
        now = replace(plan, lye=found.lye, batter=found.batter, division=found.pour.division)
        names = {"identity": "i", "request": "r", "version": "v", "data_version": "d"}
        then, after = resolve(plan, **names), resolve(now, **names)
        assert {one.what: one.value for one in after.lines} == pytest.approx(
            {one.what: one.value for one in then.lines}, rel=1e-3)
