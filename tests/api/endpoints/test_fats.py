"""Fats are found by what they are."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient


@pytest.mark.parametrize(("query", "found"), [
    ("saponification_value_min=240", {"coconut", "babassu", "palm_kernel", "palm_kernel_stearin"}),
    ("fatty_acid=C18:1-OH", {"castor"}), ("iodine_value_min=150&iodine_value_max=200", {"flaxseed", "hemp"})])
def test_fats_are_found_by_what_they_are(client: FlaskClient, query: str, found: set[str]) -> None:
    reply = client.get(f"/v1/fats?{query}")
    assert reply.json is not None
    keys = {fat["key"] for fat in reply.json["fats"]}
    assert found <= keys
    assert len(keys) < 15


@pytest.mark.parametrize(("query", "words"), [
    ("iodine_value_min=1,5", "point for decimals"), ("iodine_value_min=1e2", "not a number"),
    ("fatty_acid_min_pct=5", "such as C18:1"), ("fatty_acid=oleic", 'Did you mean "C18:1"')])
def test_a_filter_that_cannot_be_read_is_reported(client: FlaskClient, query: str, words: str) -> None:
    reply = client.get(f"/v1/fats?{query}")
    assert reply.status_code == 422
    assert words in reply.text.replace("\\", "")
