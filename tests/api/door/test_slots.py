"""Heavy calculations: so many at once, none longer than the limit, and no figures of one that was stopped."""

from __future__ import annotations

import json
import os
import socket
import sys
import threading
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from api.bodies import LYE
from api.gunicorn import Running, running
from kettlewright.api import endpoints
from kettlewright.api.door import slots as module
from kettlewright.api.door.operations import OPERATIONS
from kettlewright.api.door.problems import Problem
from kettlewright.api.door.slots import Slots, slots_of_worker

PURCHASES = {"needs": [{"name": "olive", "mass": 700}], "packs": [{"key": "olive", "price": {
    "amount": "6.40", "currency": "EUR", "per_mass": 1000}}]}


def wait_until(condition: threading.Event) -> None:
    assert condition.wait(10)


def test_what_a_calculation_returns_or_raises_comes_through() -> None:
    slots = Slots(1, 10)
    assert slots.run(lambda: 42) == 42
    with pytest.raises(ZeroDivisionError):
        slots.run(lambda: 1 / 0)
    assert slots.run(lambda: 43) == 43  # the slot is free again after either


def test_threads_take_turns_more_often_until_the_last_calculation_has_ended() -> None:
    usual, may_end, began = sys.getswitchinterval(), threading.Event(), threading.Event()

    def longer() -> None:
        began.set()
        wait_until(may_end)

    slots, others = Slots(1, 10), Slots(1, 10)  # of two applications in one process
    with ThreadPoolExecutor(1) as callers:
        waiting = callers.submit(slots.run, longer)
        wait_until(began)
        assert others.run(sys.getswitchinterval) == pytest.approx(0.0002)
        assert sys.getswitchinterval() == pytest.approx(0.0002)
        may_end.set()
        waiting.result()
    assert sys.getswitchinterval() == usual


@pytest.mark.parametrize(("threads", "count", "waiting"), [
    (1, 1, 0), (2, 1, 0), (3, 1, 0), (4, 1, 1), (5, 2, 1), (8, 3, 3), (16, 7, 7), (64, 31, 31)])
def test_two_threads_stay_free_where_there_are_three(threads: int, count: int, waiting: int) -> None:
    slots = slots_of_worker(threads, 2.5)
    assert (slots.count, slots.waiting, slots.seconds) == (count, waiting, 2.5)


def test_no_more_than_the_slots_at_once_and_the_next_learns_when_to_come_again() -> None:
    slots, began, may_end = Slots(2, 10), [threading.Event(), threading.Event()], threading.Event()

    def work(number: int) -> int:
        began[number].set()
        wait_until(may_end)
        return number

    with ThreadPoolExecutor(2) as callers:
        waiting = [callers.submit(slots.run, lambda number=number: work(number)) for number in range(2)]
        for one in began:
            wait_until(one)
        with pytest.raises(Problem, match="Send the same request again") as refused:
            slots.run(lambda: 3)
        may_end.set()
        assert [one.result() for one in waiting] == [0, 1]
    assert refused.value.status == 503
    assert refused.value.headers["Retry-After"] == "1"
    assert slots.run(lambda: 3) == 3


def test_a_calculation_waits_for_a_slot_and_one_more_does_not() -> None:
    slots, began, may_end = Slots(1, 10, waiting=1), threading.Event(), threading.Event()

    def longer() -> int:
        began.set()
        wait_until(may_end)
        return 1

    with ThreadPoolExecutor(2) as callers:
        first = callers.submit(slots.run, longer)
        wait_until(began)
        second = callers.submit(slots.run, lambda: 2)
        while slots._places._value:  # until it waits
            time.sleep(0.001)
        asked = time.monotonic()
        with pytest.raises(Problem, match="slots for heavy calculations are taken"):
            slots.run(lambda: 3)
        assert time.monotonic() - asked < 0.5
        may_end.set()
        assert (first.result(), second.result()) == (1, 2)
    assert slots.run(lambda: 4) == 4


def test_who_waits_too_long_for_a_slot_learns_when_to_come_again(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "_PLACE_SECONDS", 0.05)
    slots, began, may_end = Slots(1, 10, waiting=1), threading.Event(), threading.Event()

    def longer() -> None:
        began.set()
        wait_until(may_end)

    with ThreadPoolExecutor(1) as callers:
        first = callers.submit(slots.run, longer)
        wait_until(began)
        for _ in range(3):  # the place to wait is free again each time
            asked = time.monotonic()
            with pytest.raises(Problem, match="Send the same request again") as refused:
                slots.run(lambda: 3)
            assert time.monotonic() - asked >= 0.05
            assert refused.value.headers["Retry-After"] == "1"
        may_end.set()
        first.result()
    assert slots.run(lambda: 4) == 4


def test_short_calculations_take_turns() -> None:
    slots, running, most = Slots(4, 10), [0], [0]

    def work() -> None:
        running[0] += 1
        most[0] = max(most[0], running[0])
        time.sleep(0.01)
        running[0] -= 1

    with ThreadPoolExecutor(4) as callers:
        for one in [callers.submit(slots.run, work) for _ in range(4)]:
            one.result()
    assert most[0] == 1


@pytest.mark.skipif(sys.platform != "linux", reason="elsewhere a thread has the priority of its process")
def test_a_calculation_gives_way_and_the_process_does_not() -> None:
    mine = os.getpriority(os.PRIO_PROCESS, threading.get_native_id())
    assert Slots(1, 10).run(lambda: os.getpriority(os.PRIO_PROCESS, threading.get_native_id())) == min(mine + 5, 19)
    assert os.getpriority(os.PRIO_PROCESS, threading.get_native_id()) == mine


@pytest.mark.parametrize("stopped", [False, True])
def test_behind_a_long_calculation_the_next_begins_all_the_same(stopped: bool) -> None:
    slots, began, may_end, gone = Slots(2, 10), threading.Event(), threading.Event(), threading.Event()

    def long() -> None:
        began.set()
        while not may_end.wait(0.01):
            pass

    with ThreadPoolExecutor(1) as callers:
        first = callers.submit(slots.run, long, gone=gone.is_set)
        wait_until(began)
        if stopped:
            gone.set()
            assert first.exception() is not None
        assert slots.run(lambda: 42) == 42  # would never come back if it waited for the first
        may_end.set()
        if not stopped:
            first.result()
        for turn in range(3):
            assert slots.run(lambda turn=turn: turn) == turn


def test_a_calculation_beyond_the_limit_is_stopped_and_frees_its_slot() -> None:
    slots, ended = Slots(1, 0.3), threading.Event()

    def endless() -> None:
        try:
            while True:
                sum(range(100))
        finally:
            ended.set()

    with pytest.raises(Problem, match=r"stopped after 0\.3 seconds\. Ask for less") as stopped:
        slots.run(endless)
    assert stopped.value.status == 503
    assert "Retry-After" not in stopped.value.headers  # the same request would take as long again
    wait_until(ended)
    for _ in range(100):
        try:
            assert slots.run(lambda: 1) == 1
            return
        except Problem:
            time.sleep(0.02)
    pytest.fail("the slot was not freed")


def test_the_work_of_a_caller_who_has_gone_is_stopped() -> None:
    slots, ended = Slots(1, 60), threading.Event()

    def endless() -> None:
        try:
            while True:
                sum(range(100))
        finally:
            ended.set()

    with pytest.raises(Problem, match="closed the connection"):
        slots.run(endless, gone=lambda: True)
    wait_until(ended)


def test_a_calculation_that_cannot_be_stopped_calls_for_another_worker(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "_STUCK_SECONDS", 0.2)
    slots, called, may_end = Slots(1, 0.1), threading.Event(), threading.Event()
    slots.when_stuck = called.set
    with pytest.raises(Problem, match="stopped after"):
        slots.run(lambda: may_end.wait(20))  # waits inside one call, where nothing can be raised
    wait_until(called)
    with pytest.raises(Problem, match="slots for heavy"):
        slots.run(lambda: 1)  # its slot stays taken, so that stuck work cannot pile up
    may_end.set()


def test_every_operation_that_solves_or_cuts_takes_a_slot_and_documents_the_answer() -> None:
    assert endpoints  # importing them registered the operations
    heavy = {found.path for found in OPERATIONS.values() if found.heavy}
    assert heavy == {"/v1/batches", "/v1/batches/actuals", "/v1/blends", "/v1/costs", "/v1/cuts", "/v1/fades",
                     "/v1/labels", "/v1/moulds", "/v1/portions", "/v1/purchases", "/v1/rebatches",
                     "/v1/schedules"}
    assert all(503 in found.statuses for found in OPERATIONS.values() if found.heavy)


SLOW_APP = """
import time
from scipy.optimize import milp
from kettlewright.app import create_app
from kettlewright.api.door.operations import OPERATIONS

def slow(needs, **_):
    kind = needs[0].name
    if kind == "loop":
        while True:
            sum(range(1000))
    if kind == "stuck":
        time.sleep(20)      # one call into C that does not return
    if kind == "short":
        time.sleep(0.7)
    raise SystemError("never answered")

def make():
    object.__setattr__(OPERATIONS["purchases"], "view", slow)
    return create_app()
"""


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    folder = tmp_path_factory.mktemp("slow")
    (folder / "slow_app.py").write_text(SLOW_APP, encoding="utf-8")
    # five threads: two slots and a place to wait
    with running(folder, "slow_app:make()", heavy_seconds="2", workers="1", threads="5") as found:
        yield found


def post(path: str, body: object) -> bytes:
    sent = json.dumps(body).encode()
    return (f"POST {path} HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nConnection: close\r\n"
            f"Content-Length: {len(sent)}\r\n\r\n").encode() + sent


def of_kind(kind: str) -> bytes:
    return post("/v1/purchases", {**PURCHASES, "needs": [{"name": kind, "mass": 700}]})


def test_under_gunicorn_light_requests_are_answered_beside_full_slots(service: Running) -> None:
    with ThreadPoolExecutor(3) as callers:
        loops = [callers.submit(service.send, of_kind("loop")) for _ in range(2)]
        time.sleep(0.5)
        begun = time.monotonic()
        third = callers.submit(service.send, of_kind("loop"))  # it waits for a slot
        assert service.send(b"GET /healthz HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n")[0] == 200
        assert service.send(post("/v1/lye", LYE))[0] == 200
        assert not third.done()
        assert time.monotonic() - begun < 1
        status, headers, body = third.result()
        assert (status, headers["retry-after"]) == (503, "1")
        assert json.loads(body)["type"].endswith("not-ready")
        assert time.monotonic() - begun < 1.4  # all of that before the two are stopped
        for one in loops:
            status, _, body = one.result()
            assert status == 503
            assert b"stopped after 2 seconds" in body


def test_under_gunicorn_a_caller_who_hangs_up_frees_the_slot(service: Running) -> None:
    connections = [socket.create_connection(("127.0.0.1", service.port)) for _ in range(2)]
    for connection in connections:
        connection.sendall(of_kind("loop"))
    time.sleep(0.3)
    for connection in connections:
        connection.close()
    time.sleep(0.9)  # well before the limit of 2 seconds
    begun = time.monotonic()
    assert service.send(of_kind("short"))[0] == 500  # it ran: the made calculation ends in an error of its own
    assert time.monotonic() - begun < 1.9


def test_under_gunicorn_a_worker_that_cannot_stop_is_replaced_and_no_other_request_is_lost(service: Running) -> None:
    before = worker_of(service)
    status, _, body = service.send(of_kind("stuck"))
    assert status == 503
    assert b"stopped after 2 seconds" in body
    answers = []
    until = time.monotonic() + 20
    while time.monotonic() < until and worker_of(service) == before:
        answers.append(service.send(post("/v1/lye", LYE))[0])
        time.sleep(0.1)
    assert worker_of(service) != before
    assert set(answers) == {200}
    assert service.send(post("/v1/lye", LYE))[0] == 200


def worker_of(service: Running) -> str:
    pid = service.process.pid
    return Path(f"/proc/{pid}/task/{pid}/children").read_text(encoding="utf-8").split()[0]
