"""Servers on the loopback: gunicorn or uvicorn, their CPU time and their memory as the kernel counts them (Linux)."""

from __future__ import annotations

import contextlib
import os
import socket
import subprocess
import sys
import time
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from kettlewright.settings import read_settings

__all__ = ["HERE", "Server", "free_port", "gunicorn", "started", "uvicorn"]

HERE = Path(__file__).resolve().parent
_TICKS = os.sysconf("SC_CLK_TCK")


@dataclass(frozen=True, slots=True)
class Server:
    """A server that runs.

    Parameters
    ----------
    pid, port : int
        Of its main process; where it listens. [number]
    """

    pid: int
    port: int

    def processes(self) -> list[int]:
        """The main process and its workers. [pids]"""
        children = Path(f"/proc/{self.pid}/task/{self.pid}/children").read_text(encoding="utf-8")
        return [self.pid, *map(int, children.split())]

    def wait_for_workers_alone(self, workers: int) -> None:
        """Until the children that compile templates and contract have ended (`workers`: those that stay)."""
        give_up, looked = time.monotonic() + 30, 0
        while looked < 10:  # for a second: a child may be there before the last worker is
            if time.monotonic() > give_up:
                raise SystemExit("a child of the server does not end")
            looked = looked + 1 if len(self.processes()) <= 1 + workers else 0
            time.sleep(0.1)

    def cpu_seconds(self) -> float:
        """CPU time of all its processes so far. [s]"""
        used = 0
        for pid in self.processes():
            fields = Path(f"/proc/{pid}/stat").read_text(encoding="utf-8").rpartition(")")[2].split()
            used += int(fields[11]) + int(fields[12])  # utime and stime, proc(5)
        return used / _TICKS

    def memory_mb(self) -> Memory:
        """Memory of its processes. [MB]"""
        main, *workers = filter(None, map(_memory_of, self.processes()))
        of = workers or [main]
        return Memory(own=sum(one["Private_Clean"] + one["Private_Dirty"] for one in of), part=sum(
            one["Pss"] for one in of), with_main=sum(one["Pss"] for one in (main, *workers)),
            resident=sum(one["Rss"] for one in (main, *workers)))


@dataclass(frozen=True, slots=True)
class Memory:
    """Memory of a server.

    Parameters
    ----------
    own, part : float
        Of its workers: what is theirs alone (USS), and that with their part of what processes share (PSS). [MB]
    with_main, resident : float
        Of workers and main process: as `part`; and with all that they share counted in each (RSS). [MB]
    """

    own: float
    part: float
    with_main: float
    resident: float


def _memory_of(pid: int) -> dict[str, float]:
    found = {}
    with contextlib.suppress(ProcessLookupError, FileNotFoundError):  # a child that compiles has just ended
        for line in Path(f"/proc/{pid}/smaps_rollup").read_text(encoding="utf-8").splitlines()[1:]:
            name, _, rest = line.partition(":")
            found[name] = int(rest.split()[0]) * 1024 / 1e6
    return found


def free_port() -> int:
    """A loopback port that nobody listens on right now."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@contextlib.contextmanager
def started(command: list[str], port: int, environment: Mapping[str, str]) -> Iterator[Server]:
    """A server that listens (`command`, `port`, `environment`: beyond the present one); it ends with the block."""
    process = subprocess.Popen(command, cwd=HERE, env={**os.environ, **environment}, stdout=subprocess.DEVNULL,
                               stderr=subprocess.DEVNULL)
    try:
        give_up = time.monotonic() + 60
        while True:
            with contextlib.suppress(OSError), socket.create_connection(("127.0.0.1", port), timeout=1):
                break
            if time.monotonic() > give_up or process.poll() is not None:
                raise SystemExit(f"{' '.join(command)} did not start")
            time.sleep(0.005)
        yield Server(process.pid, port)
    finally:
        process.terminate()
        process.wait()


@contextlib.contextmanager
def gunicorn(target: str, environment: Mapping[str, str], *, workers: int = 1, bare: bool = False) -> Iterator[Server]:
    """gunicorn with the service's own settings, once its workers are alone.

    Parameters
    ----------
    target : str
        The application, as gunicorn names it. [text]
    environment : mapping
        Variables; PYTHONPATH chooses the version of the service. [text]
    workers : int
        Processes. [number]
    bare : bool
        With threads as the service has them, and nothing else of its settings. [yes or no]

    Returns
    -------
    context manager of a Server
    """
    port = free_port()
    chosen = (["--worker-class", "gthread", "--threads", str(read_settings().threads), "--keep-alive", "75",
               "--no-control-socket"] if bare else ["--config", "python:kettlewright.gunicorn_conf"])
    # a worker that is replaced in the middle hangs up on its callers
    with started([sys.executable, "-m", "gunicorn", *chosen, "--bind", f"127.0.0.1:{port}", "--workers",
                  str(workers), "--max-requests", "0", target], port, environment) as server:
        server.wait_for_workers_alone(workers)
        yield server


def uvicorn(target: str) -> contextlib.AbstractContextManager[Server]:
    """uvicorn with its fastest parts (`target`: the application); it runs in its one process."""
    port = free_port()
    return started([sys.executable, "-m", "uvicorn", target, "--host", "127.0.0.1", "--port", str(port), "--loop",
                    "uvloop", "--http", "httptools", "--no-access-log", "--log-level", "warning"], port, {})
