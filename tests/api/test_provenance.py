"""Where a figure or a text comes from is always `provenance`, one word of a list, and it agrees with the details."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from flask.testing import FlaskClient
from kettlewright.api.document.openapi import document, examples_of
from kettlewright.api.door.operations import OPERATIONS
from kettlewright.cautions import CATALOGUE
from kettlewright.reference import PROVENANCES, all_sources

WORDS = {"read": "read", "second_hand": "second", "memory": "memory", "computed": "computed",
         "own_decision": "own decision"}
OLD_KEYS = {"said", "why", "how_read", "verified", "read_quality", "what_follows", "remarks", "tolerance_known"}


@pytest.mark.parametrize("key", CATALOGUE)
def test_the_word_of_a_caution_is_in_its_source(key: str) -> None:
    entry = CATALOGUE[key]
    assert entry.provenance in PROVENANCES
    expected = "common practice" if entry.basis.startswith("common practice") else WORDS[entry.provenance]
    assert expected in entry.basis


def test_the_list_of_sources_names_every_key_that_a_response_has(client: FlaskClient) -> None:
    reply = client.get("/v1/sources").json
    assert reply is not None
    listed = {one["key"]: one for one in reply["sources"]}
    assert list(listed) == list(all_sources())
    for found in OPERATIONS.values():
        for example in examples_of(found.name):
            made = client.open(found.path, method="POST", json=example["body"]).json
            assert made is not None
            meta = made["meta"]
            assert set(meta["sources"]) <= listed.keys() | {one["key"] for one in meta.get("certificates", ())}
    assert all(one["title"] and one["provenance"] in PROVENANCES for one in listed.values())


def test_the_sheet_still_prints_the_titles(client: FlaskClient) -> None:
    body = examples_of("batches")[0]["body"]
    keys = client.post("/v1/batches", json=body).json["meta"]["sources"]
    page = client.post("/v1/batches?format=html", json=body).text
    for key in keys:
        assert all_sources()[key].title.split("'")[0] in page, key


def _properties(schemas: dict[str, Any]) -> Iterator[tuple[str, str, dict[str, Any]]]:
    for name, schema in schemas.items():
        for key, field in schema.get("properties", {}).items():
            yield name, key, field


def test_the_contract_has_one_key_for_a_sentence_and_one_for_an_origin() -> None:
    schemas = document()["components"]["schemas"]
    assert schemas["Provenance"]["enum"] == list(PROVENANCES)
    for name, key, field in _properties(schemas):
        assert key not in OLD_KEYS, (name, key)
        if key == "provenance":
            assert field["$ref"] == "#/components/schemas/Provenance", name
        if key == "text":
            assert "As printed" in field["description"] or "as printed" in field["description"], (name, key)
