"""A server on the loopback that does to each connection what a test says, byte by byte."""

from __future__ import annotations

import contextlib
import socket
import struct
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

Doing = Callable[["Watched"], None]


@dataclass
class Server:
    """What it heard, and where it is."""

    url: str = ""
    requests: list[bytes] = field(default_factory=list)
    connections: int = 0
    over: threading.Event = field(default_factory=threading.Event)


@contextlib.contextmanager
def server(*doings: Doing) -> Iterator[Server]:
    """A server; the first request gets the first of what it does, and so on, the last for ever."""
    listener = socket.create_server(("127.0.0.1", 0), backlog=64)
    found = Server(f"http://127.0.0.1:{listener.getsockname()[1]}")
    threads: list[threading.Thread] = []

    def accept() -> None:
        while True:
            try:
                connection, _ = listener.accept()
            except OSError:
                return
            found.connections += 1
            threads.append(threading.Thread(target=serve, args=(connection,), daemon=True))
            threads[-1].start()

    def serve(connection: socket.socket) -> None:
        with connection, contextlib.suppress(OSError):
            connection.settimeout(20)
            while (request := heard(connection)) is not None:
                found.requests.append(request)
                doing = doings[min(len(found.requests), len(doings)) - 1]
                doing(Watched(connection, found.over))
                if not getattr(doing, "stays", False):
                    return

    thread = threading.Thread(target=accept, daemon=True)
    thread.start()
    try:
        yield found
    finally:
        found.over.set()
        with contextlib.suppress(OSError):
            listener.shutdown(socket.SHUT_RDWR)
        listener.close()
        for each in [thread, *threads]:
            each.join(timeout=5)


class Watched:
    """A connection whose pauses end with the test."""

    def __init__(self, connection: socket.socket, over: threading.Event) -> None:
        self.connection = connection
        self.over = over

    def sendall(self, data: bytes) -> None:
        self.connection.sendall(data)

    def wait(self, seconds: float) -> bool:
        """Whether the test is over."""
        return self.over.wait(seconds)

    def reset(self) -> None:
        """Break the connection off, with a reset instead of an end."""
        self.connection.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))
        self.connection.close()


def heard(connection: socket.socket) -> bytes | None:
    """A whole request; None where the other side has gone."""
    data = b""
    while b"\r\n\r\n" not in data:
        piece = connection.recv(65536)
        if not piece:
            return None
        data += piece
    head, _, body = data.partition(b"\r\n\r\n")
    for line in head.lower().split(b"\r\n"):
        if line.startswith(b"content-length:"):
            while len(body) < int(line.split(b":")[1]):
                body += connection.recv(65536)
    return head + b"\r\n\r\n" + body


def reply(body: bytes, *, status: str = "200 OK", length: int | None = -1, kind: str = "application/json",
          headers: str = "") -> bytes:
    """A reply as bytes; `length` -1 states the true one, None states none."""
    stated = "" if length is None else f"Content-Length: {len(body) if length == -1 else length}\r\n"
    return (f"HTTP/1.1 {status}\r\nContent-Type: {kind}\r\nX-Request-ID: abc\r\n{stated}{headers}\r\n").encode() + body


def says(data: bytes, *, stays: bool = False) -> Doing:
    """Sends bytes, then ends the connection, or `stays`."""
    def doing(connection: Watched) -> None:
        connection.sendall(data)
    doing.stays = stays
    return doing


def drips(start: bytes, piece: bytes, *, every: float = 0.02) -> Doing:
    """Sends `start` and then `piece` again and again, without end."""
    def doing(connection: Watched) -> None:
        connection.sendall(start)
        while not connection.wait(every):
            connection.sendall(piece)
    return doing


def stalls(start: bytes = b"") -> Doing:
    """Sends `start` and then nothing, and does not end."""
    def doing(connection: Watched) -> None:
        if start:
            connection.sendall(start)
        connection.wait(20)
    return doing


def resets(start: bytes = b"") -> Doing:
    """Sends `start` and breaks off."""
    def doing(connection: Watched) -> None:
        if start:
            connection.sendall(start)
            time.sleep(0.02)
        connection.reset()
    return doing


def floods(start: bytes, piece: bytes) -> Doing:
    """Sends as fast as it can, without end."""
    def doing(connection: Watched) -> None:
        connection.sendall(start)
        while not connection.over.is_set():
            connection.sendall(piece)
    return doing
