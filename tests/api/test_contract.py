"""openapi.yaml: valid, fresh, in step with the code in both directions, and its examples give the numbers they show."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from flask.testing import FlaskClient
from kettlewright.api.openapi import as_yaml
from kettlewright.app import create_app
from openapi_spec_validator import validate

from api.bodies import LYE

COMMITTED = Path(__file__).parents[2] / "openapi.yaml"
DOCUMENT: dict[str, Any] = yaml.safe_load(COMMITTED.read_text(encoding="utf-8"))
OPERATIONS = [(path, method, told) for path, item in DOCUMENT["paths"].items() for method, told in item.items()]
JSON = "application/json"
EXAMPLES = [(path, name, example["value"], told["responses"]["200"]["content"][JSON]["examples"][name]["value"])
            for path, method, told in OPERATIONS if method == "post"
            for name, example in told["requestBody"]["content"][JSON]["examples"].items()]


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return create_app().test_client()


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
    own_pages = {"/", "/docs", "/docs/start.js", "/docs/assets/{name}", "/openapi.yaml", "/openapi.json",
                 "/problems/{slug}"}
    routed = {rule.rule.replace("<", "{").replace(">", "}") for rule in create_app().url_map.iter_rules()}
    assert routed - own_pages == set(DOCUMENT["paths"])


@pytest.mark.parametrize(("path", "name", "body", "shown"), EXAMPLES, ids=[f"{e[0]} {e[1]}" for e in EXAMPLES])
def test_an_example_gives_the_numbers_it_shows(client: FlaskClient, path: str, name: str, body: Any,
                                               shown: Any) -> None:
    reply = client.post(path, json=body)
    assert reply.status_code == 200, reply.text
    assert reply.json == shown


def test_each_calculation_has_an_example() -> None:
    posts = {path for path, method, _ in OPERATIONS if method == "post"}
    assert posts == {path for path, *_ in EXAMPLES}


def test_the_example_batch_is_the_demo_batch() -> None:
    demo = json.loads((COMMITTED.parent / "client" / "examples" / "kiln_dusk.json").read_text(encoding="utf-8"))
    assert demo in [body for path, _, body, _ in EXAMPLES if path == "/v1/batches"]


@pytest.mark.parametrize("example", ["kiln_dusk", "ember_round"])
def test_the_demo_batches_can_be_planned(client: FlaskClient, example: str) -> None:
    body = (COMMITTED.parent / "client" / "examples" / f"{example}.json").read_bytes()
    assert client.post("/v1/batches", data=body, content_type="application/json").status_code == 200


def _properties() -> Iterator[tuple[str, dict[str, Any]]]:
    for name, schema in DOCUMENT["components"]["schemas"].items():
        for key, told in schema.get("properties", {}).items():
            yield f"{name}.{key}", told


@pytest.mark.parametrize(("where", "told"), list(_properties()), ids=[where for where, _ in _properties()])
def test_every_property_says_what_it_is(where: str, told: dict[str, Any]) -> None:
    assert told.get("description"), where
    kinds = told.get("type", "")
    if "number" in kinds or "integer" in kinds:
        assert told["examples"], where
        # a superfat can be below 0, also among the lines of a plan, and so can what a price leaves
        assert "minimum" in told or where.startswith(("PctRange", "Working", "Mixing", "Lab",
                                                         "SellingPriceResult", "SuperfatOutcome.achieved_pct",
                                                         "ResolvedValue", "Moved",
                                                         "WeighingDifference.off", "ActualPour.missing",
                                                         "BarsMade.off")), where
        if where != "Problem.status":
            assert told["description"].endswith("]"), f"{where} names no unit: {told['description']}"
    elif kinds == "string":
        assert told["examples"], where


def test_every_asked_number_has_bounds_on_both_sides() -> None:
    asked = {where: told for where, told in _properties() if where.split(".")[0].endswith(("Asked", "Request", "Mould"))
             and told.get("type") in ("number", "integer")}
    assert len(asked) > 40
    for where, told in asked.items():
        assert {"minimum", "maximum"} <= told.keys(), where


def test_every_refusal_a_post_can_give_is_listed() -> None:
    for path, method, told in OPERATIONS:
        wanted = {"200", "400", "403", "406", "413", "414", "415", "421", "422"} if method == "post" else {
            "200", "400", "403", "406", "414", "421", "422"}
        if method == "get" and told["tags"] != ["service"]:
            wanted.add("304")
        assert wanted <= told["responses"].keys(), path


@pytest.mark.parametrize("path", ["/v1/lye", "/v1/scaling", "/v1/moulds", "/v1/portions", "/v1/cuts", "/v1/cure",
                                  "/v1/batches"])
def test_a_calculation_by_link_gives_what_the_post_gives(path: str) -> None:
    asked, posted = DOCUMENT["paths"][path]["get"], DOCUMENT["paths"][path]["post"]
    assert asked["operationId"] == f"{posted['operationId']}_by_link"
    assert asked["tags"] == ["link"]
    assert {kind: told["schema"] for kind, told in asked["responses"]["200"]["content"].items()} == {
        kind: told["schema"] for kind, told in posted["responses"]["200"]["content"].items()}


def test_what_the_contract_says_of_addresses_is_so(client: FlaskClient) -> None:
    said = re.findall(r"`([^`]*)`", DOCUMENT["info"]["description"])
    rest = "&superfat_pct=5"
    fats, alkali, water, mould, bare = said[1 + said.index("_pct"):][:5]
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
    assert {method for _, method, told in OPERATIONS if "requestBody" in told} == {"post"}


def test_both_forms_of_the_document_are_the_same(client: FlaskClient) -> None:
    assert yaml.safe_load(client.get("/openapi.yaml").text) == client.get("/openapi.json").json == DOCUMENT
