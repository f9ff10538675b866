"""Load over a few connections kept open: as fast as it goes, or at a given rate."""

from __future__ import annotations

import random
import socket
import threading
import time
from collections.abc import Sequence
from dataclasses import dataclass

__all__ = ["Case", "exchange", "latencies", "rate"]

CONNECTIONS = 4
_BUSY = 503
_PAUSE = 0.002  # s, before a request is sent again that found no slot


@dataclass(frozen=True, slots=True)
class Case:
    """One kind of request.

    Parameters
    ----------
    name, method, path : str
        Its name here, its method, its address. [text]
    status : int
        The reply expected. [code]
    headers : tuple of str
        Lines of its head. [text]
    body : bytes
        What is sent. [JSON]
    """

    name: str
    method: str
    path: str
    status: int = 200
    headers: tuple[str, ...] = ()
    body: bytes = b""

    def wire(self, path: str | None = None) -> bytes:
        """The bytes of the request, made once so that the load costs little (`path`: another address)."""
        lines = [f"{self.method} {path or self.path} HTTP/1.1", "Host: 127.0.0.1", *self.headers]
        if self.body:
            lines += ["Content-Type: application/json", f"Content-Length: {len(self.body)}"]
        return "\r\n".join((*lines, "", "")).encode() + self.body


def exchange(connection: socket.socket, request: bytes) -> tuple[int, bytes, bytes]:
    """Send one request and read its whole reply: status, head in lower case, body."""
    connection.sendall(request)
    got = b""
    while (end := got.find(b"\r\n\r\n")) < 0:
        part = connection.recv(262_144)
        if not part:
            raise SystemExit("the server hung up")
        got += part
    head, body = got[:end].lower(), got[end + 4:]
    status = int(head[9:12])
    at = head.find(b"content-length:")
    length = 0 if at < 0 or status == 304 else int(head[at + 15:].split(b"\r\n", 1)[0])
    while len(body) < length:
        part = connection.recv(262_144)
        if not part:
            raise SystemExit("the server hung up in the middle of a reply")
        body += part
    return status, head, body


def _each(count: int, work: object) -> None:
    """Run `work` with 0, 1 ... in as many threads, and raise what one of them raises."""
    failed: list[BaseException] = []

    def run(which: int) -> None:
        try:
            work(which)
        except BaseException as error:
            failed.append(error)

    threads = [threading.Thread(target=run, args=(which,)) for which in range(count)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    if failed:
        raise failed[0]


def _answered(connection: socket.socket, request: bytes, status: int) -> None:
    """Send a request until it is answered."""
    while (found := exchange(connection, request)[0]) == _BUSY:
        time.sleep(_PAUSE)
    if found != status:
        raise SystemExit(f"status {found}")


def rate(port: int, request: bytes, status: int, seconds: float,
         connections: int = CONNECTIONS) -> tuple[float, int]:
    """As many requests as are answered over some connections.

    Parameters
    ----------
    port : int
        Of the server. [port]
    request : bytes
        The request. [HTTP]
    status : int
        The reply expected. [code]
    seconds : float
        How long. [s]
    connections : int
        Over how many at once. [connections]

    Returns
    -------
    (float, int) : replies a second, and how many [1/s, replies]
    """
    counts = [0] * connections
    end = time.perf_counter() + seconds

    def load(which: int) -> None:
        with socket.create_connection(("127.0.0.1", port)) as connection:
            while time.perf_counter() < end:
                _answered(connection, request, status)
                counts[which] += 1

    began = time.perf_counter()
    _each(connections, load)
    return sum(counts) / (time.perf_counter() - began), sum(counts)


def latencies(port: int, request: bytes, status: int, a_second: float, seconds: float, *, even: bool,
              seed: int = 1) -> Sequence[float]:
    """Times of replies to requests that begin at a given rate, whether or not earlier ones have been answered.

    A request that waits for a free connection or a free slot counts from when it should have begun.

    Parameters
    ----------
    port : int
        Of the server. [port]
    request : bytes
        The request. [HTTP]
    status : int
        The reply expected. [code]
    a_second, seconds : float
        The rate, and how long. [1/s, s]
    even : bool
        At equal intervals; else at random, as callers that know nothing of each other do. [yes or no]
    seed : int
        Of the random intervals. [number]

    Returns
    -------
    sequence of float : [ms]
    """
    draw = random.Random(seed)
    starts: list[float] = []
    at = 0.0
    while at < seconds:
        starts.append(at)
        at += 1 / a_second if even else draw.expovariate(a_second)
    waiting, lock, found = iter(starts), threading.Lock(), []
    began = time.perf_counter() + 0.05

    def load(_: int) -> None:
        with socket.create_connection(("127.0.0.1", port)) as connection:
            while True:
                with lock:
                    start = next(waiting, None)
                if start is None:
                    return
                pause = began + start - time.perf_counter()
                if pause > 0:
                    time.sleep(pause)
                _answered(connection, request, status)
                found.append((time.perf_counter() - began - start) * 1000)

    _each(2 * CONNECTIONS, load)
    return found
