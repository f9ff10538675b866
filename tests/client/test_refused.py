"""Another host name, another site's page in a browser, keys: `Refused` or `Busy`, with the words of the service."""

from __future__ import annotations

import logging
import traceback
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest
import requests
import yaml
from api.bodies import LYE
from client.both import Ask, ask
from client.in_process import in_process, made, over
from client.misbehaving import reply, says, server
from kettlewright.app import create_app
from kettlewright.keys import MEMBER, READ_ONLY, new_key, write_key_file
from kettlewright.settings import Settings
from kettlewright_client import Busy, ClientError, Refused
from kettlewright_client.retries import LONGEST_PAUSE_S

__all__ = ["ask"]  # a fixture

ROOT = Path(__file__).parents[2]


@pytest.mark.parametrize(("status", "headers", "names"), [
    (421, {"Host": "maths.example"}, "KETTLEWRIGHT_HOSTS"),
    (403, {"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "no-cors"}, "KETTLEWRIGHT_CORS_ORIGINS")])
def test_a_refusal_of_the_service_has_its_own_exception(status: int, headers: dict[str, str], names: str) -> None:
    service = create_app().test_client()

    def answer(request: requests.PreparedRequest) -> requests.Response:
        reply = service.get(request.path_url, headers=headers)
        return made(request, reply.status_code, reply.data, dict(reply.headers))

    client, _ = over(answer)
    with pytest.raises(Refused, match=names) as caught:
        client.fats()
    assert caught.value.status == status
    assert caught.value.request_id


def test_a_named_host_is_let_in_once_the_operator_names_it() -> None:
    service = create_app(Settings(hosts=("maths.example",))).test_client()
    assert service.get("/v1/fats", headers={"Host": "maths.example"}).status_code == 200
    assert service.get("/v1/fats", headers={"Host": "other.example"}).status_code == 421


def test_the_compose_file_and_the_pages_name_the_setting_for_a_host() -> None:
    compose = yaml.safe_load((ROOT / "docker" / "compose.yaml").read_text(encoding="utf-8"))
    assert "KETTLEWRIGHT_HOSTS" in compose["services"]["service"]["environment"]
    for page in ("README.md", "docker/README.md", "docker/proxy.conf"):
        assert "KETTLEWRIGHT_HOSTS" in (ROOT / page).read_text(encoding="utf-8"), page


@pytest.fixture
def no_waiting(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    pauses: list[float] = []
    monkeypatch.setattr("kettlewright_client.wire.time.sleep", pauses.append)
    return pauses


def test_a_key_opens_a_service_that_needs_one_and_every_refusal_says_why(tmp_path: Path,
                                                                          no_waiting: list[float]) -> None:
    made_ = {name: new_key(name, role, made=date(2027, 1, 1), **more) for name, role, more in (
        ("anna", MEMBER, {}), ("cell", READ_ONLY, {}), ("short", MEMBER, {"expires": date(2027, 1, 1)}),
        ("few", MEMBER, {"requests_per_month": 1}))}
    write_key_file(tmp_path / "keys.csv", [key for _, key in made_.values()])
    service = create_app(Settings(key_file=str(tmp_path / "keys.csv")),
                         clock=lambda: datetime(2027, 1, 31, 12, tzinfo=UTC)).test_client()

    def caught(name: str | None, kind: type[Exception]) -> Any:
        client, wire = over(in_process(service), key=made_[name][0] if name in made_ else name)
        with pytest.raises(kind) as raised:
            client.lye(**LYE)
        assert len(wire.sent) == 1
        return raised.value

    client, wire = over(in_process(service), key=made_["anna"][0])
    assert client.lye(**LYE).water.weigh > 0
    assert wire.sent[0].headers["Authorization"] == f"Bearer {made_['anna'][0]}"
    assert "key=" not in str(wire.sent[0].url)
    assert "needs a key" in caught(None, Refused).detail
    assert "not valid" in caught("kw_00000000_x", Refused).detail
    assert "valid until 2027-01-01" in caught("short", Refused).detail
    read_only = caught("cell", Refused)
    assert (read_only.status, read_only.type) == (403, "/problems/key-refused")
    over(in_process(service), key=made_["few"][0])[0].fats()
    busy = caught("few", Busy)
    assert (busy.status, busy.type, busy.retry_after_s) == (429, "/problems/quota-used", 43_200)
    assert "The key works again from 2027-02-01" in str(busy)
    assert no_waiting == []


@pytest.mark.parametrize(("wait", "requests_made"), [("2419200", 1), ("61", 1), ("0", 3)])
def test_a_quota_is_not_waited_for_longer_than_the_patience(ask: Ask, wait: str, requests_made: int) -> None:
    quota = reply(b'{"detail": "used up", "type": "/problems/quota-used"}', status="429 Too Many Requests",
                  headers=f"Retry-After: {wait}\r\n", kind="application/problem+json")
    with server(says(quota)) as service, pytest.raises(Busy, match="used up") as caught:
        ask(service.url, retries=2, patience=60.0)
    assert len(service.requests) == requests_made
    assert caught.value.retry_after_s == float(wait)


def test_a_wait_within_the_patience_is_waited_for_but_never_longer_than_the_longest_pause(
        no_waiting: list[float]) -> None:
    client, wire = over(lambda request: made(request, 429, b"", {"Retry-After": "30"}), retries=2)
    with pytest.raises(Busy):
        client.healthz()
    assert (len(wire.sent), no_waiting) == (3, [LONGEST_PAUSE_S] * 2)


def test_a_key_is_in_no_repr_no_exception_and_no_log(ask: Ask, caplog: pytest.LogCaptureFixture) -> None:
    secret = f"kw_1a2b3c4d_{'S' * 43}"
    answers = [says(reply(b'{"detail": "no"}', status=status)) for status in (
        "401 Unauthorized", "403 Forbidden", "429 Too Many Requests", "500 Internal Server Error", "422 Unprocessable")]
    answers += [says(b""), says(b"HTTP/1.1 200 OK\r\nContent-Length: 9\r\n\r\n{"), says(reply(b"{"))]
    with caplog.at_level(logging.DEBUG):
        for answer in answers:
            with server(answer) as service, ask.client(service.url, key=secret, retries=0, patience=5.0) as client:
                inner = getattr(client, "client", client)
                assert secret not in repr(inner) + str(inner) + repr(inner._settings) + str(vars(inner))
                with pytest.raises(ClientError) as caught:
                    client.lye(**LYE)
                error: BaseException | None = caught.value
                assert secret.encode() in service.requests[0]
            text = "".join(traceback.format_exception(caught.value))
            while error is not None:
                text += repr(error) + str(error.args)
                error = error.__cause__ or error.__context__
            assert secret not in text
            assert "S" * 10 not in text
    assert "S" * 10 not in caplog.text
    with pytest.raises(ClientError) as caught:
        ask.client("http://127.0.0.1:9", key=f"{secret} and more")
    assert "S" * 10 not in str(caught.value)


def test_a_request_shows_neither_key_nor_recipe() -> None:
    client, _ = over(lambda request: made(request, 200, b"{}", {}), key="SECRET")
    request = client._request("lye", "json", LYE, {"field": "SECRET"}, None, {"X": "SECRET"})
    assert request.headers["Authorization"] == "Bearer SECRET"
    assert "SECRET" not in repr(request)
    assert "olive" not in repr(request)
