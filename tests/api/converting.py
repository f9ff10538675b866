"""Request bodies in other units, and replies compared by the kind of each field."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

from kettlewright.api.door.fields import Number, Quantity, Text
from kettlewright.api.door.operations import OPERATIONS, run
from kettlewright.api.door.strict import ListOf, Part, Union
from marshmallow import Schema, fields

GRAMS = {"mass": "g", "dose": "g", "length": "mm", "volume": "mL", "temperature": "degC"}
TO_BASE = {
    # exact by definition: avoirdupois pound 453.59237 g, inch 25.4 mm, US gallon 231 cubic inches; degF = 9/5 degC + 32
    "g": (1.0, 0.0), "kg": (1000.0, 0.0), "oz": (453.59237 / 16, 0.0), "lb": (453.59237, 0.0), "mm": (1.0, 0.0),
    "cm": (10.0, 0.0), "in": (25.4, 0.0), "mL": (1.0, 0.0), "L": (1000.0, 0.0),
    "us_fl_oz": (231 * 16.387064 / 128, 0.0), "degC": (1.0, 0.0), "degF": (5 / 9, -160 / 9)}
STEPS = {"readability": 1.0, "alkali_readability": 0.1, "dose_readability": 0.1}


def _out(value: float, unit: str) -> float:
    factor, offset = TO_BASE[unit]
    return (value - offset) / factor


def _in(value: float, unit: str) -> float:
    factor, offset = TO_BASE[unit]
    return value * factor + offset


def governing_part(name: str, body: Any) -> Any:
    """The object whose units govern a body: an actuals request is governed by its plan."""
    return body.get("plan", body) if name == "actuals" else body


def in_units(name: str, body: Mapping[str, Any], units: Mapping[str, str]) -> dict[str, Any]:
    """A body in grams, millimetres ... as the same request in other units; its scale is written out."""
    operation = OPERATIONS[name]
    assert operation.request is not None
    made: dict[str, Any] = _object(operation.request, body, units)
    governing = governing_part(name, made)
    schema = operation.request if governing is made else operation.request.fields["plan"].schema
    governing["units"] = dict(units)
    if "scale" in schema.fields:
        steps = {**STEPS, **governing_part(name, body).get("scale", {})}
        governing["scale"] = {key: _out(step, units["mass"]) for key, step in steps.items()}
    if name == "actuals":
        with_identity(made)
    if name == "rebatches":  # each plan has units of its own
        for one, given in zip(made["offcuts"], body["offcuts"], strict=True):
            one["plan"] = in_units("batches", given["plan"], units)
    return made


def with_identity(body: dict[str, Any]) -> dict[str, Any]:
    """An actuals request with the identity of its plan (`body`, changed)."""
    body["identity"] = run(OPERATIONS["batches"], body["plan"])["identity"]
    return body


def _object(schema: Schema, given: Mapping[str, Any], units: Mapping[str, str]) -> dict[str, Any]:
    known = {field.data_key or name: field for name, field in schema.fields.items()}
    made = {key: _value(known[key], value, units) for key, value in given.items() if key != "units"}
    if given.get("basis") == "mass" and "dose" in given:
        made["dose"] = _out(given["dose"], units["dose"])
    if "WeighedRow" in type(schema).__name__:  # in the unit of its row: fine rows are known by what they weigh
        fine = given.get("kind") in ("acid", "addition", "dusting", "spray", "carrier") or given.get("_fine", False)
        made["mass"] = _out(given["mass"], units["dose" if fine else "mass"])
        made.pop("_fine", None)
    return made


def _value(field: fields.Field[Any], value: Any, units: Mapping[str, str]) -> Any:
    if isinstance(field, Quantity):
        return _out(value, units[field.kind])
    if isinstance(field, ListOf):
        return [_value(field.inner, one, units) for one in value]
    if isinstance(field, Part):
        return _object(field.schema, value, units)
    if isinstance(field, Union):
        return _object(field.members[value[field.key]], value, units)
    return value


def differences(name: str, reply: Any, other: Any, units: Mapping[str, str], *,
                rel: float = 2e-8) -> list[str]:
    """Paths at which a reply in grams and one in other units say different things."""
    return list(_differ(OPERATIONS[name].response, reply, other, units, "", rel))


_OF_THE_REQUEST = {"identity", "request", "units", "links", "workings", "resolved"}
"""They name the request as it was sent; workings and resolved lines say that they are in fixed units."""


def _differ(schema: Schema, one: Any, other: Any, units: Mapping[str, str], path: str, rel: float) -> Iterator[str]:
    if one is None or other is None:
        if one is not other:
            yield f"{path}: {one} {other}"
        return
    if one.keys() != other.keys():
        yield f"{path}: {sorted(one.keys() ^ other.keys())} in one of them only"
        return
    own = one.get("unit"), other.get("unit")
    for field_name, field in schema.dump_fields.items():
        key = field.data_key or field_name
        if key not in one or key in _OF_THE_REQUEST:
            continue
        yield from _differ_at(field, one[key], other[key], units, f"{path}/{key}", rel, own,
                              other.get("basis"))


def _differ_at(field: fields.Field[Any], one: Any, other: Any, units: Mapping[str, str], path: str, rel: float,
               own: tuple[str | None, str | None], basis: str | None) -> Iterator[str]:
    if isinstance(field, Part):
        yield from _differ(field.schema, one, other, units, path, rel)
    elif isinstance(field, ListOf):
        if len(one or ()) != len(other or ()):
            yield f"{path}: {len(one)} and {len(other)} items"
            return
        for index, (first, second) in enumerate(zip(one or (), other or (), strict=True)):
            yield from _differ_at(field.inner, first, second, units, f"{path}/{index}", rel, own, basis)
    elif isinstance(field, Number):
        if one is None or other is None:
            if one is not other:
                yield f"{path}: {one} {other}"
            return
        if isinstance(field, Quantity):
            other = _in(other, units[field.kind])
        elif field.unit == "in this row's unit":
            one, other = _in(one, own[0] or ""), _in(other, own[1] or "")
        elif basis == "mass" and path.endswith("/dose"):
            other = _in(other, units["dose"])
        if not math.isclose(one, other, rel_tol=rel, abs_tol=1e-6):
            yield f"{path}: {one} {other}"
    elif isinstance(field, Text) or path.endswith("/unit"):
        if (one is None) is not (other is None):
            yield f"{path}: {one} {other}"
    elif one != other:
        yield f"{path}: {one} {other}"


def sentences_in(schema: Schema, reply: Any, path: str = "") -> Iterator[tuple[str, str]]:
    """Every text of a reply with its path; not those of workings and sources, which have units of their own."""
    for field_name, field in schema.dump_fields.items():
        key = field.data_key or field_name
        if reply is None or key not in reply or key in ("workings", "resolved", "sources", "links"):
            continue
        yield from _sentences(field, reply[key], f"{path}/{key}")


def _sentences(field: fields.Field[Any], value: Any, path: str) -> Iterator[tuple[str, str]]:
    if isinstance(field, Part):
        yield from sentences_in(field.schema, value, path)
    elif isinstance(field, ListOf):
        for index, one in enumerate(value or ()):
            yield from _sentences(field.inner, one, f"{path}/{index}")
    elif isinstance(field, Text) and isinstance(value, str):
        yield path, value
