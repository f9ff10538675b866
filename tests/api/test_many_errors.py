"""However wrong a body is, its problem stays short: at most 50 errors, each list of names once, at most 64 kB."""

from __future__ import annotations

import difflib
import json
import random
from typing import Any

import pytest
from flask.testing import FlaskClient
from kettlewright.api.document.openapi import examples_of
from kettlewright.api.door.checking import FAULTS_MAX
from kettlewright.api.door.operations import OPERATIONS
from kettlewright.names import SUGGESTIONS_MAX
from werkzeug.test import TestResponse

from api.bodies import LYE, changed

POSTS = sorted(name for name, found in OPERATIONS.items() if found.method == "POST")
BODY_MAX, PROBLEM_MAX = 262_144, 65_536


def send(client: FlaskClient, path: str, text: str) -> dict[str, Any]:
    reply: TestResponse = client.post(path, data=text.encode()[:BODY_MAX], content_type="application/json")
    assert reply.status_code == 422, reply.text[:500]
    assert len(reply.data) <= PROBLEM_MAX
    refusal = reply.json
    assert refusal is not None
    assert 1 <= len(refusal["errors"]) <= FAULTS_MAX
    return refusal


def _filled(inside: Any, room: int) -> Any:
    """An object or a list with as much wrong content as fits."""
    if isinstance(inside, dict):
        return {**inside, **{f"wrong {number} \\u00e9" + "x" * 40: number for number in range(room // 70)}}
    return [*inside, *({"wrong": number} for number in range(room // 20))]


def _places(value: Any, way: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    if isinstance(value, dict):
        return [way, *(place for key, item in value.items() for place in _places(item, (*way, key)))]
    if isinstance(value, list):
        return [way, *(place for number, item in enumerate(value) for place in _places(item, (*way, number)))]
    return []


def _with(value: Any, way: tuple[Any, ...], made: Any) -> Any:
    if not way:
        return made(value)
    if isinstance(value, dict):
        return {**value, way[0]: _with(value[way[0]], way[1:], made)}
    return [_with(item, way[1:], made) if number == way[0] else item for number, item in enumerate(value)]


@pytest.mark.parametrize("name", POSTS)
def test_wrong_content_anywhere_makes_no_long_problem(client: FlaskClient, name: str) -> None:
    body = examples_of(name)[0]["body"]
    room = BODY_MAX - 4_000 - len(json.dumps(body))
    for way in _places(body):
        send(client, OPERATIONS[name].path, json.dumps(_with(body, way, lambda inside: _filled(inside, room))))


@pytest.mark.parametrize("name", POSTS)
def test_values_of_other_kinds_everywhere_make_no_long_problem(client: FlaskClient, name: str) -> None:
    chance = random.Random(7)
    junk = [None, True, "zz" * 90, -1e300, [], {}, [[]], "\u202e", ["x"] * 3, {"x": 1}]

    def spoiled(value: Any) -> Any:
        if isinstance(value, dict):
            return {key: spoiled(item) for key, item in value.items()}
        if isinstance(value, list):
            return [spoiled(item) for item in value for _ in range(3)]
        return chance.choice(junk)

    for example in examples_of(name):
        send(client, OPERATIONS[name].path, json.dumps(spoiled(example["body"])))


def test_what_is_not_checked_is_counted(client: FlaskClient) -> None:
    for wrong, skipped in ((FAULTS_MAX - 1, 0), (FAULTS_MAX, 0), (FAULTS_MAX + 1, 1), (FAULTS_MAX + 700, 700)):
        refusal = send(client, "/v1/lye", json.dumps({**LYE, **{f"wrong {number}": 1 for number in range(wrong)}}))
        assert len(refusal["errors"]) == min(wrong, FAULTS_MAX)
        below = f"({min(wrong, FAULTS_MAX) - 1} more below"
        said = {0: ")", 1: "; the check stopped there: 1 more place was not checked)"}.get(
            skipped, f"; the check stopped there: {skipped} more places were not checked)")
        assert refusal["detail"].endswith(below + said)


def test_items_and_fields_after_the_last_error_are_not_looked_at(client: FlaskClient) -> None:
    body = {"fats": [{"fat": "olive", "mass": "x", "lot": 5} for _ in range(60)], "superfat_pct": "x", "water": {},
            "alkalis": []}
    refusal = send(client, "/v1/lye", json.dumps(body))
    assert [error["pointer"] for error in refusal["errors"][-2:]] == ["/fats/24/mass", "/fats/24/lot"]
    # 35 fats, and the three fields behind them
    assert "38 more places were not checked" in refusal["detail"]


def test_the_known_names_are_listed_once(client: FlaskClient) -> None:
    body = {**LYE, "fats": [{"fat": "olive", "mass": 1, "mas": 2, "mss": 3} for _ in range(5)]}
    details = [error["detail"] for error in send(client, "/v1/lye", json.dumps(body))["errors"]]
    assert len(details) == 10
    assert sum("Known here:" in detail for detail in details) == 1
    assert all('Unknown field "m' in detail for detail in details)


def test_a_long_list_of_words_is_listed_once(client: FlaskClient) -> None:
    acids = [{"acid": f"strong {number}", "mass": 1} for number in range(9)]
    errors = send(client, "/v1/lye", json.dumps(changed(LYE, "/acids", acids)))["errors"]
    assert sum("it is one of" in error["detail"] for error in errors) <= 1


def test_only_the_first_unknown_names_are_compared(client: FlaskClient, monkeypatch: pytest.MonkeyPatch) -> None:
    compared: list[str] = []
    real = difflib.get_close_matches
    monkeypatch.setattr(difflib, "get_close_matches",
                        lambda word, *more, **rest: compared.append(word) or real(word, *more, **rest))
    body = {**LYE, **{f"superfat_{number}" + "x" * 500: 1 for number in range(40)}}
    send(client, "/v1/lye", json.dumps(body))
    assert len(compared) == SUGGESTIONS_MAX
    assert max(map(len, compared)) <= 60


def test_a_name_without_end_does_not_come_back(client: FlaskClient) -> None:
    refusal = send(client, "/v1/lye", json.dumps({**LYE, "k" * 200_000: 1}))
    assert refusal["errors"][0]["pointer"] == ""
    assert 'Unknown field "kkkkkkkkk' in refusal["errors"][0]["detail"]


def test_errors_come_in_the_order_of_the_body(client: FlaskClient) -> None:
    names = [f"wrong {number * 7919 % 31}" for number in range(31)]
    refusal = send(client, "/v1/lye", json.dumps({**LYE, **dict.fromkeys(names, 1)}))
    assert [error["pointer"] for error in refusal["errors"]] == [f"/{name}" for name in names]


@pytest.mark.parametrize("rows", [51, 400, 1000])
def test_many_errors_of_the_maths_are_capped_too(client: FlaskClient, rows: int) -> None:
    body = {**examples_of("actuals")[0]["body"],
            "weighed": [{"where": "pot", "key": f"fat {number} " + "y" * 150, "mass": 5} for number in range(rows)]}
    refusal = send(client, "/v1/batches/actuals", json.dumps(body))
    assert f"{rows - len(refusal['errors'])} more not listed" in refusal["detail"]
