"""What the access log says of a request beyond its first line: key, operation, CPU time, sizes, trace.

The record travels in the WSGI environment, from the application to gunicorn's logger (`logs.py`). Of what a sender
wrote it holds only a valid `traceparent`.
"""

from __future__ import annotations

import re
import threading
import time
from collections.abc import Callable, Iterable, Iterator
from typing import TYPE_CHECKING

from flask import request

if TYPE_CHECKING:
    from _typeshed.wsgi import StartResponse, WSGIApplication, WSGIEnvironment

__all__ = ["RECORD", "AccessRecord", "current_record", "measured", "valid_traceparent"]

RECORD = "kettlewright.record"
"""Key of the record in the WSGI environment. [text]"""

_TRACEPARENT = re.compile(r"(?P<version>[0-9a-f]{2})-(?P<trace>[0-9a-f]{32})-(?P<parent>[0-9a-f]{16})-[0-9a-f]{2}"
                          r"(?P<more>-.*)?")
_TRACEPARENT_LENGTH = 55
_LENGTH = re.compile("[0-9]{1,15}")


def valid_traceparent(given: str) -> str | None:
    """The part of a `traceparent` header that may be logged and passed on; None where it is not valid.

    Parameters
    ----------
    given : str
        The header. [text]

    Returns
    -------
    str or None : version, trace id, parent id and flags; what a later version adds is left out. [text]

    References
    ----------
    .. [1] W3C Trace Context, Recommendation of 2021-11-23, 3.2: lower-case hexadecimal, no id is all zeros, version ff
       is invalid, version 00 ends after the flags, a later version may go on after another hyphen.
    """
    found = _TRACEPARENT.fullmatch(given)
    if found is None or found["version"] == "ff" or not found["trace"].strip("0") or not found["parent"].strip("0"):
        return None
    return None if found["more"] and found["version"] == "00" else given[:_TRACEPARENT_LENGTH]


class AccessRecord:
    """What is known of one request.

    Parameters
    ----------
    traceparent : str, optional
        Its W3C trace header, if that is valid. [text]
    """

    def __init__(self, traceparent: str | None = None) -> None:
        self.traceparent = traceparent
        self.operation: str | None = None
        self.key_name: str | None = None
        self.request_bytes = 0
        self.charge: Callable[[float], None] | None = None  # the quota that CPU time counts against
        self.take: Callable[[], None] | None = None  # takes a request from the quota, or raises a problem
        self._lines = 0
        self._cpu_seconds = 0.0
        self._lock = threading.Lock()

    @property
    def cpu_seconds(self) -> float:
        """CPU time of all threads that worked on it so far. [seconds]"""
        with self._lock:
            return self._cpu_seconds

    def add_cpu(self, seconds: float) -> None:
        """Add CPU time of one thread (`seconds`)."""
        with self._lock:
            self._cpu_seconds += seconds
        if self.charge is not None:
            self.charge(seconds)


    def count_line(self) -> None:
        """Take a request from the quota for a line of a body of many; the first was taken with the request itself.

        Raises
        ------
        Problem : 429 where the quota is used up.
        """
        self._lines += 1
        if self._lines > 1 and self.take is not None:
            self.take()


def current_record() -> AccessRecord:
    """The record of the current request."""
    found: AccessRecord = request.environ[RECORD]
    return found


class _MeasuredReply:
    """The parts of a reply; the CPU time of making each goes to the record (a stream is made while it is sent)."""

    def __init__(self, reply: Iterable[bytes], record: AccessRecord) -> None:
        self._reply, self._parts, self._record = reply, iter(reply), record

    def __iter__(self) -> Iterator[bytes]:
        return self

    def __next__(self) -> bytes:
        began = time.thread_time()
        try:
            return next(self._parts)
        finally:
            self._record.add_cpu(time.thread_time() - began)

    def close(self) -> None:
        """End the reply, as WSGI servers do."""
        if hasattr(self._reply, "close"):
            self._reply.close()


def measured(application: WSGIApplication) -> WSGIApplication:
    """The same application, with a record for each request and the CPU time of the thread that answers it.

    Parameters
    ----------
    application : WSGI application
        Any. [function]

    Returns
    -------
    WSGI application
    """
    def answer(environ: WSGIEnvironment, start_response: StartResponse) -> Iterable[bytes]:
        length = str(environ.get("CONTENT_LENGTH") or "")
        record = AccessRecord(valid_traceparent(str(environ.get("HTTP_TRACEPARENT", ""))))
        record.request_bytes = int(length) if _LENGTH.fullmatch(length) else 0
        environ[RECORD] = record
        began = time.thread_time()
        try:
            reply = application(environ, start_response)
        finally:
            record.add_cpu(time.thread_time() - began)
        # the server sends a file by other means where it sees its own wrapper
        return reply if isinstance(reply, environ.get("wsgi.file_wrapper", ())) else _MeasuredReply(reply, record)

    return answer
