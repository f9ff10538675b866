"""The words of the next action: in German as in English, and questions about rows not reported."""

from __future__ import annotations

import re

import pytest
from actuals.plans import PLANS, all_rows, replan, slab, weighing
from hypothesis import given
from hypothesis import strategies as st
from kettlewright.actuals import STAGES
from kettlewright.errors import DomainError, DomainErrors
from kettlewright.languages import translated, using_locale
from kettlewright.said import Said

FORBIDS = re.compile(r"\b(do not|never|proves nothing|not for|leave out)\b", re.IGNORECASE)
VERBOTEN = re.compile(r"\b(nicht|nie|niemals|beweist nichts|weg)\b", re.IGNORECASE)


def figures(text: str) -> list[str]:
    return sorted(one.replace(",", ".") for one in re.findall(r"-?\d+(?:[.,]\d+)?", text))


@given(st.data())
def test_the_german_next_action_has_the_same_figures_and_prohibitions(data: st.DataObject) -> None:
    plan = data.draw(st.sampled_from(PLANS))
    stage = data.draw(st.sampled_from([one for one in STAGES if one != "cut" or plan.cuts is not None]))
    rows = [weighing(one, mass, one.lot) for one in plan.weigh_list
            if data.draw(st.booleans())
            for mass in [max(one.weigh_g, 0.1) * data.draw(st.sampled_from([0.0, 0.001, 0.9, 0.97, 1.0, 1.03, 1.2]))]]
    try:
        text = replan(plan, stage, *rows).step.text
    except (DomainError, DomainErrors):
        return
    assert isinstance(text, Said)
    with using_locale("de"):
        german = translated(text)
    assert figures(german) == figures(text)
    assert len(FORBIDS.findall(text)) <= len(VERBOTEN.findall(german)), german
    assert not re.search(r"\b(the|of|is|it|and|planned|superfat)\b", german), german


def test_the_next_action_asks_about_a_row_not_reported_before_it_says_pour() -> None:
    plan = slab()
    known = [one for one in all_rows(plan, "jug", "pot") if one.key != "coconut"]
    found = replan(plan, "in_pot", *known)
    assert [one.key for one in found.assumed] == ["coconut"]
    assert found.step.what == "pour"
    assert found.step.text.startswith("Did you weigh coconut oil? It was not reported")
    assert "rows-not-reported" in {one.key for one in found.cautions}
    everything = replan(plan, "in_pot", *all_rows(plan, "jug", "pot"))
    assert everything.assumed == ()
    assert everything.step.text.startswith("Pour.")
    assert "rows-not-reported" not in {one.key for one in everything.cautions}
    poured = replan(plan, "poured", *known)
    assert "Did you weigh coconut oil" in poured.step.text


@pytest.mark.parametrize("stage", ["fats", "lye_made"])
def test_a_fat_that_was_not_reported_is_questioned_before_the_lye_is_made_or_used(stage: str) -> None:
    plan = slab()
    known = [one for one in all_rows(plan, "jug", "pot") if one.key != "coconut"]
    if stage == "fats":
        known = [one for one in known if one.where == "pot"]
    found = replan(plan, stage, *known)
    assert [one.key for one in found.assumed] == ["coconut"]
    assert found.step.what == "go_on"
    assert found.step.text.startswith("Did you weigh coconut oil? It was not reported")
    assert "rows-not-reported" in {one.key for one in found.cautions}
