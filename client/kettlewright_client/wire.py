"""Send a request, wait for a complete reply, and repeat where that helps, all in limited time."""

from __future__ import annotations

import contextlib
import http.client
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from http.cookiejar import DefaultCookiePolicy
from typing import TypeVar

import requests
from requests.adapters import HTTPAdapter

from kettlewright_client.bounded import Bounded, Overdue
from kettlewright_client.errors import ClientError, ProblemError, ServerFault, TimedOut, Unreachable
from kettlewright_client.retries import REPEATABLE, pause_before

__all__ = ["BaseResponse", "Request", "TruncatedResponse", "Wire", "new_session"]

Read = TypeVar("Read")

LARGEST_BYTES = 64 * 1024 * 1024  # replies of the service have at most a few hundred thousand
_PIECE = 65536
_CONNECTIONS = 32  # as many as plan_many can have workers
# raised by urllib3; for some garbage, requests does not wrap it
_OF_URLLIB3: type[Exception] = requests.exceptions.BaseHTTPError  # type: ignore[attr-defined]  # only the stubs hide it
_BROKEN = (requests.ConnectionError, requests.exceptions.ChunkedEncodingError,
           requests.exceptions.ContentDecodingError, requests.exceptions.InvalidHeader)  # last: two lengths


class TruncatedResponse(Exception):
    """The reply is incomplete; the request is repeated."""


class _Again(Exception):
    """An error after which the request may succeed if repeated."""

    def __init__(self, error: ClientError, headers: Mapping[str, str]) -> None:
        super().__init__(str(error))
        self.error = error
        self.headers = headers


@dataclass(frozen=True, slots=True)
class Request:
    """A request.

    Parameters
    ----------
    method, url : str
        HTTP method, and URL. [text]
    headers, params : mapping
        Headers, and query parameters. [text]
    data : bytes, optional
        The body. [bytes]
    """

    method: str
    url: str
    headers: Mapping[str, str]
    params: Mapping[str, str] = field(default_factory=dict)
    data: bytes | None = None


@dataclass(frozen=True, slots=True)
class BaseResponse:
    """A complete reply.

    Parameters
    ----------
    status : int
        HTTP status. [code]
    headers : mapping
        Headers; their names ignore case. [text]
    content : bytes
        The body, decompressed. [bytes]
    """

    status: int
    headers: Mapping[str, str]
    content: bytes


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
    address : str
        Name of the service in messages. [text]
    timeout : tuple of float
        To connect, and between two parts of a reply. [s]
    retries : int
        How often a request may be repeated. [times]
    patience : float
        Limit for everything together. [s]
    """

    def __init__(self, session: requests.Session, address: str, *, timeout: tuple[float, float], retries: int,
                 patience: float) -> None:
        self._bounded = Bounded()
        self._session = session
        self._address = address
        self._timeout = timeout
        self._retries = retries
        self._patience = patience

    def send(self, request: Request, take: Callable[[BaseResponse], Read]) -> Read:
        """Send a request and return what `take` makes of the reply.

        Parameters
        ----------
        request : Request
            The request. [request]
        take : callable
            Gets a reply of any status. It raises `TruncatedResponse` if the reply is incomplete, and a
            `ProblemError` if it is not a success. [function]

        Returns
        -------
        what `take` returns

        Raises
        ------
        Unreachable, TimedOut, ProblemError, ClientError : see the table in client/DECISIONS.md.
        """
        deadline = time.monotonic() + self._patience
        attempt = 0
        while True:
            try:
                return self._attempt(request, take, deadline)
            except _Again as again:
                error, pause = again.error, pause_before(attempt, again.headers)
            if attempt == self._retries or time.monotonic() + pause >= deadline:
                raise error
            time.sleep(pause)
            attempt += 1

    def _attempt(self, request: Request, take: Callable[[BaseResponse], Read], deadline: float) -> Read:
        headers: Mapping[str, str] = {}
        try:
            answer = self._within(deadline, request)
            headers = answer.headers
            return take(answer)
        except ProblemError as error:
            if error.status in REPEATABLE:
                raise _Again(error, headers) from None
            raise
        except (OSError, ValueError, http.client.HTTPException, _OF_URLLIB3, TruncatedResponse, Overdue) as error:
            meaning, final = self._explain(error)
            if final:
                raise meaning from error
            meaning.__cause__ = error
            raise _Again(meaning, {}) from None

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
        connect, between = self._timeout
        left = _left(deadline)
        with self._session.request(request.method, request.url, params=request.params, data=request.data,
                                   headers=request.headers, timeout=(min(connect, left), min(between, left)),
                                   allow_redirects=False, stream=True) as reply:
            coming.append(reply)
            content = bytearray()
            for piece in reply.iter_content(_PIECE):
                content += piece
                if time.monotonic() > deadline:
                    raise Overdue
                if len(content) > LARGEST_BYTES:
                    raise ServerFault(reply.status_code, detail="The reply is larger than any reply of this service.",
                                      request_id=reply.headers.get("X-Request-ID", ""))
            stated = reply.headers.get("Content-Length", "")
            measured = not {"Content-Encoding", "Transfer-Encoding"} & {name.title() for name in reply.headers}
            if measured and stated.isascii() and stated.isdigit() and int(stated) != len(content):
                raise TruncatedResponse(f"{len(content)} of {stated} bytes arrived")
            return BaseResponse(reply.status_code, reply.headers, bytes(content))

    def _explain(self, error: Exception) -> tuple[ClientError, bool]:
        """The exception to raise, and whether repeating the request is useless."""
        why = _root(error)
        connect, between = self._timeout
        if isinstance(error, requests.ConnectTimeout):
            return TimedOut(f"No connection to {self._address} in time ({connect:g} s)."), False
        if isinstance(error, Overdue | requests.Timeout) or isinstance(why, TimeoutError):
            # repeating would only start the same long calculation again
            return TimedOut(f"No complete reply from {self._address} in time ({between:g} s between two parts of it, "
                            f"{self._patience:g} s in all)."), True
        if isinstance(error, requests.exceptions.SSLError):
            return Unreachable(f"No secure connection to {self._address}: {why}"), True
        if isinstance(error, requests.RequestException) and not isinstance(error, _BROKEN):
            return ClientError(f"The request to {self._address} could not be made: {why}"), True
        return Unreachable(f"No complete reply from {self._address}: {why or type(why).__name__}"), False


def _left(deadline: float) -> float:
    return max(deadline - time.monotonic(), 0.001)


def _root(error: BaseException) -> BaseException:
    """The innermost cause, which has the clearest message."""
    while (inner := error.__cause__ or error.__context__) is not None:
        error = inner
    return error
