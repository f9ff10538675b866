"""Both clients behind the same calls, so that one test can be about both."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from typing import Any

import httpx
import pytest
import requests
from kettlewright_client import AsyncClient, Client

KINDS = ("sync", "async")


class Blocking:
    """An `AsyncClient` whose methods wait."""

    def __init__(self, *given: Any, **options: Any) -> None:
        self.runner = asyncio.Runner()
        try:
            self.client = self.runner.run(self._made(*given, **options))
        except BaseException:
            self.runner.close()
            raise

    async def _made(self, *given: Any, **options: Any) -> AsyncClient:
        return AsyncClient(*given, **options)

    def __enter__(self) -> Any:
        return self

    def __exit__(self, *_: object) -> None:
        self.runner.run(self.client.close())
        self.runner.close()

    def __getattr__(self, name: str) -> Any:
        found = getattr(self.client, name)
        if name.startswith("_") or not callable(found):
            return found
        return lambda *given, **named: self.runner.run(found(*given, **named))


class Ask:
    """Makes one of the clients, and asks it once."""

    def __init__(self, kind: str) -> None:
        self.kind = kind

    def client(self, url: str | None = None, **options: Any) -> Any:
        """A client, for `with`."""
        return (Client if self.kind == "sync" else Blocking)(url, **options)

    def session(self, proxy: str | None = None) -> Any:
        """A session of the caller's own, of requests or httpx."""
        if self.kind == "async":
            return httpx.AsyncClient(proxy=proxy, trust_env=False)
        session = requests.Session()
        session.trust_env = False
        session.proxies = {"http": proxy} if proxy else {}
        return session

    def __call__(self, url: str, call: Callable[[Any], Any] = lambda client: client.healthz(), **options: Any) -> Any:
        with self.client(url, **{"timeout": (1.0, 5.0), "patience": 5.0, **options}) as client:
            return call(client)


@pytest.fixture(params=KINDS)
def ask(request: pytest.FixtureRequest) -> Ask:
    """Both, one after the other."""
    return Ask(request.param)
