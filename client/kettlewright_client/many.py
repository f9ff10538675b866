"""Plan many batches, several at a time."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Mapping
from concurrent.futures import ThreadPoolExecutor, as_completed
from typing import Any

from kettlewright_client.errors import ClientError
from kettlewright_client.given import whole_number
from kettlewright_client.results import Batch

__all__ = ["plan_all"]

_MOST_WORKERS = 32
_BAR = 30

Progress = Callable[[int, int], None]


def plan_all(plan: Callable[[Mapping[str, Any]], Batch], bodies: Iterable[Mapping[str, Any]], *, workers: int,
             progress: Progress | bool | None) -> tuple[Batch | ClientError, ...]:
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
        Called with the number done and the total; True shows a bar on stderr. [batches]

    Returns
    -------
    tuple of Batch or ClientError, in the order of `bodies`

    Raises
    ------
    ClientError : `workers` is out of range.
    """
    whole_number("workers", workers, 1, _MOST_WORKERS)
    requests = list(bodies)
    report = _bar() if progress is True else progress or _silent
    pool = ThreadPoolExecutor(workers, thread_name_prefix="kettlewright-plan")
    try:
        running = [pool.submit(_one, plan, body) for body in requests]
        report(0, len(requests))
        for done, _ in enumerate(as_completed(running), 1):
            report(done, len(requests))  # in the caller's own thread, one at a time
        return tuple(future.result() for future in running)
    finally:
        pool.shutdown(cancel_futures=True)  # after Ctrl-C no further batch starts


def _one(plan: Callable[[Mapping[str, Any]], Batch], body: Mapping[str, Any]) -> Batch | ClientError:
    try:
        return plan(body)
    except ClientError as error:
        return error


def _silent(done: int, of: int) -> None:
    """Report nothing."""


def _bar() -> Progress:
    stream = sys.stderr
    return _draw if stream is not None and stream.isatty() else _silent


def _draw(done: int, of: int) -> None:
    filled = _BAR * done // of if of else _BAR
    end = "\n" if done == of else ""
    sys.stderr.write(f"\r[{'#' * filled}{'.' * (_BAR - filled)}] {done} of {of} batches{end}")
    sys.stderr.flush()
