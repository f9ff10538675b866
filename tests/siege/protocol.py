"""The battery of raw protocol: what is broken is refused, what is odd but right is answered, and nothing hangs."""

from __future__ import annotations

import json
import socket
import time
from dataclasses import dataclass

from siege.wire import HEALTH, LYE, Answer, exchange, read_answer

__all__ = ["CASES", "Case", "Outcome", "run_battery"]

_BODY = LYE.partition(b"\r\n\r\n")[2]
_POST = b"POST /v1/lye HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"
_END = b"Connection: close\r\n\r\n"
_CHUNKED = b"Transfer-Encoding: chunked\r\n"


@dataclass(frozen=True, slots=True)
class Case:
    """One thing that is sent.

    Parameters
    ----------
    name : str
        What it is. [text]
    sent : bytes
        The bytes. [bytes]
    allowed : tuple of int
        Statuses that are right; 0 for a connection that is closed without an answer. [codes]
    half_close : bool
        Say after them that no more will come. [yes or no]
    """

    name: str
    sent: bytes
    allowed: tuple[int, ...]
    half_close: bool = True


def _length(n: int) -> bytes:
    return b"Content-Length: %d\r\n" % n


N = len(_BODY)
CASES = (
    Case("a plain request", LYE, (200,), half_close=False),
    Case("a plain request, then half-closed", LYE, (200,)),
    Case("chunks", _POST + _CHUNKED + _END + b"%x\r\n%s\r\n0\r\n\r\n" % (N, _BODY), (200,), half_close=False),
    Case("broken chunk size", _POST + _CHUNKED + _END + b"zz\r\n%s\r\n0\r\n\r\n" % _BODY, (400,)),
    Case("negative chunk size", _POST + _CHUNKED + _END + b"-5\r\nabcde\r\n0\r\n\r\n", (400,)),
    Case("chunk longer than sent", _POST + _CHUNKED + _END + b"ffff\r\n%s" % _BODY, (400,)),
    Case("no last chunk", _POST + _CHUNKED + _END + b"%x\r\n%s\r\n" % (N, _BODY), (400,)),
    Case("body shorter than its length", _POST + _length(N + 9) + _END + _BODY, (400,)),
    Case("body longer than its length", _POST + _length(N - 9) + _END + _BODY, (400,)),
    Case("length and chunks", _POST + _length(N) + _CHUNKED + _END + b"%x\r\n%s\r\n0\r\n\r\n" % (N, _BODY), (400,)),
    Case("two lengths", _POST + _length(N) + _length(3) + _END + _BODY, (400,)),
    Case("negative length", _POST + b"Content-Length: -1\r\n" + _END, (400,)),
    Case("length that is no number", _POST + b"Content-Length: 1e3\r\n" + _END + _BODY, (400,)),
    Case("length with a plus", _POST + b"Content-Length: +%d\r\n" % N + _END + _BODY, (400,)),
    Case("unknown coding", _POST + b"Transfer-Encoding: gzip\r\n" + _END + _BODY, (400, 501)),
    Case("chunked twice", _POST + b"Transfer-Encoding: chunked, chunked\r\n" + _END + b"0\r\n\r\n", (400, 501)),
    Case("no Host", b"GET /healthz HTTP/1.1\r\nConnection: close\r\n\r\n", (400,)),
    Case("two Hosts", b"GET /healthz HTTP/1.1\r\nHost: localhost\r\nHost: other\r\n" + _END, (400,)),
    Case("another's name", b"GET /healthz HTTP/1.1\r\nHost: evil.example\r\n" + _END, (421,)),
    Case("HTTP/1.0", b"GET /healthz HTTP/1.0\r\n\r\n", (200,)),
    Case("HTTP/2 preface", b"PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n", (400, 505)),
    Case("HTTP/9.9", b"GET /healthz HTTP/9.9\r\nHost: localhost\r\n" + _END, (400, 505)),
    Case("no version", b"GET /healthz\r\n\r\n", (400, 0)),
    Case("line of 100 kB", b"GET /" + b"x" * 100_000 + b" HTTP/1.1\r\nHost: localhost\r\n" + _END, (0, 400, 414, 431)),
    Case("field of 100 kB", b"GET /healthz HTTP/1.1\r\nHost: localhost\r\nX-A: " + b"x" * 100_000 + b"\r\n" + _END,
         (0, 400, 431)),
    Case("1,000 fields", b"GET /healthz HTTP/1.1\r\nHost: localhost\r\n" + b"X-A: 1\r\n" * 1000 + _END, (0, 400, 431)),
    Case("bare line feeds", b"GET /healthz HTTP/1.1\nHost: localhost\n\n", (400, 0)),
    Case("folded field", b"GET /healthz HTTP/1.1\r\nHost: localhost\r\nX-A: 1\r\n 2\r\n" + _END, (400,)),
    Case("space before the colon", b"GET /healthz HTTP/1.1\r\nHost : localhost\r\n" + _END, (400,)),
    Case("byte 0 in a field", b"GET /healthz HTTP/1.1\r\nHost: localhost\r\nX-A: a\0b\r\n" + _END, (400,)),
    Case("unknown method", b"BREW /v1/lye HTTP/1.1\r\nHost: localhost\r\n" + _END, (405,)),
    Case("TRACE", b"TRACE /v1/lye HTTP/1.1\r\nHost: localhost\r\n" + _END, (405,)),
    Case("CONNECT", b"CONNECT example.org:443 HTTP/1.1\r\nHost: localhost\r\n" + _END, (400, 404, 405, 421)),
    Case("TLS on a plain port", b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03" + b"\0" * 200, (400, 0)),
    Case("GET with a body", b"GET /v1/fats HTTP/1.1\r\nHost: localhost\r\n" + _length(2) + _END + b"{}", (400,)),
    Case("body above the limit", _POST + _length(262_145) + _END + b"x" * 262_145, (413, 0)),
    Case("length of 10 GB", _POST + _length(10**10) + _END, (413,)),
    Case("Expect: 100-continue", _POST + _length(N) + b"Expect: 100-continue\r\n" + _END + _BODY, (100, 200)),
    Case("upgrade to a socket", b"GET /healthz HTTP/1.1\r\nHost: localhost\r\nConnection: Upgrade\r\nUpgrade: websocket"
         b"\r\n\r\n", (200, 400)),
    Case("nothing", b"", (0, 400)),
)


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of a case: its name, its status, whether that is right, and its time [s]."""

    name: str
    status: int
    right: bool
    seconds: float


def run_battery(port: int) -> list[Outcome]:
    """Send every case to a port of the loopback (`port`), and look after each whether the service is alive."""
    found = []
    for case in CASES:
        answer = exchange(port, case.sent, timeout=20, half_close=case.half_close)
        alive = exchange(port, HEALTH, timeout=5).status == 200
        found.append(Outcome(case.name, answer.status, answer.status in case.allowed and alive, answer.seconds))
    return [*found, *_pipelined(port), _reset(port)]


def _pipelined(port: int) -> list[Outcome]:
    """Three requests in one piece get three answers in order, or the connection is closed after fewer."""
    one = LYE.replace(b"Connection: close\r\n", b"")
    begun = time.monotonic()
    answers: list[Answer] = []
    with socket.create_connection(("127.0.0.1", port), timeout=20) as connection:
        connection.sendall(one + HEALTH.replace(b"Connection: close\r\n", b"") + one)
        held = b""
        connection.settimeout(5)
        try:
            while held.count(b"HTTP/1.1 ") < 3 or not held.endswith(b"}"):
                more = connection.recv(65536)
                if not more:
                    break
                held += more
        except OSError:
            pass
    parts = held.split(b"HTTP/1.1 ")[1:]
    right = bool(parts) and all(part.startswith(b"200") for part in parts)
    whole = all(_is_json(part.partition(b"\r\n\r\n")[2]) for part in parts)
    answers.append(Answer(200 if right and whole else 0, {}, held, time.monotonic() - begun))
    return [Outcome(f"three pipelined: {len(parts)} answered", answers[0].status, answers[0].status == 200,
                    answers[0].seconds)]


def _is_json(text: bytes) -> bool:
    try:
        json.loads(text)
    except ValueError:
        return False
    return True


def _reset(port: int) -> Outcome:
    """Twenty callers send a request and vanish with a reset; the service answers the next one."""
    begun = time.monotonic()
    for _ in range(20):
        connection = socket.create_connection(("127.0.0.1", port), timeout=20)
        connection.sendall(LYE)
        connection.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, b"\1\0\0\0\0\0\0\0")
        connection.close()
    connection = socket.create_connection(("127.0.0.1", port), timeout=20)
    connection.sendall(LYE)
    answer = read_answer(connection, begun, begun + 20)
    connection.close()
    return Outcome("20 callers vanish, then one asks", answer.status, answer.status == 200, answer.seconds)
