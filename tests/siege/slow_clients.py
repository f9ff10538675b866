"""Slow clients: connections that send a letter now and then, or read none, while probes are sent beside them."""

from __future__ import annotations

import socket
import threading
import time
from contextlib import suppress

from siege.floods import Probes

__all__ = ["STARTS", "probes_beside_slow_clients"]

STARTS = (
    b"GET /healthz HTTP/1.1\r\nHost: localhost\r\nX-Slow: ",
    b"POST /v1/lye HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nContent-Length: 5000\r\n\r\n{",
    b"",
    b"GET /openapi.json HTTP/1.1\r\nHost: localhost\r\n\r\n",
)
"""How connections begin: slow with their headers, slow with their body, silent, slow to read a large answer. [bytes]"""


def probes_beside_slow_clients(port: int, count: int, seconds: float) -> Probes:
    """Hold many slow connections for a time (`port`, `count`, `seconds`), a quarter each slow with their headers, slow
    with their body, silent, and slow to read a large answer; give the probes that were sent beside them."""
    connections: list[socket.socket] = []
    for number in range(count):
        with suppress(OSError):
            connection = socket.create_connection(("127.0.0.1", port), timeout=2)
            connection.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 4096)
            connection.sendall(STARTS[number % len(STARTS)])
            connections.append(connection)
    end = threading.Event()

    def drip() -> None:
        while not end.wait(1.0):
            for number, connection in enumerate(connections):
                if number % len(STARTS) < 2:
                    with suppress(OSError):
                        connection.send(b"x")

    dripping = threading.Thread(target=drip)
    dripping.start()
    with Probes(port) as probes:
        time.sleep(seconds)
    end.set()
    dripping.join()
    for connection in connections:
        connection.close()
    return probes
