"""A long stream of batches: memory of the worker while it is answered."""

from __future__ import annotations

import argparse
import http.client
import itertools
import json
import threading
import time
from collections.abc import Iterator

from servers import Server, gunicorn
from trial import DEMO

__all__ = ["stream_of_lines"]

_SMALL = {"recipe": {"fats": [{"fat": "olive", "share_pct": 70}, {"fat": "coconut", "share_pct": 30}],
                     "superfat_pct": 5, "alkalis": [{"alkali": "NaOH"}], "water": {"lye_concentration_pct": 33}},
          "mould": {"shape": "box", "length": 250, "width": 80, "depth": 60}}


def stream_of_lines(count: int) -> str:
    """A section: one request of so many lines, one in ten of them a whole example (`count`)."""
    whole, small = json.loads(DEMO.read_text(encoding="utf-8")), _SMALL

    def lines() -> Iterator[bytes]:
        for number in range(count):
            body = whole if number % 10 == 0 else small
            yield json.dumps({**body, "title": f"Batch {number}"}).encode() + b"\n"

    with gunicorn("kettlewright.app:create_app()", {"KETTLEWRIGHT_HEAVY_SECONDS": "10"}) as server:
        before = server.cpu_seconds()
        samples, seconds, found = _send(server, lines(), count)
        cpu = server.cpu_seconds() - before
    places = [round(place * (len(samples) - 1) / 8) for place in range(9)]
    shown = ", ".join(f"{samples[place][0]:,}: {samples[place][1]:.0f}" for place in places)
    return (f"## A stream of {count:,} batches\n\nOne request (`application/x-ndjson`), one line in ten with fades, "
            f"layers and cuts: {found:,} plans in order in {seconds:.0f} s ({count / seconds:.0f} a second; "
            f"{cpu / count * 1000:.2f} ms of CPU each). Memory in MB (RSS of all processes) after so many lines: "
            f"{shown}.\n")


def _send(server: Server, lines: Iterator[bytes], count: int) -> tuple[list[tuple[int, float]], float, int]:
    connection = http.client.HTTPConnection("127.0.0.1", server.port, timeout=60)
    connection.putrequest("POST", "/v1/batches")
    for name, value in (("Content-Type", "application/x-ndjson"), ("Transfer-Encoding", "chunked")):
        connection.putheader(name, value)
    connection.endheaders()

    def send() -> None:
        while part := b"".join(itertools.islice(lines, 16)):
            connection.send(f"{len(part):x}\r\n".encode() + part + b"\r\n")
        connection.send(b"0\r\n\r\n")

    sender = threading.Thread(target=send, daemon=True)
    begun = time.perf_counter()
    sender.start()
    reply = connection.getresponse()
    if reply.status != 200:
        raise SystemExit(f"the stream answered {reply.status}")
    samples, found = [], 0
    for number, line in enumerate(reply):
        if number % max(count // 200, 1) == 0:
            samples.append((number, server.memory_mb().resident))
        # the title shows that the replies come in order
        if f'"title":"Batch {number}"'.encode() not in line:
            raise SystemExit(f"line {number}: {line[:300]!r}")
        found += 1
    samples.append((found, server.memory_mb().resident))
    if found != count:
        raise SystemExit(f"{found} of {count} lines were answered")
    return samples, time.perf_counter() - begun, found


if __name__ == "__main__":
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("lines", type=int, nargs="?", default=100_000)
    print(stream_of_lines(options.parse_args().lines))
