"""Every request says the same in any units: figures field by field, and sentences in the requested units only."""

from __future__ import annotations

import re
from collections.abc import Iterator
from random import Random
from typing import Any

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from kettlewright.api.document.openapi import examples_of
from kettlewright.api.door.fields import Number, Quantity, Whole
from kettlewright.api.door.operations import OPERATIONS, run
from kettlewright.api.door.problems import wrong_input
from kettlewright.api.door.strict import ListOf, Part, Union
from kettlewright.app import create_app
from kettlewright.errors import DomainError, DomainErrors
from marshmallow import Schema, ValidationError, fields

from api.converting import GRAMS, differences, governing_part, in_units, sentences_in

create_app()  # registers the operations
OUNCES = {"mass": "oz", "dose": "oz", "length": "in", "volume": "us_fl_oz", "temperature": "degF"}
POUNDS = {"mass": "lb", "dose": "g", "length": "cm", "volume": "L", "temperature": "degC"}
KILOGRAMS = {"mass": "kg", "dose": "oz", "length": "cm", "volume": "us_fl_oz", "temperature": "degF"}
POSTED = sorted(name for name, operation in OPERATIONS.items() if operation.request is not None and
                operation.method == "POST")


def _fields(schema: Schema, path: str, seen: frozenset[type]) -> Iterator[tuple[str, str, fields.Field[Any]]]:
    if type(schema) in seen:
        return
    for name, field in schema.fields.items():
        yield from _inside(field, f"{path}/{field.data_key or name}", name, seen | {type(schema)})


def _inside(field: fields.Field[Any], path: str, name: str,
            seen: frozenset[type]) -> Iterator[tuple[str, str, fields.Field[Any]]]:
    if isinstance(field, Part):
        yield from _fields(field.schema, path, seen)
    elif isinstance(field, ListOf):
        yield from _inside(field.inner, path, name, seen)
    elif isinstance(field, Union):
        for word, member in field.members.items():
            yield from _fields(member, f"{path}[{word}]", seen)
    else:
        yield path, name, field


ALL_FIELDS = [(f"{name} {side}{path}", attribute, field) for name, operation in sorted(OPERATIONS.items())
              for side, schema in (("request", operation.request), ("response", operation.response))
              if schema is not None
              for path, attribute, field in _fields(schema, "", frozenset())]


# whatever the units of the request: parts, counts, times, densities, areas, what is counted per mass, values of fats,
# and rows and lines that name their own unit
FIXED = {
    "1", "1/day", "CIEDE2000", "as the name says", "bars", "batches", "cavities", "cm2", "cups", "days",
    "g iodine per 100 g", "g per g", "g per kg of batter", "g/kg", "g/m2", "g/mL", "g/mL at 40 degC", "h", "hours",
    "loaves", "mg KOH per g of fat", "mg KOH/g, g iodine/100 g or % of fatty acids", "mixes", "months", "moulds",
    "number", "number, from 1", "packs", "pieces", "points", "pours, moulds, batches or bars", "the same", "sides",
    "times", "values",
    "in the unit of that row of the weigh list", "in this row's unit", "unit of the line"}


def test_no_field_has_a_unit_of_its_own_where_the_request_chooses_it() -> None:
    assert len(ALL_FIELDS) > 1000
    others = [(path, field.unit) for path, _, field in ALL_FIELDS
              if isinstance(field, Number) and not isinstance(field, Quantity)
              and field.unit not in FIXED and not field.unit.startswith("%")]
    assert not others, "a mass, length, volume or temperature is a field of that kind"


def test_no_number_is_named_by_a_unit_without_being_a_quantity() -> None:
    named = [path for path, name, field in ALL_FIELDS if isinstance(field, Number) and not isinstance(field, Quantity)
             and re.search(r"(?<!_per)_(g|mm|ml|c)$", name)]
    assert not named


def in_grams() -> Iterator[tuple[str, str, dict[str, Any]]]:
    for name in POSTED:
        for example in examples_of(name):
            body = example["body"]
            if {**GRAMS, **governing_part(name, body).get("units", {})} != GRAMS:
                continue
            yield name, example["title"], body


EXAMPLES = [pytest.param(name, body, id=f"{name}: {title}") for name, title, body in in_grams()]


@pytest.mark.parametrize("units", [OUNCES, POUNDS, KILOGRAMS], ids=["oz", "lb", "kg"])
@pytest.mark.parametrize(("name", "body"), EXAMPLES)
def test_an_example_says_the_same_in_other_units(name: str, body: dict[str, Any], units: dict[str, str]) -> None:
    operation = OPERATIONS[name]
    reply = run(operation, in_units(name, body, GRAMS))
    other = run(operation, in_units(name, body, units))
    assert not differences(name, reply, other, units)


METRIC = re.compile(r"\d ?(g|kg|mm|cm|mL|L|°C|degC|grams?)(?![\w/²])(?! (per|of water to))")
"""A figure in a metric unit; not g/mL, g/kg, g/m2."""


@pytest.mark.parametrize(("name", "body"), EXAMPLES)
def test_no_sentence_speaks_units_that_were_not_requested(name: str, body: dict[str, Any]) -> None:
    reply = run(OPERATIONS[name], in_units(name, body, OUNCES))
    assert not metric_in(name, reply)


def metric_in(name: str, reply: dict[str, Any]) -> list[tuple[str, str]]:
    """Sentences of a reply with a figure in a metric unit. What a label prints is in the units of its market."""
    found = [(path, text) for path, text in sentences_in(OPERATIONS[name].response, reply)
             if "/net_quantity" not in path and "/elements" not in path and "Directive" not in text]
    printed = re.compile(r"will weigh less than \S+ \w+(?= ?[.,(/])")
    return [(path, text) for path, text in found if METRIC.search(printed.sub("", text))]


def _shaken(schema: Schema, body: Any, random: Random, part: float) -> Any:
    """A body whose figures are others and that lacks something here and there."""
    known = {field.data_key or name: field for name, field in schema.fields.items()}
    made = {}
    for key, value in body.items():
        field = known[key]
        if not field.required and key not in ("units", "scale") and random.random() < part / 3:
            continue
        made[key] = _shaken_at(field, value, random, part)
    return made


def _shaken_at(field: fields.Field[Any], value: Any, random: Random, part: float) -> Any:
    if isinstance(field, Part):
        return _shaken(field.schema, value, random, part)
    if isinstance(field, Union):
        return _shaken(field.members[value[field.key]], value, random, part)
    if isinstance(field, ListOf):
        return [_shaken_at(field.inner, one, random, part) for one in value]
    if isinstance(field, Number) and not isinstance(field, Whole) and random.random() < part:
        return value * random.choice([0.5, 0.93, 1.07, 1.9, 4.0, 0.0, 30.0, 1e-3])
    return value


def _reply_to(name: str, body: dict[str, Any]) -> tuple[dict[str, Any], list[dict[str, str]]]:
    """The reply, or the faults."""
    try:
        return run(OPERATIONS[name], body), []
    except (ValidationError, DomainError, DomainErrors) as error:
        return {}, wrong_input(error).errors


@pytest.mark.parametrize("name", sorted({param.values[0] for param in EXAMPLES}))
@given(data=st.data())
@settings(max_examples=30, deadline=None, suppress_health_check=list(HealthCheck))
def test_any_request_says_the_same_in_other_units(name: str, data: st.DataObject) -> None:
    body = data.draw(st.sampled_from([param.values[1] for param in EXAMPLES if param.values[0] == name]))
    units = data.draw(st.sampled_from([OUNCES, POUNDS, KILOGRAMS]))
    takes = OPERATIONS[name].request
    assert takes is not None
    part = data.draw(st.sampled_from([0.01, 0.03, 0.12]))
    shaken = _shaken(takes, body, data.draw(st.randoms(use_true_random=False)), part)
    try:
        grams, others = in_units(name, shaken, GRAMS), in_units(name, shaken, units)
    except (ValidationError, DomainError, DomainErrors, KeyError):
        assume(False)  # the plan of an actuals request has no answer, or lost what the test must know
    reply, faults = _reply_to(name, grams)
    other, other_faults = _reply_to(name, others)
    assert [(one["pointer"], one["code"]) for one in faults] == [(one["pointer"], one["code"]) for one in other_faults]
    if units is OUNCES:
        assert not [one for one in other_faults if METRIC.search(one["detail"] + " " + one.get("allowed", ""))]
    if faults:
        return
    assert not differences(name, reply, other, units)
    if units is OUNCES:
        assert not metric_in(name, other)
