"""Problems: a code from one list at every error, `allowed` only where it says something, an id in a 500 alone."""

from __future__ import annotations

from typing import Any

import pytest
from api.bodies import BATCH, LYE
from api.test_bad_input import WRONG, changed
from flask.testing import FlaskClient
from kettlewright.errors import CODES, DomainError

CODE_OF = [
    ({**LYE, "fats": [{"fat": "olive"}]}, "/fats/0/mass", "missing"),
    ({**LYE, "fats": [{"fat": "olive", "mass": 1, "share_pct": 1}]}, "/fats/0/mass", "conflict"),
    ({**LYE, "superfatt_pct": 5}, "/superfatt_pct", "unknown_field"),
    ({**LYE, "superfat_pct": "5"}, "/superfat_pct", "wrong_type"),
    ({**LYE, "superfat_pct": None}, "/superfat_pct", "wrong_type"),
    ({**LYE, "superfat_pct": 51}, "/superfat_pct", "out_of_range"),
    ({**LYE, "locale": "fr"}, "/locale", "out_of_range"),
    ({**LYE, "fats": []}, "/fats", "out_of_range"),
    ({**LYE, "fats": [{"fat": "olivee", "mass": 500}]}, "/fats/0/fat", "unknown_ingredient"),
    ({name: value for name, value in LYE.items() if name != "fats"}, "/fats", "missing"),
    ({**LYE, "superfat_at_least_pct": 2}, "/superfat_pct", "conflict"),
    ({**LYE, "water": {"lye_concentration_pct": 60}}, "/water", "unsolvable"),
]


def _errors(client: FlaskClient, path: str, body: Any) -> list[dict[str, Any]]:
    reply = client.post(path, json=body)
    assert reply.status_code == 422, reply.text
    assert reply.json is not None
    found: list[dict[str, Any]] = reply.json["errors"]
    return found


@pytest.mark.parametrize(("body", "pointer", "code"), CODE_OF, ids=[f"{code} {at}" for _, at, code in CODE_OF])
def test_the_code_says_what_is_wrong(client: FlaskClient, body: dict[str, Any], pointer: str, code: str) -> None:
    assert {one["pointer"]: one["code"] for one in _errors(client, "/v1/lye", body)}[pointer] == code


def test_a_net_quantity_above_what_the_law_of_the_market_allows(client: FlaskClient) -> None:
    [found] = _errors(client, "/v1/labels", {**BATCH, "expected_loss_pct": 5, "label": {
        "market": "EU", "net_quantity": 50_000}})
    assert (found["pointer"], found["code"]) == ("/label/net_quantity", "not_lawful")


@pytest.mark.parametrize(("path", "right", "spoiled", "value"), [row[1:5] for row in WRONG],
                         ids=[row[0] for row in WRONG])
def test_every_error_has_a_code_of_the_list_and_says_only_what_it_has(
        client: FlaskClient, path: str, right: Any, spoiled: str, value: Any) -> None:
    for found in _errors(client, path, changed(right, spoiled, value)):
        assert found["code"] in CODES
        assert found.get("allowed", "something"), "allowed is left out where there is nothing to state"
        assert {"pointer", "detail", "code"} <= found.keys() <= {"pointer", "detail", "code", "allowed"}


def test_every_kind_of_error_has_a_code_of_the_list() -> None:
    kinds, left = set(), [DomainError]
    while left:
        kind = left.pop()
        kinds.add(kind.code)
        left += kind.__subclasses__()
    assert kinds == set(CODES)


def test_the_request_id_is_in_the_body_of_a_500_only(client: FlaskClient, monkeypatch: pytest.MonkeyPatch) -> None:
    for status, reply in ((422, client.post("/v1/lye", json={})), (404, client.get("/v1/fats/nothing")),
                          (400, client.post("/v1/lye", data="{", content_type="application/json"))):
        assert reply.status_code == status
        assert reply.json is not None
        assert "request_id" not in reply.json
    from kettlewright.api.endpoints import lye as endpoint

    monkeypatch.setattr(endpoint.plan, "plan_lye", lambda *_, **__: 1 / 0)
    reply = client.post("/v1/lye", json=LYE, headers={"X-Request-ID": "here-1"})
    assert reply.status_code == 500
    assert reply.json is not None
    assert reply.json["request_id"] == reply.headers["X-Request-ID"] == "here-1"
