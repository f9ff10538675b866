"""Many at once: how close the client comes to the rate of one caller times the workers of the service."""

from __future__ import annotations

import itertools
import json
import statistics
import time
from collections.abc import Callable

from kettlewright_client import Client
from load import Case, rate
from servers import gunicorn
from trial import DEMO, bodies

__all__ = ["many_at_once"]


def many_at_once(count: int, rounds: int = 3) -> str:
    """A section: `plan_many` and `sweep` against a plain loop, in alternating rounds (`count` batches, `rounds`)."""
    body = json.loads(DEMO.read_text(encoding="utf-8"))
    superfats = [3 + place / 100 for place in range(count)]

    def loop(client: Client) -> None:
        for _ in range(count):
            client.batches(**body)

    ways: dict[str, Callable[[Client], object]] = {"a loop, one after another": loop}
    for workers in (1, 2, 4):
        ways[f"plan_many, workers={workers}"] = lambda client, workers=workers: list(
            client.plan_many(itertools.repeat(body, count), workers=workers))
        ways[f"sweep, workers={workers}"] = lambda client, workers=workers: client.sweep(
            body, "recipe.superfat_pct", superfats, figures=["lye.batter.mass"], workers=workers)
        ways[f"stream_batches, workers={workers}"] = lambda client, workers=workers: list(
            client.stream_batches(itertools.repeat(body, count), workers=workers, block=8))
    request = Case("batches", "POST", "/v1/batches", body=bodies()["batches"]).wire()
    bare: dict[int, list[float]] = {1: [], 4: []}
    rates: dict[str, list[float]] = {name: [] for name in ways}
    mine: dict[str, float] = dict.fromkeys(ways, 0.0)
    its: dict[str, float] = dict.fromkeys(ways, 0.0)
    with gunicorn("kettlewright.app:create_app()", {}, workers=2) as server, \
            Client(f"http://127.0.0.1:{server.port}") as client:
        for _ in range(10):
            client.batches(**body)
        for _ in range(rounds):
            for name, way in ways.items():
                before = time.perf_counter(), time.process_time(), server.cpu_seconds()
                way(client)
                rates[name].append(count / (time.perf_counter() - before[0]))
                mine[name] += time.process_time() - before[1]
                its[name] += server.cpu_seconds() - before[2]
            for connections, found in bare.items():
                found.append(rate(server.port, request, 200, count / 50, connections)[0])
    alone = rates["a loop, one after another"]
    rows = []
    for name in ways:
        ratio = statistics.median(a / b for a, b in zip(rates[name], alone, strict=True))
        done = count * rounds
        rows.append(f"| {name} | {statistics.median(rates[name]):.0f} | {ratio:.2f} | {mine[name] / done * 1000:.2f} | "
                    f"{its[name] / done * 1000:.2f} |")
    cost, own = (used["a loop, one after another"] / (count * rounds) for used in (its, mine))
    most = 2 * (cost + own) / max(cost + own, 2 * own)
    four = statistics.median(b / a for a, b in zip(bare[1], bare[4], strict=True))
    return (f"## Many at once\n\n{count} batches, service with two workers, client on the same machine, {rounds} "
            "alternating rounds.\n\n| way | batches/s | times the loop | client, CPU ms a batch | service, CPU ms a "
            "batch |\n| --- | --- | --- | --- | --- |\n" + "\n".join(rows)
            + f"\n\nBoth processors at work on nothing else would give {most:.1f} times the loop, since client and "
            "service share them and the client is one process. The bare bytes of the request over four connections, "
            f"from a caller that does next to nothing, are answered {four:.2f} times as often as over one. A "
            "connection that is kept stays with the worker that accepted it, so two connections may share one worker; "
            "four seldom do. Goal: 0.9 times the workers of the service (1.8).\n")
