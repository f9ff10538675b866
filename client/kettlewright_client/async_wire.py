"""Send a request over httpx, with the same limits, retries and exceptions as wire.py."""

from __future__ import annotations

import asyncio
import ssl
import time
from collections.abc import Callable, Mapping
from http.cookiejar import CookieJar, DefaultCookiePolicy
from typing import TypeVar

from kettlewright_client import reply as limits
from kettlewright_client.calls import Settings, log_attempt
from kettlewright_client.errors import ClientError, ProblemError, Unreachable
from kettlewright_client.reply import PIECE, Again, BaseResponse, Request, TruncatedResponse, too_large
from kettlewright_client.retries import REPEATABLE, pause_before, requested_pause
from kettlewright_client.wire import in_words, not_connected, root_cause, too_slow

try:
    import httpx
except ImportError:
    raise ClientError('AsyncClient needs httpx: pip install "kettlewright-client[async]".') from None

__all__ = ["AsyncWire", "new_http"]

Read = TypeVar("Read")

_BROKEN = (httpx.NetworkError, httpx.RemoteProtocolError, httpx.DecodingError, httpx.ProxyError)


def new_http() -> httpx.AsyncClient:
    """Make a client of httpx that keeps connections but no cookies."""
    return httpx.AsyncClient(cookies=CookieJar(DefaultCookiePolicy(allowed_domains=[])),
                             limits=httpx.Limits(max_connections=32))


class AsyncWire:
    """Sends requests over a client of httpx.

    Parameters
    ----------
    session : httpx.AsyncClient
        Its connections are used. [client]
    settings : Settings
        Of the client. [settings]
    """

    def __init__(self, session: httpx.AsyncClient, settings: Settings) -> None:
        self._session = session
        self._settings = settings

    async def send(self, request: Request, take: Callable[[BaseResponse], Read]) -> Read:
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
                return await self._attempt(request, take, deadline)
            except Again as again:
                error, pause = again.error, pause_before(attempt, again.headers)
                wait = max(pause, requested_pause(again.headers))
            if attempt == self._settings.retries or time.monotonic() + wait >= deadline:
                raise error  # also where the service asks for more patience than is left: repeating earlier is useless
            await asyncio.sleep(pause)
            attempt += 1

    async def _attempt(self, request: Request, take: Callable[[BaseResponse], Read], deadline: float) -> Read:
        headers: Mapping[str, str] = {}
        began = time.monotonic()
        try:
            async with asyncio.timeout(max(deadline - began, 0.001)):
                answer = await self._once(request)
            log_attempt(request, began, answer)
            headers = answer.headers
            return take(answer)
        except ProblemError as error:
            if error.status in REPEATABLE:
                raise Again(error, headers) from None
            raise
        except (OSError, ValueError, httpx.HTTPError, httpx.InvalidURL, httpx.StreamError, TruncatedResponse) as error:
            log_attempt(request, began, error)
            meaning, final = self._explain(error, request)
            meaning.request_id = headers.get("X-Request-ID", "")
            if final:
                raise meaning from error
            meaning.__cause__ = error
            raise Again(meaning, {}) from None

    async def _once(self, request: Request) -> BaseResponse:
        connect, between = request.timeout
        async with self._session.stream(
                request.method, request.url, params=request.params or None, content=request.data,
                headers=dict(request.headers), follow_redirects=False,
                timeout=httpx.Timeout(between, connect=connect, pool=None)) as reply:
            content = bytearray()
            async for piece in reply.aiter_bytes(PIECE):
                content += piece
                if len(content) > limits.LARGEST_BYTES:
                    raise too_large(reply.status_code, reply.headers)
            return BaseResponse(reply.status_code, reply.headers, bytes(content))

    def _explain(self, error: Exception, request: Request) -> tuple[ClientError, bool]:
        """The exception to raise, and whether repeating the request is useless."""
        why, address = root_cause(error), self._settings.address
        if isinstance(error, httpx.ConnectTimeout):
            return not_connected(address, request), False
        if isinstance(error, TimeoutError | httpx.TimeoutException):
            return too_slow(self._settings, request), True
        if isinstance(why, ssl.SSLError):
            return Unreachable(f"No secure connection to {address}: {why}"), True
        if isinstance(error, httpx.HTTPError | httpx.InvalidURL) and not isinstance(error, _BROKEN):
            return ClientError(f"The request to {address} could not be made: {why}"), True
        return Unreachable(f"No complete reply from {address}: {in_words(why)}"), False
