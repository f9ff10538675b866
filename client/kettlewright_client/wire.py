"""Send a request over requests, wait for a complete reply, and repeat where that helps, all in limited time."""

from __future__ import annotations

import contextlib
import http.client
import os
import time
from collections.abc import Callable, Mapping
from http.cookiejar import DefaultCookiePolicy
from typing import TypeVar

import requests
from requests.adapters import HTTPAdapter

from kettlewright_client import reply as limits
from kettlewright_client.bounded import Bounded, Overdue
from kettlewright_client.calls import Settings, log_attempt
from kettlewright_client.errors import ClientError, ProblemError, TimedOut, Unreachable
from kettlewright_client.reply import PIECE, Again, BaseResponse, Request, TruncatedResponse, too_large
from kettlewright_client.retries import REPEATABLE, pause_before, requested_pause

__all__ = ["Wire", "new_session"]

Read = TypeVar("Read")

_CONNECTIONS = 32  # as many as plan_many can have workers
# raised by urllib3; for some garbage, requests does not wrap it
_OF_URLLIB3: type[Exception] = requests.exceptions.BaseHTTPError  # type: ignore[attr-defined]  # only the stubs hide it
_BROKEN = (requests.ConnectionError, requests.exceptions.ChunkedEncodingError,
           requests.exceptions.ContentDecodingError, requests.exceptions.InvalidHeader)  # last: two lengths


def new_session() -> requests.Session:
    """Make a session that threads can share: it keeps connections but no cookies."""
    session = requests.Session()
    session.cookies.set_policy(DefaultCookiePolicy(allowed_domains=[]))
    for scheme in ("http://", "https://"):
        session.mount(scheme, HTTPAdapter(pool_maxsize=_CONNECTIONS))
    return session


class Wire:
    """Sends requests over a session.

    Parameters
    ----------
    session : requests.Session
        Its connections are used. [session]
    settings : Settings
        Of the client. [settings]
    """

    def __init__(self, session: requests.Session, settings: Settings) -> None:
        self._session = session
        self._settings = settings
        self._bounded = Bounded()

    def send(self, request: Request, take: Callable[[BaseResponse], Read]) -> Read:
        """Send a request, repeat it if that may help, and read the reply.

        Parameters
        ----------
        request : Request
            The request; repeating it must be safe. [request]
        take : callable
            Reads a complete reply; raises `ProblemError` or `TruncatedResponse`. [function]

        Returns
        -------
        what `take` returns

        Raises
        ------
        Unreachable, TimedOut, ProblemError, ClientError : see the table in client/DECISIONS.md.
        """
        deadline = time.monotonic() + self._settings.patience
        attempt = 0
        while True:
            try:
                return self._attempt(request, take, deadline)
            except Again as again:
                error, pause = again.error, pause_before(attempt, again.headers)
                wait = max(pause, requested_pause(again.headers))
            if attempt == self._settings.retries or time.monotonic() + wait >= deadline:
                raise error  # also where the service asks for more patience than is left: repeating earlier is useless
            time.sleep(pause)
            attempt += 1

    def _attempt(self, request: Request, take: Callable[[BaseResponse], Read], deadline: float) -> Read:
        headers: Mapping[str, str] = {}
        began = time.monotonic()
        try:
            answer = self._within(deadline, request)
            log_attempt(request, began, answer)
            headers = answer.headers
            return take(answer)
        except ProblemError as error:
            if error.status in REPEATABLE:
                raise Again(error, headers) from None
            raise
        except (OSError, ValueError, http.client.HTTPException, _OF_URLLIB3, TruncatedResponse, Overdue) as error:
            log_attempt(request, began, error)
            meaning, final = self._explain(error, request)
            meaning.request_id = headers.get("X-Request-ID", "")
            if final:
                raise meaning from error
            meaning.__cause__ = error
            raise Again(meaning, {}) from None

    def _within(self, deadline: float, request: Request) -> BaseResponse:
        """Get a reply before the deadline.

        A timeout of requests applies between two parts of a reply, so a server that sends a byte now and then could
        hold it for ever. Therefore another thread waits, and is abandoned when the time is up.
        """
        coming: list[requests.Response] = []
        try:
            return self._bounded.call(lambda: self._once(request, deadline, coming), _left(deadline))
        except Overdue:
            for reply in coming:
                with contextlib.suppress(Exception):  # older urllib3 lacks it; the thread then ends with the connection
                    reply.raw.shutdown()
            raise

    def _once(self, request: Request, deadline: float, coming: list[requests.Response]) -> BaseResponse:
        connect, between = request.timeout
        left = _left(deadline)
        with self._session.request(request.method, request.url, params=request.params, data=request.data,
                                   headers=request.headers, timeout=(min(connect, left), min(between, left)),
                                   auth=_as_it_is if "Authorization" in request.headers else None,
                                   allow_redirects=False, stream=True) as reply:
            coming.append(reply)
            content = bytearray()
            for piece in reply.iter_content(PIECE):
                content += piece
                if time.monotonic() > deadline:
                    raise Overdue
                if len(content) > limits.LARGEST_BYTES:
                    raise too_large(reply.status_code, reply.headers)
            stated = reply.headers.get("Content-Length", "")
            measured = not {"Content-Encoding", "Transfer-Encoding"} & {name.title() for name in reply.headers}
            if measured and stated.isascii() and stated.isdigit() and int(stated) != len(content):
                raise TruncatedResponse(f"{len(content)} of {stated} bytes arrived")
            return BaseResponse(reply.status_code, reply.headers, bytes(content))

    def _explain(self, error: Exception, request: Request) -> tuple[ClientError, bool]:
        """The exception to raise, and whether repeating the request is useless."""
        why, address = root_cause(error), self._settings.address
        if isinstance(error, requests.ConnectTimeout):
            return not_connected(address, request), False
        if isinstance(error, Overdue | requests.Timeout) or isinstance(why, TimeoutError):
            return too_slow(self._settings, request), True
        if isinstance(error, requests.exceptions.SSLError):
            return Unreachable(f"No secure connection to {address}: {why}"), True
        if isinstance(error, requests.RequestException) and not isinstance(error, _BROKEN):
            return ClientError(f"The request to {address} could not be made: {why}"), True
        return Unreachable(f"No complete reply from {address}: {in_words(why)}"), False


def not_connected(address: str, request: Request) -> TimedOut:
    """The exception for a connection that was not accepted (`address` of the service, `request`)."""
    return TimedOut(f"No connection to {address} in time ({request.timeout[0]:g} s).")


def too_slow(settings: Settings, request: Request) -> TimedOut:
    """The exception for a late reply (`settings`, `request`).

    Repeating the request would only start the same long calculation again.
    """
    return TimedOut(f"No complete reply from {settings.address} in time ({request.timeout[1]:g} s between two parts of "
                    f"it, {settings.patience:g} s in all).")


def root_cause(error: BaseException) -> BaseException:
    """The innermost cause of an `error`, which has the clearest message."""
    while (inner := error.__cause__ or error.__context__) is not None:
        error = inner
    return error


def in_words(why: BaseException) -> str:
    """A cause (`why`) in words; that of the system where it has one, so that both clients say the same."""
    if isinstance(why, ConnectionError) and why.errno:
        return os.strerror(why.errno)
    return str(why) or type(why).__name__


def _as_it_is(request: requests.PreparedRequest) -> requests.PreparedRequest:
    """Keep the header Authorization; requests would replace it with an entry of .netrc."""
    return request


def _left(deadline: float) -> float:
    return max(deadline - time.monotonic(), 0.001)
