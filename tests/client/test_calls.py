"""Habits of both clients: environment, key, time limits, headers, closing, request ids, the log."""

from __future__ import annotations

import json
import logging
from typing import Any

import pytest
from client.both import Ask, ask
from client.misbehaving import reply, says, server
from kettlewright_client import Client, ClientError, InvalidInput, TimedOut
from kettlewright_client.testing import AsyncStubClient, StubClient, recorded

__all__ = ["ask"]  # a fixture
GOOD = says(reply(b'{"status": "ok"}'))
LYE = recorded()["lye"]


@pytest.fixture(autouse=True)
def environment(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_PROXY", "*")
    for name in ("KETTLEWRIGHT_URL", "KETTLEWRIGHT_KEY"):
        monkeypatch.delenv(name, raising=False)


def test_address_and_key_come_from_the_environment(ask: Ask, monkeypatch: pytest.MonkeyPatch) -> None:
    with server(GOOD) as fine:
        monkeypatch.setenv("KETTLEWRIGHT_URL", fine.url)
        monkeypatch.setenv("KETTLEWRIGHT_KEY", "a.b-c")
        with ask.client() as client:
            assert client.healthz().status == "ok"
    assert b"\r\nauthorization: bearer a.b-c\r\n" in fine.requests[0].lower()


def test_the_key_of_the_environment_goes_to_no_other_address(ask: Ask, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("KETTLEWRIGHT_KEY", "secret")
    with server(GOOD) as other:
        ask(other.url)
        ask(other.url, key="mine")
    assert b"secret" not in other.requests[0] + other.requests[1]
    assert b"Bearer mine" in other.requests[1]


@pytest.mark.parametrize("key", ["a b", "a\r\nX: 1", "ö", 5])
def test_a_key_that_is_none_is_refused_and_not_shown(ask: Ask, key: Any) -> None:
    with pytest.raises(ClientError, match="RFC 6750") as caught:
        ask.client("http://127.0.0.1:9", key=key)
    assert "a b" not in str(caught.value)


def test_a_key_is_not_replaced_by_an_entry_of_netrc(ask: Ask, monkeypatch: pytest.MonkeyPatch,
                                                     tmp_path: Any) -> None:
    (tmp_path / ".netrc").write_text("machine 127.0.0.1 login a password b\n", encoding="utf-8")
    (tmp_path / ".netrc").chmod(0o600)
    monkeypatch.setenv("NETRC", str(tmp_path / ".netrc"))
    with server(GOOD) as fine:
        ask(fine.url, key="mine")
    assert b"Bearer mine" in fine.requests[0]


def test_headers_and_timeout_of_a_call(ask: Ask) -> None:
    with server(GOOD) as fine:
        ask(fine.url, lambda client: client.healthz(headers={"X-Shop": "7"}))
    assert b"\r\nx-shop: 7\r\n" in fine.requests[0].lower()
    with server(lambda connection: connection.wait(5)) as silent, pytest.raises(TimedOut, match=r"0\.2 s between"):
        ask(silent.url, lambda client: client.healthz(timeout=0.2))


@pytest.mark.parametrize("headers", [{"Accept": "text/html"}, {"content-type": "a/b"}, {"X": "a\r\nY: b"}, {"X ": "a"},
                                     {"X": 1}, {"X": " a"}])
def test_headers_that_cannot_be_are_refused(ask: Ask, headers: Any) -> None:
    with server(GOOD) as unused, pytest.raises(ClientError, match="header"):
        ask(unused.url, lambda client: client.healthz(headers=headers))
    assert unused.connections == 0


def test_closed_means_closed(ask: Ask) -> None:
    with server(GOOD) as fine, ask.client(fine.url) as client:
        client.healthz()
        client.close()
        with pytest.raises(ClientError, match="closed"):
            client.healthz()
        with pytest.raises(ClientError, match="closed"):
            client.form("lye", "html", {})
    assert len(fine.requests) == 1


def test_every_result_and_every_exception_has_the_request_id(ask: Ask) -> None:
    problem = reply(b'{"detail": "no"}', status="422 Unprocessable Content")
    text = reply(b"113.4", kind="text/plain")
    body = json.dumps(LYE.replies["json"]).encode()
    for doing, call, raises in ((reply(body), lambda client: client.lye(**LYE.body), False),
                                (text, lambda client: client.form("lye", "text", LYE.body), False),
                                (problem, lambda client: client.lye(**LYE.body), True),
                                (reply(b"{"), lambda client: client.healthz(), True),
                                (reply(b"[]"), lambda client: client.healthz(), True)):
        with server(says(doing)) as service:
            if raises:
                with pytest.raises(ClientError) as caught:
                    ask(service.url, call, retries=0)
                assert caught.value.request_id == "abc"
            else:
                assert ask(service.url, call).request_id == "abc"


def test_the_log_has_no_recipe_and_no_query(ask: Ask, caplog: pytest.LogCaptureFixture) -> None:
    body = json.dumps(LYE.replies["json"]).encode()
    with server(says(b""), says(reply(body)), says(reply(b"1", kind="text/plain"))) as service, \
            caplog.at_level(logging.DEBUG, "kettlewright_client"):
        ask(f"{service.url}/shop", lambda client: (
            client.lye(**LYE.body), client.form("lye", "text", LYE.body, field="alkalis.NaOH.weigh")), key="secret")
    lines = [one.getMessage() for one in caplog.records if one.name == "kettlewright_client"]
    assert {line.split(" after ")[0].split(" -> ")[0] for line in lines} <= {"POST /v1/lye", "POST /v1/lye failed"}
    assert "failed after" in lines[0]
    answered = [line for line in lines if "-> 200 in" in line]
    assert len(answered) == 2
    assert all(line.endswith("request abc") for line in answered)
    for word in ("olive", "field", "NaOH", "secret"):
        assert word not in "".join(lines)


def test_an_address_without_a_scheme_says_which_one_is_meant(ask: Ask) -> None:
    with pytest.raises(ClientError, match=r'did you mean "http://127\.0\.0\.1:8000"'):
        ask.client("127.0.0.1:8000")
    with pytest.raises(ClientError, match=r'did you mean "http://example\.org/soap"'):
        ask.client("example.org/soap")


def test_fields_of_a_newer_service_pass_and_missing_ones_raise(ask: Ask) -> None:
    newer = {**LYE.replies["json"], "something_new": 1, "water": {**LYE.replies["json"]["water"], "colour": "clear"}}
    with server(says(reply(json.dumps(newer).encode()))) as service:
        assert ask(service.url, lambda client: client.lye(**LYE.body)).raw["something_new"] == 1
    older = {name: value for name, value in newer.items() if name != "superfat"}
    with server(says(reply(json.dumps(older).encode()))) as service, \
            pytest.raises(ClientError, match="superfat is missing"):
        ask(service.url, lambda client: client.lye(**LYE.body))


@pytest.mark.parametrize("check", [True, False])
def test_both_stubs_answer_alike(check: bool) -> None:
    import asyncio
    one, other = StubClient(check=check), AsyncStubClient(check=check)
    assert one.lye(**LYE.body) == asyncio.run(other.lye(**LYE.body))
    assert one.sent == other.sent
    bad: Any = {**(LYE.body or {}), "fats": []}
    if check:
        with pytest.raises(InvalidInput):
            asyncio.run(other.lye(**bad))


def test_it_reads_its_own_environment_only_when_no_address_is_given(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("KETTLEWRIGHT_URL", "not an address")
    with pytest.raises(ClientError, match="has the form"):
        Client()
    Client("http://127.0.0.1:9").close()
