"""Run work in another thread with a time limit, and abandon it when it takes longer."""

from __future__ import annotations

import contextvars
import queue
import threading
from collections.abc import Callable
from typing import TypeVar

__all__ = ["Bounded", "Overdue"]

Result = TypeVar("Result")
Job = Callable[[], None]

_IDLE_S = 5.0


class Overdue(Exception):
    """The time is up. The work continues, but nobody waits for it."""


class Bounded:
    """Runs work in other threads and reuses them: a new thread for each would make a request three times as long.

    An idle thread ends after a while, so there is nothing to close. None of them keeps a program from ending.
    """

    def __init__(self) -> None:
        self._idle: list[_Worker] = []
        self._lock = threading.Lock()

    def call(self, work: Callable[[], Result], seconds: float) -> Result:
        """Run some work and return its result.

        Parameters
        ----------
        work : callable
            It runs with the context variables of the caller. [function]
        seconds : float
            How long to wait. [s]

        Returns
        -------
        what `work` returns

        Raises
        ------
        Overdue : it took longer.
        whatever `work` raises
        """
        done: queue.SimpleQueue[tuple[Result | None, BaseException | None]] = queue.SimpleQueue()
        context = contextvars.copy_context()

        def job() -> None:
            try:
                done.put((context.run(work), None))
            except BaseException as error:
                done.put((None, error))

        self._worker().jobs.put(job)
        try:
            found, error = done.get(timeout=seconds)
        except queue.Empty:
            raise Overdue from None
        if error is not None:
            raise error
        return found  # type: ignore[return-value]  # without an error there is a result

    def _worker(self) -> _Worker:
        with self._lock:
            while self._idle:
                worker = self._idle.pop()
                if worker.thread.is_alive():  # it is not in the child of a fork
                    return worker
        return _Worker(self._idle, self._lock)


class _Worker:
    """A thread that runs one job at a time."""

    def __init__(self, idle: list[_Worker], lock: threading.Lock) -> None:
        self.jobs: queue.SimpleQueue[Job] = queue.SimpleQueue()
        self.thread = threading.Thread(target=self._work, args=(idle, lock), daemon=True, name="kettlewright-request")
        self.thread.start()

    def _work(self, idle: list[_Worker], lock: threading.Lock) -> None:
        while True:
            try:
                job = self.jobs.get(timeout=_IDLE_S)
            except queue.Empty:
                with lock:
                    if self in idle:
                        idle.remove(self)
                        return
                job = self.jobs.get()  # a caller has just taken this worker
            job()
            del job  # otherwise it keeps its reply while the thread is idle
            with lock:
                idle.append(self)
