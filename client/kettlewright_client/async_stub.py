"""The stub for programs that use `AsyncClient`; see testing.py."""

from __future__ import annotations

from collections.abc import Mapping

import httpx

from kettlewright_client.async_client import AsyncClient
from kettlewright_client.testing import StubResponse, _headers, _Stub

__all__ = ["AsyncStubClient"]


class AsyncStubClient(AsyncClient):
    """An `AsyncClient` that replies without a service; `sent` has the requests.

    Parameters
    ----------
    replies : mapping, optional
        By operation, or by operation and form as in "batches.html": a mapping (the JSON), a text (another form), an
        exception of this client, or a function of the body that gives one of them. All other requests get the
        recorded examples. [as in JSON]
    check : bool
        Whether bodies are checked against the contract, unless the reply is an exception. [yes or no]
    """

    def __init__(self, replies: Mapping[str, StubResponse] | None = None, *, check: bool = True) -> None:
        stub = _Stub(replies or {}, check=check)

        def answer(request: httpx.Request) -> httpx.Response:
            status, kind, content = stub.answer(request.method, str(request.url), request.headers.get("Accept", ""),
                                                request.content)
            return httpx.Response(status, headers=_headers(kind, content), content=content)

        super().__init__("http://stub.invalid", retries=0,
                         session=httpx.AsyncClient(transport=httpx.MockTransport(answer), trust_env=False))
        self._check = check
        self.sent = stub.sent
