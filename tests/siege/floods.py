"""Floods of heavy requests, with probes beside them: what is answered, and how fast."""

from __future__ import annotations

import threading
import time
from collections import Counter
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from typing import Any

import requests
from kettlewright_client import Busy, Client, ClientError

from siege.wire import HEALTH, LYE, Answer, exchange, get, latencies

__all__ = ["Flood", "Probes", "flood", "flood_by_client"]

PROBE_SECONDS = 3.0


class Probes:
    """Sends probes and a lye request in turn, until it is stopped; none waits longer than 3 s (the container's check).

    Parameters
    ----------
    port : int
        Where. [port]
    """

    def __init__(self, port: int) -> None:
        self.answers: list[Answer] = []
        self._port, self._end = port, threading.Event()
        self._thread = threading.Thread(target=self._run)

    def __enter__(self) -> Probes:
        self._thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._end.set()
        self._thread.join()

    def _run(self) -> None:
        requests = (HEALTH, LYE, get("/readyz"))
        number = 0
        while not self._end.is_set():
            self.answers.append(exchange(self._port, requests[number % 3], timeout=PROBE_SECONDS))
            number += 1
            self._end.wait(0.1)

    @property
    def lost(self) -> int:
        """Probes that were not answered with 200 in time. [probes]"""
        return sum(one.status != 200 or not one.whole for one in self.answers)

    def in_words(self) -> str:
        """Lost of sent; median and longest time. [text]"""
        return f"{self.lost} of {len(self.answers)} | {latencies(self.answers)}"


@dataclass(frozen=True, slots=True)
class Flood:
    """What came of a flood.

    Parameters
    ----------
    count : int
        Requests at once. [requests]
    statuses : mapping
        How many answers of each status; 0 for none. [answers]
    without_retry_after : int
        Answers of 503 that all slots are taken which do not say when to come again. [answers]
    seconds : float
        Until the last answer. [s]
    probes : Probes
        Beside it. [probes]
    """

    count: int
    statuses: dict[int, int]
    without_retry_after: int
    seconds: float
    probes: Probes


def flood(port: int, requests: Sequence[bytes], count: int, *, timeout: float = 90.0) -> Flood:
    """Send many requests at once (`port`, `requests`: in turn, `count`), and probes beside them."""
    begun = time.monotonic()
    with Probes(port) as probes, ThreadPoolExecutor(count) as callers:
        time.sleep(0.2)
        answers = list(callers.map(lambda i: exchange(port, requests[i % len(requests)], timeout=timeout),
                                   range(count)))
        time.sleep(0.2)
    busy = [one for one in answers if one.status == 503 and b"slots" in one.body]  # others were stopped at the limit
    return Flood(count, dict(sorted(Counter(one.status if one.whole else 0 for one in answers).items())),
                 sum("retry-after" not in one.headers for one in busy), time.monotonic() - begun, probes)


class _Watched(requests.Session):
    """A session that notes how long after a 503 it is used again (`pauses`: seconds, added to)."""

    def __init__(self, pauses: list[float]) -> None:
        super().__init__()
        self.trust_env = False
        self._pauses, self._busy_at = pauses, 0.0

    def send(self, request: requests.PreparedRequest, **more: Any) -> requests.Response:
        """Send and note (`request`, `more`: as of requests)."""
        if self._busy_at:
            self._pauses.append(time.monotonic() - self._busy_at)
        answer = super().send(request, **more)
        self._busy_at = time.monotonic() if "Retry-After" in answer.headers else 0.0
        return answer


def flood_by_client(port: int, body: dict[str, Any], count: int, *, retries: int = 10) -> tuple[Flood, float]:
    """The same by our client, each call with its own (`port`, `body`: of /v1/purchases, `count`, `retries`).

    Returns
    -------
    tuple : the flood (status 200 for a result, 503 where the client gave up, 0 for anything else), and the shortest
        time after which a client came again that had read Retry-After [s]
    """
    pauses: list[float] = []

    def call(_: int) -> int:
        session = _Watched(pauses)
        with Client(f"http://127.0.0.1:{port}", timeout=(10.0, 60.0), patience=120.0, retries=retries,
                    session=session) as client:
            try:
                client.purchases(**body)
            except Busy:
                return 503
            except ClientError:
                return 0
            return 200

    begun = time.monotonic()
    with Probes(port) as probes, ThreadPoolExecutor(count) as callers:
        statuses = Counter(callers.map(call, range(count)))
    return (Flood(count, dict(sorted(statuses.items())), 0, time.monotonic() - begun, probes),
            min(pauses, default=float("nan")))
