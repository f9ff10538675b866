"""Light requests by curl and by our client at the same time, while something happens; instances that end and start."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import threading
import time
from collections import Counter
from pathlib import Path
from typing import Any

from api.gunicorn import Running
from kettlewright_client import Client, ClientError

from siege.wire import exchange, get

__all__ = ["Load", "kill", "processes_of", "start_again", "terminate"]

_LYE = {"fats": [{"fat": "olive", "mass": 700}, {"fat": "coconut", "mass": 300}], "superfat_pct": 5,
        "alkalis": [{"alkali": "NaOH", "purity_pct": 98}], "water": {"water_to_alkali": 2}}
_EXIT = {7: "connection refused", 18: "cut off", 28: "no answer within 30 s", 52: "no answer", 55: "could not send",
         56: "connection reset"}
"""Exit statuses of curl (its manual, EXIT CODES). [words]"""


class Load:
    """Calls a port until the block ends: 4 threads by curl, 4 by our client.

    Parameters
    ----------
    port : int
        Where. [port]
    headers : mapping, optional
        Of every request. [text]
    pause_s : float
        Of each thread after each request. [s]
    """

    def __init__(self, port: int, headers: dict[str, str] | None = None, pause_s: float = 0.0) -> None:
        self.raw: Counter[str] = Counter()
        """GET /v1/fats/olive and POST /v1/lye in turn by curl, a process each, no retries, by outcome. [answers]"""
        self.client_errors: Counter[str] = Counter()
        """Calls of our client that failed, by error. [calls]"""
        self.client_made = 0
        """Calls of our client. [calls]"""
        self._port, self._headers, self._pause_s = port, headers or {}, pause_s
        self._lock, self._over = threading.Lock(), threading.Event()
        self._threads = [threading.Thread(target=load) for load in (self._by_curl, self._by_client) for _ in range(4)]

    @property
    def raw_made(self) -> int:
        """Requests by curl. [requests]"""
        return self.raw.total()

    @property
    def raw_lost(self) -> int:
        """Requests by curl that were not answered with 200. [requests]"""
        return self.raw_made - self.raw["200"]

    @property
    def client_lost(self) -> int:
        """Calls of our client that failed. [calls]"""
        return self.client_errors.total()

    def __enter__(self) -> Load:
        for thread in self._threads:
            thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._over.set()
        for thread in self._threads:
            thread.join()

    def _by_curl(self) -> None:
        number = 0
        while not self._over.is_set():
            outcome = self._one_by_curl("/v1/lye" if number % 2 else "/v1/fats/olive", _LYE if number % 2 else None)
            number += 1
            with self._lock:
                self.raw[outcome] += 1
            time.sleep(self._pause_s)

    def _one_by_curl(self, path: str, body: dict[str, Any] | None) -> str:
        sent = ["--json", json.dumps(body)] if body else []
        for name, value in self._headers.items():
            sent += ["--header", f"{name}: {value}"]
        done = subprocess.run(["curl", "--silent", "--output", os.devnull, "--write-out", "%{http_code}", "--max-time",
                               "30", *sent, f"http://127.0.0.1:{self._port}{path}"], capture_output=True, text=True)
        return done.stdout if done.returncode == 0 else _EXIT.get(done.returncode, f"curl {done.returncode}")

    def _by_client(self) -> None:
        with Client(f"http://127.0.0.1:{self._port}") as client:
            while not self._over.is_set():
                error = ""
                try:
                    client.lye(**_LYE, headers=self._headers)
                except ClientError as raised:
                    error = type(raised).__name__
                with self._lock:
                    self.client_made += 1
                    if error:
                        self.client_errors[error] += 1
                time.sleep(self._pause_s)


def processes_of(one: Running) -> list[int]:
    """Process ids of an instance (`one`): its main process, then its workers."""
    pid = one.process.pid
    children = Path(f"/proc/{pid}/task/{pid}/children").read_text(encoding="utf-8").split()
    return [pid, *(int(child) for child in children)]


def terminate(one: Running) -> None:
    """End an instance as an operator does (`one`)."""
    one.process.terminate()
    one.process.wait(timeout=30)


def kill(one: Running) -> None:
    """End an instance and its workers at once (`one`)."""
    for pid in processes_of(one):
        os.kill(pid, signal.SIGKILL)
    one.process.wait(timeout=30)


def start_again(one: Running) -> None:
    """The same instance, on the same port (`one`); it ends when `running` ends it."""
    command = list(one.process.args)
    with one.log.open("ab") as log:
        fresh = subprocess.Popen(command, stdout=log, stderr=subprocess.STDOUT, env=one.environment)
    one.process.__dict__.update(fresh.__dict__)  # so that whoever holds the instance ends the one that runs
    for _ in range(1200):
        if exchange(one.port, get("/readyz"), timeout=1).status == 200:
            return
        time.sleep(0.05)
    raise AssertionError(one.log.read_text(encoding="utf-8"))
