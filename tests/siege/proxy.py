"""nginx before three instances: slow requests, slow clients, and instances that end and start under load."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import threading
import time
from collections import Counter
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from api.gunicorn import Running
from kettlewright_client import Client, ClientError

from siege.floods import Probes
from siege.servers import proxied
from siege.slow_clients import probes_beside_slow_clients
from siege.wire import exchange, get, post

__all__ = ["SLOW_APP", "Restarts", "SlowRequests", "slow_clients_behind_proxy", "slow_requests_behind_proxy",
           "under_load"]

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
_LYE = {"fats": [{"fat": "olive", "mass": 700}, {"fat": "coconut", "mass": 300}], "superfat_pct": 5,
        "alkalis": [{"alkali": "NaOH", "purity_pct": 98}], "water": {"water_to_alkali": 2}}


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
    with proxied(folder, app=SLOW_APP, heavy_seconds="4") as (port, instances):
        with Probes(port) as probes, ThreadPoolExecutor(count) as callers:
            answers = list(callers.map(lambda _: exchange(port, _SLOW, timeout=40), range(count)))
        started = sum(line.get("path") == "/v1/purchases" for one in instances for line in one.lines()
                      if line["logger"] == "gunicorn.access")
    return SlowRequests(dict(sorted(Counter(one.status for one in answers).items())), started, probes)


def slow_clients_behind_proxy(folder: Path, count: int = 200, seconds: float = 8.0) -> Probes:
    """Slow clients of nginx before three instances, and probes beside them (`folder`, `count`, `seconds`).

    Without the limits for each address: here all clients have one, and most would be refused with 429.
    """
    with proxied(folder, unlimited=True) as (port, _):
        return probes_beside_slow_clients(port, count, seconds)


@dataclass(frozen=True, slots=True)
class Restarts:
    """What clients saw while instances ended and started.

    Parameters
    ----------
    raw : mapping
        GET /v1/fats/olive and POST /v1/lye in turn by curl, one process each and no retries, by status; 0 for none or
        a cut answer. [answers]
    client_lost : int
        Calls of our client that failed. [calls]
    client_made : int
        Calls of our client. [calls]
    """

    raw: dict[int, int]
    client_lost: int
    client_made: int


def under_load(folder: Path, end: Callable[[Running], None]) -> Restarts:
    """Load through nginx while each of three instances ends in turn and starts again (`folder`, `end`: ends one)."""
    raw: Counter[int] = Counter()
    lost = made = 0
    lock, over = threading.Lock(), threading.Event()

    def load_raw(port: int) -> None:
        number = 0
        while not over.is_set():
            status = _by_curl(port, "/v1/lye" if number % 2 else "/v1/fats/olive", _LYE if number % 2 else None)
            number += 1
            with lock:
                raw[status] += 1

    def load_by_client(port: int) -> None:
        nonlocal lost, made
        with Client(f"http://127.0.0.1:{port}") as client:
            while not over.is_set():
                failed = False
                try:
                    client.lye(**_LYE)
                except ClientError:
                    failed = True
                with lock:
                    lost, made = lost + failed, made + 1

    with proxied(folder, unlimited=True) as (port, instances):
        threads = [threading.Thread(target=load, args=(port,)) for load in (load_raw, load_by_client) for _ in range(4)]
        for thread in threads:
            thread.start()
        for one in instances:
            time.sleep(1.0)
            end(one)
            _start_again(one)
        time.sleep(1.0)
        over.set()
        for thread in threads:
            thread.join()
    return Restarts(dict(sorted(raw.items())), lost, made)


def _by_curl(port: int, path: str, body: dict[str, Any] | None) -> int:
    """One request without a client (`port`, `path`, `body`: for a POST); its status, 0 where it failed or was cut."""
    sent = ["--json", json.dumps(body)] if body else []
    done = subprocess.run(["curl", "--silent", "--output", os.devnull, "--write-out", "%{http_code}",
                           "--max-time", "20", *sent, f"http://127.0.0.1:{port}{path}"], capture_output=True, text=True)
    return int(done.stdout) if done.returncode == 0 else 0


def terminate(one: Running) -> None:
    """End an instance as an operator does (`one`)."""
    one.process.terminate()
    one.process.wait(timeout=30)


def kill(one: Running) -> None:
    """End an instance and its workers at once (`one`)."""
    pid = one.process.pid
    workers = Path(f"/proc/{pid}/task/{pid}/children").read_text(encoding="utf-8").split()
    os.kill(pid, signal.SIGKILL)
    for worker in workers:
        os.kill(int(worker), signal.SIGKILL)
    one.process.wait(timeout=30)


def _start_again(one: Running) -> None:
    """The same instance, on the same port (`one`); it ends when `running` ends it."""
    command, environment = list(one.process.args), _environment_of(one)  # type: ignore[arg-type]  # a list it was
    with one.log.open("ab") as log:
        fresh = subprocess.Popen(command, stdout=log, stderr=subprocess.STDOUT, env=environment)
    one.process.__dict__.update(fresh.__dict__)  # so that whoever holds the instance ends the one that runs
    for _ in range(1200):
        if exchange(one.port, get("/readyz"), timeout=1).status == 200:
            return
        time.sleep(0.05)
    raise AssertionError(one.log.read_text(encoding="utf-8"))


def _environment_of(one: Running) -> dict[str, str]:
    return {**{name: value for name, value in os.environ.items() if not name.startswith("KETTLEWRIGHT_")},
            "KETTLEWRIGHT_LISTEN": f"127.0.0.1:{one.port}", "KETTLEWRIGHT_WORKERS": "1",
            "PYTHONPATH": str(one.log.parent)}
