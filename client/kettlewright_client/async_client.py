"""The asynchronous client: the methods of `Client`, to await."""

from __future__ import annotations

import asyncio
from collections import deque
from collections.abc import AsyncIterator, Awaitable, Callable, Iterable, Mapping, Sequence
from types import TracebackType
from typing import TYPE_CHECKING, Any

from kettlewright_client.async_wire import AsyncWire, new_http
from kettlewright_client.blocks import Block, block_of, blocks_of, request_of_lines
from kettlewright_client.calls import DEFAULT_TIMEOUT, Calls, settings_of
from kettlewright_client.errors import ClientError
from kettlewright_client.generated.async_methods import AsyncMethods
from kettlewright_client.many import AHEAD, reporter, workers_of
from kettlewright_client.sweep import Sweep, SweepField, plan_of
from kettlewright_client.values import Timeout

if TYPE_CHECKING:
    import httpx

    from kettlewright_client.results import Batch

__all__ = ["AsyncClient"]


class AsyncClient(Calls, AsyncMethods):
    """A connection to the service for asyncio. Tasks may share one; it needs httpx ("kettlewright-client[async]").

    Parameters
    ----------
    base_url, key : str, optional
        As in `Client`. [text]
    timeout, patience : float
        As in `Client`. [s]
    retries : int
        As in `Client`. [times]
    session : httpx.AsyncClient, optional
        Your own client of httpx, for proxies and tests. [client]

    Raises
    ------
    ClientError : an argument is not valid.
    """

    def __init__(self, base_url: str | None = None, *, key: str | None = None, timeout: Timeout = DEFAULT_TIMEOUT,
                 retries: int = 2, session: httpx.AsyncClient | None = None, patience: float = 60.0) -> None:
        super().__init__(settings_of(base_url, key, timeout, retries, patience))
        self._own_session = session is None
        self._session = new_http() if session is None else session
        self._wire = AsyncWire(self._session, self._settings)

    async def __aenter__(self) -> AsyncClient:
        return self

    async def __aexit__(self, kind: type[BaseException] | None, error: BaseException | None,
                        trace: TracebackType | None) -> None:
        await self.close()

    async def close(self) -> None:
        """Close the connections that this client opened. Later calls raise `ClientError`."""
        self._closed = True
        if self._own_session:
            await self._session.aclose()

    async def plan_many(self, bodies: Iterable[Mapping[str, Any]], *, workers: int = 4,
                        progress: Callable[[int, int | None], None] | bool | None = None,
                        ) -> AsyncIterator[Batch | ClientError]:
        """Plan many batches, several at a time, as `Client.plan_many` does; use it with `async for`.

        Parameters
        ----------
        bodies : iterable of mapping
            Each with the arguments of `batches`. [units]
        workers : int
            How many run at a time, 1 to 32; twice as many as the service has processes keep all of them busy.
            [batches]
        progress : callable or bool, optional
            As in `Client.plan_many`. [batches]

        Yields
        ------
        Batch or ClientError : in the order of `bodies`. [plans]
        """
        async for found in self._many("batches", bodies, workers, progress):
            yield found

    async def stream_batches(self, bodies: Iterable[Mapping[str, Any]], *, workers: int = 2,
                             block: int = 16) -> AsyncIterator[Batch | ClientError]:
        """Plan any number of batches, many in one request, as `Client.stream_batches` does.

        Parameters
        ----------
        bodies : iterable of mapping
            Each with the arguments of `batches`. [units]
        workers, block : int
            As in `Client.stream_batches`. [requests, batches]

        Yields
        ------
        Batch or ClientError : in the order of `bodies`. [plans]
        """
        blocks = blocks_of(bodies, lambda body: self._body("batches", body), block_of(block))
        async for found in self._in_order(self._plan_block, blocks, workers, None):
            if isinstance(found, ClientError):
                raise found
            for one in found.outcomes:
                yield one

    async def _plan_block(self, block: Block) -> Block:
        while lines := block.left():
            request, take = request_of_lines(self._request("batches", "json", b"", {}, None, None), lines)
            try:
                block.take(await self._wire.send(request, take))
            except ClientError as error:
                block.fail(error)
        return block

    async def sweep(self, body: Mapping[str, Any], field: SweepField, values: Iterable[Any] | None = None, *,
                    figures: Sequence[str], operation: str = "batches", workers: int = 4,
                    progress: Callable[[int, int | None], None] | bool | None = None) -> Sweep:
        """What if: as `Client.sweep`.

        Parameters
        ----------
        body, field, values, figures, operation, workers, progress :
            As in `Client.sweep`. [units]

        Returns
        -------
        Sweep
        """
        plan = plan_of(operation, body, field, values, figures)
        return plan.table([found async for found in self._many(operation, plan.bodies, workers, progress)])

    async def _many(self, operation: str, bodies: Iterable[Mapping[str, Any]], workers: int,
                    progress: Callable[[int, int | None], None] | bool | None) -> AsyncIterator[Any]:
        async def plan(body: Mapping[str, Any]) -> Any:
            return await self._call(operation, "json", body, {}, None, None)

        async for found in self._in_order(plan, bodies, workers, progress):
            yield found

    async def _in_order(self, plan: Callable[[Any], Awaitable[Any]], bodies: Iterable[Any], workers: int,
                        progress: Callable[[int, int | None], None] | bool | None) -> AsyncIterator[Any]:
        free = asyncio.Semaphore(workers_of(workers))
        report = reporter(progress, bodies)
        waiting: deque[asyncio.Task[Any]] = deque()

        async def one(body: Any) -> Any:
            async with free:
                try:
                    return await plan(body)
                except ClientError as error:
                    return error
                finally:
                    report.one_more()

        try:
            for body in bodies:
                waiting.append(asyncio.create_task(one(body)))
                if len(waiting) >= workers * AHEAD:
                    yield await waiting.popleft()
            while waiting:
                yield await waiting.popleft()
        finally:
            for task in waiting:
                task.cancel()

    async def _call(self, operation: str, word: str, body: Any, address: Mapping[str, Any], timeout: Timeout | None,
                    headers: Mapping[str, str] | None) -> Any:
        request = self._request(operation, word, body, address, timeout, headers)
        return await self._wire.send(request, lambda answer: self._read(operation, word, answer))
