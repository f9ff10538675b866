"""Compiled functions dump what marshmallow dumps: every example, and made-up values for every schema of a reply."""

from __future__ import annotations

import json
import random
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from types import SimpleNamespace
from typing import Any, NoReturn

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st
from kettlewright.amounts import mass
from kettlewright.api.document.openapi import examples_of
from kettlewright.api.door.compiled_dump import compiled_dump
from kettlewright.api.door.operations import OPERATIONS, run
from kettlewright.app import create_app
from kettlewright.languages import LOCALES, using_locale
from kettlewright.said import Said, TableName
from kettlewright.units import OPTIONS, Units, using
from marshmallow import Schema, fields

create_app()  # registers the operations
IMPERIAL = {"mass": "lb", "dose": "oz", "length": "in", "volume": "us_fl_oz", "temperature": "degF"}
EXAMPLES = [pytest.param(name, example["body"], id=f"{name} {example['title']}")
            for name in OPERATIONS for example in examples_of(name)]


def parts_of(schema: Schema, found: dict[type[Schema], Schema]) -> dict[type[Schema], Schema]:
    """A schema and all that are in it, by class."""
    if type(schema) not in found:
        found[type(schema)] = schema
        for field in schema.dump_fields.values():
            inner = field.inner if isinstance(field, fields.List) else field
            if isinstance(inner, fields.Nested):
                parts_of(inner.schema, found)
    return found


def every_schema() -> dict[type[Schema], Schema]:
    found: dict[type[Schema], Schema] = {}
    for operation in OPERATIONS.values():
        parts_of(operation.response, found)
    return found


SCHEMAS = every_schema()


class Fallback(AssertionError):
    """marshmallow was called where a compiled function should have done it."""


def without_fallback(schema: type[Schema]) -> Callable[[Any], dict[str, Any]]:
    def refuse(*_: Any, **__: Any) -> NoReturn:
        raise Fallback(schema.__name__)

    alone = schema()
    alone.dump = refuse  # of this one object
    return compiled_dump(alone)


FAST = {kind: without_fallback(kind) for kind in SCHEMAS}


@pytest.mark.parametrize(("name", "body"), EXAMPLES)
def test_every_example_is_dumped_as_by_marshmallow(name: str, body: dict[str, Any]) -> None:
    fast = FAST[type(OPERATIONS[name].response)]

    def both(result: Any) -> dict[str, Any]:
        made = fast(result)
        assert json.dumps(made) == json.dumps(OPERATIONS[name].response.dump(result))  # in the same order, too
        return made

    for more in ({}, {"locale": "de"}):
        run(replace(OPERATIONS[name], dump=both), {**body, **more})
    with using(Units(**IMPERIAL)):  # which a body in grams would set back
        run(replace(OPERATIONS[name], dump=lambda result: _in(IMPERIAL, both, result)), body)


def _in(units: dict[str, str], dump: Callable[[Any], dict[str, Any]], result: Any) -> dict[str, Any]:
    with using(Units(**units)):
        return dump(result)


def made_up(schema: Schema, draw: random.Random, numbers: list[float], texts: list[str], odd: float) -> Any:
    """An object with the attributes that a schema reads, as a dict or not; `odd` is the share of odd values."""
    root: dict[str, Any] = {}
    for name, field in schema.dump_fields.items():
        if draw.random() < odd:
            continue
        *way, last = (getattr(field, "of", None) or field.attribute or name).split(".")
        node: Any = root
        for step in way:
            node = node.setdefault(step, {}) if isinstance(node, dict) else None
        if isinstance(node, dict):  # else another field has put an object there
            node.setdefault(last, value_of(field, draw, numbers, texts, odd))
    return _objects(root, draw)


def _objects(tree: dict[str, Any], draw: random.Random) -> Any:
    """Some of the dicts of a tree as objects."""
    inside = {name: _objects(value, draw) if isinstance(value, dict) else value for name, value in tree.items()}
    return inside if draw.random() < 0.5 else SimpleNamespace(**inside)


def value_of(field: fields.Field[Any], draw: random.Random, numbers: list[float], texts: list[str], odd: float) -> Any:
    if draw.random() < odd:
        return draw.choice([None, None, None, "text", 7, float("nan"), [], True])
    if isinstance(field, fields.List):
        return [value_of(field.inner, draw, numbers, texts, odd) for _ in range(draw.randrange(3))]
    if isinstance(field, fields.Nested):
        return made_up(field.schema, draw, numbers, texts, odd)
    kind = type(field).__name__
    if kind == "Flag":
        return draw.choice([True, False, 0, 1])
    if kind in ("Day", "Weekday"):
        return date(2027, draw.randrange(1, 13), draw.randrange(1, 29))
    if kind in ("Text", "Choice"):
        text = draw.choice(texts)
        return draw.choice([text, Said("water"), Said("batter for {portion}", portion=text), Said("weigh {amount}",
                            amount=mass(draw.choice(numbers))), TableName("olive oil", {"de": text}), 5])
    return draw.choice([*numbers, draw.randrange(-5, 5000)])


def outcome(dump: Callable[[Any], Any], value: Any) -> object:
    try:
        return json.dumps(dump(value))
    except Exception as error:
        return type(error).__name__, str(error)


NUMBERS = st.lists(st.floats(-1e9, 1e12) | st.sampled_from([0.0, -0.0, 1e-5, 123.4567891234]), min_size=1, max_size=5)


@st.composite
def request_units(draw: st.DrawFn) -> Units:
    return Units(**{kind: draw(st.sampled_from(sorted(options))) for kind, options in OPTIONS.items()})


@settings(max_examples=25, phases=[Phase.generate])  # a random tree does not shrink
@given(st.randoms(use_true_random=False), NUMBERS, st.lists(st.text(max_size=9), min_size=1, max_size=4),
       request_units(), st.sampled_from(LOCALES), st.sampled_from([0.0, 0.0, 0.02]))
def test_made_up_values_are_dumped_as_by_marshmallow(draw: random.Random, numbers: list[float], texts: list[str],
                                                     units: Units, locale: str, odd: float) -> None:
    with using(units), using_locale(locale):
        for kind in draw.sample(list(SCHEMAS), 10):
            value = made_up(SCHEMAS[kind], draw, numbers, texts, odd)
            expected = outcome(SCHEMAS[kind].dump, value)
            assert outcome(compiled_dump(SCHEMAS[kind]), value) == expected
            if isinstance(expected, str):  # it can be dumped, so without help
                assert outcome(FAST[kind], value) == expected


def test_what_a_result_lacks_is_the_same_error() -> None:
    for name in ("lye", "batches"):
        schema = OPERATIONS[name].response
        lacking = outcome(OPERATIONS[name].dump, {"units": Units()})
        assert lacking == outcome(schema.dump, {"units": Units()})
        assert lacking[0] == "IncompleteResponse"


def test_only_these_schemas_are_left_to_marshmallow() -> None:
    own_way = {kind.__name__ for kind in SCHEMAS if "dump" in vars(kind) or "get_attribute" in vars(kind)}
    assert own_way == {"WeighListRow", "WeighingDifference", "RemedyRow", "Profile", "MissingIngredient"}
