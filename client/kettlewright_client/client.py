"""The client: one method for each operation, with keyword arguments named as in the contract."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from types import TracebackType
from typing import TYPE_CHECKING, Any, cast

import requests

from kettlewright_client.blocks import Block, block_of, blocks_of, request_of_lines
from kettlewright_client.calls import DEFAULT_TIMEOUT, Calls, settings_of
from kettlewright_client.errors import ClientError
from kettlewright_client.generated.methods import Methods
from kettlewright_client.many import plan_all
from kettlewright_client.sweep import Sweep, SweepField, plan_of
from kettlewright_client.values import Timeout
from kettlewright_client.wire import Wire, new_session

if TYPE_CHECKING:
    from kettlewright_client.results import Batch

__all__ = ["Client"]


class Client(Calls, Methods):
    """A connection to the service. Threads may share one.

    Parameters
    ----------
    base_url : str, optional
        Address of the service, such as "http://127.0.0.1:8000" or "https://example.org/soap/"; if not given, that of
        the environment variable KETTLEWRIGHT_URL, else http://127.0.0.1:8000. [URL]
    key : str, optional
        Sent as a bearer token, for a service or a proxy that needs one; it appears in no message and no log. With no
        base_url given, KETTLEWRIGHT_KEY is used. [text]
    timeout : float or tuple of float
        To connect, and between two parts of a reply; one number is for both. [s]
    retries : int
        How often a request is repeated after a broken connection, a truncated reply, 429, 502, 503 or 504. Repeating
        is safe, because the service stores nothing. [times]
    session : requests.Session, optional
        Your own session, for proxies and tests. [session]
    patience : float
        The longest that a call may take, with all retries and pauses, whatever its timeout. [s]

    Raises
    ------
    ClientError : an argument is not valid.
    """

    def __init__(self, base_url: str | None = None, *, key: str | None = None, timeout: Timeout = DEFAULT_TIMEOUT,
                 retries: int = 2, session: requests.Session | None = None, patience: float = 60.0) -> None:
        super().__init__(settings_of(base_url, key, timeout, retries, patience))
        self._own_session = session is None
        self._session = new_session() if session is None else session
        self._wire = Wire(self._session, self._settings)

    def __enter__(self) -> Client:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None,
                 trace: TracebackType | None) -> None:
        self.close()

    def close(self) -> None:
        """Close the connections that this client opened. Later calls raise `ClientError`."""
        self._closed = True
        if self._own_session:
            self._session.close()

    def plan_many(self, bodies: Iterable[Mapping[str, Any]], *, workers: int = 4,
                  progress: Callable[[int, int | None], None] | bool | None = None) -> Iterator[Batch | ClientError]:
        """Plan many batches, several at a time. Each gives its plan or its exception, in the order of `bodies`.

        Parameters
        ----------
        bodies : iterable of mapping
            Each with the arguments of `batches`. A generator is read as the plans are used, a few ahead. [units]
        workers : int
            How many run at a time, 1 to 32; twice as many as the service has processes keep all of them busy.
            [batches]
        progress : callable or bool, optional
            Called with the number done and the total, None if `bodies` has no length. True shows a progress bar on
            stderr if that is a terminal. [batches]

        Returns
        -------
        iterator : a plan as soon as it and those before it are there; an invalid body affects no other. [plans]
        """
        def plan(body: Mapping[str, Any]) -> Batch:
            return cast("Batch", self._call("batches", "json", body, {}, None, None))

        return plan_all(plan, bodies, workers=workers, progress=progress)

    def stream_batches(self, bodies: Iterable[Mapping[str, Any]], *, workers: int = 2,
                       block: int = 16) -> Iterator[Batch | ClientError]:
        """Plan any number of batches, many in one request. Each gives its plan or its exception, in order.

        For tens of thousands: memory does not grow, and a batch costs less than with `plan_many`. The first plan comes
        when its whole block has been planned.

        Parameters
        ----------
        bodies : iterable of mapping
            Each with the arguments of `batches`. A generator is read a few blocks ahead. [units]
        workers : int
            How many requests run at a time, 1 to 32. [requests]
        block : int
            How many batches go into one request, 1 to 64. [batches]

        Returns
        -------
        iterator : an invalid body affects no other. If a request fails, each of its batches has the exception. [plans]
        """
        blocks = blocks_of(bodies, lambda body: self._body("batches", body), block_of(block))
        for found in plan_all(self._plan_block, blocks, workers=workers, progress=None):
            if isinstance(found, ClientError):
                raise found  # a closed client; what a block meets is in its outcomes
            yield from found.outcomes

    def _plan_block(self, block: Block) -> Block:
        while lines := block.left():
            request, take = request_of_lines(self._request("batches", "json", b"", {}, None, None), lines)
            try:
                block.take(self._wire.send(request, take))
            except ClientError as error:
                block.fail(error)
        return block

    def sweep(self, body: Mapping[str, Any], field: SweepField, values: Iterable[Any] | None = None, *,
              figures: Sequence[str], operation: str = "batches", workers: int = 4,
              progress: Callable[[int, int | None], None] | bool | None = None) -> Sweep:
        """What if: one calculation for several values of a field, or for every combination of several fields.

            client.sweep(body, "recipe.superfat_pct", [3, 4, 5], figures=["cost.bar.total.amount", "cuts.bars.count"])

        Parameters
        ----------
        body : mapping
            The arguments of the operation. [units]
        field : str or mapping
            Path of the field to vary; an item of a list by its number from 0, its key or its name. For a grid, a
            mapping of paths to values. [words]
        values : iterable, optional
            Values of the field, if `field` is a path. [as in the request]
        figures : sequence of str
            Paths in the reply, such as "lye.superfat.likely_pct.min". [words]
        operation : str
            Whose body it is, such as "batches" or "lye". [word]
        workers, progress : int, callable
            As in `plan_many`. [requests]

        Returns
        -------
        Sweep : a row for each request, in order; one that fails has its reason and no figures.

        Raises
        ------
        ClientError : a path is unknown; the message has the nearest name.
        """
        plan = plan_of(operation, body, field, values, figures)

        def run(one: Mapping[str, Any]) -> Any:
            return self._call(operation, "json", one, {}, None, None)

        return plan.table(list(plan_all(run, plan.bodies, workers=workers, progress=progress)))

    def _call(self, operation: str, word: str, body: Any, address: Mapping[str, Any], timeout: Timeout | None,
              headers: Mapping[str, str] | None) -> Any:
        request = self._request(operation, word, body, address, timeout, headers)
        found = self._wire.send(request, lambda answer: self._read(operation, word, answer))
        if operation == "batches" and word == "json":  # for its picture in a notebook, drawn when it is shown
            object.__setattr__(found, "_picture", lambda: self._draw(request))
        return found

    def _draw(self, request: Any) -> str:
        """The picture of a plan; "" if it cannot be had quickly."""
        try:
            return str(self._call("batches", "svg", request.data, {}, 3.0, None))
        except ClientError:
            return ""
