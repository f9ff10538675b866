"""A reply holds every field of its schema, and nothing else: what a result lacks raises, and every example is checked
against openapi.yaml by a JSON Schema library."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from typing import Any

import pytest
from flask.testing import FlaskClient
from jsonschema import Draft202012Validator
from kettlewright.api.document.openapi import examples_of
from kettlewright.api.door.operations import OPERATIONS
from kettlewright.api.door.responses import IncompleteResponse, ResponsePart
from kettlewright.languages import LOCALES
from kettlewright.reference import fats
from marshmallow import Schema, fields, missing

from api.contract import committed, whole

DOCUMENT = committed()
BODIES = [(found.path, locale, example["title"], {**example["body"], "locale": locale})
          for found in OPERATIONS.values() if found.method == "POST"
          for example in examples_of(found.name) for locale in LOCALES]
ADDRESSES = ["/healthz", "/readyz", "/version", "/v1/fats", "/v1/cautions", "/v1/cautions?locale=de", "/v1/sources"]


def _closed(schemas: dict[str, Any]) -> dict[str, Any]:
    """The components with no room for a field they do not name."""
    made = {name: copy.deepcopy(whole(schemas, name)) for name in schemas}
    for schema in made.values():
        if "properties" in schema:
            schema["additionalProperties"] = False
    return made


COMPONENTS = {"schemas": _closed(DOCUMENT["components"]["schemas"])}


def _validator(path: str, method: str) -> Draft202012Validator:
    schema = DOCUMENT["paths"][path][method]["responses"]["200"]["content"]["application/json"]["schema"]
    return Draft202012Validator({**schema, "components": COMPONENTS})


def _faults(path: str, method: str, reply: Any) -> list[str]:
    return [f"{error.json_path}: {error.message}" for error in _validator(path, method).iter_errors(reply)]


@pytest.mark.parametrize(("path", "body"), [(path, body) for path, _, _, body in BODIES],
                         ids=[f"{path} {locale} {title}" for path, locale, title, _ in BODIES])
def test_the_reply_to_an_example_keeps_its_schema(client: FlaskClient, path: str, body: dict[str, Any]) -> None:
    reply = client.post(path, json=body)
    assert reply.status_code == 200, reply.text
    assert _faults(path, "post", reply.json) == []


@pytest.mark.parametrize("path", [*ADDRESSES, *(f"/v1/fats/{key}" for key in fats())])
def test_the_reply_of_a_table_keeps_its_schema(client: FlaskClient, path: str) -> None:
    known = "/v1/fats/{key}" if path.startswith("/v1/fats/") else path.partition("?")[0]
    assert _faults(known, "get", client.get(path).json) == []


@pytest.mark.parametrize(("path", "body"), [(path, body) for path, locale, _, body in BODIES if locale == "en"],
                         ids=[f"{path} {title}" for path, locale, title, _ in BODIES if locale == "en"])
def test_the_check_sees_what_is_left_out_and_what_is_added(client: FlaskClient, path: str,
                                                           body: dict[str, Any]) -> None:
    reply = client.post(path, json=body).json
    assert reply is not None
    assert _faults(path, "post", {name: value for name, value in reply.items() if name != "cautions"})
    assert _faults(path, "post", {**reply, "meta": {**reply["meta"], "more": 1}})
    assert _faults(path, "post", {**reply, "worst_severity": None})


def _parts(schema: Schema) -> Iterator[Schema]:
    """A reply's schema and all that are nested in it."""
    yield schema
    for field in schema.dump_fields.values():
        inner = field.inner if isinstance(field, fields.List) else field
        if isinstance(inner, fields.Nested):
            yield from _parts(inner.schema)


PARTS = {type(part).__name__: part for found in OPERATIONS.values() for part in _parts(found.response)}


@pytest.mark.parametrize("name", sorted(PARTS))
def test_a_field_that_a_result_lacks_raises_unless_it_may_be_absent(name: str) -> None:
    part = PARTS[name]
    assert isinstance(part, ResponsePart), f"{name} would leave out in silence what a result lacks"
    for attribute, field in part.dump_fields.items():
        shown, read_from = field.data_key or attribute, field.attribute or attribute
        if shown in part.omitted:
            assert part.get_attribute({}, read_from, missing) is missing
        else:
            with pytest.raises(IncompleteResponse, match=f"{name} needs {read_from}"):
                part.get_attribute({}, read_from, missing)


def test_a_field_may_be_absent_only_where_the_schema_has_it() -> None:
    for name, part in PARTS.items():
        assert isinstance(part, ResponsePart)
        shown = {field.data_key or attribute for attribute, field in part.dump_fields.items()}
        assert set(part.omitted) <= shown, f"{name} lets {set(part.omitted) - shown} be absent, which it does not have"


def test_the_contract_requires_every_field_that_may_not_be_absent() -> None:
    for name, part in PARTS.items():
        assert isinstance(part, ResponsePart)
        schema = whole(DOCUMENT["components"]["schemas"], name)
        assert set(schema["properties"]) - set(schema.get("required", ())) == set(part.omitted), name


def test_a_result_without_a_figure_is_a_failure_and_not_a_shorter_reply(client: FlaskClient,
                                                                       monkeypatch: pytest.MonkeyPatch) -> None:
    from kettlewright.api.endpoints import lye as endpoint

    whole = endpoint.answer
    monkeypatch.setattr(endpoint, "answer", lambda *given, **more: {
        name: value for name, value in whole(*given, **more).items() if name != "vessels"})
    reply = client.post("/v1/lye", json=examples_of("lye")[0]["body"])
    assert reply.status_code == 500
    assert "vessels" not in reply.text
