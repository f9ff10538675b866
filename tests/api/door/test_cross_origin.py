"""HEAD, OPTIONS, ETag, long addresses, and pages of other origins (the Fetch standard, from memory)."""

from __future__ import annotations

import pytest
from api.bodies import LYE
from api.test_bad_input import problem
from flask.testing import FlaskClient
from kettlewright.app import create_app
from kettlewright.settings import BadSetting, Settings, read_settings

BY_LINK = "/v1/lye?fat=olive,mass:700&fat=coconut,mass:300&superfat_pct=5&alkali=NaOH,purity:98&water=water_to_alkali:2"
SOAP, OTHER = "https://soap.example", "https://other.example"


@pytest.fixture(scope="module")
def shared() -> FlaskClient:
    return create_app(Settings(cors_origins=(SOAP, "http://127.0.0.1:5000"))).test_client()


@pytest.mark.parametrize("path", [BY_LINK, f"{BY_LINK}&field=water.weigh", f"{BY_LINK}&format=csv", "/v1/fats",
                                  "/v1/lye?fat=olive", "/nothing", "/openapi.yaml"])
def test_head_is_get_without_its_body(client: FlaskClient, path: str) -> None:
    got, head = client.get(path), client.head(path)
    assert head.data == b""
    assert head.status_code == got.status_code
    for reply in (got, head):
        del reply.headers["X-Request-ID"]
        reply.headers.pop("Date", None)  # the clock may tick between the two
    assert dict(head.headers) == dict(got.headers)
    assert int(head.headers["Content-Length"]) == len(got.data)


@pytest.mark.parametrize(("path", "allow"), [
    ("/v1/lye", {"GET", "HEAD", "OPTIONS", "POST"}), ("/v1/lye?fat=wrong&fat=,,", {"GET", "HEAD", "OPTIONS", "POST"}),
    ("/v1/lye?fat=%ff%zz", {"GET", "HEAD", "OPTIONS", "POST"}), ("/v1/fats/nothing", {"GET", "HEAD", "OPTIONS"}),
    ("/v1/labels", {"OPTIONS", "POST"}), (f"/v1/lye?fat={'x' * 3000}", {"GET", "HEAD", "OPTIONS", "POST"}),
    ("*", {"GET", "HEAD", "OPTIONS", "POST"})])
def test_options_is_never_refused(client: FlaskClient, path: str, allow: set[str]) -> None:
    reply = client.options(path, data=b"\xff", headers={"Accept": "image/png", "Content-Type": "text/plain"})
    assert reply.status_code == 204
    assert reply.data == b""
    assert "Content-Type" not in reply.headers
    assert set(reply.headers["Allow"].split(", ")) == allow
    assert reply.headers["X-Request-ID"]


def test_options_of_nothing_is_nothing(client: FlaskClient) -> None:
    assert problem(client.options("/v1/nothing"), 404)


def test_a_calculation_by_link_is_kept_by_nobody_but_the_maker(client: FlaskClient) -> None:
    first = client.get(BY_LINK)
    assert first.headers["Cache-Control"] == "private, no-cache"
    assert "Accept" in first.headers["Vary"]
    tag = first.headers["ETag"]
    assert not tag.startswith("W/")
    again = client.get(BY_LINK, headers={"If-None-Match": tag})
    assert (again.status_code, again.data) == (304, b"")
    assert {name: again.headers[name] for name in ("ETag", "Cache-Control", "Vary")} == {
        name: first.headers[name] for name in ("ETag", "Cache-Control", "Vary")}
    assert client.get(BY_LINK.replace("700", "701")).headers["ETag"] != tag
    assert client.get(f"{BY_LINK}&format=csv").headers["ETag"] != tag
    assert client.get(BY_LINK, headers={"If-None-Match": '"other"'}).status_code == 200
    assert client.head(BY_LINK, headers={"If-None-Match": tag}).status_code == 304


def test_a_long_address_is_refused_with_the_post_to_send(client: FlaskClient) -> None:
    path = f"{BY_LINK}&fat=olive,mass:1,lot:"
    fits, above = path + "x" * (2_048 - len(path)), path + "x" * (2_049 - len(path))
    assert client.get(fits).status_code == 422  # read, and the lot refused
    refusal = problem(client.get(above), 414)
    assert refusal["detail"] == (
"The address has 2,049 characters; at most 2,048 are taken. Send it as POST /v1/lye with a JSON body.")
    for path in ("/v1/fats?search=", "/v1/fats/", "/nothing/", "/healthz?x="):
        assert problem(client.get(path + "x" * 3000), 414)["detail"].endswith("at most 2,048 are taken. Shorten it.")


def test_without_the_setting_no_page_of_another_origin_reads_a_reply(client: FlaskClient) -> None:
    for reply in (client.get(BY_LINK, headers={"Origin": SOAP}), client.options("/v1/lye", headers={
            "Origin": SOAP, "Access-Control-Request-Method": "POST"})):
        assert not [name for name in dict(reply.headers) if name.startswith("Access-Control")]
        assert "Origin" not in reply.headers.get("Vary", "")


@pytest.mark.parametrize("ask", [
    lambda client, **more: client.get(BY_LINK, **more), lambda client, **more: client.get("/v1/lye?fat=1", **more),
    lambda client, **more: client.get("/nothing", **more), lambda client, **more: client.delete("/v1/lye", **more),
    lambda client, **more: client.get("/v1/lye?fat=" + "x" * 3000, **more),
    lambda client, **more: client.post("/v1/lye", json=LYE, **more),
    lambda client, **more: client.post("/v1/lye", data="{}", content_type="text/plain", **more),
    lambda client, **more: client.get("/v1/fats/olive", **more),
    lambda client, **more: client.options("/v1/lye", **more)])
def test_an_origin_that_has_leave_reads_every_reply_problems_too(shared: FlaskClient, ask: object) -> None:
    assert callable(ask)
    reply = ask(shared, headers={"Origin": SOAP})
    assert reply.headers["Access-Control-Allow-Origin"] == SOAP
    assert reply.headers["Access-Control-Expose-Headers"] == "ETag, Retry-After, X-Request-ID"
    assert "Origin" in reply.headers["Vary"]
    assert "Access-Control-Allow-Credentials" not in reply.headers
    assert "Set-Cookie" not in reply.headers
    for other in ({"Origin": OTHER}, {"Origin": "null"}, {"Origin": f"{SOAP}.evil.example"}, {}):
        reply = ask(shared, headers=other)
        assert "Access-Control-Allow-Origin" not in reply.headers
        assert "Origin" in reply.headers["Vary"]  # a cache must not give one origin's reply to another


def test_a_page_may_ask_before_it_posts(shared: FlaskClient) -> None:
    preflight = {"Origin": SOAP, "Access-Control-Request-Method": "POST",
                 "Access-Control-Request-Headers": "content-type"}
    reply = shared.options("/v1/labels", headers=preflight)
    assert reply.status_code == 204
    assert "POST" in reply.headers["Access-Control-Allow-Methods"]
    assert "content-type" in reply.headers["Access-Control-Allow-Headers"].lower()
    assert int(reply.headers["Access-Control-Max-Age"]) > 0
    reply = shared.options("/v1/labels", headers={**preflight, "Origin": OTHER})
    assert reply.status_code == 204
    assert not [name for name in dict(reply.headers) if name.startswith("Access-Control")]


def test_a_304_may_be_read_too(shared: FlaskClient) -> None:
    tag = shared.get(BY_LINK).headers["ETag"]
    reply = shared.get(BY_LINK, headers={"Origin": SOAP, "If-None-Match": tag})
    assert reply.status_code == 304
    assert reply.headers["Access-Control-Allow-Origin"] == SOAP


def test_a_star_lets_every_page_read() -> None:
    client = create_app(Settings(cors_origins=("*",))).test_client()
    assert client.get("/nothing", headers={"Origin": OTHER}).headers["Access-Control-Allow-Origin"] == "*"
    assert "Access-Control-Allow-Origin" not in client.get("/healthz").headers


def test_a_post_that_is_no_json_stays_refused(shared: FlaskClient) -> None:
    """A page may send text/plain without asking first, so it must not be answered."""
    for kind in ("text/plain", "application/x-www-form-urlencoded", "multipart/form-data"):
        problem(shared.post("/v1/lye", data="{}", content_type=kind, headers={"Origin": SOAP}), 415)


@pytest.mark.parametrize(("text", "origins"), [
    ("*", ("*",)), ("", ()), (f"{SOAP}, http://127.0.0.1:5000", (SOAP, "http://127.0.0.1:5000")),
    ("http://[::1]:8080", ("http://[::1]:8080",))])
def test_origins_are_a_setting(text: str, origins: tuple[str, ...]) -> None:
    assert read_settings({"KETTLEWRIGHT_CORS_ORIGINS": text}).cors_origins == origins


@pytest.mark.parametrize("text", ["soap.example", f"{SOAP}/", f"{SOAP}/shop", f"*,{SOAP}", "null", "https://*.example",
                                  "HTTPS://soap.example", f"{SOAP} {OTHER}", "ftp://soap.example"])
def test_an_origin_that_is_none_stops_the_start(text: str) -> None:
    with pytest.raises(BadSetting, match="KETTLEWRIGHT_CORS_ORIGINS is"):
        read_settings({"KETTLEWRIGHT_CORS_ORIGINS": text})
