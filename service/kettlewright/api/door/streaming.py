"""Many calculations in one request: a body of NDJSON, one request a line, answered by one reply a line, in order.

A body of at most the size limit of a single request is read whole before anything is calculated. A longer one is
read while replies are written, a piece at a time, so memory does not grow with the number of lines. Such a stream
holds one slot to its end, and ends early when the caller hangs up or is silent for too long, and when the worker stops.
"""

from __future__ import annotations

import contextlib
import socket
import threading
import time
from collections.abc import Callable, Iterable, Iterator

from flask import Response, request, stream_with_context

from kettlewright.api.door.operations import LINES_TYPE
from kettlewright.api.door.problems import Problem, problem_json
from kettlewright.api.door.slots import HeldSlot

__all__ = ["LINES_MAX", "Patience", "accept_lines", "lines_of", "replies_to", "streamed"]

LINES_MAX = 100_000
"""Lines of one request. [lines]"""
_PIECE_BYTES = 1024  # small, so that a line is answered when it arrives, and not when many more have arrived
_SILENT_SECONDS = 30.0  # to send one line, or to read one reply
_LOOK_SECONDS = 5.0

Read = Callable[[int], bytes]


def accept_lines() -> None:
    """Check that the caller takes replies as lines.

    Raises
    ------
    Problem : 406 where the Accept header does not allow them.
    """
    accepted = request.accept_mimetypes
    if accepted.provided and not accepted.best_match([LINES_TYPE]):
        raise Problem(406, f"The response to {LINES_TYPE} is {LINES_TYPE}; the Accept header does not allow it.")


def lines_of(read: Read, limit: int) -> Iterator[bytes]:
    """The lines of a body that have any content, without their ends.

    Parameters
    ----------
    read : callable
        Reads up to so many bytes, none at the end. [function]
    limit : int
        The longest line. [bytes]

    Yields
    ------
    bytes : a line; of one that is too long, more than `limit` bytes of its beginning.
    """
    held: list[bytes] = []
    size = 0
    while piece := read(_PIECE_BYTES):
        *ended, rest = piece.split(b"\n")
        for part in ended:
            line = b"".join((*held, part))
            held, size = [], 0
            if line.strip():
                yield line
        if size <= limit:  # what is beyond is read and forgotten
            held.append(rest)
            size += len(rest)
    line = b"".join(held)
    if line.strip():
        yield line


class Patience:
    """Closes the connection of a caller that neither sends nor reads.

    Parameters
    ----------
    connection : socket, optional
        Of the caller; None where the server does not give it. [socket]
    seconds : float
        How long one line may take to arrive, or one reply to be read. [seconds]
    """

    def __init__(self, connection: socket.socket | None, seconds: float = _SILENT_SECONDS) -> None:
        self._connection = connection
        self._seconds = seconds
        self._waits_since: float | None = None
        self._over = threading.Event()
        if connection is not None:
            threading.Thread(target=self._watch, daemon=True, name="patience").start()

    def begin(self) -> None:
        """The service waits for the caller from now on."""
        self._waits_since = time.monotonic()

    def pause(self) -> None:
        """The service does not wait for the caller now."""
        self._waits_since = None

    def end(self) -> None:
        """Stop watching."""
        self._over.set()

    def _watch(self) -> None:
        while not self._over.wait(min(_LOOK_SECONDS, self._seconds / 4)):
            since = self._waits_since
            if since is not None and time.monotonic() - since > self._seconds and self._connection is not None:
                with contextlib.suppress(OSError):  # closed already
                    self._connection.shutdown(socket.SHUT_RDWR)  # what reads or writes now fails at once
                return


def replies_to(lines: Iterable[bytes], answer: Callable[[bytes], bytes], *, stopping: Callable[[], bool],
               patience: Patience) -> Iterator[bytes]:
    """The reply to each line, as a line.

    Parameters
    ----------
    lines : iterable of bytes
        The requests. [JSON]
    answer : callable
        Makes the reply to one, a problem too. [function]
    stopping : callable
        Whether the worker is about to end. [function]
    patience : Patience
        Of the connection. [patience]

    Yields
    ------
    bytes : one reply; if the stream ends early, the last is a problem that says why.
    """
    count = 0
    patience.begin()
    try:
        for line in lines:
            patience.pause()
            count += 1
            if stopping():
                raise Problem(503, "The service is stopping or restarting. Send this line and those after it again.")
            if count > LINES_MAX:
                raise Problem(413, f"A request has at most {LINES_MAX:,} lines. Send this line and those after it in "
                                   "another request.")
            reply = answer(line)
            patience.begin()
            yield reply + b"\n"
    except Problem as problem:
        yield problem_json(problem) + b"\n"


def streamed(read: Read, answer: Callable[[bytes], bytes], held: HeldSlot, *, limit: int,
             stopping: Callable[[], bool]) -> Response:
    """The response to a body of lines.

    Parameters
    ----------
    read : callable
        Reads the body. [function]
    answer : callable
        Makes the reply to one line. [function]
    held : HeldSlot
        Where it calculates; released at the end. [slot]
    limit : int
        The longest line. [bytes]
    stopping : callable
        Whether the worker is about to end. [function]

    Returns
    -------
    Response
    """
    patience = Patience(request.environ.get("gunicorn.socket"))

    def replies() -> Iterator[bytes]:
        try:
            yield from replies_to(lines_of(read, limit), answer, stopping=stopping, patience=patience)
        finally:  # as soon as the last reply is made
            patience.end()
            held.release()

    made = Response(stream_with_context(replies()), mimetype=LINES_TYPE)
    made.call_on_close(patience.end)  # called even if the stream never begins
    made.call_on_close(held.release)
    made.headers["Cache-Control"] = "no-store"
    made.headers["X-Accel-Buffering"] = "no"  # nginx passes each reply on as it comes
    return made
