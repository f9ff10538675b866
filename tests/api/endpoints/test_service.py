"""The service's own addresses, headers, caching and settings."""

from __future__ import annotations

import dataclasses
import re

import pytest
from flask.testing import FlaskClient
from kettlewright.api.endpoints import service
from kettlewright.settings import BadSetting, Settings, read_settings


def test_it_says_whether_it_is_there(client: FlaskClient) -> None:
    assert client.get("/healthz").json == {"status": "ok"}
    for path in ("/healthz", "/readyz", "/version"):
        assert client.get(path).headers["Cache-Control"] == "no-store"
        assert "ETag" not in client.get(path).headers
    assert client.get("/readyz").json == {"status": "ok"}
    assert client.get("/version").json == {"version": "0.2.0", "data_version": "2026.5"}


def test_it_is_not_ready_when_a_known_calculation_does_not_agree(client: FlaskClient,
                                                                 monkeypatch: pytest.MonkeyPatch) -> None:
    right = service.make_lye
    monkeypatch.setattr(service, "make_lye", lambda recipe, scale: right(
        dataclasses.replace(recipe, superfat_pct=recipe.superfat_pct + 0.1), scale))
    reply = client.get("/readyz")
    assert reply.status_code == 503
    assert "must not be used" in reply.text


def test_every_reply_has_an_id_and_safe_headers(client: FlaskClient) -> None:
    for path in ("/healthz", "/nothing", "/docs"):
        reply = client.get(path)
        assert re.fullmatch(r"[0-9a-f]{32}", reply.headers["X-Request-ID"])
        assert reply.headers["X-Content-Type-Options"] == "nosniff"
        assert reply.headers["Referrer-Policy"] == "no-referrer"
        assert reply.headers["Content-Security-Policy"].startswith("default-src 'none'")
    assert client.get("/healthz", headers={"X-Request-ID": "my-1"}).headers["X-Request-ID"] == "my-1"
    assert client.get("/healthz", headers={"X-Request-ID": "a b"}).headers["X-Request-ID"] != "a b"
    assert "my-1" not in client.get("/healthz", headers={"X-Request-ID": "my-1"}).text


def test_tables_may_be_kept_and_are_not_sent_twice(client: FlaskClient) -> None:
    first = client.get("/v1/fats/olive")
    assert first.headers["Cache-Control"] == "public, max-age=3600"
    assert "Accept" in first.headers["Vary"]
    tag = first.headers["ETag"]
    assert not tag.startswith("W/")
    again = client.get("/v1/fats/olive", headers={"If-None-Match": tag})
    assert (again.status_code, again.data) == (304, b"")
    assert client.get("/v1/fats/coconut").headers["ETag"] != tag


def test_head_is_like_get_and_options_is_never_refused(client: FlaskClient) -> None:
    assert client.head("/v1/fats").headers["ETag"] == client.get("/v1/fats").headers["ETag"]
    assert client.head("/v1/fats").data == b""
    assert client.options("/v1/lye").status_code == 204


def test_the_docs_run_under_a_policy_without_inline_script_or_style(client: FlaskClient) -> None:
    page = client.get("/docs")
    policy = page.headers["Content-Security-Policy"]
    assert "unsafe" not in policy
    assert "script-src 'self'; style-src 'self'" in policy
    assert not re.search(r"<script(?! src)|<style|style=|onclick|onload|https?://", page.text)
    for path in re.findall(r'(?:src|href)="([^"]+)"', page.text):
        assert client.get(f"/{path}").status_code == 200, path
    assert client.get("/docs/assets/../settings.py").status_code == 404
    assert client.get("/docs/assets/index.html").status_code == 404


def test_a_form_requested_in_the_address_overrides_accept(client: FlaskClient) -> None:
    assert client.get("/v1/fats?format=json", headers={"Accept": "image/png"}).mimetype == "application/json"
    assert client.get("/v1/fats", headers={"Accept": "*/*"}).mimetype == "application/json"
    assert client.get("/v1/fats", headers={"Accept": "text/html, application/json;q=0.5"}).status_code == 200


def test_settings_come_from_the_environment() -> None:
    assert read_settings({}) == Settings()
    given = read_settings({"KETTLEWRIGHT_WORKERS": "3", "KETTLEWRIGHT_LISTEN": "0.0.0.0:9000",
                           "KETTLEWRIGHT_MAX_BODY_BYTES": "4096", "KETTLEWRIGHT_LOG_LEVEL": "warning"})
    hosts = read_settings({"KETTLEWRIGHT_HOSTS": "soap.example, maths.soap.example", "KETTLEWRIGHT_LOG_PROBES": "yes"})
    assert (hosts.hosts, hosts.log_probes) == (("soap.example", "maths.soap.example"), True)
    assert (given.workers, given.listen, given.max_body_bytes, given.log_level) == (3, "0.0.0.0:9000", 4096, "warning")


@pytest.mark.parametrize(("name", "value"), [
    ("KETTLEWRIGHT_WORKERS", "0"), ("KETTLEWRIGHT_WORKERS", "two"), ("KETTLEWRIGHT_WORKERS", "1_0"),
    ("KETTLEWRIGHT_THREADS", "65"), ("KETTLEWRIGHT_MAX_BODY_BYTES", "-1"), ("KETTLEWRIGHT_MAX_URL_LENGTH", "9000"),
    ("KETTLEWRIGHT_HOSTS", "soap.example:80"), ("KETTLEWRIGHT_HOSTS", "https://soap.example"),
    ("KETTLEWRIGHT_HOSTS", "*,soap.example"), ("KETTLEWRIGHT_HOSTS", "Soap.example"),
    ("KETTLEWRIGHT_LOG_PROBES", "true"), ("KETTLEWRIGHT_LISTEN", "8000"), ("KETTLEWRIGHT_LOG_LEVEL", "loud")])
def test_a_bad_setting_stops_the_start_and_names_itself(name: str, value: str) -> None:
    with pytest.raises(BadSetting, match=re.escape(f"{name} is '{value}'; it must be")):
        read_settings({name: value})
