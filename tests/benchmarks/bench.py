"""Measure this folder's service beside that of another commit, interleaved, and write RESULTS.md.

    make bench [BASE=<commit>] [SHORT=1]

All servers run on the loopback with one worker each, beside a bare Flask echo and the same calculation behind FastAPI
(`twin.py`). Short slices alternate between them, so that a busy machine slows all alike; a ratio is that of two slices
that followed each other. CPU time is that of the server's processes. Nothing is gated: a benchmark is read.
"""

from __future__ import annotations

import argparse
import contextlib
import json
import os
import statistics
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from about import ROOT, about_the_run, commit_of, unpacked
from load import Case, latencies, rate
from many import many_at_once
from servers import HERE, Server, gunicorn, uvicorn
from starts import memory_when_warm, seconds_to_the_first_answer
from streams import stream_of_lines
from trial import addresses, bodies, reply_to

BASE = "4a9421a"
GOALS = {"lye": 1.6, "batches": 2.0, "sheet": 2.0, "304 of a batch": 5.0}
_NAMES = ("base", "new", "echo", "twin")


@dataclass
class Measured:
    """What the slices of one case gave, by server.

    Parameters
    ----------
    rates : dict
        Replies a second in each round. [1/s]
    replies, cpu : dict
        All replies, and the CPU time they took. [replies, s]
    """

    rates: dict[str, list[float]] = field(default_factory=dict)
    replies: dict[str, int] = field(default_factory=dict)
    cpu: dict[str, float] = field(default_factory=dict)

    def ratio(self, one: str, other: str) -> str:
        """How much faster `one` is than `other`: the median of the rounds, and the spread."""
        if one not in self.rates or other not in self.rates:
            return ""
        found = sorted(a / b for a, b in zip(self.rates[one], self.rates[other], strict=True))
        return f"{statistics.median(found):.2f} ({found[0]:.2f} to {found[-1]:.2f})"

    def milliseconds(self, name: str) -> float | None:
        """CPU time of one request. [ms]"""
        return self.cpu[name] / self.replies[name] * 1000 if self.replies.get(name) else None


def cases(server: Server) -> list[Case]:
    """The kinds of request (`server`: a service that makes the addresses)."""
    sent = bodies()
    found = [Case("lye", "POST", "/v1/lye", body=sent["lye"]),
             Case("batches", "POST", "/v1/batches", body=sent["batches"]),
             Case("sheet", "POST", "/v1/batches", headers=("Accept: text/html",), body=sent["batches"])]
    return found + [Case(f"304 of a {name}", "GET", path, 304) for name, path in addresses(server.port).items()]


def throughput(servers: dict[str, Server], rounds: int, seconds: float) -> dict[str, Measured]:
    """Rates and CPU time of every case, in alternating slices (`servers`, `rounds`, `seconds` of a slice)."""
    found: dict[str, Measured] = {}
    for case in cases(servers["new"]):
        requests = {name: _wire(case, name, server) for name, server in servers.items()
                    if not (name == "twin" and case.status == 304)}
        for name, request in requests.items():
            rate(servers[name].port, request, case.status, min(seconds, 0.5))  # warm
        measured = found[case.name] = Measured()
        for _ in range(rounds):
            for name, request in requests.items():
                before = servers[name].cpu_seconds()
                a_second, count = rate(servers[name].port, request, case.status, seconds)
                measured.rates.setdefault(name, []).append(a_second)
                measured.replies[name] = measured.replies.get(name, 0) + count
                measured.cpu[name] = measured.cpu.get(name, 0) + servers[name].cpu_seconds() - before
    return found


def _wire(case: Case, name: str, server: Server) -> bytes:
    if name == "echo":
        return case.wire("/" + case.name.replace(" ", "_"))
    if case.status != 304:
        return case.wire()
    tag = reply_to(server.port, Case("", "GET", case.path)).header("etag")
    return Case(case.name, "GET", case.path, 304, (f"If-None-Match: {tag}",)).wire()


def tails(servers: dict[str, Server], rates: dict[str, Measured], rounds: int, seconds: float) -> list[list[str]]:
    """Median and 99th percentile at 70 % of each server's own rate."""
    rows = []
    for case in cases(servers["new"])[:2]:
        for even in (True, False):
            times: dict[str, list[float]] = {"base": [], "new": []}
            for round_ in range(rounds):
                for name in times:
                    a_second = 0.7 * statistics.median(rates[case.name].rates[name])
                    times[name] += latencies(servers[name].port, case.wire(), 200, a_second, seconds, even=even,
                                             seed=round_)
            row = [case.name, "even" if even else "random"]
            for name in ("base", "new"):
                cuts = statistics.quantiles(times[name], n=100, method="inclusive")
                row += [f"{cuts[49]:.1f}", f"{cuts[98]:.1f}", f"{cuts[98] / cuts[49]:.1f}"]
            rows.append(row)
    return rows


def table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """A table in Markdown (`head`, `rows`)."""
    lines = [f"| {' | '.join(head)} |", f"|{' --- |' * len(head)}", *(f"| {' | '.join(row)} |" for row in rows)]
    return "\n".join(lines) + "\n"


def tables_of_rates(found: dict[str, Measured]) -> str:
    """The two tables of throughput and CPU time (`found`)."""
    ratios = [[name, one.ratio("new", "base"), f"{GOALS[name]:g}" if name in GOALS else "",
               one.ratio("new", "echo"), one.ratio("new", "twin"), one.ratio("base", "echo")]
              for name, one in found.items()]
    numbers = [[name, *("" if one.milliseconds(of) is None else f"{one.milliseconds(of):.2f}" for of in _NAMES),
                *(f"{statistics.median(one.rates[of]):.0f}" if of in one.rates else "" for of in _NAMES)]
               for name, one in found.items()]
    return ("Throughput, median of the rounds (and their spread)\n\n"
            + table(("request", "new / base", "goal", "new / echo", "new / FastAPI", "base / echo"), ratios)
            + "\nCPU of the server in ms a request, and replies a second\n\n"
            + table(("request", *(f"{of}, CPU ms" for of in _NAMES), *(f"{of}, 1/s" for of in _NAMES)), numbers))


def main() -> None:
    """Measure and write the report."""
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--base", default=BASE, help="commit to compare with")
    options.add_argument("--short", action="store_true", help="a minute for a try; nothing is written")
    options.add_argument("--only", nargs="*", help="parts: throughput tail start memory many stream")
    options.add_argument("--lines", type=int, default=10_000, help="lines of the stream")
    chosen = options.parse_args()
    short = chosen.short
    parts = chosen.only or ["throughput", "tail", "start", "memory", "many", "stream"]
    base = {"PYTHONPATH": str(unpacked(chosen.base) / "service")}
    report = [about_the_run(commit_of(chosen.base))]

    def say(text: str) -> None:
        report.append(text)
        print(text, flush=True)

    print(report[0])
    if {"throughput", "tail"} & set(parts):
        with contextlib.ExitStack() as stack:
            servers = running(stack, base)
            rates = throughput(servers, *((2, 0.4) if short else (7, 1.2)))
            say("## Throughput\n\nOne worker each, four connections.\n\n" + tables_of_rates(rates))
            if "tail" in parts:
                rows = tails(servers, rates, *((1, 1.5) if short else (3, 4.0)))
                say("## Waiting at 70 % load\n\nMilliseconds from when a request should have begun, at 70 % of each "
                    "server's own rate; goal: p99 at most 4 x p50. With random arrivals, one server that takes the "
                    "same time for every request would have 4.3 (an M/D/1 queue, simulated).\n\n" + table(
                        ("request", "arrivals", "base p50", "p99", "ratio", "new p50", "p99", "ratio"), rows))
    later: list[tuple[str, Callable[[], str]]] = [
        ("start", lambda: seconds_to_the_first_answer(base, 2 if short else 5)),
        ("memory", lambda: memory_when_warm(base)),
        ("many", lambda: many_at_once(20 if short else 150)),
        ("stream", lambda: stream_of_lines(500 if short else chosen.lines))]
    for name, part in later:
        if name in parts:
            say(part())
    if not short:
        (HERE / "RESULTS.md").write_text("\n".join(report), encoding="utf-8")


def running(stack: contextlib.ExitStack, base: dict[str, str]) -> dict[str, Server]:
    """The four servers (`stack`: ends them, `base`: environment of the other commit)."""
    servers = {"base": stack.enter_context(gunicorn("kettlewright.app:create_app()", base)),
               "new": stack.enter_context(gunicorn("kettlewright.app:create_app()", {}))}
    kept: dict[str, Any] = {}
    for case in cases(servers["new"]):
        if case.status == 200:
            reply = reply_to(servers["new"].port, case)
            kept[case.name] = reply.body.decode() if "text/html" in str(case.headers) else json.loads(reply.body)
    folder = Path(stack.enter_context(tempfile.TemporaryDirectory()))
    (folder / "replies.json").write_text(json.dumps(kept), encoding="utf-8")
    servers["echo"] = stack.enter_context(gunicorn("echo:app", {"ECHO_REPLIES": str(folder / "replies.json")},
                                                   bare=True))
    servers["twin"] = stack.enter_context(uvicorn("twin:app"))
    for case in cases(servers["new"])[:2]:
        if json.loads(reply_to(servers["twin"].port, case).body) != kept[case.name]:
            raise SystemExit(f"the twin's reply to {case.name} is not ours")
    return servers


if __name__ == "__main__":
    os.chdir(ROOT)
    main()
