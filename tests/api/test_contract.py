"""openapi.yaml: valid, fresh, in step with the code in both directions, and its examples give the numbers they show."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from typing import Any

import pytest
from flask.testing import FlaskClient
from jsonschema import Draft202012Validator
from kettlewright.api.document.openapi import as_yaml, examples_of
from kettlewright.app import create_app
from openapi_spec_validator import validate

from api.bodies import LYE
from api.contract import COMMITTED, committed, parameters_of, read_yaml, whole

DOCUMENT = committed()
OPERATIONS = [(path, method, entry) for path, item in DOCUMENT["paths"].items() for method, entry in item.items()]
JSON = "application/json"
SCHEMAS = DOCUMENT["components"]["schemas"]
CALCULATIONS = [(path, entry["operationId"], entry) for path, method, entry in OPERATIONS if method == "post"]
LARGEST = 450_000
"""Bytes that openapi.yaml may have. [bytes]"""


def test_the_document_is_valid_openapi_3_1() -> None:
    assert DOCUMENT["openapi"].startswith("3.1")
    validate(DOCUMENT)


def test_the_committed_document_is_fresh() -> None:
    assert COMMITTED.read_text(encoding="utf-8") == as_yaml(), "run: make contract"


def test_it_is_in_block_style_with_unquoted_paths() -> None:
    lines = COMMITTED.read_text(encoding="utf-8").splitlines()
    assert "  /v1/lye:" in lines
    assert "  /v1/fats/{key}:" in lines
    assert lines[0] == "openapi: 3.1.0"


def test_every_route_of_the_service_is_in_the_document() -> None:
    own_pages = {"/", "/docs", "/docs/start.js", "/docs/page.css", "/docs/assets/{name}", "/openapi.yaml",
                 "/openapi.json", "/problems/{slug}"}
    routed = {rule.rule.replace("<", "{").replace(">", "}") for rule in create_app().url_map.iter_rules()}
    assert routed - own_pages == set(DOCUMENT["paths"])


def test_it_is_lean() -> None:
    assert COMMITTED.stat().st_size <= LARGEST


def _is_cut_of(short: Any, full: Any) -> bool:
    """A short example says what the whole response says: of lists the first item, of objects some or all fields."""
    if isinstance(short, dict):
        return isinstance(full, dict) and all(key in full and _is_cut_of(value, full[key])
                                              for key, value in short.items())
    if isinstance(short, list):
        return isinstance(full, list) and len(short) == min(1, len(full)) and all(map(_is_cut_of, short, full))
    return bool(short == full)


@pytest.mark.parametrize(("path", "name", "entry"), CALCULATIONS, ids=[name for _, name, _ in CALCULATIONS])
def test_an_example_gives_the_numbers_it_shows(client: FlaskClient, path: str, name: str,
                                               entry: dict[str, Any]) -> None:
    [example] = entry["requestBody"]["content"][JSON]["examples"].values()
    reply = client.post(path, json=example["value"])
    assert reply.status_code == 200, reply.text
    assert entry["responses"]["200"]["content"][JSON]["examples"] == {
        "short": {"$ref": f"#/components/examples/{name}"}}
    short = DOCUMENT["components"]["examples"][name]["value"]
    assert _is_cut_of(short, reply.json)
    schema = {"$ref": entry["responses"]["200"]["content"][JSON]["schema"]["$ref"],
              "components": DOCUMENT["components"]}
    assert list(Draft202012Validator(schema).iter_errors(short)) == []


def test_every_operation_on_data_or_recipes_has_one_short_example() -> None:
    named = {entry["operationId"] for _, _, entry in OPERATIONS
             if entry["tags"] != ["service"] and not entry["operationId"].endswith("_by_link")}
    assert set(DOCUMENT["components"]["examples"]) == named


def test_every_reference_leads_somewhere_and_everything_shared_is_used() -> None:
    used = set(re.findall(r"#/components/[\w/]+", json.dumps(DOCUMENT)))
    used |= {f"#/components/securitySchemes/{name}" for one in DOCUMENT["security"] for name in one}
    shared = {f"#/components/{kind}/{name}" for kind, names in DOCUMENT["components"].items() for name in names}
    assert used <= shared
    assert shared == used


def test_the_first_call_of_the_introduction_runs(client: FlaskClient) -> None:
    text = DOCUMENT["info"]["description"]
    call = re.search(r"^```sh\n(.*?)\n```", text, re.MULTILINE)
    assert call is not None
    assert text.index("```sh") < 200, "the introduction opens with it"
    body = json.loads(call[1].split("-d '")[1].removesuffix("'"))
    reply = client.post("/v1/lye", json=body)
    assert reply.status_code == 200, reply.text


def test_operations_are_grouped_by_the_job() -> None:
    assert [tag["name"] for tag in DOCUMENT["tags"]] == ["recipe", "pour", "release", "data", "service"]
    assert {tag for _, _, entry in OPERATIONS for tag in entry["tags"]} == {tag["name"] for tag in DOCUMENT["tags"]}
    for path, method, entry in OPERATIONS:
        assert entry["tags"] == next(other["tags"] for at, _, other in OPERATIONS if at == path), (path, method)


def test_filters_that_are_numbers_are_numbers() -> None:
    filters = {one["name"]: one["schema"] for one in parameters_of(DOCUMENT, DOCUMENT["paths"]["/v1/fats"]["get"])}
    numbers = {name for name, schema in filters.items() if schema.get("type") == "number"}
    assert numbers == {name for name in filters if name.endswith(("_min", "_max", "_min_pct", "_max_pct"))}
    assert all({"minimum", "maximum"} <= filters[name].keys() for name in numbers)


def test_the_example_batch_is_the_demo_batch() -> None:
    demo = json.loads((COMMITTED.parent / "client" / "examples" / "kiln_dusk.json").read_text(encoding="utf-8"))
    assert demo in [example["body"] for example in examples_of("batches")]


@pytest.mark.parametrize("example", ["kiln_dusk", "ember_round"])
def test_the_demo_batches_can_be_planned(client: FlaskClient, example: str) -> None:
    body = (COMMITTED.parent / "client" / "examples" / f"{example}.json").read_bytes()
    assert client.post("/v1/batches", data=body, content_type="application/json").status_code == 200


def _properties() -> Iterator[tuple[str, dict[str, Any]]]:
    for name, schema in DOCUMENT["components"]["schemas"].items():
        for key, field in schema.get("properties", {}).items():
            yield f"{name}.{key}", field


@pytest.mark.parametrize(("where", "field"), list(_properties()), ids=[where for where, _ in _properties()])
def test_every_property_says_what_it_is(where: str, field: dict[str, Any]) -> None:
    assert field.get("description"), where
    kinds = field.get("type", "")
    # a response is shown as a whole by the example of its operation; an enum shows its words
    of_a_request = SCHEMAS[where.partition(".")[0]].get("additionalProperties") is False
    if "number" in kinds or "integer" in kinds:
        assert field.get("examples") or not of_a_request, where
        if where != "Problem.status":
            assert field["description"].endswith("]"), f"{where} names no unit: {field['description']}"
    elif kinds == "string":
        assert field.get("examples") or field.get("const") or not of_a_request, where


def _places(value: Any, way: tuple[str, ...] = ()) -> Iterator[tuple[tuple[str, ...], dict[str, Any]]]:
    if isinstance(value, dict):
        yield way, value
    for key, inner in value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ():
        yield from _places(inner, (*way, str(key)))


def test_every_enum_is_a_component_with_a_name_of_its_own() -> None:
    """Otherwise generators number them: Kind1, Kind2 ..."""
    enums = {name: tuple(schema["enum"]) for name, schema in SCHEMAS.items() if "enum" in schema}
    assert len(set(enums.values())) == len(enums) > 40
    for name, schema in SCHEMAS.items():
        inside = [way for way, part in _places(schema) if way and "enum" in part and way[-1] != "properties"]
        assert not inside, (name, inside)


def test_every_field_that_a_rule_names_is_a_property() -> None:
    for name, schema in SCHEMAS.items():
        known = whole(SCHEMAS, name).get("properties", {})
        for way, part in _places({key: schema.get(key) for key in ("required", "oneOf", "allOf", "not")}):
            for field in part.get("required") or ():
                assert field in known, (name, way, field)


def test_every_requested_number_has_bounds_on_both_sides() -> None:
    fields = {where: field for where, field in _properties()
              if where.split(".")[0].endswith(("Input", "Request", "Mould"))
             and field.get("type") in ("number", "integer")}
    assert len(fields) > 40
    for where, field in fields.items():
        assert {"minimum", "maximum"} <= field.keys(), where


def test_every_refusal_a_post_can_give_is_listed() -> None:
    for path, method, entry in OPERATIONS:
        wanted = {"200", "400", "403", "405", "406", "414", "421", "422", "500"}
        if method == "post":
            wanted |= {"413", "415"}
        if method == "get" and entry["tags"] != ["service"]:
            wanted.add("304")
        assert wanted <= entry["responses"].keys(), path


@pytest.mark.parametrize("path", ["/v1/lye", "/v1/scaling", "/v1/moulds", "/v1/portions", "/v1/cuts", "/v1/cure",
                                  "/v1/batches"])
def test_a_calculation_by_link_gives_what_the_post_gives(path: str) -> None:
    by_link, posted = DOCUMENT["paths"][path]["get"], DOCUMENT["paths"][path]["post"]
    assert by_link["operationId"] == f"{posted['operationId']}_by_link"
    assert by_link["tags"] == posted["tags"]
    assert {kind: content.get("schema") for kind, content in by_link["responses"]["200"]["content"].items()} == {
        kind: content.get("schema") for kind, content in posted["responses"]["200"]["content"].items()
        if kind != "application/x-ndjson"}  # many in one request


def test_what_the_contract_says_of_addresses_is_so(client: FlaskClient) -> None:
    said = re.findall(r"`([^`]*)`", DOCUMENT["info"]["description"])
    rest = "&superfat_pct=5"
    fats, alkali, water, mould, bare = said[said.index("fat=olive,mass:700&fat=coconut,mass:300"):][:5]
    got = client.get(f"/v1/lye?{fats}&{alkali}&{water}{rest}")
    assert got.status_code == 200
    assert client.get(f"/v1/moulds?{mould}").status_code == 200
    assert client.get(f"/v1/lye?{fats}&alkali={bare}&{water}{rest}").status_code == 422
    own = client.get(f"/v1/lye?fat=mine,mass:700,{said[said.index('sv:180-185')]}&{alkali}&{water}{rest}").json
    assert own is not None
    assert own["saponification_value"] == {"min": 180, "mid": 182.5, "max": 185}
    units = client.get(f"/v1/lye?{fats}&{alkali}&{water}{rest}&{said[said.index('units=oz,in')]}").json
    assert units is not None
    assert (units["units"]["mass"], units["units"]["length"], units["units"]["dose"]) == ("oz", "in", "g")
    pointed, named = said[said.index("alkalis.0.weigh")], said[said.index("alkalis.NaOH.weigh")]
    figures = {client.post(f"/v1/lye?field={field}", json=LYE).text for field in (pointed, named)}
    assert len(figures) == 1


def test_only_a_post_has_a_body() -> None:
    assert {method for _, method, entry in OPERATIONS if "requestBody" in entry} == {"post"}


def test_both_forms_of_the_document_are_the_same(client: FlaskClient) -> None:
    assert read_yaml(client.get("/openapi.yaml").text) == client.get("/openapi.json").json == DOCUMENT
