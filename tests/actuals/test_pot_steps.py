"""Next actions in the pot: pour, add fat, or do not pour."""

from __future__ import annotations

import math

import pytest
from actuals.plans import BOX, replan, row, slab
from kettlewright.actuals import PourSettings, ReportedWeighing
from kettlewright.plan import plan_batch
from kettlewright.pour import Residue
from kettlewright.recipe import AlkaliPortion, Scale
from recipes import own_fat, recipe


def test_a_lye_heavy_pot_is_not_poured_and_needs_a_stated_mass_of_fat() -> None:
    # by hand: (140 / 39.9971 - 3.386471) x 56105.6 / 190 = 33.60 for the middle; its scales' errors add under 2 g
    pure = (AlkaliPortion("NaOH", purity_pct=100, purity_tolerance_pct=0),)
    plan = plan_batch(recipe(own_fat(1000, 190, name="palest"), alkalis=pure), BOX, Scale())
    found = replan(plan, "in_pot", ReportedWeighing("jug", "NaOH", 140.0, 140.0), settings=PourSettings(Residue()))
    assert (found.step.what, found.step.key) == ("do_not_pour", "palest")
    assert found.step.weigh_g is not None
    assert 34 <= found.step.weigh_g <= 36
    assert found.step.text.startswith("Do not pour: it is lye-heavy.")
    for words in ("goggles and gloves", "never judge by eye", "discard"):
        assert words in found.step.text
    assert found.still_to_weigh == ()
    assert {("superfat-negative", "danger"), ("rebatch-or-discard", "danger")} <= {
        (one.key, one.severity) for one in found.cautions}
    added = replan(plan, "in_pot", ReportedWeighing("jug", "NaOH", 140.0, 140.0),
                   row(plan, "palest", found.step.weigh_g), settings=PourSettings(Residue()))
    assert added.step.what == "pour"


def test_a_pot_that_may_be_lye_heavy_needs_the_fat_the_maker_chose() -> None:
    plan = slab()
    found = replan(plan, "in_pot", row(plan, "olive", -40.0), rescue_with="coconut")
    assert (found.step.what, found.step.key) == ("add_fat", "coconut")
    assert found.lye.superfat.achieved_pct > 0 > found.lye.superfat.likely_pct.min
    assert ("rebatch-or-discard", "warning") in {(one.key, one.severity) for one in found.cautions}
    assert "danger" not in {one.severity for one in found.cautions}
    assert found.step.text.startswith("Do not pour yet")


def likely_low(alkali_g: float) -> float:
    """Lower likely edge of 1000 g of one fat of 190 +/- 6 with so much of 98 +/- 1 %, scales of 1 and 0.1 g.

    By JCGM 100 (read second-hand), written out apart from the service's own calculation.
    """
    s = 1 - alkali_g * 0.98 / (39.9971 * 1000 * 190 / 56105.6)
    u = (1 - s) * math.sqrt(((0.05 / alkali_g) ** 2 + (0.01 / 0.98) ** 2 + (6 / 190) ** 2 + (0.5 / 1000) ** 2) / 3)
    worst = 1 - (alkali_g + 0.05) * 0.99 / (39.9971 * 999.5 * 184 / 56105.6)
    return 100 * max(s - 2 * u, worst)


@pytest.mark.parametrize("floor", [None, 1.0, 2.0])
def test_the_pot_is_poured_up_to_the_limit_and_not_one_step_beyond(floor: float | None) -> None:
    plan = plan_batch(recipe(own_fat(1000, 190, 6, name="fat"), superfat=8, at_least=floor, alkalis=(
        AlkaliPortion("NaOH", purity_pct=98, purity_tolerance_pct=1),)), BOX, Scale())

    def pours(alkali_g: float) -> bool:
        step = replan(plan, "in_pot", ReportedWeighing("jug", "NaOH", alkali_g, alkali_g),
                    settings=PourSettings(Residue())).step
        assert step.what in ("pour", "add_fat", "do_not_pour")
        return step.what == "pour"

    grams = [120 + milligrams / 1000 for milligrams in range(20_000)]
    last = next(mass for mass in reversed(grams) if likely_low(mass) > (floor or 0.0))
    assert 121 < last < 139
    for off, poured in ((-2.0, True), (-0.1, True), (-0.001, True), (0.002, False), (0.1, False), (5.0, False)):
        assert pours(last + off) is poured, (last, off)
