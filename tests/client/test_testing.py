"""The stub for users' own tests: it answers as the service does, and takes what it is given."""

from __future__ import annotations

import json
import socket
from typing import Any

import pytest
from client.record import FILE, record, written
from kettlewright_client import Batch, ClientError, InvalidInput, Lye, ServerFault, TimedOut
from kettlewright_client.errors import Fault
from kettlewright_client.operations import OPERATIONS
from kettlewright_client.testing import StubClient, recorded


def test_what_is_recorded_is_what_the_service_replies() -> None:
    assert written(record()) == FILE.read_text(encoding="utf-8"), "run python tests/client/record.py"


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
    asked = {"fat": {"key": "olive"}, "fats": {"search": "olive"}}.get(name, body or {})
    found = getattr(client, name)(**asked)
    raw = example.replies["json"]
    assert (found == tuple(raw["cautions"])) if name == "cautions" else (getattr(found, "raw", found) == raw)
    for form in OPERATIONS[name].forms:
        assert client.form(name, form, body) == example.replies[form]
    assert [(sent.operation, sent.form) for sent in client.sent] == [
        (name, form) for form in ("json", *OPERATIONS[name].forms)]
    assert client.sent[0].body == body
    assert client.sent[0].address == ({} if body else asked)


def test_replies_of_ones_own_come_first() -> None:
    mine = {**recorded()["lye"].replies["json"], "worst_severity": "danger"}
    client = StubClient({"lye": mine, "batches.html": "<!doctype html><p>mine</html>"})
    assert client.lye(fats=[], alkalis=[], water={}).worst_severity == "danger"
    assert client.batch_sheet(recipe={}, mould={}) == "<!doctype html><p>mine</html>"
    assert isinstance(client.batches(recipe={}, mould={}), Batch)


def test_a_reply_may_be_made_of_the_body() -> None:
    reply = recorded()["lye"].replies["json"]
    client = StubClient({"lye": lambda body: {**reply, "units": body["units"]}})
    assert client.lye(fats=[], alkalis=[], water={}, units={"mass": "oz"}).units == {"mass": "oz"}


@pytest.mark.parametrize("fault", [TimedOut("late"), InvalidInput(422, errors=(Fault("/water", "is needed here"),)),
                                   lambda body: TimedOut("late")])
def test_a_fault_can_be_played(fault: Any) -> None:
    kind = TimedOut if callable(fault) else type(fault)
    with pytest.raises(kind):
        StubClient({"lye": fault}).lye(fats=[], alkalis=[], water={})


def test_a_reply_that_the_service_would_never_give_is_refused_as_from_the_service() -> None:
    with pytest.raises(ServerFault, match=r"not as agreed: .* is missing"):
        StubClient({"lye": {"fats": []}}).lye(fats=[], alkalis=[], water={})


def test_what_is_not_recorded_and_what_is_no_operation_is_said() -> None:
    with pytest.raises(ClientError, match=r'give one as "lye\.csv"'):
        StubClient().form("lye", "csv", {})
    assert StubClient({"lye.csv": "weigh [g]\r\n1\r\n"}).form("lye", "csv", {}) == "weigh [g]\r\n1\r\n"
    with pytest.raises(ClientError, match='"soap" is no operation'):
        StubClient({"soap": {}})


def test_what_is_sent_is_kept_as_json() -> None:
    client = StubClient()
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
