"""Callers of the soak: threads of two processes that call the service, at a fixed rate or without a pause."""

from __future__ import annotations

import itertools
import multiprocessing
import random
import threading
import time
from collections.abc import Collection, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from multiprocessing.queues import Queue
from multiprocessing.synchronize import Event
from typing import Any

from kettlewright.api.document.openapi import examples_of
from kettlewright_client import Client, ClientError

__all__ = ["KINDS", "Call", "Callers", "Kind", "calls_made"]

THREADS = 8  # of each of two processes
_ALL = ("light", "heavy", "sheet")
_BEHIND_S = 2.0  # a caller that is further behind its timetable leaves requests out


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of request.

    Parameters
    ----------
    operation, form : str
        What is called, and the form of the reply. [words]
    weight : int
        Its share of all requests. [%]
    group : str
        light, heavy or sheet. [word]
    """

    operation: str
    form: str
    weight: int
    group: str

    @property
    def name(self) -> str:
        """As the table has it. [text]"""
        return self.operation if self.form == "json" else f"{self.operation}, {self.form}"


KINDS = (
    Kind("lye", "json", 30, "light"), Kind("scaling", "json", 15, "light"), Kind("cure", "json", 15, "light"),
    Kind("fat", "json", 10, "light"),
    Kind("batches", "json", 7, "heavy"), Kind("portions", "json", 3, "heavy"), Kind("cuts", "json", 3, "heavy"),
    Kind("moulds", "json", 2, "heavy"), Kind("labels", "json", 2, "heavy"), Kind("costs", "json", 2, "heavy"),
    Kind("actuals", "json", 2, "heavy"), Kind("purchases", "json", 1, "heavy"), Kind("schedules", "json", 1, "heavy"),
    Kind("fades", "json", 1, "heavy"),
    Kind("batches", "html", 6, "sheet"),
)


@dataclass(frozen=True, slots=True)
class Call:
    """One call that was made.

    Parameters
    ----------
    kind : int
        Its place in `KINDS`. [number]
    begun_s : float
        When, on the clock that all processes share (`time.monotonic`). [s]
    milliseconds : float
        Until its result, with all repeats. [ms]
    lost : str
        What the client raised; empty for a result. [text]
    left_out : int
        Requests left out before it, because the caller was behind. [requests]
    """

    kind: int
    begun_s: float
    milliseconds: float
    lost: str
    left_out: int


class _Timetable:
    """When the next request is due (`rate`: requests a second; None for at once)."""

    def __init__(self, rate: float | None) -> None:
        self._step = 1 / rate if rate else 0.0
        self._due, self._lock = time.monotonic(), threading.Lock()

    def wait(self) -> int:
        """Until the next request is due; how many were left out before it. [requests]"""
        if not self._step:
            return 0
        with self._lock:
            behind = time.monotonic() - self._due
            left_out = int(behind / self._step) if behind > _BEHIND_S else 0
            self._due += self._step * (1 + left_out)
            due = self._due
        time.sleep(max(due - time.monotonic(), 0.0))
        return left_out


def _bodies() -> list[list[dict[str, Any] | None]]:
    return [[one["body"] for one in examples_of(kind.operation)] if kind.operation != "fat" else [None]
            for kind in KINDS]


def _run(port: int, groups: Collection[str], rate: float | None, seed: int, calls: Queue[list[Call]],
         end: Event) -> None:
    """One process of callers (`port`, `groups`: that it calls, `rate`: of this process, `seed`, `calls`: where they go,
    `end`: of all)."""
    timetable, bodies = _Timetable(rate), _bodies()
    weights = list(itertools.accumulate(kind.weight if kind.group in groups else 0 for kind in KINDS))

    def run_thread(number: int) -> None:
        drawn = random.Random(seed * 1000 + number)
        made: list[Call] = []
        with Client(f"http://127.0.0.1:{port}") as client:
            while not end.is_set():
                left_out = timetable.wait()
                kind = drawn.choices(range(len(KINDS)), cum_weights=weights)[0]
                begun, lost = time.monotonic(), ""
                try:
                    _call(client, KINDS[kind], drawn.choice(bodies[kind]))
                except ClientError as error:
                    lost = f"{type(error).__name__}: {error}"[:200]
                made.append(Call(kind, begun, (time.monotonic() - begun) * 1000, lost, left_out))
                if len(made) >= 20 or lost:
                    calls.put(made)
                    made = []
        calls.put(made)

    threads = [threading.Thread(target=run_thread, args=(number,)) for number in range(THREADS)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()


def _call(client: Client, kind: Kind, body: dict[str, Any] | None) -> None:
    if kind.operation == "fat":
        client.fat("olive")
    else:
        client.form(kind.operation, kind.form, body)


class Callers:
    """The callers that run, and the calls that they have made so far (`calls`, filled by a thread)."""

    def __init__(self) -> None:
        self.calls: list[Call] = []
        self._lock = threading.Lock()

    def add(self, more: list[Call]) -> None:
        """Keep calls (`more`)."""
        with self._lock:
            self.calls += more

    def take(self) -> list[Call]:
        """The calls since the last time; they are not kept. [calls]"""
        with self._lock:
            taken, self.calls = self.calls, []
        return taken


@contextmanager
def calls_made(port: int, rate: float | None, *, seed: int = 1) -> Iterator[Callers]:
    """Call the service until the block ends.

    At a rate, light requests are made by a process of their own: what a caller does with a large reply must not count
    as time of the service. Without one both processes make all kinds, so that each kind has its share.

    Parameters
    ----------
    port : int
        Of the service. [port]
    rate : float, optional
        Requests a second of all callers together, evenly spaced; None for as fast as they are answered. [1/s]
    seed : int
        Of the kinds drawn. [number]

    Yields
    ------
    Callers
    """
    context = multiprocessing.get_context("spawn")
    queue: Queue[list[Call]] = context.Queue()
    end = context.Event()
    shares = [(_ALL, None)] * 2 if rate is None else [
        (groups, rate * sum(kind.weight for kind in KINDS if kind.group in groups) / 100)
        for groups in (("light",), ("heavy", "sheet"))]
    processes = [context.Process(target=_run, args=(port, groups, share, seed + number, queue, end), daemon=True)
                 for number, (groups, share) in enumerate(shares)]
    callers, over = Callers(), threading.Event()

    def drain() -> None:
        while not over.is_set() or not queue.empty():
            try:
                callers.add(queue.get(timeout=0.2))
            except Exception:  # queue.Empty, of whichever context
                continue

    thread = threading.Thread(target=drain)
    thread.start()
    for process in processes:
        process.start()
    try:
        yield callers
    finally:
        end.set()
        for process in processes:
            process.join(timeout=90)
        over.set()
        thread.join()
