"""A real gunicorn on the loopback, as it is configured, for tests that look at bytes, logs and memory."""

from __future__ import annotations

import json
import os
import socket
import subprocess
import sys
import time
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

__all__ = ["Running", "running"]


@dataclass(frozen=True)
class Running:
    """A gunicorn that runs: its process, its port, the file of its log, and its environment."""

    process: subprocess.Popen[bytes]
    port: int
    log: Path
    environment: Mapping[str, str]

    def send(self, *parts: bytes, close: bool = False) -> tuple[int, dict[str, str], bytes]:
        """Send bytes as they are, and read one answer; `close` says that no more will come."""
        with socket.create_connection(("127.0.0.1", self.port), timeout=30) as connection:
            for part in parts:
                connection.sendall(part)
            if close:
                connection.shutdown(socket.SHUT_WR)
            return self.read(connection)

    @staticmethod
    def read(connection: socket.socket) -> tuple[int, dict[str, str], bytes]:
        """One answer: status, headers in lower case, body."""
        held = b""
        while b"\r\n\r\n" not in held:
            more = connection.recv(65536)
            if not more:
                break
            held += more
        head, _, body = held.partition(b"\r\n\r\n")
        first, *lines = head.decode("latin-1").split("\r\n")
        headers = {name.lower(): value.strip() for name, _, value in (line.partition(":") for line in lines)}
        while len(body) < int(headers.get("content-length", "0")):
            more = connection.recv(65536)
            if not more:
                break
            body += more
        return int(first.split()[1]) if first else 0, headers, body

    def lines(self) -> list[dict[str, Any]]:
        """The log so far; each line must be JSON."""
        whole, _, _begun = self.log.read_text(encoding="utf-8").rpartition("\n")  # the last line may be half written
        return [json.loads(line) for line in whole.splitlines()]

    def wait_for(self, request_id: str) -> dict[str, Any]:
        """The access record of a request; it is written after the answer has been sent."""
        for _ in range(200):
            for line in self.lines():
                if line.get("request_id") == request_id and line["logger"] == "gunicorn.access":
                    return line
            time.sleep(0.02)
        raise AssertionError(f"no record of {request_id}")

    def memory_kb(self) -> int:
        """The most that all its processes ever held together. [kB]"""
        children = Path(f"/proc/{self.process.pid}/task/{self.process.pid}/children").read_text().split()
        return sum(int(line.split()[1]) for pid in (self.process.pid, *children)
                   for line in Path(f"/proc/{pid}/status").read_text().splitlines() if line.startswith("VmHWM"))


@contextmanager
def running(folder: Path, target: str = "kettlewright.app:create_app()", *, prefix: Sequence[str] = (),
            variables: Mapping[str, str] | None = None, **settings: str) -> Iterator[Running]:
    """Start gunicorn with settings (without the KETTLEWRIGHT_ of their names); it ends with the block.

    `prefix` goes before its command (a program that ends in exec); `variables` are more of its environment.
    """
    with socket.create_server(("127.0.0.1", 0)) as free:
        port = free.getsockname()[1]
    log = folder / "log"
    environment = {name: value for name, value in os.environ.items() if not name.startswith("KETTLEWRIGHT_")}
    environment |= {"KETTLEWRIGHT_LISTEN": f"127.0.0.1:{port}", "PYTHONPATH": str(folder)}
    environment |= {f"KETTLEWRIGHT_{name.upper()}": value for name, value in settings.items()} | dict(variables or {})
    with log.open("wb") as out:
        process = subprocess.Popen(
            [*prefix, sys.executable, "-m", "gunicorn", "--config", "python:kettlewright.gunicorn_conf", target],
            stdout=out, stderr=subprocess.STDOUT, env=environment)
        try:
            found = Running(process, port, log, environment)
            _wait(found)
            yield found
        finally:
            process.terminate()
            process.wait(timeout=30)


def _wait(found: Running) -> None:
    for _ in range(600):
        try:
            if found.send(b"GET /readyz HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n")[0] == 200:
                return
        except OSError:
            pass
        if found.process.poll() is not None:
            break
        time.sleep(0.05)
    raise AssertionError(found.log.read_text(encoding="utf-8"))
