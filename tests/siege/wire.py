"""Bytes of requests, and one answer read from a socket within a time."""

from __future__ import annotations

import json
import socket
import statistics
import time
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

__all__ = ["HEALTH", "LYE", "Answer", "exchange", "get", "latencies", "post", "read_answer"]


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer, or what came instead.

    Parameters
    ----------
    status : int
        0 where none came. [code]
    headers : mapping
        In lower case. [text]
    body : bytes
        As it came. [bytes]
    seconds : float
        From the connection to the last byte. [s]
    """

    status: int
    headers: dict[str, str]
    body: bytes
    seconds: float

    @property
    def whole(self) -> bool:
        """Whether a status and the whole body came. [yes or no]"""
        return self.status > 0 and len(self.body) >= int(self.headers.get("content-length", "0"))


def get(path: str, *headers: str) -> bytes:
    """A GET (`path`, `headers`: lines)."""
    return "\r\n".join([f"GET {path} HTTP/1.1", "Host: localhost", "Connection: close", *headers, "", ""]).encode()


def post(path: str, body: Any, *headers: str) -> bytes:
    """A POST of JSON (`path`, `body`: bytes as they are, or an object, `headers`: lines)."""
    sent = body if isinstance(body, bytes) else json.dumps(body).encode()
    head = [f"POST {path} HTTP/1.1", "Host: localhost", "Content-Type: application/json", "Connection: close",
            f"Content-Length: {len(sent)}", *headers, "", ""]
    return "\r\n".join(head).encode() + sent


def exchange(port: int, *parts: bytes, timeout: float = 60.0, half_close: bool = False) -> Answer:
    """Send bytes to a port of the loopback and read one answer (`half_close`: say that no more will come)."""
    begun = time.monotonic()
    try:
        with socket.create_connection(("127.0.0.1", port), timeout=timeout) as connection:
            for part in parts:
                connection.sendall(part)
            if half_close:
                connection.shutdown(socket.SHUT_WR)
            return read_answer(connection, begun, begun + timeout)
    except OSError:
        return Answer(0, {}, b"", time.monotonic() - begun)


def read_answer(connection: socket.socket, begun: float, deadline: float) -> Answer:
    """Read one answer (`connection`) that began at `begun`, until `deadline`."""
    held = b""
    headers: dict[str, str] = {}
    length = -1
    try:
        while True:
            head, end, body = held.partition(b"\r\n\r\n")
            if end and length < 0:
                lines = head.decode("latin-1").split("\r\n")[1:]
                headers = {name.lower(): value.strip() for name, _, value in (line.partition(":") for line in lines)}
                length = int(headers.get("content-length", "0"))
            if end and len(body) >= length and "transfer-encoding" not in headers:
                break
            connection.settimeout(max(deadline - time.monotonic(), 0.001))
            more = connection.recv(65536)
            if not more:
                break
            held += more
    except OSError:
        pass
    head, _, body = held.partition(b"\r\n\r\n")
    first = head.split(b" ", 2)
    status = int(first[1]) if len(first) > 1 and first[0].startswith(b"HTTP/") else 0
    return Answer(status, headers, body, time.monotonic() - begun)


def latencies(answers: Sequence[Answer]) -> str:
    """Median and longest time of answers, in words (`answers`)."""
    times = [one.seconds for one in answers]
    return f"{statistics.median(times):.2f} / {max(times):.2f}" if times else "-"


HEALTH = get("/healthz")
LYE = post("/v1/lye", {"fats": [{"fat": "olive", "mass": 700}, {"fat": "coconut", "mass": 300}], "superfat_pct": 5,
                       "alkalis": [{"alkali": "NaOH", "purity_pct": 98}], "water": {"water_to_alkali": 2}})
