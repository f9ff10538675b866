"""Plan many batches, several at a time, in order."""

from __future__ import annotations

import sys
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sized
from concurrent.futures import Future, ThreadPoolExecutor
from itertools import islice
from typing import Any, TypeVar

from kettlewright_client.errors import ClientError
from kettlewright_client.given import whole_number

__all__ = ["AHEAD", "plan_all", "reporter", "workers_of"]

AHEAD = 4
"""For each worker, how many batches may be begun or finished before the oldest is taken. [batches]"""
Given = TypeVar("Given")
Found = TypeVar("Found")
_MOST_WORKERS = 32
_BAR = 30

Progress = Callable[[int, int | None], None]


def workers_of(workers: int) -> int:
    """Check the number of `workers`. Raises `ClientError`. [batches]"""
    return whole_number("workers", workers, 1, _MOST_WORKERS)


def plan_all(plan: Callable[[Given], Found], bodies: Iterable[Given], *, workers: int,
             progress: Progress | bool | None) -> Iterator[Found | ClientError]:
    """Plan many batches with any function that plans one; see `Client.plan_many`.

    Parameters
    ----------
    plan : callable
        Plans one batch. [function]
    bodies : iterable of mapping
        The requests. [units]
    workers : int
        How many run at a time, 1 to 32. [batches]
    progress : callable or bool, optional
        Called with the number done and the total, or True for a bar on stderr. [batches]

    Returns
    -------
    iterator of what `plan` returns or ClientError, in the order of `bodies`

    Raises
    ------
    ClientError : `workers` is out of range.
    """
    workers_of(workers)
    report = reporter(progress, bodies)
    return _one_by_one(plan, bodies, report) if workers == 1 else _in_threads(plan, bodies, workers, report)


def _one_by_one(plan: Callable[[Given], Found], bodies: Iterable[Given],
                report: Reporter) -> Iterator[Found | ClientError]:
    for body in bodies:
        found = _one(plan, body)
        report.one_more()
        yield found


def _in_threads(plan: Callable[[Given], Found], bodies: Iterable[Given], workers: int,
                report: Reporter) -> Iterator[Found | ClientError]:
    left = iter(bodies)
    waiting: deque[Future[Found | ClientError]] = deque()
    pool = ThreadPoolExecutor(workers, thread_name_prefix="kettlewright-plan")
    try:
        while True:
            more = islice(left, workers * AHEAD - len(waiting))
            waiting.extend(pool.submit(_one, plan, body) for body in more)
            if not waiting:
                return
            found = waiting.popleft().result()
            report.one_more()  # in the caller's own thread
            yield found
    finally:
        pool.shutdown(cancel_futures=True)  # after Ctrl-C no further batch starts


def _one(plan: Callable[[Given], Found], body: Given) -> Found | ClientError:
    try:
        return plan(body)
    except ClientError as error:
        return error


class Reporter:
    """Counts what is done, and reports it.

    Parameters
    ----------
    show : callable
        Called with the number done and the total. [function]
    total : int, optional
        None if it is not known. [batches]
    """

    def __init__(self, show: Progress, total: int | None) -> None:
        self._show = show
        self._total = total
        self._done = 0
        show(0, total)

    def one_more(self) -> None:
        """Report one more."""
        self._done += 1
        self._show(self._done, self._total)


def reporter(progress: Progress | bool | None, bodies: Iterable[Any]) -> Reporter:
    """Make a reporter (`progress` as in `Client.plan_many`, `bodies` for their number)."""
    show = _bar() if progress is True else progress or _silent
    return Reporter(show, len(bodies) if isinstance(bodies, Sized) else None)


def _silent(done: int, of: int | None) -> None:
    """Report nothing."""


def _bar() -> Progress:
    stream = sys.stderr
    return _draw if stream is not None and stream.isatty() else _silent


def _draw(done: int, of: int | None) -> None:
    if of is None:
        sys.stderr.write(f"\r{done} batches")
    else:
        filled = _BAR * done // of if of else _BAR
        end = "\n" if done == of else ""
        sys.stderr.write(f"\r[{'#' * filled}{'.' * (_BAR - filled)}] {done} of {of} batches{end}")
    sys.stderr.flush()
