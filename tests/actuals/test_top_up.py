"""Forgotten ingredients: put in first, dissolved first, or not at all."""

from __future__ import annotations

import re

import pytest
from actuals.plans import BOX, replan, row, slab, weighing
from kettlewright.actuals import Actuals, PourSettings, ReportedWeighing
from kettlewright.plan import plan_batch
from kettlewright.pour import Residue
from kettlewright.recipe import AlkaliPortion, Scale
from recipes import own_fat, recipe


def missing_keys(found: Actuals) -> list[tuple[str, float]]:
    return [(one.row.row.key, pytest.approx(one.mass_g)) for one in found.step.missing]


@pytest.mark.parametrize("stage", ["fats", "lye_made", "in_pot"])
def test_a_forgotten_fat_is_put_in_first(stage: str) -> None:
    # by hand: 128.6 g of alkali for 1000 g at 190 and 5 %; with 900 g of it the superfat is 1 - 128.6 / 121.904
    plan = plan_batch(recipe(own_fat(900, 190, name="white"), own_fat(100, 190, name="red"),
                             alkalis=(AlkaliPortion("NaOH", purity_pct=100),)), BOX, Scale())
    found = replan(plan, stage, row(plan, "red", -100.0), settings=PourSettings(Residue()))
    assert missing_keys(found) == [("red", 100.0)]
    assert (found.step.key, found.step.weigh_g) == ("red", pytest.approx(100.0))
    assert found.step.what == ("do_not_pour" if stage == "in_pot" else "put_in_missing")
    assert "Put the missing 100 g of red into the pot" in found.step.text
    assert found.step.after is not None
    assert found.step.after.superfat == plan.lye.superfat
    if stage != "fats":  # there the lye is made anew for the fats that are there
        assert found.lye.superfat.achieved_pct == pytest.approx(100 * (1 - 128.6 / 121.904), abs=0.01)
    assert found.step.otherwise is not None
    assert found.step.otherwise.what == {"fats": "weigh", "lye_made": "use_part_of_lye", "in_pot": "do_not_pour"}[stage]


def test_a_forgotten_alkali_is_dissolved_before_it_goes_into_the_pot() -> None:
    plan = slab()
    alkali = plan.lye.alkalis[0].weigh_g
    in_jug = replan(plan, "lye_made", row(plan, "NaOH", -alkali))
    assert (in_jug.step.what, in_jug.step.key, in_jug.step.weigh_g) == ("put_in_missing", "NaOH", alkali)
    assert in_jug.step.text.startswith("Slowly put the missing 152.1 g of sodium hydroxide into the jug")
    assert in_jug.step.after is not None
    assert in_jug.step.after.superfat == plan.lye.superfat
    in_pot = replan(plan, "in_pot", row(plan, "NaOH", -alkali))
    assert in_pot.lye.superfat.achieved_pct == 100
    assert (in_pot.step.what, in_pot.step.key) == ("put_in_missing", "NaOH")
    assert in_pot.step.text.startswith("Do not pour yet.")
    assert re.search(r"in \d+ g of cold water: add the alkali to the water, never water to the alk", in_pot.step.text)
    # with the water it is dissolved in
    assert in_pot.step.after is not None
    assert in_pot.step.after.water_mass_g > plan.lye.water_mass_g + 2 * alkali - 1
    assert in_pot.step.after.superfat.achieved_pct == pytest.approx(plan.lye.superfat.achieved_pct)
    assert in_pot.step.otherwise is not None
    assert in_pot.step.otherwise.what == "do_not_pour"
    for stage in ("poured", "cut"):
        assert replan(plan, stage, row(plan, "NaOH", -alkali)).step.what == "rebatch_or_discard"


def test_forgotten_water_is_never_poured_onto_the_alkali() -> None:
    plan = slab()
    found = replan(plan, "lye_made", row(plan, "water", -plan.lye.water.weigh_g))
    assert found.step.what == "put_in_missing"
    assert "second, larger jug" in found.step.text
    assert "never the other way round" in found.step.text
    assert "lye-not-dissolved" in {one.key for one in found.cautions}
    assert found.step.otherwise is not None
    assert found.step.otherwise.what == "make_lye_anew"


def test_half_of_everything_is_poured_and_half_of_the_fats_is_topped_up() -> None:
    plan = slab()
    half = [weighing(one, one.weigh_g / 2) for one in plan.weigh_list if one.where in ("jug", "pot")]
    found = replan(plan, "in_pot", *half)
    assert found.lye.mass_g == pytest.approx(plan.lye.mass_g / 2)
    assert found.step.what == "pour"
    fats_only = replan(plan, "lye_made", *(one for one in half if one.where == "pot"))
    assert [key for key, _ in missing_keys(fats_only)] == ["olive", "coconut"]
    assert fats_only.step.otherwise is not None
    assert fats_only.step.otherwise.what == "use_part_of_lye"


def test_without_a_top_up_that_helps_the_other_remedy_is_given() -> None:
    plan = slab()
    found = replan(plan, "in_pot", row(plan, "coconut", -30.0), row(plan, "NaOH", 30.0))
    assert (found.step.what, found.step.key, found.step.missing) == ("do_not_pour", "olive", ())
    part = replan(plan, "in_pot", row(plan, "water", -50.0), ReportedWeighing("pot", "lye", 300.0, 300.0))
    assert part.step.missing == ()  # what is missing in a jug that is half empty cannot be made good
