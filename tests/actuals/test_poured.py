"""The batter that was really made, shared among the buckets."""

from __future__ import annotations

import pytest
from actuals.plans import BOX, SCENT, replan, row, slab
from kettlewright.actuals import PourSettings, ReportedWeighing
from kettlewright.plan import plan_batch
from kettlewright.pour import Addition, Borrowing, Portion, Residue
from kettlewright.recipe import Scale
from recipes import own_fat, recipe


def test_batter_that_the_mould_does_not_hold_is_reported_and_stays_in_the_pot() -> None:
    plan = slab()
    found = replan(plan, "fats", row(plan, "olive", 50.0))
    assert found.pour.over_g == pytest.approx(found.batter.mass_g - plan.batter.mass_g, abs=1)
    assert "Have another mould ready" in found.step.text
    assert found.pour.remains_g == pytest.approx(10 + found.pour.over_g, abs=1)


def test_a_bucket_weighed_short_lowers_its_layer_and_leaves_more_for_the_others() -> None:
    plan = slab()
    found = replan(plan, "poured", row(plan, "slate", -60.0))
    slate, chalk = found.pour.portions
    weighed = plan.division.portions[0].weigh_g - 60
    # by hand: what leaves the bucket, over the floor of 200 cm2
    assert slate.layer is not None
    assert slate.layer.top_mm == pytest.approx((weighed - 3) / plan.batter.density / 200 * 10, abs=1e-3)
    assert chalk.weigh_g == pytest.approx(plan.division.portions[1].weigh_g + 60, abs=1)
    assert chalk.layer is not None
    assert chalk.layer.bottom_mm == slate.layer.top_mm
    assert (found.step.what, found.step.key, found.step.weigh_g) == ("weigh", "chalk", chalk.weigh_g)
    assert [one.key for one in found.still_to_weigh] == ["chalk"]
    assert found.pour.remains_g == pytest.approx(10, abs=1)


def test_a_bucket_weighed_over_leaves_less_for_the_others() -> None:
    plan = slab()
    found = replan(plan, "poured", row(plan, "slate", 100.0))
    assert found.pour.portions[1].weigh_g == pytest.approx(plan.division.portions[1].weigh_g - 100, abs=1)
    nothing = replan(plan, "poured", ReportedWeighing("bucket", "slate", plan.division.pot_mass_g - 10, 0.0, None,
                                                    "slate"))
    assert nothing.pour.portions[1].weigh_g == 0
    assert nothing.step.text.startswith('Leave out "chalk"')
    impossible = replan(plan, "poured", row(plan, "slate", 5000.0))
    assert impossible.pour.division is None
    assert "only" in impossible.step.text


def test_batter_kept_back_is_missing_from_the_buckets() -> None:
    plan = slab(residue=Residue(kept_back_g=60))
    settings = PourSettings(Residue(kept_back_g=60))

    def weighs(mass: float) -> list[float]:
        found = replan(plan, "poured", ReportedWeighing("aside", "kept_back", mass, mass), settings=settings)
        return [one.weigh_g for one in found.pour.portions]

    planned = [one.weigh_g for one in plan.division.portions]
    assert weighs(60) == planned
    # 240 g more set aside are 240 g less to share out, 60 to 40
    assert weighs(300) == pytest.approx([planned[0] - 144, planned[1] - 96], abs=1)
    assert weighs(0) > planned
    reason = replan(plan, "poured", ReportedWeighing("aside", "kept_back", 9e4, 9e4), settings=settings).pour.reason
    assert "as kept back, but there is only" in reason


def test_portions_by_mass_do_not_grow_with_the_batch() -> None:
    lye = recipe(own_fat(700, 190), superfat=5)
    first = plan_batch(lye, BOX, Scale())
    half = first.division.pot_mass_g / 2
    plan = plan_batch(lye, BOX, Scale(), portions=(Portion("a", mass_g=half), Portion("b", mass_g=half)))
    found = replan(plan, "fats", row(plan, plan.lye.fats[0].key, 60.0), settings=PourSettings(Residue()))
    assert [one.weigh_g for one in found.pour.portions] == [one.weigh_g for one in plan.division.portions]
    assert found.pour.remains_g > 60


def test_a_weighed_bucket_keeps_its_additions() -> None:
    clay = Addition("white clay", "clay", 5.0, "pct_of_batter")
    plan = slab(portions=(Portion("slate", share_pct=60, additions=(clay,)), Portion("chalk", share_pct=40)))
    found = replan(plan, "poured", row(plan, "slate", -200.0))
    assert found.pour.division is not None
    assert plan.division.portions[0].additions[0].weigh_g > 40
    assert found.pour.division.portions[0].additions[0].weigh_g == pytest.approx(
        plan.division.portions[0].additions[0].weigh_g)


def test_buckets_that_borrow_are_poured_again_as_planned() -> None:
    lent = (Portion("a", share_pct=50), Portion("b", share_pct=50, borrows=(Borrowing("a", 30.0),)))
    plan = slab(portions=lent)
    found = replan(plan, "poured")
    for now, then in zip(found.pour.portions, plan.division.portions, strict=True):
        assert now.weigh_g == then.weigh_g
        assert now.layer is not None
        assert then.layer is not None
        assert (now.layer.bottom_mm, now.layer.top_mm) == pytest.approx((then.layer.bottom_mm, then.layer.top_mm))


def test_fat_to_be_added_counts_in_the_pour() -> None:
    plan = slab(additions=(SCENT,))
    found = replan(plan, "in_pot", row(plan, "coconut", -100.0))
    assert found.step.what == "do_not_pour"
    assert found.step.weigh_g is not None
    scent = plan.division.additions[0].weigh_g  # weighed by the plan: it is not getting smaller with the fats
    assert found.pour.in_pot_g == pytest.approx(found.lye.mass_g + found.step.weigh_g + scent)


def test_an_addition_or_a_bucket_of_0_is_left_out() -> None:
    plan = slab(additions=(SCENT,))
    found = replan(plan, "in_pot", row(plan, "cedar", -next(
        one.weigh_g for one in plan.weigh_list if one.key == "cedar")))
    assert found.step.what == "pour"
    assert found.pour.in_pot_g == pytest.approx(found.lye.mass_g)
    empty = replan(plan, "poured", row(plan, "slate", -plan.division.portions[0].weigh_g))
    assert empty.pour.reason == ""
    assert (empty.pour.portions[0].was_weighed, empty.pour.portions[0].weigh_g) == (True, 0)
    assert empty.pour.portions[1].weigh_g == pytest.approx(plan.division.pot_mass_g - 10, abs=3)
