"""Weighings against the weigh list: what counts as planned, which row is meant, rejected rows."""

from __future__ import annotations

from typing import Any

import pytest
from actuals.plans import BOX, SCENT, replan, row, slab
from kettlewright.actuals import PourSettings, ReportedWeighing
from kettlewright.errors import DomainErrors
from kettlewright.plan import plan_batch
from kettlewright.pour import Residue
from kettlewright.recipe import FatPortion, Scale
from recipes import recipe


def test_one_step_of_the_scale_counts_as_planned_and_two_do_not() -> None:
    plan = slab()
    for key, step, stage in (("coconut", 1.0, "fats"), ("NaOH", 0.1, "lye_made")):
        for off in (step, -step):
            found = replan(plan, stage, row(plan, key, off))
            assert (found.step.what, {one.state for one in found.differences}) == ("go_on", {"as_planned", "not_told"})
        assert replan(plan, stage, row(plan, key, 2 * step)).differences != replan(plan, stage).differences
    assert replan(plan, "fats", row(plan, "coconut", -2.0)).step.what == "weigh"
    assert replan(plan, "lye_made", row(plan, "NaOH", 0.9)).step.what == "use_part_of_lye"


LOTS = recipe(FatPortion(fat="olive", mass_g=400, lot="A"), FatPortion(fat="olive", mass_g=300, lot="B"))


def test_the_lot_distinguishes_rows_of_one_fat() -> None:
    plan = plan_batch(LOTS, BOX, Scale())
    found = replan(plan, "fats", ReportedWeighing("pot", "olive", 310.0, 310.0, "B"), settings=PourSettings(Residue()))
    assert [(one.lot, one.off_g) for one in found.differences] == [("A", None), ("B", 10.0)]
    with pytest.raises(DomainErrors, match=r"give the .lot. of this weighing"):
        replan(plan, "fats", ReportedWeighing("pot", "olive", 310.0, 310.0))


@pytest.mark.parametrize(("stage", "rows", "field", "words"), [
    ("fats", [("jug", "NaOH", 150.0)], ("weighed", 0, "where"), 'not weighed before stage "lye_made"'),
    ("lye_made", [("bucket", "slate", 150.0, "slate")], ("weighed", 0, "where"), 'not weighed before stage "poured"'),
    ("poured", [("bucket", "slate", 150.0)], ("weighed", 0, "portion"), 'give the "portion" of this weighing'),
    ("poured", [("bucket", "slate", 150.0, "slat")], ("weighed", 0, "portion"), 'Did you mean "slate"'),
    ("fats", [("pot", "olive", 150.0, "slate")], ("weighed", 0, "portion"), 'for a portion "slate"'),
    ("fats", [("pot", "olive", 150.0, None, "acid")], ("weighed", 0, "kind"), 'is not of kind "acid". Known'),
    ("lye_made", [("pot", "cedar", 15.0)], ("weighed", 0, "where"), 'not weighed before stage "in_pot"'),
    ("lye_made", [("pot", "lye", 150.0)], ("weighed", 0, "where"), 'not weighed before stage "in_pot"'),
    ("fats", [("pot", "olve", 150.0)], ("weighed", 0, "key"), 'Did you mean "olive"'),
    ("fats", [("pt", "olive", 150.0)], ("weighed", 0, "where"), 'Did you mean "pot"'),
    ("fats", [("pot", "olive", 150.0), ("pot", "olive", 151.0)], ("weighed", 1, "key"), "is reported twice"),
    ("in_pot", [("pot", "lye", 150.0), ("pot", "lye", 151.0)], ("weighed", 1, "key"), "is reported twice"),
    ("in_pot", [("pot", "lye", 15000.0)], ("weighed",), "in the jug"),
    ("fats", [("pot", "olive", 0.0), ("pot", "coconut", 0.0)], ("weighed",), "there is no batch yet"),
    ("fats", [("pot", "olive", 0.5), ("pot", "coconut", 0.2)], ("weighed",), "there is no batch yet"),
    ("lye_made", [("jug", "water", 0.0), ("jug", "NaOH", 0.0)], ("weighed",), 'give stage "fats"'),
    ("in_pot", [("pot", "lye", 0.0)], ("weighed",), 'give stage "lye_made"'),
    ("in_pot", [("pot", "olive", 1e-9)], ("weighed", 0, "mass"), "above 0"),
    ("fats", [("pot", "olive", 1e6), ("pot", "coconut", 1e6)], ("weighed",), "a batch is at most 1,000 kg"),
])
def test_rows_that_the_plan_does_not_have_are_rejected(stage: str, rows: list[tuple[Any, ...]], field: tuple[object],
                                                       words: str) -> None:
    plan = slab(additions=(SCENT,))
    with pytest.raises(DomainErrors) as caught:
        replan(plan, stage, *(ReportedWeighing(where, key, mass, mass, None, *more)
                              for where, key, mass, *more in rows))
    assert [fault.field for fault in caught.value.errors] == [field]
    assert words in caught.value.errors[0].detail
