"""Every remedy for a batch that was weighed wrongly: safe for any weighings, and true for whoever follows it."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from kettlewright.actuals import Actuals, PourSettings, Remedy, ReportedWeighing, cost_of_remedy, plan_actuals
from kettlewright.errors import DomainError, DomainErrors
from kettlewright.plan import Plan, plan_batch
from kettlewright.pour import Addition, Box, Mould, Residue
from kettlewright.prices import Price
from kettlewright.recipe import AcidPortion, AlkaliPortion, FatPortion, Recipe, Scale, Stock, WaterRule
from kettlewright.release import CostOptions, IngredientPrice

M_NAOH, M_KOH, MG_PER_MOL = 39.997, 56.105, 56_105.6  # g/mol; CIAAW abridged weights, from memory
NAOH = AlkaliPortion("NaOH", purity_pct=98)
TWO = (AlkaliPortion("NaOH", share_pct=60, purity_pct=98), AlkaliPortion("KOH", share_pct=40, purity_pct=90))


def made(**more: object) -> Plan:
    parts = {"fats": (FatPortion(fat="olive", share_pct=70), FatPortion(fat="coconut", share_pct=30)),
             "alkalis": (NAOH,), "water": WaterRule(water_to_alkali=2), "superfat_pct": 6.0} | more
    stirred = parts.pop("additions", ())
    return plan_batch(Recipe(**parts), Mould(Box(250, 80, 80), headspace_mm=5), Scale(),
                      additions=stirred, residue=Residue(pot_g=10))


PLANS = [made(), made(superfat_pct=0.0), made(superfat_pct=None, superfat_at_least_pct=2.0), made(superfat_pct=20.0),
         made(alkalis=TWO, acids=(AcidPortion("citric_anhydrous", pct_of_fats=1),
                                  AcidPortion("stearic", pct_of_fats=3))),
         made(alkalis=(AlkaliPortion("NaOH", stock=Stock(50)),)),
         made(additions=(Addition("cedar", "fragrance", 2.0, "pct_of_fats", limit_pct=3),))]


def report(plan: Plan, **factors: float) -> list[ReportedWeighing]:
    return [ReportedWeighing(row.where, row.key, row.weigh_g * factors[row.key], row.weigh_g * factors[row.key],
                             row.lot, row.portion, row.kind)
            for row in plan.weigh_list if row.key in factors]


def replan(plan: Plan, stage: str, rows: list[ReportedWeighing]) -> Actuals:
    return plan_actuals(plan, stage, rows, settings=PourSettings(Residue(pot_g=10)))


def off(plan: Plan, stage: str, **factors: float) -> Actuals:
    return replan(plan, stage, report(plan, **factors))


def whats(found: Actuals) -> list[str]:
    return [one.what for one in found.remedies]


def low(remedy: Remedy) -> float:
    return remedy.after.superfat.likely_pct.min


@given(st.data())
def test_no_remedy_is_unsafe_whatever_was_weighed(data: st.DataObject) -> None:
    plan = data.draw(st.sampled_from(PLANS))
    stage = data.draw(st.sampled_from(["fats", "lye_made", "in_pot"]))
    parts = st.one_of(st.sampled_from([0.0, 0.5, 1.0, 40.0]), st.floats(0.8, 1.2))
    wheres = {"fats": ("pot",), "lye_made": ("pot", "jug"), "in_pot": ("pot", "jug")}[stage]
    rows = [one for row in plan.weigh_list if row.where in wheres and data.draw(st.booleans())
            for one in report(plan, **{row.key: data.draw(parts)})]
    try:
        found = replan(plan, stage, rows)
    except (DomainError, DomainErrors):
        return
    planned_low = plan.lye.superfat.likely_pct.min
    order = [(-round(min(low(one), planned_low), 1), one.discarded_g) for one in found.remedies]
    assert order == sorted(order)
    for one in found.remedies:
        assert low(one) > 0
        assert low(one) >= (plan.lye.recipe.superfat_at_least_pct or 0) - 1e-9
        assert 0 < one.after.superfat.achieved_pct <= 50
        assert all(row.mass_g > 0 for row in one.rows)
        assert superfat_by_hand(one) == pytest.approx(one.after.superfat.achieved_pct, abs=0.02)
        if stage != "in_pot":
            assert one.after.solution.concentration_pure_pct <= 50 + 1e-6
            assert one.after.superfat.achieved_pct >= plan.lye.recipe.asked_pct - 1e-9
    if found.step.stops and found.remedies:
        assert found.step.weigh_g is not None


def superfat_by_hand(remedy: Remedy) -> float:
    """1 - (alkali less what acids take) / demand, from the masses, the table's values and molar masses."""
    lye = remedy.after
    demand = sum(one.weigh_g * one.fat.saponification_value.mid / MG_PER_MOL for one in lye.fats) + sum(
        one.mass_g * one.value.mid / MG_PER_MOL for one in lye.dispersed)
    alkali = sum(one.weigh_g * one.portion.strength / (M_NAOH if one.key == "NaOH" else M_KOH) for one in lye.alkalis)
    # citric acid 192.12 g/mol takes three, stearic acid 284.48 g/mol takes one (IUPAC names and formulae, from memory)
    taken = sum(one.weigh_g * one.strength * {"citric_anhydrous": 3 / 192.124, "stearic": 1 / 284.484}[one.acid.key]
                for one in lye.acids)
    return 100 * (1 - (alkali - taken) / demand)


@pytest.mark.parametrize(("stage", "factors", "kinds"), [
    ("fats", {"olive": 1.08}, {"weigh_alkali"}),
    ("fats", {"olive": 0.9}, {"put_in_missing", "weigh_alkali", "add_fat"}),
    ("fats", {"olive": 1.08, "coconut": 0.9}, {"put_in_missing", "weigh_alkali"}),
    ("lye_made", {"NaOH": 1.06}, {"add_fat", "use_part_of_lye", "make_lye_anew"}),
    ("lye_made", {"olive": 0.9}, {"put_in_missing", "add_fat", "use_part_of_lye", "make_lye_anew"}),
    ("lye_made", {"olive": 1.08}, {"add_lye", "make_lye_anew"}),
    ("in_pot", {"NaOH": 1.06}, {"add_fat"}), ("in_pot", {"olive": 0.6}, {"put_in_missing", "add_fat"}),
    ("in_pot", {"olive": 1.08}, {"add_lye"}), ("in_pot", {"NaOH": 0.8}, {"put_in_missing", "add_lye"}),
    ("in_pot", {"NaOH": 0.4}, {"put_in_missing", "add_lye"})])
def test_each_remedy_that_would_do_is_there(stage: str, factors: dict[str, float], kinds: set[str]) -> None:
    assert set(whats(off(PLANS[0], stage, **factors))) == kinds


def test_more_of_each_fat_is_a_remedy_of_its_own() -> None:
    found = off(PLANS[0], "in_pot", NaOH=1.06)
    assert {one.rows[0].key for one in found.remedies} == {"olive", "coconut"}


@pytest.mark.parametrize(("stage", "factors"), [("fats", {}), ("lye_made", {}), ("in_pot", {}),
                                                ("in_pot", {"olive": 1.001}), ("poured", {"NaOH": 1.2})])
def test_a_batch_that_needs_none_or_can_take_none_has_no_remedies(stage: str, factors: dict[str, float]) -> None:
    assert off(PLANS[0], stage, **factors).remedies == ()


def test_what_is_left_over_decides_between_remedies_with_the_same_superfat() -> None:
    found = off(PLANS[0], "lye_made", NaOH=1.06)
    same = [one for one in found.remedies if round(low(one), 1) == round(low(found.remedies[0]), 1)]
    assert [one.what for one in same[:2]] == ["add_fat", "use_part_of_lye"]
    assert same[0].discarded_g == 0 < same[1].discarded_g


@pytest.mark.parametrize("plan", PLANS)
@pytest.mark.parametrize("factors", [{"NaOH": 1.05}, {"olive": 1.08}, {"olive": 0.9}, {"coconut": 0.0},
                                     {"NaOH": 0.7}])
def test_who_follows_a_remedy_may_pour(plan: Plan, factors: dict[str, float]) -> None:
    rows = {one.key: one for one in report(plan, **factors)}
    for remedy in off(plan, "in_pot", **factors).remedies:
        then = {row.key: row.weigh_g for row in plan.weigh_list if row.where in ("pot", "jug")} | {
            key: one.mass_g for key, one in rows.items()}
        for row in remedy.rows:
            then[row.key] += row.mass_g
        weighed = [ReportedWeighing(row.where, row.key, then[row.key], then[row.key], row.lot, row.portion, row.kind)
                   for row in plan.weigh_list if row.where in ("pot", "jug")]
        after = replan(plan, "in_pot", weighed)
        # a fat that was forgotten is still offered, but nothing else is wrong any more
        assert (after.step.otherwise or after.step).what == "pour", (remedy.what, str(after.step.text))
        assert after.lye.superfat.achieved_pct == pytest.approx(remedy.after.superfat.achieved_pct, abs=1e-6)


def test_a_second_lye_brings_the_superfat_back_and_one_step_more_does_not() -> None:
    plan = PLANS[0]
    found = off(plan, "in_pot", olive=1.08)
    water, alkali = found.remedies[0].rows
    assert found.remedies[0].what == "add_lye"
    assert found.remedies[0].after.superfat.achieved_pct >= 6
    assert water.mass_g >= 2 * alkali.mass_g  # 33 % lye at most, which is own decision
    demand = sum(one.weigh_g * one.fat.saponification_value.mid / MG_PER_MOL for one in found.lye.fats)
    with_one_step_more = sum(one.weigh_g for one in plan.lye.alkalis) + alkali.mass_g + 0.1  # [g]
    assert 100 * (1 - with_one_step_more * 0.98 / M_NAOH / demand) < 6


def test_a_second_weighing_widens_the_range() -> None:
    plan = made(fats=(FatPortion(fat="olive", mass_g=100.0),))  # so small that a step of the scale shows
    found = off(plan, "in_pot", olive=1.3)
    second = next(one for one in found.remedies if one.what == "add_lye")
    once = replan(plan, "in_pot", [*report(plan, olive=1.3), *report(plan, NaOH=(
        plan.lye.alkalis[0].weigh_g + second.rows[1].mass_g) / plan.lye.alkalis[0].weigh_g)])
    assert low(second) < once.lye.superfat.likely_pct.min


def test_the_cost_is_that_of_what_is_added() -> None:
    prices = CostOptions(ingredients=(IngredientPrice("coconut", Price("8.00", "EUR", 1000)),
                                      IngredientPrice("NaOH", Price("5.00", "EUR", 1000))))
    found = {one.rows[0].key: one for one in off(PLANS[0], "lye_made", NaOH=1.06).remedies}
    coconut = cost_of_remedy(found["coconut"], prices)
    assert coconut is not None
    assert (coconut.amount, coconut.currency) == (
        (Decimal(str(found["coconut"].rows[0].mass_g)) * Decimal("0.008")).quantize(Decimal("0.0001")), "EUR")
    assert cost_of_remedy(found["olive"], prices) is None  # it has no price
    assert cost_of_remedy(found["coconut"], None) is None
    part = cost_of_remedy(found["lye"], prices)
    assert part is not None
    assert part.amount == 0  # nothing is added


def test_a_stock_needs_no_water() -> None:
    second = next(one for one in off(PLANS[5], "in_pot", olive=1.08).remedies if one.what == "add_lye")
    assert [row.buy for row in second.rows] == ["NaOH_stock"]
    assert "stock" in str(second.text)


def test_only_a_part_of_the_lye_in_the_pot_gets_all_of_the_second_one() -> None:
    plan = PLANS[0]
    jug = sum(row.weigh_g for row in plan.weigh_list if row.where == "jug")
    part = ReportedWeighing("pot", "lye", 0.8 * jug, 0.8 * jug)
    second = replan(plan, "in_pot", [part]).remedies[0]
    assert second.what == "add_lye"
    assert second.after.mass_g - replan(plan, "in_pot", [part]).lye.mass_g == pytest.approx(
        sum(row.mass_g for row in second.rows))
    assert replace(second).after.superfat.achieved_pct == pytest.approx(6, abs=0.1)
