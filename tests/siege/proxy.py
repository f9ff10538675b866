"""nginx before three instances: slow requests, slow clients, and instances that end and start under load."""

from __future__ import annotations

import time
from collections import Counter
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

from api.gunicorn import Running

from siege.floods import Probes
from siege.load import Load, start_again
from siege.servers import proxied
from siege.slow_clients import probes_beside_slow_clients
from siege.wire import exchange, post

__all__ = ["SLOW_APP", "SlowRequests", "slow_clients_behind_proxy", "slow_requests_behind_proxy", "under_load"]

SLOW_APP = '''
import time
from kettlewright.app import create_app
from kettlewright.api.door.operations import OPERATIONS

def slow(needs, **_):
    while True:
        sum(range(1000))

def make():
    object.__setattr__(OPERATIONS["purchases"], "view", slow)
    return create_app()
'''
_SLOW = post("/v1/purchases", {"needs": [{"name": "x", "mass": 700}], "packs": []})


@dataclass(frozen=True, slots=True)
class SlowRequests:
    """What came of slow requests.

    Parameters
    ----------
    statuses : mapping
        How many of them were answered with each status. [answers]
    started : int
        How often an instance was sent one of them. [requests]
    probes : Probes
        Beside them. [probes]
    """

    statuses: dict[int, int]
    started: int
    probes: Probes


def slow_requests_behind_proxy(folder: Path, count: int = 6) -> SlowRequests:
    """Requests that reach the limit of 4 s on each of three instances, and probes beside them (`folder`, `count`)."""
    with proxied(folder, app=SLOW_APP, heavy_seconds="4") as (proxy, instances):
        with Probes(proxy.port) as probes, ThreadPoolExecutor(count) as callers:
            answers = list(callers.map(lambda _: exchange(proxy.port, _SLOW, timeout=40), range(count)))
        started = sum(line.get("path") == "/v1/purchases" for one in instances for line in one.lines()
                      if line["logger"] == "gunicorn.access")
    return SlowRequests(dict(sorted(Counter(one.status for one in answers).items())), started, probes)


def slow_clients_behind_proxy(folder: Path, count: int = 200, seconds: float = 8.0) -> Probes:
    """Slow clients of nginx before three instances, and probes beside them (`folder`, `count`, `seconds`).

    Without the limits for each address: here all clients have one, and most would be refused with 429.
    """
    with proxied(folder, unlimited=True) as (proxy, _):
        return probes_beside_slow_clients(proxy.port, count, seconds)


def under_load(folder: Path, end: Callable[[Running], None]) -> Load:
    """Load through nginx while each of three instances ends in turn and starts again (`folder`, `end`: ends one)."""
    with proxied(folder, unlimited=True) as (proxy, instances), Load(proxy.port) as load:
        for one in instances:
            time.sleep(1.0)
            end(one)
            start_again(one)
        time.sleep(1.0)
    return load
