"""The contract's rules between fields ("exactly one of", "needs") hold in the service, both ways."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from typing import Any

import pytest
from flask.testing import FlaskClient
from jsonschema import Draft202012Validator
from kettlewright.api.document.openapi import document, examples_of
from kettlewright.api.door.operations import OPERATIONS
from kettlewright.api.door.strict import ListOf, Part, Strict, Union
from marshmallow import Schema

Place = tuple[str | int, ...]
POSTS = {name: found for name, found in OPERATIONS.items() if found.method == "POST"}


def _objects(schema: Schema, value: Any, at: Place = ()) -> Iterator[tuple[Place, Strict]]:
    """Every object of a body, with its schema."""
    assert isinstance(schema, Strict)
    if not isinstance(value, dict):
        return
    yield at, schema
    for name, field in schema.load_fields.items():
        key = field.data_key or name
        inner = field.inner if isinstance(field, ListOf) else field
        for way, item in [((), value.get(key))] if inner is field else [((i,), one) for i, one in enumerate(
                value.get(key) or ())]:
            if isinstance(inner, Part):
                yield from _objects(inner.schema, item, (*at, key, *way))
            elif isinstance(inner, Union) and isinstance(item, dict):
                yield from _objects(inner.members[item[inner.key]], item, (*at, key, *way))


def _within(body: Any, at: Place) -> dict[str, Any]:
    for step in at:
        body = body[step]
    found: dict[str, Any] = body
    return found


def _broken() -> Iterator[tuple[str, str, dict[str, Any]]]:
    """Bodies that break one rule: without any of its fields, and for each group once per schema."""
    seen = set()
    for name, found in POSTS.items():
        assert found.request is not None
        for example in examples_of(name):
            for at, schema in _objects(found.request, example["body"]):
                for group in schema.exactly_one:
                    if (type(schema), group) in seen:
                        continue
                    seen.add((type(schema), group))
                    body = copy.deepcopy(example["body"])
                    for field in group:
                        _within(body, at).pop(field, None)
                    yield name, f"{type(schema).__name__} without {' or '.join(group)}", body


BROKEN = list(_broken())


def _errors(name: str, body: Any) -> list[Any]:
    whole = document()
    schema = whole["paths"][POSTS[name].path]["post"]["requestBody"]["content"]["application/json"]["schema"]
    return list(Draft202012Validator({**schema, "components": whole["components"]}).iter_errors(body))


@pytest.mark.parametrize(("name", "body"), [(name, body) for name, _, body in BROKEN],
                         ids=[title for _, title, _ in BROKEN])
def test_a_body_without_any_of_the_fields_is_rejected_by_contract_and_service(
        client: FlaskClient, name: str, body: dict[str, Any]) -> None:
    assert _errors(name, body)
    assert client.post(POSTS[name].path, json=body).status_code == 422


@pytest.mark.parametrize("name", POSTS)
def test_every_example_keeps_the_rules(name: str) -> None:
    for example in examples_of(name):
        assert _errors(name, example["body"]) == []


def test_the_rules_name_fields_of_their_schemas() -> None:
    schemas = document()["components"]["schemas"]
    count = 0
    left = list(Strict.__subclasses__())
    while left:
        kind = left.pop()
        left += kind.__subclasses__()
        if kind.__name__ not in schemas:
            continue
        known = schemas[kind.__name__]["properties"].keys()
        for group in (*kind.exactly_one, *kind.at_most_one):
            assert set(group) <= known, kind
            count += 1
        for field, others in kind.needed_with.items():
            assert {field, *others} <= known, kind
    assert count > 25


def test_the_rules_that_were_requested_are_there() -> None:
    schemas = document()["components"]["schemas"]
    for name in ("RecipeInput", "WaterInput", "TargetInput", "DatesInput", "PlacesInput", "FillInput"):
        assert "oneOf" in schemas[name], name
