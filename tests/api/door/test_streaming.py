"""Many batches in one request: NDJSON in, NDJSON out, each line as a request of its own would be answered."""

from __future__ import annotations

import itertools
import json
import socket
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from api.gunicorn import Running, running
from digest.draw import Draw
from digest.pours import batch
from digest.spoil import spoiled
from flask.testing import FlaskClient
from hypothesis import given, settings
from hypothesis import strategies as st
from kettlewright.api.door import streaming
from kettlewright.api.door.operations import LINES_TYPE, OPERATIONS
from kettlewright.api.door.problems import Problem
from kettlewright.api.door.slots import HeldSlot, Slots
from kettlewright.api.door.streaming import Patience, lines_of
from kettlewright.app import create_app
from kettlewright.settings import Settings
from werkzeug.test import EnvironBuilder

BATCH = {"recipe": {"fats": [{"fat": "olive", "share_pct": 70}, {"fat": "coconut", "share_pct": 30}],
                    "superfat_pct": 5, "alkalis": [{"alkali": "NaOH"}], "water": {"lye_concentration_pct": 33}},
         "mould": {"shape": "box", "length": 250, "width": 80, "depth": 60}}
LINE = json.dumps(BATCH).encode()


def stream(client: FlaskClient, body: bytes, **headers: str) -> tuple[int, list[bytes]]:
    reply = client.post("/v1/batches", data=body, content_type=LINES_TYPE, buffered=True,
                        headers={key.replace("_", "-"): value for key, value in headers.items()})
    if reply.status_code == 200:
        assert reply.mimetype == LINES_TYPE
        assert reply.headers["Cache-Control"] == "no-store"
        assert not reply.data or reply.data.endswith(b"\n")
    return reply.status_code, reply.data.splitlines()


def lines_to_send() -> list[bytes]:
    """Right requests in several units and languages, wrong ones, and lines that cannot be read."""
    made = [json.dumps(batch(Draw(f"line {number}"))).encode() for number in range(5)]
    made += [json.dumps({**BATCH, "units": {"mass": "oz", "temperature": "degF"}, "locale": "de"}).encode(),
             json.dumps({**BATCH, "no_such_field": 1}).encode(), json.dumps({**BATCH, "mould": {}}).encode(),
             b'{"recipe": 1, "recipe": 2}', b"[]", b"{", b"NaN", b'{"a": "\xff"}', b"[" * 5000]
    made += [json.dumps(spoiled(Draw(f"wrong {number}"), {"body": batch(Draw(f"wrong {number}"))})["body"]).encode()
             for number in range(5)]
    return made


def test_each_line_is_answered_as_a_request_of_its_own(client: FlaskClient) -> None:
    sent = lines_to_send()
    status, replies = stream(client, b"\n".join(sent))
    assert (status, len(replies)) == (200, len(sent))
    alone = [client.post("/v1/batches", data=line, content_type="application/json") for line in sent]
    assert replies == [one.data for one in alone]
    statuses = [json.loads(reply).get("status") for reply in replies]
    assert {None, 400, 422} == set(statuses)  # a plan has no `status`


@pytest.mark.parametrize("body", [
    LINE + b"\n" + LINE, LINE + b"\n" + LINE + b"\n", LINE + b"\r\n" + LINE + b"\r\n",
    b"\n\n" + LINE + b"\n \t\n" + LINE, b"\n".join((LINE, b"", LINE, b"", b""))])
def test_empty_lines_and_other_line_ends_change_nothing(client: FlaskClient, body: bytes) -> None:
    assert stream(client, body) == stream(client, LINE + b"\n" + LINE + b"\n")
    assert len(stream(client, body)[1]) == 2


@pytest.mark.parametrize("body", [b"", b"\n\n  \n"])
def test_no_lines_give_no_replies(client: FlaskClient, body: bytes) -> None:
    assert stream(client, body) == (200, [])


def test_a_line_has_the_limit_of_a_body_and_one_that_is_too_long_stops_nothing() -> None:
    client = create_app(Settings(max_body_bytes=2000)).test_client()
    room = 2000 - len(json.dumps({**BATCH, "title": ""}).encode())
    fits, too_long = ({**BATCH, "title": "x" * room}, {**BATCH, "title": "x" * (room + 1)})
    sent = [json.dumps(one).encode() for one in (BATCH, too_long, fits, too_long, BATCH)]
    sent[3] += b" " * 50_000
    status, replies = stream(client, b"\n".join(sent))
    found = [json.loads(line) for line in replies]
    assert status == 200
    # a title of that length is refused for its own bound, which shows that the line was read
    assert [one.get("status") for one in found] == [None, 413, 422, 413, None]
    assert "2,000 bytes" in found[1]["detail"]


def test_a_stream_has_at_most_so_many_lines(client: FlaskClient, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(streaming, "LINES_MAX", 3)
    assert len(stream(client, LINE + b"\n" + LINE + b"\n" + LINE + b"\n\n")[1]) == 3
    replies = [json.loads(line) for line in stream(client, b"\n".join([LINE] * 9))[1]]
    assert [one.get("status") for one in replies] == [None, None, None, 413]
    assert "another request" in replies[3]["detail"]


@pytest.mark.parametrize(("accept", "status"), [
    (LINES_TYPE, 200), ("*/*", 200), ("application/*", 200), ("text/html, application/x-ndjson;q=0.1", 200),
    ("application/json", 406), ("text/html", 406), ("application/x-ndjson;q=0", 406)])
def test_the_accept_header_must_take_lines(client: FlaskClient, accept: str, status: int) -> None:
    assert stream(client, LINE, Accept=accept)[0] == status


def test_a_body_of_lines_has_its_type_and_no_words_in_the_address(client: FlaskClient) -> None:
    for content_type in (f"{LINES_TYPE}; charset=latin-1", "application/ndjson", "application/jsonl"):
        assert client.post("/v1/batches", data=LINE, content_type=content_type, buffered=True).status_code == 415
    utf_8 = f"{LINES_TYPE}; charset=UTF-8"
    assert client.post("/v1/batches", data=LINE, content_type=utf_8, buffered=True).status_code == 200
    assert stream(client, LINE, Content_Encoding="gzip")[0] == 415
    for query in ("format=json", "field=problem", "units=oz"):
        assert client.post(f"/v1/batches?{query}", data=LINE, content_type=LINES_TYPE).status_code == 422


def test_only_batches_take_lines(client: FlaskClient) -> None:
    found = {name: client.post(one.path, data=LINE, content_type=LINES_TYPE, buffered=True).status_code
             for name, one in OPERATIONS.items() if one.method == "POST"}
    assert {name for name, status in found.items() if status != 415} == {"batches"}


def test_an_error_of_the_service_is_the_reply_to_its_line_only(client: FlaskClient,
                                                              monkeypatch: pytest.MonkeyPatch) -> None:
    view, calls = OPERATIONS["batches"].view, itertools.count()

    def failing(**body: Any) -> object:
        if next(calls) == 1:
            raise LookupError("a secret")
        return view(**body)

    monkeypatch.setitem(OPERATIONS["batches"].__dict__, "view", failing)
    replies = [json.loads(line) for line in stream(client, b"\n".join([LINE] * 3), X_Request_ID="abc")[1]]
    assert [one.get("status") for one in replies] == [None, 500, None]
    assert replies[1]["request_id"] == "abc"
    assert "secret" not in json.dumps(replies)


def test_a_stream_ends_between_two_lines_when_the_worker_stops() -> None:
    app = create_app()
    answers = iter([False, True, True])
    app.extensions["kettlewright_slots"].stopping = lambda: next(answers)
    replies = [json.loads(line) for line in stream(app.test_client(), b"\n".join([LINE] * 5))[1]]
    assert [one.get("status") for one in replies] == [None, 503]
    assert "again" in replies[1]["detail"]


@settings(derandomize=True, database=None, max_examples=200, deadline=None)
@given(st.lists(st.binary(max_size=30).map(lambda line: line.replace(b"\n", b"")), max_size=8), st.data())
def test_lines_are_those_of_the_body_however_it_arrives(lines: list[bytes], data: st.DataObject) -> None:
    body, at = b"\n".join(lines), 0

    def read(size: int) -> bytes:
        nonlocal at
        piece = body[at:at + min(size, data.draw(st.integers(1, 12)))]
        at += len(piece)
        return piece

    limit = 20
    found = list(lines_of(read, limit))
    assert len(found) == sum(1 for line in lines if line.strip()), "one for each line that has any content"
    for one, line in zip(found, (line for line in lines if line.strip()), strict=True):
        assert one == line if len(line) <= limit else len(one) > limit


def test_a_line_without_end_takes_no_memory() -> None:
    left = iter([b"x" * 1024] * 20_000)
    (line,) = lines_of(lambda _: next(left, b""), limit=10_000)
    assert 10_000 < len(line) < 20_000


def test_streams_hold_at_most_half_of_the_slots_until_they_end() -> None:
    slots = Slots(4, 10)
    held = [slots.hold(), slots.hold()]
    with pytest.raises(Problem, match="streams") as refused:
        slots.hold()
    assert refused.value.headers["Retry-After"] == "1"
    assert held[0].run(lambda: 7) == 7
    assert slots.run(lambda: 8) == 8
    for _ in range(2):  # twice is once
        held[0].release()
    again = slots.hold()
    with pytest.raises(Problem, match="streams"):
        slots.hold()
    for one in (held[1], again):
        one.release()
    assert [isinstance(slots.hold(), HeldSlot) for _ in range(2)] == [True, True]


def test_a_calculation_that_is_stopped_keeps_the_slot_of_its_stream_until_it_ends() -> None:
    slots, may_end = Slots(1, 0.1), threading.Event()
    held = slots.hold()
    with pytest.raises(Problem, match="stopped after"):
        held.run(lambda: may_end.wait(20))
    held.release()
    with pytest.raises(Problem):
        slots.run(lambda: 1)
    may_end.set()
    until = time.monotonic() + 10
    while time.monotonic() < until:
        try:
            assert slots.run(lambda: 2) == 2
            break
        except Problem:
            time.sleep(0.02)
    slots.hold().release()


def test_a_stream_that_is_never_read_gives_its_slot_back() -> None:
    app = create_app(Settings(threads=3))
    started: list[str] = []
    for _ in range(3):
        environ = EnvironBuilder("/v1/batches", method="POST", data=LINE, content_type=LINES_TYPE).get_environ()
        app.wsgi_app(environ, lambda status, *_: started.append(status)).close()
    assert started == ["200 OK"] * 3


def test_a_stream_that_was_read_to_its_end_gives_its_slot_back_before_it_is_closed() -> None:
    app = create_app(Settings(threads=3))
    kept = []
    for _ in range(3):
        environ = EnvironBuilder("/v1/batches", method="POST", data=LINE, content_type=LINES_TYPE).get_environ()
        kept.append(app.wsgi_app(environ, lambda *_: None))
        (line,) = kept[-1]
        assert "weigh_list" in json.loads(line)


def test_a_silent_caller_is_cut_off_and_one_who_is_served_is_not() -> None:
    ours, theirs = socket.socketpair()
    with ours, theirs:
        patience = Patience(ours, seconds=0.2)
        patience.begin()
        patience.pause()
        theirs.settimeout(0.5)
        with pytest.raises(TimeoutError):
            theirs.recv(1)  # the service calculates: the connection stays
        patience.begin()
        theirs.settimeout(10)
        assert theirs.recv(1) == b""
        assert ours.recv(1) == b""


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    """One worker with two slots, of which a stream can have one."""
    with running(tmp_path_factory.mktemp("stream"), workers="1", threads="4", max_body_bytes="4096") as found:
        yield found


HEAD = (f"POST /v1/batches HTTP/1.1\r\nHost: localhost\r\nContent-Type: {LINES_TYPE}\r\n"
        "Transfer-Encoding: chunked\r\n\r\n").encode()


def chunk(data: bytes) -> bytes:
    return f"{len(data):x}\r\n".encode() + data + b"\r\n"


def replies_until_end(connection: socket.socket) -> list[dict[str, Any]]:
    """The lines of a chunked reply (read with http.client's own reader of chunks)."""
    from http.client import HTTPResponse
    reply = HTTPResponse(connection, method="POST")
    reply.begin()
    assert reply.status == 200
    assert reply.headers["X-Accel-Buffering"] == "no"
    return [json.loads(line) for line in reply]


def test_over_http_a_long_stream_is_answered_while_it_is_sent(service: Running) -> None:
    """Far more than one body may have, and than the buffers of the connection hold."""
    with socket.create_connection(("127.0.0.1", service.port), timeout=60) as connection:
        connection.sendall(HEAD + chunk(LINE + b"\n" + LINE[:100]) + chunk(LINE[100:] + b"\n" + LINE + b" " * 1024))
        connection.setblocking(True)
        begun = connection.recv(200, socket.MSG_PEEK)  # the replies begin before the last line is whole
        assert begun.startswith(b"HTTP/1.1 200")

        def send() -> None:
            connection.sendall(chunk(b"\n"))
            for _ in range(40):
                connection.sendall(chunk(LINE + b"\n{}\n"))
            connection.sendall(b"0\r\n\r\n")

        sender = threading.Thread(target=send)
        sender.start()
        found = replies_until_end(connection)
        sender.join()
    assert [one.get("status") for one in found] == [None] * 3 + [None, 422] * 40


def test_over_http_a_caller_who_leaves_frees_the_slot_and_probes_are_answered_meanwhile(service: Running) -> None:
    def short() -> int:
        head = HEAD.replace(b"Transfer-Encoding: chunked", f"Content-Length: {len(LINE)}\r\nConnection: close".encode())
        return service.send(head + LINE)[0]

    connection = socket.create_connection(("127.0.0.1", service.port), timeout=60)
    connection.sendall(HEAD + chunk(b"\n".join([LINE] * 2000)))
    connection.recv(10, socket.MSG_PEEK)
    assert service.send(b"GET /healthz HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n")[0] == 200
    assert short() == 503  # the only slot for streams is taken
    connection.close()
    until = time.monotonic() + 20
    while short() == 503:
        assert time.monotonic() < until, "the calculations went on"
        time.sleep(0.05)


def test_over_http_a_body_that_ends_early_ends_with_a_problem(service: Running) -> None:
    of_length = HEAD.replace(b"Transfer-Encoding: chunked", b"Content-Length: 9000")
    first = LINE + b"\n" + b" " * 2048  # the first piece that is read has the first line whole
    for sent in (HEAD + chunk(first + LINE), HEAD + chunk(first) + b"zz\r\n", of_length + first + LINE):
        with socket.create_connection(("127.0.0.1", service.port), timeout=60) as connection:
            connection.sendall(sent)
            connection.shutdown(socket.SHUT_WR)
            found = replies_until_end(connection)
        assert [one.get("status") for one in found] == [None, 400], sent[:200]
    status, _, body = service.send(of_length.replace(b"9000", b"900") + LINE, close=True)
    assert (status, json.loads(body)["status"]) == (400, 400)


def test_over_http_the_log_has_one_line_for_a_stream(service: Running, tmp_path: Path) -> None:
    head = HEAD.replace(b"Transfer-Encoding: chunked", b"Content-Length: %d\r\nX-Request-ID: many-1\r\n"
                        b"Connection: close" % (2 * len(LINE) + 1))
    assert service.send(head + LINE + b"\n" + LINE)[0] == 200
    assert service.wait_for("many-1")["status"] == 200
    assert [line for line in service.lines() if line.get("level") == "ERROR"] == []
