"""Many plans at a time: order, bounds, faults, the bar."""

from __future__ import annotations

import asyncio
import io
import json
import re
import sys
import threading
import time
from collections.abc import Mapping
from typing import Any

import pytest
from api.bodies import BATCH
from client.in_process import in_process, over
from client.misbehaving import reply, says, server, stalls
from kettlewright.app import create_app
from kettlewright_client import Batch, Client, ClientError, InvalidInput, TimedOut, Unreachable
from kettlewright_client.testing import AsyncStubClient, StubClient, recorded

PLAN = recorded()["batches"].replies["json"]


def client_of(answer: Any) -> Client:
    return StubClient({"batches": answer}, check=False)


def named(body: Any) -> Mapping[str, Any]:
    """A plan that tells which body it belongs to; later ones come sooner."""
    time.sleep(0.001 * (20 - body["number"]))
    return {**PLAN, "arrangement": str(body["number"])}


@pytest.mark.parametrize("workers", [1, 4, 32])
def test_plans_come_in_the_order_of_the_requests(workers: int) -> None:
    found = client_of(named).plan_many(({"number": number} for number in range(20)), workers=workers)
    assert [plan.arrangement for plan in found if isinstance(plan, Batch)] == [str(number) for number in range(20)]


def test_a_bad_body_spoils_nothing_but_itself() -> None:
    client, _ = over(in_process(create_app().test_client()))
    no_mould = {"recipe": BATCH["recipe"]}
    found = list(client.plan_many([BATCH, no_mould, BATCH, {**BATCH, "mould": float("nan")}, [], "soap", BATCH]))
    kinds = [type(each) for each in found]
    assert kinds == [Batch, InvalidInput, Batch, ClientError, InvalidInput, InvalidInput, Batch]
    assert isinstance(found[1], InvalidInput)
    assert [fault.pointer for fault in found[1].errors] == ["/mould"]
    first, last = found[0], found[-1]
    assert isinstance(first, Batch)
    assert isinstance(last, Batch)
    assert first.raw == last.raw == client.batches(**BATCH).raw


@pytest.mark.parametrize("workers", [1, 3])
def test_no_more_run_at_a_time_than_allowed(workers: int) -> None:
    lock, now, most = threading.Lock(), [0], [0]

    def count(body: Any) -> Mapping[str, Any]:
        with lock:
            now[0] += 1
            most[0] = max(most[0], now[0])
        time.sleep(0.02)
        with lock:
            now[0] -= 1
        return PLAN

    list(client_of(count).plan_many([{}] * 12, workers=workers))
    assert most == [workers]


def test_each_error_is_at_its_place() -> None:
    def answer(body: Any) -> Any:
        return {"a": PLAN, "b": TimedOut("late"), "c": Unreachable("gone")}[body["which"]]
    found = client_of(answer).plan_many([{"which": which} for which in "abcab"])
    assert [type(each) for each in found] == [Batch, TimedOut, Unreachable, Batch, TimedOut]


def test_no_bodies_give_no_plans() -> None:
    reported: list[tuple[int, int | None]] = []
    assert list(StubClient().plan_many([], progress=lambda done, of: reported.append((done, of)))) == []
    assert reported == [(0, 0)]


@pytest.mark.parametrize("workers", [0, -1, 33, 2.5, True, None])
def test_workers_have_bounds(workers: Any) -> None:
    with pytest.raises(ClientError, match="from 1 to 32"):
        StubClient().plan_many([BATCH], workers=workers)


def test_progress_is_reported_one_by_one_in_the_thread_of_the_caller() -> None:
    reported: list[tuple[int, int | None]] = []
    threads = set()

    def tell(done: int, of: int | None) -> None:
        reported.append((done, of))
        threads.add(threading.current_thread())
    list(client_of(PLAN).plan_many([{}] * 5, progress=tell))
    assert reported == [(number, 5) for number in range(6)]
    assert threads == {threading.current_thread()}


def test_a_caller_who_stops_is_not_kept() -> None:
    bodies_taken: list[object] = []

    def slow(body: Any) -> Mapping[str, Any]:
        bodies_taken.append(body)
        time.sleep(0.02)
        return PLAN

    def stop(done: int, of: int | None) -> None:
        if done == 2:
            raise KeyboardInterrupt
    with pytest.raises(KeyboardInterrupt):
        list(client_of(slow).plan_many([{}] * 100, workers=2, progress=stop))
    assert len(bodies_taken) < 15  # what had not begun does not begin


class Screen(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_the_bar_is_on_stderr_if_that_is_a_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    for screen, shown in ((Screen(), True), (io.StringIO(), False)):
        monkeypatch.setattr(sys, "stderr", screen)
        list(client_of(PLAN).plan_many([{}] * 3, progress=True))
        lines = screen.getvalue().split("\r")[1:]
        assert [re.sub(r"\[.*\]", "", line) for line in lines] == \
            ([" 0 of 3 batches", " 1 of 3 batches", " 2 of 3 batches", " 3 of 3 batches\n"] if shown else [])
        assert [line.count("#") for line in lines] == ([0, 10, 20, 30] if shown else [])
    for quiet in (None, False):
        monkeypatch.setattr(sys, "stderr", screen := Screen())
        list(client_of(PLAN).plan_many([{}], progress=quiet))
        assert screen.getvalue() == ""


def test_many_plans_over_a_wire_that_fails_now_and_then(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_PROXY", "*")
    fine = says(reply(json.dumps(PLAN).encode()))
    with server(fine, says(b""), fine, says(b"HTTP/1.1 20"), fine) as shaky, Client(shaky.url) as client:
        found = list(client.plan_many([{}] * 8, workers=4))
    assert [type(each) for each in found] == [Batch] * 8
    assert len(shaky.requests) == 10


def test_a_service_that_never_answers_does_not_keep_many_for_ever(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_PROXY", "*")
    with server(stalls()) as silent, Client(silent.url, timeout=(1, 0.2)) as client:
        began = time.monotonic()
        found = list(client.plan_many([{}] * 4, workers=4))
        assert time.monotonic() - began < 2
    assert [type(each) for each in found] == [TimedOut] * 4


def test_a_generator_is_not_read_far_ahead_and_plans_come_while_it_runs() -> None:
    read: list[int] = []

    def bodies() -> Any:
        for number in range(1_000_000):
            read.append(number)
            yield {"number": number % 20}
    plans = client_of(named).plan_many(bodies(), workers=3)
    first = next(plans)
    assert isinstance(first, Batch)
    assert first.arrangement == "0"
    for number in range(1, 30):
        assert len(read) <= number + 12  # four times as many as the workers
        found = next(plans)
        assert isinstance(found, Batch)
        assert found.arrangement == str(number % 20)
    plans.close()  # a generator: nothing goes on behind a caller who stops
    ended = len(read)
    time.sleep(0.05)
    assert len(read) == ended


def test_one_worker_needs_no_thread() -> None:
    threads: set[int] = set()

    def answer(body: Any) -> Mapping[str, Any]:
        threads.add(threading.active_count())
        return PLAN
    before = threading.active_count()
    assert len(list(client_of(answer).plan_many([{}] * 3, workers=1))) == 3
    assert max(threads) <= before + 1  # the one that waits for the reply


def test_the_asynchronous_client_plans_many_in_order_and_not_far_ahead() -> None:
    read: list[int] = []

    def bodies() -> Any:
        for number in range(1000):
            read.append(number)
            yield {"number": number % 20, "bad": number == 3}

    def answer(body: Any) -> Any:
        return TimedOut("late") if body["bad"] else {**PLAN, "arrangement": str(body["number"])}

    async def run() -> list[str]:
        client, found, reported = AsyncStubClient({"batches": answer}, check=False), [], []
        async for plan in client.plan_many(bodies(), workers=2, progress=lambda done, of: reported.append((done, of))):
            found.append(plan.arrangement if isinstance(plan, Batch) else type(plan).__name__)
            if len(found) == 30:
                break
        assert reported[:2] == [(0, None), (1, None)]
        return found

    assert asyncio.run(run()) == [str(number % 20) if number != 3 else "TimedOut" for number in range(30)]
    assert len(read) <= 30 + 8
    with pytest.raises(ClientError, match="from 1 to 32"):
        asyncio.run(_first_of_none())


async def _first_of_none() -> None:
    async for _ in AsyncStubClient().plan_many([], workers=0):
        pass
