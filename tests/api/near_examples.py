"""Requests near the examples of the contract: one to a few changes away, so that many of them are still answered."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from typing import Any

from hypothesis import strategies as st
from kettlewright.api.document.openapi import examples_of
from kettlewright.api.door.operations import BY_LINK, OPERATIONS, Operation
from kettlewright.units import OPTIONS

from api.addresses import pairs

__all__ = ["near_examples"]

Path = tuple[str | int, ...]
_FACTORS = (0.99, 1.01, 0.9, 1.1, 0.5, 2.0, 10.0, -1.0)


@st.composite
def near_examples(draw: st.DrawFn, name: str) -> dict[str, Any]:
    """Body and query of a request, by the names that schemathesis gives them (`name`: of the operation)."""
    operation = OPERATIONS[name]
    query: dict[str, Any] = {}
    form = draw(st.sampled_from([None, None, *operation.forms]))
    if form is not None:
        query["format"] = form
    if operation.takes is None:
        return {"query": {**query, **_table_query(draw, operation)}, "path_parameters": _key(draw, operation)}
    example = draw(st.sampled_from(examples_of(name.removesuffix(BY_LINK))))
    body = copy.deepcopy(example["body"])
    for _ in range(draw(st.sampled_from((0, 0, 1, 1, 1, 2)))):
        _change(draw, body)
    if "units" in operation.takes.load_fields and draw(st.integers(0, 3)) == 0:
        body["units"] = {kind: draw(st.sampled_from(sorted(OPTIONS[kind]))) for kind in ("mass", "length")}
    if draw(st.integers(0, 3)) == 0:
        body["locale"] = draw(st.sampled_from(("en", "de")))
    if operation.link is None:
        return {"body": body, "query": query}
    return {"query": {**query, **_as_query(operation, body)}}


def _as_query(operation: Operation, body: dict[str, Any]) -> dict[str, Any]:
    from kettlewright.api.links.plans import link_of_plan
    name = operation.name.removesuffix(BY_LINK)
    if name == "batches":
        packed = link_of_plan(body).get("self", "").partition("plan=")[2]
        return {"plan": packed or "1"}
    found: dict[str, list[str]] = {}
    for key, value in pairs(name, body):
        found.setdefault(key, []).append(value)
    return {key: values if len(values) > 1 else values[0] for key, values in found.items()}


def _table_query(draw: st.DrawFn, operation: Operation) -> dict[str, Any]:
    if operation.query is None:
        return {}
    fields = {name: field.metadata.get("example") for name, field in operation.query.load_fields.items()}
    chosen = draw(st.sets(st.sampled_from(sorted(fields)), max_size=2)) if fields else set()
    return {name: str(fields[name]) for name in sorted(chosen) if fields[name] is not None}


def _key(draw: st.DrawFn, operation: Operation) -> dict[str, str]:
    return {"key": draw(st.sampled_from(("olive", "coconut", "shea", "no_such_fat")))} if "{key}" in operation.path \
        else {}


def _places(value: Any, way: Path = ()) -> Iterator[Path]:
    if way:
        yield way
    if isinstance(value, dict):
        for key, item in value.items():
            yield from _places(item, (*way, key))
    elif isinstance(value, list):
        for index, item in enumerate(value):
            yield from _places(item, (*way, index))


def _at(body: Any, way: Path) -> Any:
    for part in way:
        body = body[part]
    return body


def _change(draw: st.DrawFn, body: dict[str, Any]) -> None:
    """One change somewhere in a body."""
    # a plan goes with its identity, so another plan is refused
    places = [way for way in _places(body) if "identity" not in body or way[0] not in ("plan", "identity")]
    if not places:  # its last part was taken out
        return
    numbers = [way for way in places if isinstance(_at(body, way), (int, float))]
    way = draw(st.sampled_from(numbers if numbers and draw(st.integers(0, 2)) else places))
    holder: Any = body
    for part in way[:-1]:
        holder = holder[part]
    last, value = way[-1], holder[way[-1]]
    if isinstance(value, bool):
        holder[last] = not value
    elif isinstance(value, (int, float)):
        holder[last] = value + 1 if isinstance(value, int) and draw(st.booleans()) else value * draw(
            st.sampled_from(_FACTORS))
    elif isinstance(value, str):
        holder[last] = value + draw(st.sampled_from(("", "", " ", " ü", "x", "०", "'<b>")))
    elif isinstance(value, list) and value:
        if draw(st.booleans()):
            value.append(copy.deepcopy(value[-1]))
        elif len(value) > 1:
            value.pop()
    elif isinstance(holder, dict):
        del holder[last]
