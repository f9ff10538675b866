"""Plans, and reports of what was weighed for them: short ways to say both in a test."""

from __future__ import annotations

from dataclasses import replace

from kettlewright.actuals import Actuals, PourSettings, ReportedWeighing, plan_actuals
from kettlewright.plan import CutOptions, Plan, plan_batch
from kettlewright.pour import Addition, BarCut, Borrowing, Box, Mould, Portion, Residue
from kettlewright.recipe import AcidPortion, AlkaliPortion, FatPortion, Recipe, Scale, WaterRule
from kettlewright.weigh_list import WeighRow

BOX = Mould(Box(250, 80, 80), headspace_mm=5)
RESIDUE = Residue(pot_g=10, portion_g=3)
SETTINGS = PourSettings(RESIDUE)
NAOH_98 = AlkaliPortion("NaOH", purity_pct=98)
SCENT = Addition("cedar", "fragrance", 2.0, "pct_of_fats", limit_pct=3)


def by_share(**more: float) -> Recipe:
    return Recipe(fats=(FatPortion(fat="olive", share_pct=70), FatPortion(fat="coconut", share_pct=30)),
                  alkalis=(NAOH_98,), water=WaterRule(water_to_alkali=2), **({"superfat_pct": 6.0} | more))


def slab(requested: Recipe | None = None, **more: object) -> Plan:
    given_parts = {"portions": (Portion("slate", share_pct=60), Portion("chalk", share_pct=40)), "residue": RESIDUE,
                   "expected_loss_pct": 11.0, "cut": CutOptions(BarCut(thickness_mm=25))} | more
    return plan_batch(requested or by_share(), BOX, Scale(), **given_parts)


def row(plan: Plan, key: str, off_g: float = 0.0, *, where: str | None = None,
        lot: str | None = None) -> ReportedWeighing:
    found = next(one for one in plan.weigh_list if one.key == key and (where is None or one.where == where))
    return weighing(found, found.weigh_g + off_g, lot)


def weighing(row: WeighRow, mass_g: float, lot: str | None = None) -> ReportedWeighing:
    return ReportedWeighing(row.where, row.key, mass_g, mass_g, lot, row.portion, row.kind)


def replan(plan: Plan, stage: str, *rows: ReportedWeighing, settings: PourSettings = SETTINGS,
           **more: object) -> Actuals:
    return plan_actuals(plan, stage, rows, settings=settings, **more)


def all_rows(plan: Plan, *wheres: str) -> list[ReportedWeighing]:
    return [weighing(one, one.weigh_g, one.lot) for one in plan.weigh_list if one.where in wheres and one.weigh_g]


def kinds_of_plans() -> list[Plan]:
    two = (AlkaliPortion("NaOH", share_pct=60, purity_pct=98), AlkaliPortion("KOH", share_pct=40, purity_pct=90))
    acids = (AcidPortion("citric_anhydrous", pct_of_fats=1), AcidPortion("stearic", pct_of_fats=3))
    lent = (Portion("a", share_pct=50), Portion("b", share_pct=50, borrows=(Borrowing("a", 30.0),)))
    cups = Mould(Box(60, 60, 40), count=2, headspace_mm=2)
    return [slab(additions=(SCENT,)), slab(replace(by_share(), alkalis=two, acids=acids)), slab(portions=lent),
            slab(by_share(superfat_pct=None, superfat_at_least_pct=2.0)),
            slab(arrangement="mingled"), slab(arrangement="columns"),
            plan_batch(by_share(), cups, Scale(), arrangement="separate",
                       portions=(Portion("a", share_pct=50), Portion("b", share_pct=50)))]


PLANS = kinds_of_plans()
