"""The gate through the door: which paths need a key, what each key allows, quotas on an injected clock, the words."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest
from api.bodies import BATCH, LYE
from flask.testing import FlaskClient
from kettlewright.api.document.openapi import document
from kettlewright.api.door import gate as module
from kettlewright.api.door.access_record import current_record
from kettlewright.api.door.operations import OPERATIONS
from kettlewright.api.door.problems import ALL_KINDS
from kettlewright.app import create_app
from kettlewright.keys import MEMBER, OPERATOR, READ_ONLY, Key, new_key, write_key_file
from kettlewright.settings import Settings

LINK = "/v1/lye?fat=olive,mass:700&fat=coconut,mass:300&superfat_pct=5&alkali=NaOH,purity:98&water=water_to_alkali:2"
MADE, LAST_DAY = date(2027, 1, 1), date(2027, 1, 31)


@dataclass
class Served:
    """A service with keys, its clock, and the texts of its keys by name."""

    client: FlaskClient
    texts: dict[str, str]
    now: list[datetime]

    def bearer(self, name: str, **more: str) -> dict[str, str]:
        return {"Authorization": f"Bearer {self.texts[name]}", **more}

    def link(self, name: str, path: str = LINK) -> str:
        return f"{path}{'&' if '?' in path else '?'}key={self.texts[name]}"


def served(folder: Path) -> Served:
    made = {name: new_key(name, role, made=MADE, **more) for name, role, more in (
        ("anna", MEMBER, {}), ("cell", READ_ONLY, {}), ("boss", OPERATOR, {}), ("short", MEMBER, {"expires": LAST_DAY}),
        ("few", MEMBER, {"requests_per_month": 2}), ("quick", MEMBER, {"cpu_seconds_per_month": 1}),
        ("few-cells", READ_ONLY, {"requests_per_month": 2}))}
    write_key_file(folder / "keys.csv", [key for _, key in made.values()])
    now = [datetime(2027, 1, 31, 12, tzinfo=UTC)]
    app = create_app(Settings(key_file=str(folder / "keys.csv"), cors_origins=("https://soap.example",)),
                     clock=lambda: now[0])
    app.add_url_rule("/metrics", view_func=lambda: "seconds 1", endpoint="metrics")
    app.add_url_rule("/who", view_func=lambda: {"name": current_record().key_name}, endpoint="who")
    return Served(app.test_client(), {name: text for name, (text, _) in made.items()}, now)


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> Served:
    return served(tmp_path_factory.mktemp("keys"))


@pytest.fixture
def own(tmp_path: Path) -> Served:
    """One whose clock and quotas a test may change."""
    return served(tmp_path)


@pytest.fixture(scope="module")
def without_keys() -> FlaskClient:
    return create_app(Settings()).test_client()


def problem(reply: Any, status: int, slug: str) -> dict[str, Any]:
    assert reply.status_code == status, reply.text
    assert reply.content_type == "application/problem+json"
    assert reply.headers["Cache-Control"] == "no-store"
    found: dict[str, Any] = reply.json
    assert (found["type"], found["status"], found["errors"]) == (f"/problems/{slug}", status, [])
    return found


def test_every_operation_of_the_contract_needs_a_key_but_probes_and_the_version(service: Served) -> None:
    open_ones = set()
    for found in OPERATIONS.values():
        path = found.path.replace("{key}", "olive")
        reply = service.client.open(path, method=found.method, json={} if found.method == "POST" else None)
        if reply.status_code == 401:
            assert problem(reply, 401, "key-needed")
        else:
            open_ones.add(path)
    assert open_ones == {"/healthz", "/readyz", "/version"}


def test_pages_about_the_service_need_no_key_and_everything_else_does(service: Served) -> None:
    rules = {rule.rule for rule in service.client.application.url_map.iter_rules() if "GET" in (rule.methods or ())}
    named = {"<slug>": "key-needed", "<name>": "index.css", "<key>": "olive"}
    free = {rule for rule in rules if service.client.get(
        re.sub("<.*>", lambda part: named[part[0]], rule)).status_code != 401}
    assert free == {"/", "/docs", "/docs/start.js", "/docs/page.css", "/docs/assets/<name>", "/healthz", "/readyz",
                    "/version", "/openapi.json", "/openapi.yaml", "/problems/<slug>"}
    for path in ("/nothing", "/v1/nothing", "/v1", "/healthz/", "/metrics", "/Docs", "/v1/%6cye",
                 "/problemsx/", "/docsx", "/v1/lye/"):
        assert service.client.get(path).status_code == 401, path
        assert service.client.get(path, headers=service.bearer("anna")).status_code in (403, 404, 422), path
    for path in ("/docs/nothing", "/problems/nothing", "/docs/../v1/lye", "/docs/%2e%2e/v1/lye"):
        assert service.client.get(path).status_code == 404


@pytest.mark.parametrize("name", ["anna", "boss", "short", "cell"])
def test_a_key_in_the_header_opens_what_its_role_allows(service: Served, name: str) -> None:
    for scheme in ("Bearer", "bearer", "BEARER"):
        headers = {"Authorization": f"{scheme} {service.texts[name]}"}
        assert service.client.get(LINK, headers=headers).status_code == 200
        assert service.client.head(LINK, headers=headers).status_code == 200
        assert service.client.get("/who", headers=headers).json == {"name": name}
        reply = service.client.post("/v1/lye", json=LYE, headers=headers)
        if name == "cell":
            assert "GET only" in problem(reply, 403, "key-refused")["detail"]
        else:
            assert reply.status_code == 200
        assert service.client.get("/metrics", headers=headers).status_code == (200 if name == "boss" else 403)


def test_a_read_only_key_in_the_address_gets_what_a_key_in_the_header_gets(service: Served) -> None:
    for path in (LINK, f"{LINK}&field=alkalis.0.weigh", f"{LINK}&format=csv", "/v1/fats", "/v1/fats/olive",
                 f"{LINK}&field=problem"):
        by_header = service.client.get(path, headers=service.bearer("anna"))
        by_address = service.client.get(service.link("cell", path))
        assert by_header.status_code == by_address.status_code == 200
        assert by_header.data == by_address.data
        assert by_header.headers["ETag"] == by_address.headers["ETag"]
    # wherever it is in the address, and however its letters are written
    text = service.texts["cell"]
    for path in (LINK.replace("?", f"?key={text}&"), LINK.replace("&superfat", f"&key={text}&superfat"),
                 f"{LINK}&%6Bey={text}", f"{LINK}&key={text.replace('_', '%5F').replace('k', '%6b')}"):
        assert service.client.get(path).status_code == 200


def test_no_other_key_may_be_in_an_address(service: Served) -> None:
    for name in ("anna", "boss"):
        assert "have it revoked" in problem(service.client.get(service.link(name)), 403, "key-refused")["detail"]
        problem(service.client.get(service.link(name, "/metrics")), 403, "key-refused")
    problem(service.client.get(service.link("cell", "/metrics")), 403, "key-refused")


def test_a_post_with_a_key_in_its_address_is_refused_for_every_operation(service: Served) -> None:
    for found in OPERATIONS.values():
        if found.method == "POST":
            for name in ("cell", "anna"):
                problem(service.client.post(service.link(name, found.path), json=LYE), 403, "key-refused")


def test_two_keys_are_refused(service: Served) -> None:
    for reply in (service.client.get(service.link("cell"), headers=service.bearer("anna")),
                  service.client.get(service.link("cell", service.link("cell"))),
                  service.client.get(service.link("cell") + "&key=")):
        assert "more than one key" in problem(reply, 400, "unreadable-body")["detail"]


@pytest.mark.parametrize("spoil", [
    lambda text: text[:-1], lambda text: text + "x", lambda text: text.upper(), lambda text: "", lambda text: "kw_",
    lambda text: "0" * 56, lambda text: f"{text} {text}", lambda text: f"{text},{text}", lambda text: text[3:],
    lambda text: f"kw_00000000{text[11:]}", lambda text: "é"])
def test_a_wrong_key_is_refused_and_said_to_be_wrong(service: Served, spoil: Any) -> None:
    # RFC 6750, 3.1: invalid_token, 401, with a WWW-Authenticate header
    wrong = spoil(service.texts["anna"])
    sent = f"Bearer {wrong}".encode().decode("latin-1")  # as WSGI has it
    reply = service.client.post("/v1/lye", json=LYE, headers={"Authorization": sent})
    assert "not valid" in problem(reply, 401, "key-needed")["detail"]
    assert reply.headers["WWW-Authenticate"] == 'Bearer realm="kettlewright", error="invalid_token"'
    reply = service.client.get(f"{LINK}&key={spoil(service.texts['cell'])}")
    assert "not valid" in problem(reply, 401, "key-needed")["detail"]


@pytest.mark.parametrize("headers", [{}, {"Authorization": ""}, {"Authorization": "Basic YTpi"},
                                     {"Authorization": "Digest x"}, {"X-Api-Key": "x"}, {"Cookie": "key=x"}])
def test_without_a_key_the_reply_says_how_to_send_one(service: Served, headers: dict[str, str]) -> None:
    reply = service.client.post("/v1/lye", json=LYE, headers=headers)
    assert "Authorization: Bearer" in problem(reply, 401, "key-needed")["detail"]
    # RFC 6750, 3: no error code where the request has no key; RFC 9110, 15.5.2: a 401 has a challenge
    assert reply.headers["WWW-Authenticate"] == 'Bearer realm="kettlewright"'
    assert "Retry-After" not in reply.headers


def test_a_key_works_through_its_last_day_and_is_then_refused(own: Served) -> None:
    own.now[0] = datetime(2027, 1, 31, 23, 59, 59, 999_999, tzinfo=UTC)
    assert own.client.get(LINK, headers=own.bearer("short")).status_code == 200
    own.now[0] = datetime(2027, 2, 1, tzinfo=UTC)
    reply = own.client.get(LINK, headers=own.bearer("short"))
    assert problem(reply, 401, "key-needed")["detail"].startswith("This key was valid until 2027-01-31.")
    assert 'error="invalid_token"' in reply.headers["WWW-Authenticate"]
    assert own.client.get(LINK, headers=own.bearer("anna")).status_code == 200


@pytest.mark.parametrize("name", ["few", "few-cells"])
def test_requests_beyond_the_quota_are_refused_until_the_month_ends(own: Served, name: str) -> None:
    def ask() -> Any:
        return own.client.get(own.link(name)) if name == "few-cells" else own.client.get(LINK, headers=own.bearer(name))

    assert [ask().status_code for _ in range(2)] == [200, 200]
    own.now[0] = datetime(2027, 1, 31, 23, 59, 0, tzinfo=UTC)
    reply = ask()
    assert problem(reply, 429, "quota-used")["detail"].startswith(
        "This month's 2 requests for this key are used up. The key works again from 2027-02-01 (UTC).")
    assert reply.headers["Retry-After"] == "60"
    assert own.client.get("/healthz", headers=own.bearer("few")).status_code == 200
    own.now[0] = datetime(2027, 2, 1, tzinfo=UTC)
    assert [ask().status_code for _ in range(3)] == [200, 200, 429]
    assert int(ask().headers["Retry-After"]) == 28 * 86_400


def test_a_wrong_request_counts_and_a_refused_one_does_not(own: Served) -> None:
    def ask(path: str, **more: Any) -> int:
        return own.client.get(path, headers=own.bearer("few"), **more).status_code

    assert [ask("/metrics"), ask("/metrics"), ask("/metrics")] == [403] * 3
    assert [ask("/v1/lye?fat=wrong"), ask("/nothing"), ask("/nothing")] == [422, 404, 429]


def test_cpu_seconds_are_charged_to_the_key_also_those_of_slots(own: Served) -> None:
    quotas: Any = []
    original = module.Quotas.charge

    def charge(self: Any, key: Key, seconds: float) -> None:
        quotas.append((key.name, seconds))
        original(self, key, seconds * 40)  # a second is soon reached

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(module.Quotas, "charge", charge)
        statuses = []
        for _ in range(50):
            statuses.append(own.client.post("/v1/batches", json=BATCH, headers=own.bearer("quick")).status_code)
            if statuses[-1] == 429:
                break
    assert statuses[0] == 200
    assert statuses[-1] == 429, statuses
    assert {name for name, _ in quotas} == {"quick"}
    assert sum(seconds for _, seconds in quotas) * 40 >= 1
    reply = own.client.post("/v1/batches", json=BATCH, headers=own.bearer("quick"))
    assert "1 seconds of computing time" in problem(reply, 429, "quota-used")["detail"]


def test_each_line_of_many_batches_counts_as_a_request(own: Served) -> None:
    lines = b"\n".join(json.dumps(BATCH).encode() for _ in range(3))
    reply = own.client.post("/v1/batches", data=lines, content_type="application/x-ndjson", headers=own.bearer("few"))
    assert reply.status_code == 200
    first, second, third = map(json.loads, reply.data.splitlines())
    assert "cautions" in first
    assert first == second
    assert (third["type"], third["status"]) == ("/problems/quota-used", 429)
    reply = own.client.post("/v1/batches", data=lines, content_type="application/x-ndjson", headers=own.bearer("few"))
    problem(reply, 429, "quota-used")


def test_a_preflight_needs_no_key_and_allows_to_send_one(service: Served) -> None:
    headers = {"Origin": "https://soap.example", "Access-Control-Request-Method": "POST",
               "Access-Control-Request-Headers": "authorization,content-type"}
    reply = service.client.options("/v1/lye", headers=headers)
    assert reply.status_code == 204
    # the Fetch standard: * does not cover Authorization, so it must be in the list
    assert {"authorization", "content-type"} <= set(reply.headers["Access-Control-Allow-Headers"].lower().split(", "))
    refused = service.client.post("/v1/lye", json=LYE, headers={"Origin": "https://soap.example"})
    problem(refused, 401, "key-needed")
    assert refused.headers["Access-Control-Allow-Origin"] == "https://soap.example"


def test_no_shared_cache_keeps_a_reply_to_a_key(service: Served, without_keys: FlaskClient) -> None:
    for path in ("/v1/fats", "/v1/fats/olive", "/v1/sources", LINK):
        assert "public" in without_keys.get(path).headers["Cache-Control"] or path == LINK
        for reply in (service.client.get(path, headers=service.bearer("anna")),
                      service.client.get(service.link("cell", path))):
            assert "private" in reply.headers["Cache-Control"]
            assert "public" not in reply.headers["Cache-Control"]
    assert "public" in service.client.get("/openapi.yaml").headers["Cache-Control"]


def test_no_reply_holds_the_key(service: Served) -> None:
    for name, path in (("cell", LINK), ("cell", f"{LINK}&format=html"), ("cell", f"{LINK}&nothing=1"), ("anna", LINK),
                       ("cell", "/nothing"), ("cell", "/v1/lye?fat=%zz"), ("cell", "/?x=1"),
                       ("cell", f"/v1/fats?search={'x' * 3000}"), ("cell", "/v1/batches?plan=1x")):
        for accept in ("application/json", "text/html"):
            reply = service.client.get(service.link(name, path), headers={"Accept": accept})
            text = service.texts[name]
            assert text not in reply.text
            assert text not in str(reply.headers)


def test_links_of_a_reply_hold_no_key(service: Served) -> None:
    plan = service.client.post("/v1/batches", json=BATCH, headers=service.bearer("anna")).json
    assert plan is not None
    for reply in (service.client.get(service.link("cell", plan["links"]["self"])),):
        assert reply.status_code == 200
        assert "key=" not in reply.text
        assert reply.json is not None
        assert reply.json["links"] == plan["links"]


def test_without_a_key_file_a_key_is_ignored_and_metrics_stay_closed(without_keys: FlaskClient,
                                                                     service: Served) -> None:
    plain = without_keys.get(LINK)
    for reply in (without_keys.get(service.link("cell")), without_keys.get(f"{LINK}&key=1&key=2"),
                  without_keys.get(LINK, headers=service.bearer("anna"))):
        assert (reply.status_code, reply.data) == (200, plain.data)
    assert without_keys.post("/v1/lye?key=x", json=LYE).status_code == 200
    for headers in ({}, service.bearer("boss")):
        problem(without_keys.get("/metrics", headers=headers), 401, "key-needed")


def test_the_words_are_german_for_a_german_reader(service: Served, own: Served) -> None:
    german = {"Accept-Language": "de-AT,de;q=0.9,en;q=0.5"}
    own.now[0] = datetime(2027, 2, 1, tzinfo=UTC)
    for _ in range(2):
        own.client.get(LINK, headers=own.bearer("few"))
    replies = [service.client.get(LINK, headers=german), service.client.get(service.link("anna"), headers=german),
               service.client.get("/metrics", headers=service.bearer("anna", **german)),
               service.client.post(service.link("cell", "/v1/lye"), json=LYE, headers=german),
               service.client.get(f"{LINK}&key=x", headers=german),
               own.client.get(LINK, headers=own.bearer("short", **german)),
               own.client.get(LINK, headers=own.bearer("few", **german))]
    for reply in replies:
        assert reply.headers["Content-Language"] == "de"
        found = json.loads(reply.data)
        assert "Schlüssel" in found["detail"] or "Betreiberschlüssel" in found["detail"]
        assert "key" not in found["detail"].replace("key=", "")
        assert found["title"] in ("Ein gültiger Schlüssel ist nötig", "Das Kontingent ist verbraucht",
                                  "Dieser Schlüssel erlaubt das nicht")
    assert [reply.status_code for reply in replies] == [401, 403, 403, 403, 401, 401, 429]
    page = service.client.get(LINK, headers={**german, "Accept": "text/html"})
    assert page.content_type.startswith("text/html")
    assert '<html lang="de">' in page.text
    assert "<h1>Ein gültiger Schlüssel ist nötig</h1>" in page.text
    for languages in ("en", "fr", "", "*"):
        reply = service.client.get(LINK, headers={"Accept-Language": languages})
        assert (reply.headers["Content-Language"], json.loads(reply.data)["title"]) == ("en", "A valid key is needed")


def test_each_kind_of_problem_has_a_page(service: Served) -> None:
    assert len({kind.slug for kind in ALL_KINDS}) == len(ALL_KINDS)
    for kind in ALL_KINDS:
        page = service.client.get(f"/problems/{kind.slug}")
        assert page.status_code == 200
        assert f"<h1>{kind.status}: {kind.title}</h1>" in page.text


def test_the_contract_says_how_a_key_is_sent_and_that_none_may_be_needed() -> None:
    contract = document()
    schemes = contract["components"]["securitySchemes"]
    assert {tuple(scheme.get(word) for word in ("type", "scheme", "in", "name")) for scheme in schemes.values()} == {
        ("http", "bearer", None, None), ("apiKey", None, "query", module.PARAMETER)}
    assert contract["security"] == [{}, *({name: []} for name in schemes)]
    # said once, for all operations: at each of them it would be a hundredth of the file
    said = contract["info"]["description"]
    assert all(f"{kind.status} `{kind.slug}`" in said for kind in ALL_KINDS if kind.slug in (
        "key-needed", "key-refused", "quota-used"))
