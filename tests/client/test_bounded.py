"""Work that is waited for up to a time."""

from __future__ import annotations

import contextvars
import os
import threading
import time

import pytest
from kettlewright_client import bounded
from kettlewright_client.bounded import Bounded, Overdue


def hands() -> int:
    return sum(thread.name == "kettlewright-request" for thread in threading.enumerate())


def test_what_it_gives_or_raises_comes_back() -> None:
    assert Bounded().call(lambda: 3, 5) == 3
    assert Bounded().call(lambda: None, 5) is None
    with pytest.raises(ZeroDivisionError):
        Bounded().call(lambda: 1 / 0, 5)


def test_it_is_left_behind_when_the_time_is_up() -> None:
    go, began = threading.Event(), time.monotonic()
    with pytest.raises(Overdue):
        Bounded().call(lambda: go.wait(20), 0.1)
    assert 0.1 <= time.monotonic() - began < 1.5
    go.set()


def test_what_was_left_behind_is_never_taken_for_a_later_result() -> None:
    go, work = threading.Event(), Bounded()
    with pytest.raises(Overdue):
        work.call(lambda: go.wait(20) and "old", 0.05)
    go.set()
    assert [work.call(lambda number=number: number, 5) for number in range(50)] == list(range(50))


def test_threads_are_used_again_and_end_when_idle(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(bounded, "_IDLE_S", 0.2)
    before, work = hands(), Bounded()
    names = {work.call(threading.get_ident, 5) for _ in range(50)}
    assert len(names) <= 2  # a thread may be still about to lie down when the next call comes
    until = time.monotonic() + 3
    while hands() > before and time.monotonic() < until:
        time.sleep(0.02)
    assert hands() <= before
    assert work.call(lambda: 4, 5) == 4


def test_a_thread_that_is_about_to_end_still_does_what_it_is_given(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(bounded, "_IDLE_S", 0.001)
    work = Bounded()
    for number in range(300):
        assert work.call(lambda number=number: number, 5) == number
        time.sleep(0.001 * (number % 3) / 2)


def test_the_context_of_the_caller_is_seen() -> None:
    place = contextvars.ContextVar("place", default="nowhere")
    work = Bounded()
    for name in ("here", "there"):
        place.set(name)
        assert work.call(place.get, 5) == name


def test_the_child_of_a_fork_has_threads_of_its_own() -> None:
    work = Bounded()
    work.call(lambda: 1, 5)
    time.sleep(0.05)
    child = os.fork()
    if not child:
        code = 1
        try:
            code = 0 if work.call(lambda: 2, 5) == 2 else 1
        finally:
            os._exit(code)
    assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 0
