"""Compiled functions load what marshmallow loads, and a body that is wrong gets marshmallow's errors."""

from __future__ import annotations

import copy
import re
from collections.abc import Callable, Iterator
from typing import Any, NoReturn

import pytest
from digest.draw import Draw
from digest.random_requests import BODIES
from hypothesis import Phase, given, settings
from hypothesis import strategies as st
from kettlewright.api.document.openapi import examples_of
from kettlewright.api.door.checking import checking
from kettlewright.api.door.compiled_load import compiled_load
from kettlewright.api.door.operations import OPERATIONS
from kettlewright.names import few_suggestions
from kettlewright.units import OPTIONS
from marshmallow import Schema, ValidationError

POSTS = sorted(name for name, found in OPERATIONS.items() if found.method == "POST")
EXAMPLES = [pytest.param(name, example["body"], id=f"{name} {example['title']}")
            for name in POSTS for example in examples_of(name)]
Outcome = tuple[str, object]


class Fallback(AssertionError):
    """marshmallow was called where a compiled function should have done it."""


def without_fallback(schema: type[Schema]) -> Callable[[Any], Any]:
    def refuse(*_: Any, **__: Any) -> NoReturn:
        raise Fallback(schema.__name__)

    alone = schema()
    alone.load = refuse  # of this one object
    return compiled_load(alone)


FAST = {name: without_fallback(type(OPERATIONS[name].request)) for name in POSTS}


def outcome(name: str, body: dict[str, Any], load: Callable[[Any], Any]) -> Outcome:
    """What is loaded, in words that tell 5 from 5.0; or all that a problem is made of."""
    before = copy.deepcopy(body)
    with OPERATIONS[name].request.governing(body), few_suggestions():
        try:
            found: Outcome = "loaded", re.sub(r" at 0x[0-9a-f]+", "", repr(load(body)))
        except ValidationError as error:
            found = "refused", (error.messages, error.kwargs)
    assert body == before
    return found


def by_marshmallow(name: str) -> Callable[[Any], Any]:
    def load(body: Any) -> Any:
        with checking():
            return OPERATIONS[name].request.load(body)

    return load


def compare(name: str, body: dict[str, Any]) -> Outcome:
    expected = outcome(name, body, by_marshmallow(name))
    assert outcome(name, body, OPERATIONS[name].load) == expected
    return expected


@pytest.mark.parametrize(("name", "body"), EXAMPLES)
def test_every_example_is_loaded_without_marshmallow(name: str, body: dict[str, Any]) -> None:
    expected = compare(name, body)
    assert expected[0] == "loaded"
    assert outcome(name, body, FAST[name]) == expected


# JSON knows no NaN, and the door lets no number beyond 40 digits in
LEAVES = st.sampled_from([None, True, False, 0, -0.0, 1, 5, 1e-300, -3, 10**39, 1e300, 2.5, 100, "", " ", "5", "olive",
                          "Olive Oil", "olivve", "\u00e4\u00df", "a\nb", "x" * 400, "NaOH", "2027-02-30", "2027-03-20",
                          [], {}, [1], {"min": 5, "max": 2}])
UNITS = st.fixed_dictionaries({kind: st.sampled_from(sorted(words)) for kind, words in OPTIONS.items()})


def places(value: Any) -> Iterator[tuple[Any, Any]]:
    """Every place in a body: what holds it, and its key or index there."""
    for key, item in list(value.items() if isinstance(value, dict) else enumerate(value)):
        yield value, key
        if isinstance(item, (dict, list)):
            yield from places(item)


def changed(body: dict[str, Any], how: str, where: int, leaf: Any) -> None:
    found = list(places(body))
    if not found:  # all has been removed
        return
    holder, key = found[where % len(found)]
    if how == "replace":
        holder[key] = leaf
    elif how == "remove":
        del holder[key]
    elif how == "add" and isinstance(holder, dict):
        holder[("no_such_field", "lott", key + "x")[where % 3]] = leaf
    elif isinstance(holder, list):
        holder.append(copy.deepcopy(holder[key]))


CHANGES = st.tuples(st.sampled_from(["replace", "replace", "remove", "add", "repeat"]), st.integers(0, 500), LEAVES)


@settings(max_examples=120, phases=[Phase.generate])
@given(st.sampled_from(POSTS), st.integers(0, 10**6), st.lists(CHANGES, max_size=3), st.none() | UNITS, st.booleans())
def test_made_up_bodies_are_loaded_or_refused_as_by_marshmallow(
        name: str, seed: int, changes: list[tuple[str, int, Any]], units: dict[str, str] | None, drawn: bool) -> None:
    examples = examples_of(name)
    body = copy.deepcopy(BODIES[name](Draw(seed)) if drawn and name != "actuals" else
                         examples[seed % len(examples)]["body"])
    body |= {} if units is None else {"units": units}
    expected = compare(name, body)
    if expected[0] == "loaded":
        assert outcome(name, body, FAST[name]) == expected
    for change in changes:
        changed(body, *change)
        compare(name, body)


def test_both_ends_of_bounds_are_taken_without_marshmallow_and_no_more() -> None:
    recipe = copy.deepcopy(examples_of("lye")[0]["body"])
    for superfat, taken in ((0, True), (0.0, True), (50, True), (50.0, True), (50.001, False), (-0.001, False)):
        body = {**recipe, "superfat_pct": superfat}
        assert (compare("lye", body)[0] == "loaded") is taken
        if taken:
            assert outcome("lye", body, FAST["lye"])[0] == "loaded"


def test_a_wrong_name_leaves_the_questions_of_the_problem_alone() -> None:
    recipe = copy.deepcopy(examples_of("lye")[0]["body"])
    recipe["fats"] = [{"fat": f"olivve{number}", "mass": 10} for number in range(15)]
    kind, reported = compare("lye", recipe)
    assert kind == "refused"
    assert str(reported).count("Did you mean") == 10  # `names.SUGGESTIONS_MAX`
