"""The contract as it is served: compressed for who takes it, built before the first request, and its page."""

from __future__ import annotations

import gc
import gzip
import re
from collections.abc import Iterator
from types import SimpleNamespace

import pytest
from flask import Flask
from kettlewright.api.document import documents, openapi
from kettlewright.api.door.operations import OPERATIONS
from kettlewright.app import create_app

FILES = ["/openapi.yaml", "/openapi.json"]


@pytest.mark.parametrize("path", FILES)
def test_it_comes_compressed_to_who_takes_gzip(path: str) -> None:
    client = create_app().test_client()
    plain, zipped = client.get(path), client.get(path, headers={"Accept-Encoding": "gzip"})
    assert "Content-Encoding" not in plain.headers
    assert zipped.headers["Content-Encoding"] == "gzip"
    assert gzip.decompress(zipped.data) == plain.data
    assert len(zipped.data) < len(plain.data) / 4
    assert plain.headers["ETag"] != zipped.headers["ETag"], "another representation"
    for reply in (plain, zipped):
        assert "Accept-Encoding" in reply.headers["Vary"]
    refused = client.get(path, headers={"Accept-Encoding": "gzip;q=0, identity"})
    assert "Content-Encoding" not in refused.headers
    again = client.get(path, headers={"Accept-Encoding": "gzip", "If-None-Match": zipped.headers["ETag"]})
    assert again.status_code == 304


@pytest.mark.parametrize("path", [*FILES, "/docs"])
def test_no_request_builds_it(path: str, monkeypatch: pytest.MonkeyPatch) -> None:
    client = create_app().test_client()

    def late(*_: object, **__: object) -> None:
        raise AssertionError("built by a request")

    for name in ("document", "as_yaml"):
        monkeypatch.setattr(documents, name, late)
    monkeypatch.setattr(openapi, "APISpec", late)
    assert client.get(path).status_code == 200


@pytest.fixture
def anew() -> Iterator[None]:
    documents.build.cache_clear()
    yield
    documents._source[:] = [documents._built_here]
    documents.build.cache_clear()
    gc.unfreeze()  # what the start of gunicorn has frozen


def test_gunicorn_lets_a_child_build_it_and_no_worker_does(anew: None, monkeypatch: pytest.MonkeyPatch) -> None:
    from kettlewright import gunicorn_conf

    expected = documents._built_here()
    made: list[Flask] = []
    loader = SimpleNamespace(wsgi=lambda: made.append(create_app()))
    gunicorn_conf.on_starting(SimpleNamespace(address=[("127.0.0.1", 8000)], app=loader))
    monkeypatch.setattr(documents, "document", None)  # from here on it cannot be built
    assert documents.build.cache_info().currsize == 0
    client = made[0].test_client()
    for path in FILES:
        assert client.get(path).data == expected.files[path.strip("/")].plain
    assert client.get("/docs").text == expected.page


def test_the_page_lists_every_operation_without_a_script() -> None:
    page = create_app().test_client().get("/docs").text
    for found in OPERATIONS.values():
        assert f'<a href="#/{found.group}/{found.name}"><code>{found.method} {found.path}</code></a>' in page


def test_the_large_script_loads_only_when_somebody_asks_for_more_than_the_list() -> None:
    client = create_app().test_client()
    assert re.findall(r'<(?:script|link)[^>]*?(?:src|href)="([^"]+)"', client.get("/docs").text) == [
        "docs/page.css", "docs/start.js"]
    start = client.get("/docs/start.js").text
    assets = re.findall(r'docs/assets/[\w.-]+', start)
    assert len(assets) == 2
    for name in assets:
        assert client.get(f"/{name}").status_code == 200
