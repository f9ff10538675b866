"""What the access log says of each request: its fields, CPU time of every thread, sizes, the W3C trace header."""

from __future__ import annotations

import io
import threading
import time
from collections.abc import Iterator
from typing import Any

import pytest
from api.bodies import LYE
from flask import request_finished
from flask.testing import FlaskClient
from kettlewright.api import endpoints
from kettlewright.api.document.openapi import examples_of
from kettlewright.api.door.access_record import RECORD, AccessRecord, current_record, measured, valid_traceparent
from kettlewright.api.door.operations import OPERATIONS
from kettlewright.api.door.problems import Problem
from kettlewright.api.door.slots import Slots

TRACE = "00-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01"  # the example of W3C Trace Context, 3.2.3


def record_of(client: FlaskClient, method: str, path: str, **more: Any) -> AccessRecord:
    seen: list[AccessRecord] = []

    def keep(_sender: Any, response: Any) -> None:
        seen.append(current_record())

    with request_finished.connected_to(keep, client.application):
        client.open(path, method=method, **more)
    [found] = seen
    return found


def burn(seconds: float) -> None:
    until = time.thread_time() + seconds
    while time.thread_time() < until:
        sum(range(100))


@pytest.mark.parametrize(("given", "kept"), [
    (TRACE, TRACE), (TRACE[:-2] + "00", TRACE[:-2] + "00"), ("cc" + TRACE[2:], "cc" + TRACE[2:]),
    ("cc" + TRACE[2:] + "-what-the-future-holds", "cc" + TRACE[2:])])
def test_a_valid_traceparent_is_kept_without_what_a_later_version_adds(given: str, kept: str) -> None:
    assert valid_traceparent(given) == kept


@pytest.mark.parametrize("given", [
    "", "x", TRACE.upper(), TRACE[:-1], TRACE + "0", TRACE + "-more", "ff" + TRACE[2:], TRACE.replace("-", "_"),
    f"00-{'0' * 32}-b7ad6b7169203331-01", f"00-0af7651916cd43dd8448eb211c80319c-{'0' * 16}-01", TRACE + "\n",
    f" {TRACE}", "cc" + TRACE[2:] + "x", "olive 700 g"])
def test_an_invalid_traceparent_is_dropped(client: FlaskClient, given: str) -> None:
    # W3C Trace Context, 3.2.2: what does not match is ignored
    assert valid_traceparent(given) is None
    if given.isprintable():
        reply = client.get("/healthz", headers={"traceparent": given})
        assert "traceparent" not in reply.headers


def test_a_valid_traceparent_is_in_the_record_and_in_the_reply(client: FlaskClient) -> None:
    for path in ("/healthz", "/v1/lye?fat=wrong", "/nothing"):
        reply = client.get(path, headers={"traceparent": TRACE})
        assert reply.headers["traceparent"] == TRACE
        assert record_of(client, "GET", path, headers={"traceparent": TRACE}).traceparent == TRACE


@pytest.mark.parametrize(("method", "path", "operation"), [
    ("GET", "/healthz", "healthz"), ("GET", "/v1/lye?fat=wrong", "lye_by_link"), ("POST", "/v1/lye", "lye"),
    ("HEAD", "/v1/fats", "fats"), ("GET", "/nothing", None), ("DELETE", "/v1/lye", None)])
def test_the_operation_is_named_where_there_is_one(client: FlaskClient, method: str, path: str,
                                                   operation: str | None) -> None:
    assert record_of(client, method, path).operation == operation
    assert operation is None or operation in OPERATIONS


def test_every_operation_that_takes_a_body_counts_its_bytes_and_its_cpu_time(client: FlaskClient) -> None:
    assert endpoints
    for found in OPERATIONS.values():
        if found.method == "POST":
            body = examples_of(found.name)[0]["body"]
            before = time.process_time()
            record = record_of(client, "POST", found.path, json=body)
            whole = time.process_time() - before
            assert record.request_bytes == len(client.application.json.dumps(body).encode())
            # never more than the process used, and most of it: the rest is the test client's own
            assert .2 * whole < record.cpu_seconds <= whole, found.name


def test_bytes_of_a_body_without_a_length_are_those_that_were_read(client: FlaskClient) -> None:
    sent = client.application.json.dumps(LYE).encode()
    record = record_of(client, "POST", "/v1/lye", input_stream=io.BytesIO(sent), content_type="application/json",
                       environ_overrides={"wsgi.input_terminated": True, "HTTP_TRANSFER_ENCODING": "chunked"})
    assert record.request_bytes == len(sent)
    assert record_of(client, "GET", "/v1/fats").request_bytes == 0
    # refused by its length before it is read: the length that it states
    assert record_of(client, "POST", "/v1/lye", data=b"x" * 300_000, content_type="application/json"
                     ).request_bytes == 300_000


def test_cpu_time_of_the_answering_thread_is_measured_and_waiting_is_not() -> None:
    def work(environ: Any, start_response: Any) -> list[bytes]:
        burn(.05)
        time.sleep(.1)
        return []

    environ: dict[str, Any] = {}
    measured(work)(environ, lambda *_: lambda _: None)
    assert .05 <= environ[RECORD].cpu_seconds < .09


def test_cpu_time_of_a_reply_that_is_made_while_it_is_sent_is_counted() -> None:
    closed = threading.Event()

    def parts() -> Iterator[bytes]:
        try:
            for _ in range(3):
                burn(.02)
                yield b"x"
        finally:
            closed.set()

    environ: dict[str, Any] = {}
    reply = measured(lambda *_: parts())(environ, lambda *_: lambda _: None)
    assert environ[RECORD].cpu_seconds < .02
    assert list(reply) == [b"x"] * 3
    assert .06 <= environ[RECORD].cpu_seconds < .1
    reply = measured(lambda *_: parts())(environ, lambda *_: lambda _: None)
    closed.clear()
    next(iter(reply))
    reply.close()
    assert closed.is_set()


def test_cpu_time_is_counted_where_the_work_fails() -> None:
    def work(environ: Any, start_response: Any) -> list[bytes]:
        burn(.02)
        raise RuntimeError

    environ: dict[str, Any] = {}
    with pytest.raises(RuntimeError):
        measured(work)(environ, lambda *_: lambda _: None)
    assert environ[RECORD].cpu_seconds >= .02


def test_cpu_time_of_a_calculation_in_a_slot_is_counted_once() -> None:
    record, slots = AccessRecord(), Slots(1, 10)
    slots.run(lambda: burn(.05), spend=record.add_cpu)
    assert .05 <= record.cpu_seconds < .1
    with pytest.raises(ZeroDivisionError):
        slots.run(lambda: (burn(.05), 1 / 0), spend=record.add_cpu)
    assert .1 <= record.cpu_seconds < .2


def test_cpu_time_of_a_calculation_that_is_stopped_is_counted_when_it_is_stopped_and_when_it_ends() -> None:
    record, slots, ended = AccessRecord(), Slots(1, .5), threading.Event()  # time enough for a busy machine
    used: list[float] = []

    def endless() -> None:
        try:
            while True:
                sum(range(100))
        except BaseException:
            burn(.05)  # it does not end at once
            used.append(time.thread_time())
            ended.set()
            raise

    with pytest.raises(Problem, match="stopped after"):
        slots.run(endless, spend=record.add_cpu)
    first = record.cpu_seconds
    assert first > .02
    assert ended.wait(10)
    for _ in range(200):
        if record.cpu_seconds >= used[0]:
            break
        time.sleep(.01)
    assert first + .02 < record.cpu_seconds < used[0] + .05


def test_cpu_time_is_charged_as_it_is_counted() -> None:
    charged: list[float] = []
    record = AccessRecord()
    record.add_cpu(1.0)
    record.charge = charged.append
    record.add_cpu(.25)
    record.add_cpu(.5)
    assert (charged, record.cpu_seconds) == ([.25, .5], 1.75)
