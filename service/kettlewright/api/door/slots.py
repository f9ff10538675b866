"""Slots for heavy work: so many calculations at once in a worker process, each within a limit of seconds.

Where all slots are taken, as many calculations again wait for one: most take some milliseconds, and a burst of them is
answered sooner than its callers could come again.

A heavy calculation runs in a thread of its own. The thread of the request waits for it, and answers 503 when the limit
is reached; the calculation is then stopped, so its figures never leave the service. It is stopped as well when the
caller has hung up. Code of a library that does not return cannot be stopped: its slot stays taken, and after a while
`when_stuck` is called, which replaces the worker process (see `gunicorn_conf.py`).
"""

from __future__ import annotations

import contextlib
import contextvars
import ctypes
import logging
import os
import sys
import threading
import time
from collections.abc import Callable
from typing import Any, TypeVar

from kettlewright.api.door.problems import Problem

__all__ = ["HeldSlot", "Slots", "slots_of_worker"]

T = TypeVar("T")

_log = logging.getLogger("kettlewright")
_LOOK_SECONDS = 0.2  # how often it is looked whether the caller is still there
_STUCK_SECONDS = 5.0  # a calculation that does not stop within this time after a request to stop is stuck
_TURN_SECONDS = 0.25
"""How long a calculation waits for the one before it. [seconds]"""
_NICENESS = 5
_SWITCH_SECONDS = 0.0002
"""After how long another thread may run Python code, while a calculation runs. [seconds]"""
_PLACE_SECONDS = 1.0
"""How long a calculation waits for a slot. [seconds]"""
_RETRY_SECONDS = 1


class _Stopped(BaseException):
    """Raised inside a calculation to end it; not an `Exception`, so that no code on the way catches it."""


def _give_way() -> None:
    """Let other threads of the machine go before this one where a processor is short: on Linux a thread has its own
    priority, and lowering it needs no right."""
    if sys.platform == "linux":
        with contextlib.suppress(OSError):
            here = threading.get_native_id()
            os.setpriority(os.PRIO_PROCESS, here, os.getpriority(os.PRIO_PROCESS, here) + _NICENESS)


class _Switching:
    """Threads of this process take turns 25 times as often while a heavy calculation runs, so that a probe beside it is
    answered at once. Light requests alone keep Python's own interval: to break them off often costs a tenth of their
    CPU time."""

    def __init__(self) -> None:
        self._usual = sys.getswitchinterval()
        self._lock = threading.Lock()
        self._running: set[_Work] = set()

    def begin(self, work: _Work) -> None:
        """A calculation begins (`work`)."""
        with self._lock:
            self._running.add(work)
            sys.setswitchinterval(_SWITCH_SECONDS)

    def end(self, work: _Work) -> None:
        """It has ended (`work`)."""
        with self._lock:
            self._running.discard(work)
            if not self._running:
                sys.setswitchinterval(self._usual)


_switching = _Switching()  # the interval is one for the whole process


class _Turns:
    """Calculations of a process, one after another where that takes none of them long.

    Several at once are no faster, since one thread at a time runs Python code; but a light request beside them has to
    wait for each of them again and again. Behind a long calculation the next begins all the same.
    """

    def __init__(self) -> None:
        self._changed = threading.Condition()
        self._one: _Work | None = None

    def take(self, work: _Work) -> None:
        """Wait until no other calculation runs, but not for long (`work`: whose turn it is then)."""
        with self._changed:
            self._changed.wait_for(lambda: self._one is None or self._one.done.is_set(), _TURN_SECONDS)
            # by `done`, and not by a count: a calculation may be stopped anywhere, also here
            self._one = work

    def ended(self) -> None:
        """Wake the next."""
        with self._changed:
            self._changed.notify()


class _Work:
    """One calculation in its thread."""

    def __init__(self, call: Callable[[], object], release: Callable[[], None],
                 spend: Callable[[float], None], turns: _Turns) -> None:
        self.call, self.release, self.spend, self.turns = call, release, spend, turns
        self._clock: int | None = None  # of the thread's CPU time
        self._settled = 0.0
        self._settling = threading.Lock()
        self.done = threading.Event()
        self.result: object = None
        self.error: BaseException | None = None
        # a daemon: a calculation that cannot be stopped must not keep the process from ending
        self.thread = threading.Thread(target=contextvars.copy_context().run, args=(self._run,), daemon=True,
                                       name="heavy")
        self.thread.start()

    def _run(self) -> None:
        if hasattr(time, "pthread_getcpuclockid"):  # not on macOS
            self._clock = time.pthread_getcpuclockid(threading.get_ident())
        try:
            _give_way()
            _switching.begin(self)
            self.turns.take(self)
            self.result = self.call()
        except BaseException as error:
            self.error = error
        finally:
            try:
                self._settle(time.thread_time())
            finally:
                _switching.end(self)
                self.release()
                self.done.set()
                self.turns.ended()

    def settle(self) -> None:
        """Report the CPU time that the thread has used so far; it goes on, and reports the rest when it ends."""
        if self._clock is not None:
            with contextlib.suppress(OSError):  # it has ended just now
                self._settle(time.clock_gettime(self._clock))

    def _settle(self, used: float) -> None:
        with self._settling:
            more, self._settled = max(used - self._settled, 0.0), max(used, self._settled)
        self.spend(more)

    def stop(self) -> None:
        """Raise `_Stopped` in the thread; it arrives when the thread next runs Python code."""
        ident = self.thread.ident
        if ident is not None and not self.done.is_set():
            ctypes.pythonapi.PyThreadState_SetAsyncExc(ctypes.c_ulong(ident), ctypes.py_object(_Stopped))


def _full(detail: str) -> Problem:
    return Problem(503, detail, headers={"Retry-After": str(_RETRY_SECONDS)})


class Slots:
    """The slots of one worker process.

    `when_stuck` is called when a calculation cannot be stopped; `stopping` says whether the worker is about to end, so
    that a stream ends between two calculations.

    Parameters
    ----------
    count : int
        Calculations at once. [number]
    seconds : float
        The most that one may take. [seconds]
    waiting : int
        Calculations that wait for a slot, a second at most. [number]
    """

    def __init__(self, count: int, seconds: float, *, waiting: int = 0) -> None:
        self.count, self.seconds, self.waiting = count, seconds, waiting
        self.when_stuck: Callable[[], None] = lambda: None
        self.stopping: Callable[[], bool] = lambda: False
        self._turns = _Turns()
        self._free = threading.BoundedSemaphore(count)
        self._places = threading.Semaphore(waiting)
        self._streams = threading.BoundedSemaphore((count + 1) // 2)

    def run(self, call: Callable[[], T], *, gone: Callable[[], bool] = lambda: False,
            spend: Callable[[float], None] = lambda seconds: None) -> T:
        """The result of a calculation, or a problem that says to come again.

        Parameters
        ----------
        call : callable
            The calculation. [function]
        gone : callable
            Whether the caller has hung up. [function]
        spend : callable
            Gets the CPU seconds of the calculation, perhaps in several parts; what it still uses after it was stopped
            comes when it ends. [function]

        Returns
        -------
        T : whatever `call` returns; what it raises is raised here.

        Raises
        ------
        Problem : 503 where no slot is free, the limit was reached, or the caller has gone.
        """
        self._take()
        found: T = self.result_of(self.begin(call, self._free.release, spend), gone)
        return found

    def hold(self) -> HeldSlot:
        """A slot for many calculations, one after another; release it at the end.

        At most half of the slots, rounded up, are held in this way, so that a long stream leaves room for single
        calculations.

        Raises
        ------
        Problem : 503 where no slot is free.
        """
        if not self._streams.acquire(blocking=False):
            raise _full("All slots for streams are taken. Send the same request again in a second.")
        try:
            self._take()
        except Problem:
            self._streams.release()
            raise
        return HeldSlot(self)

    def _take(self) -> None:
        if not (self._free.acquire(blocking=False) or self._freed_in_time()):
            raise _full("All slots for heavy calculations are taken. Send the same request again in a second.")

    def _freed_in_time(self) -> bool:
        """Whether this thread got a slot after waiting for one."""
        if not self._places.acquire(blocking=False):
            return False
        try:
            return self._free.acquire(timeout=_PLACE_SECONDS)
        finally:
            self._places.release()

    def give_back(self) -> None:
        """Free a slot that was held."""
        self._free.release()
        self._streams.release()

    def begin(self, call: Callable[[], object], release: Callable[[], None], spend: Callable[[float], None]) -> _Work:
        """Start a calculation in a slot that was taken (`call`; `release`: called at its end; `spend`: as of `run`)."""
        try:
            return _Work(call, release, spend, self._turns)
        except RuntimeError:  # no more threads may be started
            release()
            raise _full("No thread is free for this calculation. Send the same request again in a second.") from None

    def result_of(self, work: _Work, gone: Callable[[], bool]) -> Any:
        """The result of a calculation that was started (`work`, `gone`: whether the caller has hung up)."""
        deadline = time.monotonic() + self.seconds
        while not work.done.wait(min(_LOOK_SECONDS, max(deadline - time.monotonic(), 0.0))):
            late = time.monotonic() >= deadline
            if late or gone():
                self._stop(work)
                work.settle()
                raise Problem(503, f"The calculation was stopped after {self.seconds:g} seconds. Ask for less at a "
                                   "time: fewer pieces, portions, batches or packs." if late else
                              "The client closed the connection, so the calculation was stopped.")
        if work.error is not None:
            try:
                raise work.error
            finally:
                # its traceback leads back to `work`: as a cycle, it would keep the whole body until the next collection
                work.error = None
        return work.result

    def _stop(self, work: _Work) -> None:
        work.stop()

        def look_again() -> None:
            if not work.done.is_set():
                _log.error("a calculation cannot be stopped; the worker is replaced")
                self.when_stuck()

        timer = threading.Timer(_STUCK_SECONDS, look_again)
        timer.daemon = True
        timer.start()


def slots_of_worker(threads: int, seconds: float) -> Slots:
    """Slots, and as many places to wait: two threads stay free for probes and light requests.

    Parameters
    ----------
    threads : int
        Of the worker. [number]
    seconds : float
        The most that a calculation may take. [seconds]

    Returns
    -------
    Slots : at least one.
    """
    room = max(threads - 2, 1)
    return Slots((room + 1) // 2, seconds, waiting=room // 2)


class HeldSlot:
    """A slot for many calculations, one after another (`Slots.hold`).

    Parameters
    ----------
    slots : Slots
        Where the slot was taken. [slots]
    """

    def __init__(self, slots: Slots) -> None:
        self._slots = slots
        self._lock = threading.Lock()
        self._last: _Work | None = None
        self._busy = self._ended = False

    def run(self, call: Callable[[], T], *, gone: Callable[[], bool] = lambda: False,
            spend: Callable[[float], None] = lambda seconds: None) -> T:
        """The result of one calculation, as of `Slots.run`.

        Parameters
        ----------
        call, gone, spend : callable
            As there. [function]

        Returns
        -------
        T : whatever `call` returns; what it raises is raised here.

        Raises
        ------
        Problem : 503 where the limit was reached or the caller has gone, and while a stopped calculation still runs.
        """
        if self._last is not None and not self._last.done.wait(_STUCK_SECONDS):
            raise Problem(503, "An earlier calculation of this stream cannot be stopped.")
        self._busy = True
        self._last = self._slots.begin(call, self._work_ended, spend)
        found: T = self._slots.result_of(self._last, gone)
        return found

    def release(self) -> None:
        """Give the slot back: now, or as soon as a calculation that was stopped has ended."""
        with self._lock:
            if not self._ended and not self._busy:
                self._slots.give_back()
            self._ended = True

    def _work_ended(self) -> None:
        with self._lock:
            if self._ended:
                self._slots.give_back()
            self._busy = False
