"""Many batches in one request: each outcome at its place, whatever happens to a block, and no more memory for more."""

from __future__ import annotations

import asyncio
import json
import tracemalloc
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any

import pytest
import requests
from api.bodies import BATCH
from client.in_process import in_process, made, over
from kettlewright.app import create_app
from kettlewright_client import Batch, Busy, Client, ClientError, InvalidInput, ServerFault, Unreachable
from kettlewright_client.testing import AsyncStubClient, StubClient, recorded

PLAN = recorded()["batches"].replies["json"]
LINES = "application/x-ndjson"


def numbered(body: Mapping[str, Any]) -> Mapping[str, Any]:
    return {**PLAN, "arrangement": str(body["number"])}


def bodies(count: int) -> Iterator[Mapping[str, Any]]:
    return ({"number": number} for number in range(count))


def names(found: Iterable[Any]) -> list[Any]:
    return [one.arrangement if isinstance(one, Batch) else type(one) for one in found]


async def listed(client: AsyncStubClient, count: int, **options: Any) -> list[Any]:
    async with client:
        return [one async for one in client.stream_batches(bodies(count), **options)]


@pytest.mark.parametrize(("workers", "block"), [(1, 1), (1, 7), (3, 4), (2, 64)])
def test_plans_come_in_the_order_of_the_bodies(workers: int, block: int) -> None:
    expected = [str(number) for number in range(30)]
    client = StubClient({"batches": numbered}, check=False)
    assert names(client.stream_batches(bodies(30), workers=workers, block=block)) == expected
    twin = AsyncStubClient({"batches": numbered}, check=False)
    assert names(asyncio.run(listed(twin, 30, workers=workers, block=block))) == expected


def test_a_bad_body_spoils_nothing_but_itself_and_plans_are_those_of_single_requests() -> None:
    client, wire = over(in_process(create_app().test_client()))
    no_mould, german = {"recipe": BATCH["recipe"]}, {**BATCH, "locale": "de"}
    sent: list[Any] = [BATCH, no_mould, german, {**BATCH, "mould": float("nan")}, {"misspelt": 1}, BATCH]
    found = list(client.stream_batches(sent))
    assert [type(one) for one in found] == [Batch, InvalidInput, Batch, ClientError, InvalidInput, Batch]
    assert len(wire.sent) == 1
    alone = list(client.plan_many(sent, workers=1))
    for one, other in zip(found, alone, strict=True):
        assert type(one) is type(other)
        assert one == other if isinstance(one, Batch) else str(one).split("(request")[0] == \
            str(other).split("(request")[0]


Answer = Callable[[list[bytes]], tuple[int, list[bytes]]]


def in_turn(*answers: Answer | Exception) -> tuple[Client, list[int]]:
    """A client whose requests are answered by these functions of their lines, and how many lines each request had."""
    left, counts = iter(answers), []

    def answer(request: requests.PreparedRequest) -> requests.Response:
        assert request.headers["Content-Type"] == request.headers["Accept"] == LINES
        assert isinstance(request.body, bytes)
        lines = request.body.splitlines()
        counts.append(len(lines))
        now = next(left)
        if isinstance(now, Exception):
            raise now
        status, found = now(lines)
        return made(request, status, b"".join(found), {"Content-Type": LINES, "X-Request-ID": "x"})

    client, wire = over(answer, retries=0)
    wire.sent = deque(maxlen=1)  # all of them would take memory
    client._check = False
    return client, counts


def plans(lines: list[bytes]) -> list[bytes]:
    return [json.dumps(numbered(json.loads(line))).encode() + b"\n" for line in lines]


def problem(status: int) -> bytes:
    return json.dumps({"type": "about:blank", "title": "t", "status": status, "detail": "d", "errors": []}).encode() \
        + b"\n"


def test_the_rest_of_a_stream_that_ends_early_is_sent_again() -> None:
    client, counts = in_turn(lambda lines: (200, [*plans(lines[:3]), problem(503)]), lambda lines: (200, plans(lines)))
    assert names(client.stream_batches(bodies(6), workers=1)) == [str(number) for number in range(6)]
    assert counts == [6, 3]


def test_a_stream_that_ends_at_once_costs_one_batch_and_always_gets_on() -> None:
    client, counts = in_turn(*[lambda lines: (200, [problem(503)])] * 3)
    assert names(client.stream_batches(bodies(3), workers=1)) == [Busy] * 3
    assert counts == [3, 2, 1]


@pytest.mark.parametrize(("answer", "error"), [
    (lambda lines: (503, [problem(503)]), Busy), (lambda lines: (422, [problem(422)]), InvalidInput),
    (lambda lines: (200, []), ServerFault), (lambda lines: (200, plans([*lines, *lines])), ServerFault),
    (lambda lines: (200, [b"[]\n"]), ServerFault), (lambda lines: (200, [b"{}\n"]), ServerFault),
    (lambda lines: (200, [plans(lines)[0][:-1]]), Unreachable),
    (lambda lines: (200, [plans(lines)[0], b'{"a": \n']), Unreachable),
    (requests.ConnectionError("broken"), Unreachable)])
def test_a_block_that_fails_gives_each_of_its_batches_the_reason_and_stops_no_other(
        answer: Answer, error: type[Exception]) -> None:
    client, _ = in_turn(answer, lambda lines: (200, plans(lines)))
    assert names(client.stream_batches(bodies(4), workers=1, block=2)) == [error, error, "2", "3"]


def test_a_block_has_at_most_so_many_bytes() -> None:
    large = [{"number": number, "notes": "x" * 70_000} for number in range(5)]
    client, counts = in_turn(*[lambda lines: (200, plans(lines))] * 3)
    assert names(client.stream_batches(large, workers=1)) == [str(number) for number in range(5)]
    assert counts == [2, 2, 1]


def test_a_misspelt_name_is_not_sent() -> None:
    client = StubClient()
    first, second = client.stream_batches([{"recip": 1}, recorded()["batches"].body])
    assert isinstance(first, InvalidInput)
    assert "recipe" in str(first)
    assert isinstance(second, Batch)
    assert len(client.sent) == 1


@pytest.mark.parametrize("options", [{"workers": 0}, {"workers": 33}, {"block": 0}, {"block": 65}])
def test_numbers_that_cannot_be_are_refused(options: dict[str, int]) -> None:
    with pytest.raises(ClientError, match=next(iter(options))):
        list(StubClient().stream_batches([], **options))


def test_a_closed_client_says_so() -> None:
    client = StubClient()
    client.close()
    with pytest.raises(ClientError, match="closed"):
        list(client.stream_batches([recorded()["batches"].body]))


def test_memory_does_not_grow_with_the_number_of_batches() -> None:
    def most(count: int) -> int:
        client = in_turn(*[lambda lines: (200, [line + b"\n" for line in lines])] * count)[0]
        tracemalloc.start()
        # each line is answered by a problem of its own size, so that nothing but the stream itself is measured
        body = {"status": 422, "detail": "x" * 2000}
        try:
            assert sum(1 for _ in client.stream_batches(iter([body] * count), workers=1, block=8)) == count
            return tracemalloc.get_traced_memory()[1]
        finally:
            tracemalloc.stop()

    most(32)
    assert most(640) < most(160) + 200_000  # 480 bodies more have a megabyte
