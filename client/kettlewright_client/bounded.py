"""Work that is waited for up to a time, and left behind when it takes longer."""

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
    """The time is up, and the work goes on without anybody who waits for it."""


class Bounded:
    """Runs work in other threads, which are used again, since a new one makes a request three times as long.

    An idle thread ends by itself after a while, so nothing has to be closed; none keeps a program from ending.
    """

    def __init__(self) -> None:
        self._idle: list[_Hand] = []
        self._lock = threading.Lock()

    def call(self, work: Callable[[], Result], seconds: float) -> Result:
        """What some work gives.

        Parameters
        ----------
        work : callable
            Runs with the context variables of the caller. [function]
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

        self._hand().jobs.put(job)
        try:
            found, error = done.get(timeout=seconds)
        except queue.Empty:
            raise Overdue from None
        if error is not None:
            raise error
        return found  # type: ignore[return-value]  # where there is no error there is a result

    def _hand(self) -> _Hand:
        with self._lock:
            while self._idle:
                hand = self._idle.pop()
                if hand.thread.is_alive():  # not so in the child of a fork
                    return hand
        return _Hand(self._idle, self._lock)


class _Hand:
    """A thread and the jobs it is given, one at a time."""

    def __init__(self, idle: list[_Hand], lock: threading.Lock) -> None:
        self.jobs: queue.SimpleQueue[Job] = queue.SimpleQueue()
        self.thread = threading.Thread(target=self._work, args=(idle, lock), daemon=True, name="kettlewright-request")
        self.thread.start()

    def _work(self, idle: list[_Hand], lock: threading.Lock) -> None:
        while True:
            try:
                job = self.jobs.get(timeout=_IDLE_S)
            except queue.Empty:
                with lock:
                    if self in idle:
                        idle.remove(self)
                        return
                job = self.jobs.get()  # taken up just now
            job()
            del job  # or it would keep its reply for as long as this thread idles
            with lock:
                idle.append(self)
