"""ETag and 304 (RFC 9110, sections 8.8.3, 13.1.2 and 15.4.5): without the calculation, and never for another reply."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import pytest
from api.bodies import BATCH
from api.forms import BY_LINK
from flask.testing import FlaskClient
from kettlewright.api.door import serving, tags
from kettlewright.app import create_app

APP = create_app()
CLIENT = APP.test_client()
HTML = {"Accept": "text/html"}
KEPT = ("ETag", "Cache-Control", "Vary", "Content-Security-Policy")


def plan() -> str:
    return str(CLIENT.post("/v1/batches", json=BATCH).get_json()["links"]["self"])


def tag(address: str, **headers: str) -> str:
    reply = CLIENT.get(address, headers=headers)
    assert reply.status_code == 200
    return str(reply.headers["ETag"])


def forms_of_replies() -> Iterator[tuple[str, dict[str, str]]]:
    for address in (BY_LINK, plan()):
        yield address, {}
        yield address, HTML
        yield f"{address}&format=csv", {}
        yield f"{address}&field=meta.version", {}
        yield f"{address}&field=problem", {}
    yield f"{plan()}&format=html&form=card", {}
    yield f"{plan()}&format=svg", {}
    yield from (("/v1/fats", {}), ("/v1/fats/olive", {}), ("/v1/cautions?locale=de", {}), ("/v1/sources", {}))


def test_a_304_is_answered_without_the_calculation_and_with_the_headers_of_the_reply(
        monkeypatch: pytest.MonkeyPatch) -> None:
    for address, headers in forms_of_replies():
        whole = CLIENT.get(address, headers=headers)
        with monkeypatch.context() as patch:
            patch.setattr(serving, "run", None)
            again = CLIENT.get(address, headers={**headers, "If-None-Match": whole.headers["ETag"]})
            weak = CLIENT.head(address, headers={**headers, "If-None-Match": f'"x", W/{whole.headers["ETag"]}'})
        for reply in (again, weak):
            assert (reply.status_code, reply.data) == (304, b""), address
            assert {name: reply.headers.get(name) for name in KEPT} == {name: whole.headers.get(name) for name in KEPT}
            assert "Content-Type" not in reply.headers
            assert "Content-Length" not in reply.headers


def test_whatever_changes_a_reply_changes_its_tag(monkeypatch: pytest.MonkeyPatch) -> None:
    found = [tag(address, **headers) for address, headers in forms_of_replies()]
    found += [tag(f"{BY_LINK}&units=oz"), tag(f"{BY_LINK}&locale=de"), tag(f"{BY_LINK}&format=csv&table=fats"),
              tag(BY_LINK.replace("700", "701")), tag("/v1/fats/coconut"), tag("/v1/cautions?locale=en")]
    token = tags.data_version.set("other data")
    found.append(tag(BY_LINK))
    tags.data_version.reset(token)
    monkeypatch.setattr(tags, "service_version", lambda: "another version")
    found.append(tag(BY_LINK))
    assert len(set(found)) == len(found)


def test_a_file_more_is_another_version_of_the_service(monkeypatch: pytest.MonkeyPatch, tmp_path: Any) -> None:
    (tmp_path / "tables").mkdir()
    (tmp_path / "tables" / "fats.csv").write_text("1", encoding="utf-8")
    monkeypatch.setattr(tags.resources, "files", lambda _: tmp_path)
    first = tags.service_version.__wrapped__()
    (tmp_path / "tables" / "fats.csv").write_text("2", encoding="utf-8")
    second = tags.service_version.__wrapped__()
    (tmp_path / "code.pyc").write_bytes(b"what Python makes of the code")
    assert first != second == tags.service_version.__wrapped__()


def test_a_refused_request_gives_no_tag_and_a_held_tag_does_not_help_another_address() -> None:
    held = tag(BY_LINK)
    for address in (BY_LINK.replace("olive", "no_such_fat"), f"{BY_LINK}&no_such_key=1", f"{BY_LINK}&field=a&field=b"):
        refused = CLIENT.get(address, headers={"If-None-Match": held})
        assert refused.status_code == 422
        assert "ETag" not in refused.headers
    star = CLIENT.get(BY_LINK.replace("olive", "no_such_fat"), headers={"If-None-Match": "*"})
    assert star.status_code == 422
    assert CLIENT.get(BY_LINK, headers={"If-None-Match": "*"}).status_code == 304


def test_what_is_refused_before_the_calculation_is_refused_with_its_tag_too() -> None:
    held = tag(BY_LINK)
    for more, status in (({"data": b"{}"}, 400), ({"headers": {"Host": "soap.example"}}, 421),
                         ({"headers": {"Sec-Fetch-Site": "cross-site"}}, 403)):
        headers = {"If-None-Match": held, **more.pop("headers", {})}
        assert CLIENT.get(BY_LINK, headers=headers, **more).status_code == status


def test_posts_have_no_tag(client: FlaskClient) -> None:
    reply = client.post("/v1/batches", data=json.dumps(BATCH), content_type="application/json",
                        headers={"If-None-Match": "*"})
    assert reply.status_code == 200
    assert "ETag" not in reply.headers
