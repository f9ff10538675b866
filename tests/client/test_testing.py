"""The stub for users' own tests: it answers as the service does, and takes what it is given."""

from __future__ import annotations

import json
import socket
import sys
from collections.abc import Iterator
from typing import Any

import pytest
from api.bodies import changed
from api.test_bad_input import WRONG
from client.record import FILE, record, written
from kettlewright.api.document.openapi import examples_of
from kettlewright.app import create_app
from kettlewright_client import Batch, ClientError, InvalidInput, Lye, ServerFault, TimedOut, request_check
from kettlewright_client.contract import request_schema, schema_of
from kettlewright_client.errors import Fault
from kettlewright_client.operations import OPERATIONS
from kettlewright_client.request_check import find_errors
from kettlewright_client.testing import StubClient, recorded


def test_what_is_recorded_is_what_the_service_replies() -> None:
    assert written(record()) == FILE.read_text(encoding="utf-8"), "run python tests/client/record.py"


POSTS = {name: operation for name, operation in OPERATIONS.items() if operation.method == "POST"}
LYE: Any = recorded()["lye"].body
BATCH: Any = recorded()["batches"].body


@pytest.mark.parametrize("name", POSTS)
def test_a_right_body_is_let_through(name: str) -> None:
    for example in examples_of(name):
        assert find_errors(name, example["body"]) == []


def _spoiled(value: Any, way: str = "") -> Iterator[tuple[str, Any]]:
    """Every place of a body with something that does not belong there."""
    if isinstance(value, dict):
        yield f"{way}/surprise", 1
        for key, item in value.items():
            yield f"{way}/{key}", [[True]]
            yield f"{way}/{key}", ...
            yield from _spoiled(item, f"{way}/{key}")
    elif isinstance(value, list):
        for number, item in enumerate(value[:2]):
            yield f"{way}/{number}", None
            yield from _spoiled(item, f"{way}/{number}")
    elif isinstance(value, (int, float)) and not isinstance(value, bool):
        yield way, -1e300
        yield way, "1"


@pytest.mark.parametrize("name", POSTS)
def test_the_stub_rejects_a_body_that_the_service_rejects(name: str) -> None:
    service, refused = create_app().test_client(), 0
    body = examples_of(name)[0]["body"]
    for pointer, value in _spoiled(body):
        sent = changed(body, pointer, value)
        errors = find_errors(name, sent)
        reply = service.post(POSTS[name].path, json=sent) if errors or value is not ... else None
        there = {error["pointer"]: error["code"] for error in reply.json["errors"]} if reply and reply.json else {}
        if errors:
            refused += 1
            assert reply is not None
            assert reply.status_code == 422, (pointer, value, errors)
            for one in errors:  # of fields that exclude each other, the service names one
                near = one["pointer"]  # also the object, or the field beside it, for a rule between fields
                if one["detail"].endswith("beside it."):
                    near = near.rpartition("/")[0]
                between = near != one["pointer"] or one["detail"].startswith("Give exactly one of")
                assert any(at == near or (between and at.startswith(near)) for at in there), (pointer, value)
        else:
            assert not {"unknown_field", "wrong_type"} & set(there.values()), (pointer, value, there)
            assert value is ..., (pointer, value)  # what may be left out, or is needed only beside something else
    assert refused > 5


def _objects(schema: Any, value: Any, way: str = "") -> Iterator[tuple[str, Any, Any]]:
    """Every object of a body, with its schema."""
    schema = schema_of(schema, value)
    if isinstance(value, dict):
        yield way, schema, value
        for key, item in value.items():
            yield from _objects(schema.get("properties", {}).get(key, {}), item, f"{way}/{key}")
    elif isinstance(value, list):
        for number, item in enumerate(value):
            yield from _objects(schema.get("items", {}), item, f"{way}/{number}")


def _both(schema: Any, value: Any) -> Iterator[dict[str, Any]]:
    """The object with a second field of those that exclude each other."""
    for part in (schema, *schema.get("allOf", ())):
        choices = [one["required"] for one in part.get("oneOf", ())]
        choices += [[name] for name in part.get("not", {}).get("required", ())]
        names = [name for choice in choices for name in choice]
        if any(name in value for name in names):
            yield from ({**value, name: 1} for name in names if name not in value)


def test_the_stub_rejects_fields_that_exclude_each_other() -> None:
    service, seen = create_app().test_client(), set()
    for name in POSTS:
        for way, schema, value in _objects(request_schema(name), examples_of(name)[0]["body"]):
            for number, wrong in enumerate(_both(schema, value)):
                mark = (number, *sorted(schema["properties"]))
                if mark in seen:
                    continue
                seen.add(mark)
                body = changed(examples_of(name)[0]["body"], way, wrong) if way else wrong
                assert "conflict" in {one["code"] for one in find_errors(name, body)}, (name, way, wrong)
                assert service.post(POSTS[name].path, json=body).status_code == 422, (name, way, wrong)
    assert len(seen) > 20


@pytest.mark.parametrize("row", [row for row in WRONG if row[1] == "/v1/lye"], ids=[row[0] for row in WRONG
                                                                                   if row[1] == "/v1/lye"])
def test_the_stub_accepts_every_body_that_the_service_accepts(row: tuple[Any, ...]) -> None:
    _, path, right, spoiled, value, *_ = row
    assert find_errors("lye", right) == []
    if find_errors("lye", changed(right, spoiled, value)):
        assert create_app().test_client().post(path, json=changed(right, spoiled, value)).status_code == 422


def test_a_wrong_body_raises_what_the_service_would_make_of_it() -> None:
    client = StubClient()
    with pytest.raises(InvalidInput, match="is not of type 'number'") as caught:
        client.lye(**{**LYE, "fats": [{"fat": "olive", "mass": "1"}]})
    assert caught.value.status == 422
    assert {fault.pointer: fault.code for fault in caught.value.errors} == {"/fats/0/mass": "wrong_type"}
    with pytest.raises(InvalidInput, match="/mould/width: width is required"):
        client.batches(**{**BATCH, "mould": {"shape": "box", "length": 380, "depth": 60}})
    assert StubClient(check=False).lye(**{**LYE, "fats": [{"fet": "olive"}]}).worst_severity


def test_without_jsonschema_it_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "jsonschema", None)
    request_check._validator.cache_clear()
    try:
        with pytest.raises(ClientError, match=r"kettlewright-client\[testing\]"):
            StubClient().lye(**LYE)
        assert StubClient(check=False).lye(**LYE).worst_severity
    finally:
        request_check._validator.cache_clear()


@pytest.fixture
def no_network(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: Any, **__: Any) -> None:
        raise AssertionError("a stub has no network")
    monkeypatch.setattr(socket, "create_connection", refuse)
    monkeypatch.setattr(socket.socket, "connect", refuse)
    monkeypatch.setattr(socket, "getaddrinfo", refuse)


@pytest.mark.parametrize("name", OPERATIONS)
@pytest.mark.usefixtures("no_network")
def test_every_operation_is_answered_with_its_recorded_example(name: str) -> None:
    client, example = StubClient(), recorded()[name]
    body: Any = example.body
    arguments = {"fat": {"key": "olive"}, "fats": {"search": "olive"}}.get(name, body or {})
    found = getattr(client, name)(**arguments)
    raw = example.replies["json"]
    assert found.raw == found.to_dict() == raw
    for form in OPERATIONS[name].forms:
        assert client.form(name, form, body) == example.replies[form]
    assert [(sent.operation, sent.form) for sent in client.sent] == [
        (name, form) for form in ("json", *OPERATIONS[name].forms)]
    assert client.sent[0].body == body
    assert client.sent[0].address == ({} if body else arguments)


def test_replies_of_ones_own_come_first() -> None:
    mine = {**recorded()["lye"].replies["json"], "worst_severity": "danger"}
    client = StubClient({"lye": mine, "batches.html": "<!doctype html><p>mine</html>"})
    assert client.lye(**LYE).worst_severity == "danger"
    assert client.batch_sheet(**BATCH) == "<!doctype html><p>mine</html>"
    assert isinstance(client.batches(**BATCH), Batch)


def test_a_reply_may_be_made_of_the_body() -> None:
    reply = recorded()["lye"].replies["json"]
    client = StubClient({"lye": lambda body: {**reply, "units": {**reply["units"], **body["units"]}}})
    assert client.lye(**{**LYE, "units": {"mass": "oz"}}).units.mass == "oz"


@pytest.mark.parametrize("fault", [TimedOut("late"), InvalidInput(422, errors=(Fault("/water", "is required"),)),
                                   lambda body: TimedOut("late")])
def test_an_exception_can_be_prepared(fault: Any) -> None:
    kind = TimedOut if callable(fault) else type(fault)
    with pytest.raises(kind):
        StubClient({"lye": fault}).lye(**LYE)


def test_a_prepared_reply_that_breaks_the_contract_raises() -> None:
    with pytest.raises(ServerFault, match=r"breaks the contract: .* is missing"):
        StubClient({"lye": {"fats": []}}).lye(**LYE)


def test_a_form_that_is_not_recorded_and_an_unknown_operation_raise() -> None:
    with pytest.raises(ClientError, match=r'give one as "lye\.csv"'):
        StubClient().form("lye", "csv", LYE)
    assert StubClient({"lye.csv": "weigh [g]\r\n1\r\n"}).form("lye", "csv", LYE) == "weigh [g]\r\n1\r\n"
    with pytest.raises(ClientError, match='"soap" is not an operation'):
        StubClient({"soap": {}})


def test_what_is_sent_is_kept_as_json() -> None:
    client = StubClient(check=False)
    assert isinstance(client.lye(fats=({"fat": "olive", "mass": 1},), alkalis=[], water={}), Lye)
    assert client.sent[0].body == {"fats": [{"fat": "olive", "mass": 1}], "alkalis": [], "water": {}}
    client.fats(search="söt & salt")
    assert client.sent[1].address == {"search": "söt & salt"}
    client.form("lye", "json", json.dumps({"a": 1}).encode())
    assert client.sent[2].body == {"a": 1}


def test_two_stubs_keep_apart() -> None:
    one, other = StubClient(), StubClient()
    one.healthz()
    assert (len(one.sent), len(other.sent)) == (1, 0)
