"""Bodies that two readers could read differently are not read at all."""

from __future__ import annotations

import gzip
import io
import json

import pytest
from api.bodies import LYE
from flask.testing import FlaskClient
from kettlewright.api.door.strict_json import UnreadableBody, read_object
from kettlewright.app import create_app
from kettlewright.settings import Settings

RIGHT = json.dumps(LYE)


@pytest.mark.parametrize(("body", "words"), [
    (b"", "The body is empty"),
    (b"   ", "The body is empty"),
    (b"{", "The body is not JSON: line 1, column 2"),
    (b"{'fats': 1}", "The body is not JSON"),
    (b"[1, 2]", "must be a JSON object"),
    (b"5", "must be a JSON object"),
    (b'{"a": NaN}', "NaN is not valid JSON"),
    (b'{"a": -Infinity}', "-Infinity is not valid JSON"),
    (b'{"a": 1e999}', "1e999 is too large to compute with"),
    (b'{"a": ' + b"7" * 5000 + b"}", "A number has 5000 digits; at most 40"),
    (b'{"a": 1, "b": {"c": 1, "c": 2}}', 'The key "c" appears twice'),
    (b'{"a": ' + b"[" * 33 + b"]" * 33 + b"}", "nested deeper than 32"),
    (b'{"a": ' + b"[" * 100_000 + b"]" * 100_000 + b"}", "nested deeper than 32"),
    (b'{"a": "\\ud800"}', "half of a character"),
    (b'{"\\udfff": 1}', "half of a character"),
    (b'{"a": "x\\u0000y"}', "NUL"),
    (b'{"a": "\xff"}', "not UTF-8 (at byte 7)"),
    (b'\xef\xbb\xbf{"a": 1}', "The body is not JSON"),
])
def test_an_unreadable_body_is_refused_with_the_reason(client: FlaskClient, body: bytes, words: str) -> None:
    reply = client.post("/v1/lye", data=body, content_type="application/json")
    assert reply.status_code == 400
    assert reply.json is not None
    assert words in reply.json["detail"]
    assert reply.json["type"] == "/problems/unreadable-body"


def test_what_json_allows_is_read() -> None:
    assert read_object('{"a": {"b": ["é", 1.5e3, -0.0, true, null, "\\u00e9"]}}'.encode()) == {
        "a": {"b": ["é", 1500.0, -0.0, True, None, "é"]}}
    assert read_object(b'{"a": ' + b"[" * 31 + b"]" * 31 + b"}")["a"] is not None


def test_a_doubled_key_is_refused_before_its_value_is_used() -> None:
    with pytest.raises(UnreadableBody, match="superfat_pct"):
        read_object(RIGHT[:-1].encode() + b', "superfat_pct": 0}')


@pytest.mark.parametrize("content_type", ["text/plain", "application/x-www-form-urlencoded", "application/vnd.a+json",
                                          "application/json; charset=latin-1", ""])
def test_only_json_in_utf_8_is_taken(client: FlaskClient, content_type: str) -> None:
    reply = client.post("/v1/lye", data=RIGHT, content_type=content_type)
    assert reply.status_code == 415
    assert reply.json is not None
    assert "Send Content-Type: application/json" in reply.json["detail"]


def test_the_usual_charset_is_taken(client: FlaskClient) -> None:
    assert client.post("/v1/lye", data=RIGHT, content_type="application/json; charset=UTF-8").status_code == 200


def test_a_compressed_body_is_not_taken(client: FlaskClient) -> None:
    reply = client.post("/v1/lye", data=gzip.compress(RIGHT.encode()), content_type="application/json",
                        headers={"Content-Encoding": "gzip"})
    assert reply.status_code == 415


def test_a_body_over_the_limit_is_refused_with_and_without_a_length() -> None:
    client = create_app(Settings(max_body_bytes=2000)).test_client()
    large = RIGHT + " " * 2000
    with_length = client.post("/v1/lye", data=large, content_type="application/json")
    chunked = client.post("/v1/lye", input_stream=io.BytesIO(large.encode()), content_type="application/json",
                          environ_overrides={"wsgi.input_terminated": True}, headers={"Transfer-Encoding": "chunked"})
    for reply in (with_length, chunked):
        assert reply.status_code == 413
        assert reply.json is not None
        assert "larger than 2,000 bytes" in reply.json["detail"]


def test_a_chunked_body_within_the_limit_is_read(client: FlaskClient) -> None:
    reply = client.post("/v1/lye", input_stream=io.BytesIO(RIGHT.encode()), content_type="application/json",
                        environ_overrides={"wsgi.input_terminated": True}, headers={"Transfer-Encoding": "chunked"})
    assert reply.status_code == 200
