"""A whole batch in one link: round trip, other versions, bombs and garbage."""

from __future__ import annotations

import base64
import hashlib
import json
import time
import tracemalloc
import zlib
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from api.bodies import BATCH, changed
from api.test_bad_input import faults, problem
from flask.testing import FlaskClient
from hypothesis import given
from hypothesis import strategies as st
from kettlewright.app import create_app
from kettlewright.settings import Settings

ROOT = Path(__file__).parents[3]
APP = create_app().test_client()
EXAMPLES = [(example["title"], example["body"]) for example in json.loads(
    (ROOT / "service/kettlewright/api/endpoints/examples/batches.json").read_text(encoding="utf-8"))]
EXAMPLES += [(path.stem, json.loads(path.read_text(encoding="utf-8")))
             for path in sorted((ROOT / "client" / "examples").glob("*.json"))]
PAGE = "text/html,application/xhtml+xml,application/xml;q=0.9,*/*;q=0.8"  # what a browser sends for a page


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return APP


def packed(body: Any, version: str = "1") -> str:
    """A plan, packed as the contract has it."""
    text = body if isinstance(body, bytes) else json.dumps(body).encode()
    return version + base64.urlsafe_b64encode(zlib.compress(text)).decode().rstrip("=")


@pytest.mark.parametrize(("title", "body"), EXAMPLES, ids=[title for title, _ in EXAMPLES])
def test_a_link_gives_back_the_very_reply_that_contains_it(client: FlaskClient, title: str, body: Any) -> None:
    posted = client.post("/v1/batches", json=body)
    link = posted.json["links"]["self"]
    assert len(link) <= 2_048
    got = client.get(link)
    assert got.status_code == 200
    assert got.data == posted.data
    assert client.get(f"/v1/batches?plan={packed(body)}").data == posted.data
    inside = urlsplit(link).query.removeprefix("plan=1")
    assert json.loads(zlib.decompress(base64.urlsafe_b64decode(inside + "=" * (-len(inside) % 4)))) == body


@pytest.mark.parametrize(("title", "body"), EXAMPLES, ids=[title for title, _ in EXAMPLES])
def test_a_link_opens_the_sheet_in_a_browser(client: FlaskClient, title: str, body: Any) -> None:
    posted = client.post("/v1/batches", json=body, headers={"Accept": "text/html"})
    link = client.post("/v1/batches", json=body).json["links"]["self"]
    page = client.get(link, headers={"Accept": PAGE})
    assert page.mimetype == "text/html"
    assert page.data == posted.data
    assert page.headers["Referrer-Policy"] == "no-referrer"
    assert page.headers["Content-Security-Policy"] == posted.headers["Content-Security-Policy"]
    assert page.headers["Cache-Control"] == "private, no-cache"
    assert client.get(f"{link}&format=svg").mimetype == "image/svg+xml"
    assert client.get(f"{link}&format=csv").text.startswith("kind,where,portion,key,name,form,lot,weigh [g]")


def test_the_same_plan_written_otherwise_has_the_same_link(client: FlaskClient) -> None:
    spread = json.dumps(BATCH, indent=4).encode()
    one = client.post("/v1/batches", data=spread, content_type="application/json")
    assert one.data == client.post("/v1/batches", json=BATCH).data


def test_a_plan_too_long_for_a_link_is_rejected_with_that(client: FlaskClient) -> None:
    names = [hashlib.sha512(bytes([number])).hexdigest() for number in range(40)]  # nothing that packs well
    body = changed(BATCH, "/portions", [{"name": name, "share_pct": 2.5} for name in names])
    links = client.post("/v1/batches", json=body).json["links"]
    assert list(links) == ["message"]
    assert "too long for a link" in links["message"]
    reply = client.get(f"/v1/batches?plan={packed(body)}")
    assert "Send it as POST /v1/batches with a JSON body." in problem(reply, 414)["detail"]
    roomy = create_app(Settings(max_url_length=8_000)).test_client()
    assert roomy.get(f"/v1/batches?plan={packed(body)}").data == client.post("/v1/batches", json=body).data


def test_errors_of_a_plan_point_inside_it(client: FlaskClient) -> None:
    body = changed(changed(BATCH, "/recipe/fats/0/fat", "olive pomice"), "/mould/depth", -1)
    assert faults(client.get(f"/v1/batches?plan={packed(body)}")).keys() == {"/plan/recipe/fats/0/fat",
                                                                            "/plan/mould/depth"}


@pytest.mark.parametrize("version", ["2", "0", "a", "-"])
def test_a_plan_of_another_version_is_refused(client: FlaskClient, version: str) -> None:
    errors = faults(client.get(f"/v1/batches?plan={packed(BATCH, version)}"))
    assert f'A plan of version "{version}" is not known here' in errors["/plan"]


GOOD = packed(BATCH)


@pytest.mark.parametrize(("what", "plan"), [
    ("nothing after the version", "1"), ("cut short", GOOD[:-9]), ("cut to a length that no base64 has", GOOD[:-1]),
    ("a letter changed", GOOD[:40] + ("A" if GOOD[40] != "A" else "B") + GOOD[41:]),
    ("its check changed", GOOD[:-4] + ("AAAA" if GOOD[-4:] != "AAAA" else "BBBB")),
    ("something after the end", "1" + base64.urlsafe_b64encode(
        zlib.compress(json.dumps(BATCH).encode()) + b"more").decode().rstrip("=")),
    ("padded", packed(BATCH) + "="), ("in the other alphabet", "1ab+/"), ("no deflate", "1" + "QUJD" * 9),
    ("raw deflate", "1" + base64.urlsafe_b64encode(zlib.compress(b"{}" * 9)[2:-4]).decode().rstrip("=")),
    ("not UTF-8", packed(b"\xff\xfe")), ("not JSON", packed(b"{")), ("a list", packed(b"[]")), ("empty", packed(b"")),
    ("a doubled key", packed(b'{"mould": 1, "mould": 2}')), ("NaN", packed(b'{"mould": NaN}')),
    ("nested too deep", packed(b'{"a":' * 5000 + b"1" + b"}" * 5000)),
    ("needs a dictionary", "1" + base64.urlsafe_b64encode(b"\x78\xbb" + b"\0" * 20).decode().rstrip("="))])
def test_garbage_is_unreadable(client: FlaskClient, what: str, plan: str) -> None:
    refusal = problem(client.get(f"/v1/batches?plan={plan.replace('+', '%2B')}"), 400)
    assert refusal["errors"] == []
    assert refusal["detail"]


@given(plan=st.one_of(st.text("abcABC019-_", max_size=200), st.binary(max_size=100).map(
    lambda data: base64.urlsafe_b64encode(data).decode().rstrip("=")), st.binary(max_size=100).map(
        lambda data: packed(data)[1:])), version=st.sampled_from(["1", "", "2"]))
def test_no_plan_breaks_the_service(plan: str, version: str) -> None:
    assert APP.get(f"/v1/batches?plan={version}{plan}").status_code in (400, 422)


def bomb(size: int) -> bytes:
    """What inflates to so many spaces, a thousandth as long; deflate can do no better (RFC 1951: 258 to a code)."""
    deflating = zlib.compressobj(9, wbits=-15)
    of_a_megabyte = deflating.compress(b" " * (1 << 20)) + deflating.flush(zlib.Z_FULL_FLUSH)
    return b"\x78\xda" + of_a_megabyte * (size >> 20)


def test_a_bomb_is_not_inflated() -> None:
    """A link takes 1.5 kB of deflate, which is 1.5 MB at most; with a longer address allowed it would be more."""
    client = create_app(Settings(max_url_length=8_000, max_body_bytes=65_536)).test_client()
    whole = bomb(1 << 30)  # a gigabyte, of which a link holds the beginning
    for size in (1_500, 5_500):
        plan = "1" + base64.urlsafe_b64encode(whole[:size]).decode().rstrip("=")
        tracemalloc.start()
        begun = time.perf_counter()
        reply = client.get(f"/v1/batches?plan={plan}")
        took, (_, peak) = time.perf_counter() - begun, tracemalloc.get_traced_memory()
        tracemalloc.stop()
        assert "more than 65,536 bytes" in problem(reply, 413)["detail"]
        assert peak < 2_000_000
        assert took < 1


def test_a_gigabyte_is_never_unpacked() -> None:
    from kettlewright.api.door.problems import Problem
    from kettlewright.api.links import unpack_plan
    plan = "1" + base64.urlsafe_b64encode(bomb(1 << 30)).decode().rstrip("=")
    tracemalloc.start()
    with pytest.raises(Problem, match="more than 262,144 bytes"):
        unpack_plan(plan, limit_bytes=262_144)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert peak < 8 * len(plan)  # copies of the letters, nothing of the gigabyte


@pytest.mark.parametrize(("query", "pointers"), [
    ("plan=", {"/plan"}), (f"plan={GOOD}&plan={GOOD}", {"/plan"}), (f"plan={GOOD}&mould=box", {"/mould"}),
    (f"plan={GOOD}&units=oz", {"/units"})])
def test_a_plan_takes_no_other_parameter_of_the_batch(client: FlaskClient, query: str, pointers: set[str]) -> None:
    assert faults(client.get(f"/v1/batches?{query}")).keys() == pointers
