"""Throughput of /v1/lye and /v1/batches under gunicorn, against a bare Flask JSON echo of the same sizes.

    make bench

Both servers run with the same settings and one worker; rounds alternate between them, so that a busy machine slows
both. What is reported is the ratio of each round, its median and its spread. Nothing is gated: a benchmark is read.
"""

from __future__ import annotations

import argparse
import contextlib
import json
import os
import platform
import re
import socket
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

HERE = Path(__file__).resolve().parent
DEMO = HERE.parents[1] / "client" / "examples" / "kiln_dusk.json"
CONNECTIONS = 4
LYE = {"fats": [{"fat": "olive", "mass": 500}, {"fat": "coconut", "mass": 300}, {"fat": "shea", "mass": 200}],
       "superfat_pct": 5, "alkalis": [{"alkali": "NaOH", "purity_pct": 98}],
       "water": {"lye_concentration_pct": 33}, "temperatures": {"water": 20, "fats": 38}}


@dataclass(frozen=True, slots=True)
class Case:
    """One kind of request.

    Parameters
    ----------
    name, path, accept : str
        Its name here, its path, the Accept header. [text]
    body : bytes
        What is sent. [JSON]
    """

    name: str
    path: str
    accept: str
    body: bytes


def cases() -> list[Case]:
    """The three kinds of request."""
    lye, batch = json.dumps(LYE).encode(), json.dumps(json.loads(DEMO.read_text(encoding="utf-8"))).encode()
    return [Case("lye", "/v1/lye", "application/json", lye), Case("batches", "/v1/batches", "application/json", batch),
            Case("sheet", "/v1/batches", "text/html", batch)]


def free_port() -> int:
    """A loopback port that nobody listens on right now."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@contextlib.contextmanager
def server(target: str, environment: dict[str, str]) -> Iterator[int]:
    """A gunicorn of `target` with the service's own settings; gives its port and stops it at the end."""
    port = free_port()
    process = subprocess.Popen(
        [sys.executable, "-m", "gunicorn", "--config", "python:kettlewright.gunicorn_conf", "--bind",
         f"127.0.0.1:{port}", "--workers", "1", target],
        cwd=HERE, env={**os.environ, "KETTLEWRIGHT_LOG_LEVEL": "warning", **environment})
    try:
        give_up = time.monotonic() + 20
        while True:
            with contextlib.suppress(OSError), socket.create_connection(("127.0.0.1", port), timeout=1):
                break
            if time.monotonic() > give_up or process.poll() is not None:
                raise SystemExit(f"{target} did not start")
            time.sleep(0.05)
        yield port
    finally:
        process.terminate()
        process.wait()


def wire(case: Case, path: str) -> bytes:
    """The bytes of one request, made once so that the load costs little."""
    head = (f"POST {path} HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/json\r\nAccept: {case.accept}\r\n"
            f"Content-Length: {len(case.body)}\r\n\r\n")
    return head.encode() + case.body


def ask(connection: socket.socket, request: bytes) -> tuple[int, bytes]:
    """Send one request and read its whole reply: status and body."""
    connection.sendall(request)
    got = b""
    while b"\r\n\r\n" not in got:
        part = connection.recv(65536)
        if not part:
            raise SystemExit("the server hung up")
        got += part
    head, _, body = got.partition(b"\r\n\r\n")
    length = int(re.search(rb"(?i)content-length: *(\d+)", head)[1])  # type: ignore[index]  # both servers send it
    while len(body) < length:
        body += connection.recv(65536)
    return int(head.split(b" ", 2)[1]), body


def measure(port: int, request: bytes, seconds: float) -> float:
    """Replies a second over a few connections kept open."""
    counts = [0] * CONNECTIONS
    end = time.perf_counter() + seconds

    def load(which: int) -> None:
        with socket.create_connection(("127.0.0.1", port)) as connection:
            while time.perf_counter() < end:
                status, _ = ask(connection, request)
                if status != 200:
                    raise SystemExit(f"status {status}")
                counts[which] += 1

    began = time.perf_counter()
    threads = [threading.Thread(target=load, args=(which,)) for which in range(CONNECTIONS)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return sum(counts) / (time.perf_counter() - began)


def main() -> None:
    """Measure and print a table."""
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--rounds", type=int, default=7)
    options.add_argument("--seconds", type=float, default=1.5)
    chosen = options.parse_args()
    wanted = cases()
    with contextlib.ExitStack() as stack:
        folder = Path(stack.enter_context(tempfile.TemporaryDirectory()))
        ours = stack.enter_context(server("kettlewright.app:create_app()", {}))
        kept: dict[str, Any] = {}
        sizes = {}
        for case in wanted:
            with socket.create_connection(("127.0.0.1", ours)) as connection:
                status, body = ask(connection, wire(case, case.path))
            if status != 200:
                raise SystemExit(f"{case.name} answered {status}: {body[:300]!r}")
            kept[case.name] = body.decode() if case.accept == "text/html" else json.loads(body)
            sizes[case.name] = len(body)
        (folder / "replies.json").write_text(json.dumps(kept), encoding="utf-8")
        echo = stack.enter_context(server("echo:app", {"ECHO_REPLIES": str(folder / "replies.json")}))
        print(f"Python {platform.python_version()}, {os.cpu_count()} processors, one worker each, {CONNECTIONS} "
              f"connections, {chosen.rounds} rounds of {chosen.seconds:g} s, alternating")
        print(f"{'case':8} {'sent B':>7} {'reply B':>8} {'ours /s':>8} {'echo /s':>8} {'ratio':>6}  spread")
        for case in wanted:
            mine, theirs = [], []
            for _ in range(chosen.rounds):
                mine.append(measure(ours, wire(case, case.path), chosen.seconds))
                theirs.append(measure(echo, wire(case, f"/{case.name}"), chosen.seconds))
            ratios = [a / b for a, b in zip(mine, theirs, strict=True)]
            print(f"{case.name:8} {len(case.body):7} {sizes[case.name]:8} {statistics.median(mine):8.0f} "
                  f"{statistics.median(theirs):8.0f} {statistics.median(ratios):6.2f}  {min(ratios):.2f} to "
                  f"{max(ratios):.2f}")


if __name__ == "__main__":
    main()
