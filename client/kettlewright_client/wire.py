"""One request on its way: sent, waited for, made again; a whole reply comes back or an exception, in bounded time."""

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

__all__ = ["BaseResponse", "CutOff", "Request", "Wire", "new_session"]

Taken = TypeVar("Taken")

LARGEST_BYTES = 64 * 1024 * 1024  # a reply of the service has at most a few hundred thousand
_PIECE = 65536
_CONNECTIONS = 32  # as many as plan_many may have workers
# what urllib3 raises; of some garbage requests lets it through as it is
_OF_URLLIB3: type[Exception] = requests.exceptions.BaseHTTPError  # type: ignore[attr-defined]  # only the stubs hide it
_BROKEN = (requests.ConnectionError, requests.exceptions.ChunkedEncodingError,
           requests.exceptions.ContentDecodingError, requests.exceptions.InvalidHeader)  # the last: of two lengths


class CutOff(Exception):
    """A reply that is not whole; whoever finds out raises it, and the request is made again."""


class _Again(Exception):
    """What went wrong where it may go better next time."""

    def __init__(self, fault: ClientError, headers: Mapping[str, str]) -> None:
        super().__init__(str(fault))
        self.fault = fault
        self.headers = headers


@dataclass(frozen=True, slots=True)
class Request:
    """What is sent.

    Parameters
    ----------
    method, url : str
        Of HTTP. [text]
    headers, params : mapping
        Headers, and what stands in the address. [text]
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
    """A whole reply.

    Parameters
    ----------
    status : int
        Of HTTP. [code]
    headers : mapping
        Headers, in any case. [text]
    content : bytes
        The body, unpacked. [bytes]
    """

    status: int
    headers: Mapping[str, str]
    content: bytes


def new_session() -> requests.Session:
    """A session that threads may share, since it remembers nothing: no cookies, only connections."""
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
        Whose connections are used. [session]
    address : str
        What to call the other side in messages. [text]
    timeout : tuple of float
        To connect, and between two parts of a reply. [s]
    retries : int
        How often a request may be made again. [times]
    patience : float
        For everything together. [s]
    """

    def __init__(self, session: requests.Session, address: str, *, timeout: tuple[float, float], retries: int,
                 patience: float) -> None:
        self._bounded = Bounded()
        self._session = session
        self._address = address
        self._timeout = timeout
        self._retries = retries
        self._patience = patience

    def send(self, request: Request, take: Callable[[BaseResponse], Taken]) -> Taken:
        """What `take` makes of a whole reply.

        Parameters
        ----------
        request : Request
            What to send. [request]
        take : callable
            Gets a whole reply of any status; raises `CutOff` where it sees that it is not whole after all, and a
            `ProblemError` where it is no success. [function]

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
                fault, pause = again.fault, pause_before(attempt, again.headers)
            if attempt == self._retries or time.monotonic() + pause >= deadline:
                raise fault
            time.sleep(pause)
            attempt += 1

    def _attempt(self, request: Request, take: Callable[[BaseResponse], Taken], deadline: float) -> Taken:
        headers: Mapping[str, str] = {}
        try:
            answer = self._within(deadline, request)
            headers = answer.headers
            return take(answer)
        except ProblemError as error:
            if error.status in REPEATABLE:
                raise _Again(error, headers) from None
            raise
        except (OSError, ValueError, http.client.HTTPException, _OF_URLLIB3, CutOff, Overdue) as error:
            fault, hopeless = self._told(error)
            if hopeless:
                raise fault from error
            fault.__cause__ = error
            raise _Again(fault, {}) from None

    def _within(self, deadline: float, request: Request) -> BaseResponse:
        """A reply before the deadline.

        A timeout of requests holds between two parts of a reply, so a server that sends a letter now and then could
        keep it waiting for ever. Therefore another thread waits, and is left behind when the time is up.
        """
        coming: list[requests.Response] = []
        try:
            return self._bounded.call(lambda: self._once(request, deadline, coming), _left(deadline))
        except Overdue:
            for reply in coming:
                with contextlib.suppress(Exception):  # older urllib3 cannot; then the thread ends with the connection
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
                    raise ServerFault(reply.status_code, detail="the reply is larger than any of this service",
                                      request_id=reply.headers.get("X-Request-ID", ""))
            told = reply.headers.get("Content-Length", "")
            measured = not {"Content-Encoding", "Transfer-Encoding"} & {name.title() for name in reply.headers}
            if measured and told.isascii() and told.isdigit() and int(told) != len(content):
                raise CutOff(f"{len(content)} of {told} bytes came")
            return BaseResponse(reply.status_code, reply.headers, bytes(content))

    def _told(self, error: Exception) -> tuple[ClientError, bool]:
        """What went wrong, and whether trying again is hopeless."""
        why = _root(error)
        connect, between = self._timeout
        if isinstance(error, requests.ConnectTimeout):
            return TimedOut(f"No connection to {self._address} in time ({connect:g} s)."), False
        if isinstance(error, Overdue | requests.Timeout) or isinstance(why, TimeoutError):
            # whoever computes for so long would only get the same to compute once more
            return TimedOut(f"No whole reply from {self._address} in time ({between:g} s between two parts of it, "
                            f"{self._patience:g} s for all)."), True
        if isinstance(error, requests.exceptions.SSLError):
            return Unreachable(f"No safe connection to {self._address}: {why}"), True
        if isinstance(error, requests.RequestException) and not isinstance(error, _BROKEN):
            return ClientError(f"The request to {self._address} could not be made: {why}"), True
        return Unreachable(f"No whole reply from {self._address}: {why or type(why).__name__}"), False


def _left(deadline: float) -> float:
    return max(deadline - time.monotonic(), 0.001)


def _root(error: BaseException) -> BaseException:
    """The innermost cause, which has the plainest words."""
    while (inner := error.__cause__ or error.__context__) is not None:
        error = inner
    return error
