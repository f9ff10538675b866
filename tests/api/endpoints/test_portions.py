"""Portions that cannot be, over the wire."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient


@pytest.mark.parametrize(("portion", "pointer", "words"), [
    ({"borrows": [{"from": "b", "share_pct": 50}]}, "/portions/0/borrows/0/from", 'no portion "b"'),
    ({"borrows": [{"from": "a", "share_pct": 50}]}, "/portions/0/borrows/0/from", "from itself"),
    ({"borrows": [{"from": "b", "share_pct": 0}]}, "/portions/0/borrows/0/share_pct", "above 0"),
    ({"additions": [{"name": "x", "kind": "fragrance", "dose": 3, "basis": "pct_of_fats", "limit_pct": 0}]},
     "/portions/0/additions/0/limit_pct", "above 0"),
    ({"additions": [{"name": "x", "kind": "fragrance", "dose": 3, "basis": "pct_of_fats", "limit_pct": 101}]},
     "/portions/0/additions/0/limit_pct", "at most 100")])
def test_portions_that_cannot_be_are_reported(client: FlaskClient, portion: dict[str, Any], pointer: str,
                                          words: str) -> None:
    body = {"batter": {"mass": 1000, "density": 1, "fats_mass": 700},
            "portions": [{"name": "a", "share_pct": 100, **portion}]}
    reply = client.post("/v1/portions", json=body)
    assert reply.status_code == 422, reply.text
    assert reply.json is not None
    errors = {fault["pointer"]: fault["detail"] for fault in reply.json["errors"]}
    assert words in errors.get(pointer, ""), errors
