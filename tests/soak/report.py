"""The table of a soak, as Markdown, written anew every minute."""

from __future__ import annotations

import datetime
import os
import platform
import subprocess
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from siege.report import Row, table

from soak.load import KINDS, Call
from soak.memory import TOLERANCE, Growth

__all__ = ["MOST_RATIO", "Soak", "page", "quantile", "write"]

MOST_RATIO = 4.0
"""Of the 99th to the 50th percentile of a light operation. [ratio]"""
_ROOT = Path(__file__).resolve().parents[2]


def quantile(values: Sequence[float], share: float) -> float:
    """The value below which a share of sorted values lies (`values`, `share`): the nearest rank, so one of them."""
    return values[min(max(-int(-share * len(values) // 1) - 1, 0), len(values) - 1)] if values else float("nan")


@dataclass
class Soak:
    """What is known of a soak so far.

    Parameters
    ----------
    command : str
        That started it. [text]
    minutes : float
        That it is to last. [min]
    capacity, rate : float
        Requests a second that were answered without a pause, and that are sent. [1/s]
    """

    command: str
    minutes: float
    capacity: float
    rate: float
    begun: str = field(default_factory=lambda: datetime.datetime.now(datetime.UTC).strftime("%Y-%m-%d %H:%M UTC"))
    commit: str = field(default_factory=lambda: _commit())
    times_ms: dict[int, list[float]] = field(default_factory=lambda: {number: [] for number in range(len(KINDS))})
    lost: dict[int, int] = field(default_factory=lambda: dict.fromkeys(range(len(KINDS)), 0))
    errors: dict[str, int] = field(default_factory=dict)
    left_out: int = 0
    rows: list[Row] = field(default_factory=list)
    growth: dict[int, Growth] = field(default_factory=dict)
    workers_ended: int = 0

    def add(self, calls: Sequence[Call]) -> None:
        """Take calls in (`calls`)."""
        for call in calls:
            self.left_out += call.left_out
            if call.lost:
                self.lost[call.kind] += 1
                self.errors[call.lost] = self.errors.get(call.lost, 0) + 1
            else:
                self.times_ms[call.kind].append(call.milliseconds)

    def add_minute(self, name: str, calls: Sequence[Call], seconds: float, held_mb: Sequence[float]) -> None:
        """A row of the table (`name`, `calls`: of this minute, `seconds`: it lasted, `held_mb`: by each worker)."""
        light, rest = ([sorted(call.milliseconds for call in calls if (KINDS[call.kind].group == "light") is wanted
                               and not call.lost)] for wanted in (True, False))
        self.rows.append([name, len(calls), f"{len(calls) / seconds:.0f}", sum(bool(call.lost) for call in calls),
                          *(f"{quantile(times, share):.1f}" for times in (*light, *rest) for share in (0.5, 0.99)),
                          " ".join(f"{mb:.0f}" for mb in held_mb)])

    @property
    def broken(self) -> list[str]:
        """Limits that were broken so far."""
        found = [f"{sum(self.lost.values())} requests lost"] if sum(self.lost.values()) else []
        found += [f"{self.workers_ended} workers ended"] if self.workers_ended else []
        sent = sum(len(times) for times in self.times_ms.values())
        found += ["the callers could not keep the rate"] if self.left_out > sent / 100 else []
        found += [f"the memory of worker {number} grew by {one.share * 100:.1f} %"
                  for number, one in enumerate(self.growth.values(), 1) if one.flat is False]
        for number, kind in enumerate(KINDS):
            times = sorted(self.times_ms[number])
            if kind.group == "light" and quantile(times, 0.99) > MOST_RATIO * quantile(times, 0.5):
                found.append(f"{kind.name}: the 99th percentile is more than {MOST_RATIO:g} times the 50th")
        return found


def _commit() -> str:
    done = subprocess.run(["git", "describe", "--always", "--dirty", "--abbrev=12"], cwd=_ROOT, capture_output=True,
                          text=True)
    return done.stdout.strip() or "unknown"


def _kind_rows(soak: Soak) -> list[Row]:
    rows: list[Row] = []
    for number, kind in enumerate(KINDS):
        times = sorted(soak.times_ms[number])
        middle, late = quantile(times, 0.5), quantile(times, 0.99)
        rows.append([kind.name, kind.group, len(times) + soak.lost[number], soak.lost[number], f"{middle:.1f}",
                     f"{late:.1f}", f"{late / middle:.1f}" if times else "-"])
    return rows


def page(soak: Soak, done_minutes: float, *, over: bool) -> str:
    """The page (`soak`, `done_minutes` [min], `over`: it ran to its end)."""
    sent = sum(len(times) for times in soak.times_ms.values()) + sum(soak.lost.values())
    state = ("It ran to its end." if over else
             f"**Not finished**: {done_minutes:.0f} of {soak.minutes:g} minutes so far.")
    memory = [[number, one.samples, f"{one.first_mb:.1f}", f"{one.last_mb:.1f}", f"{one.per_hour_mb:+.1f}",
               f"{one.share * 100:+.1f} %", {True: "yes", False: "NO", None: "too short to say"}[one.flat]]
              for number, one in enumerate(soak.growth.values(), 1)]
    return "\n".join([
        f"# Soak\n\nWritten by `{soak.command}`, begun {soak.begun}, commit {soak.commit}. {state} Machine: "
        f"{os.cpu_count()} processors, which service and callers share; CPython {platform.python_version()}, "
        f"{platform.system()}.\n",
        "One gunicorn as it is configured, but its workers are not replaced after 20,000 requests (`--max-requests "
        "0`), so that a leak would show. 16 threads in 2 processes, one for light requests, call it through our "
        "client with the examples of the contract. The service has a lower priority (nice 5) than they, since they "
        f"stand for other machines. Without pauses they got **{soak.capacity:.0f} answers a second**; "
        f"the soak sends **{soak.rate:.0f} a second**, evenly spaced (70 %). Sent: {sent:,}; lost: "
        f"{sum(soak.lost.values())}; left out because the callers were more than 2 s behind: {soak.left_out}. Times "
        "are those of the caller, in milliseconds, with all repeats; percentiles are exact (nearest rank).\n",
        "## Kinds of requests\n\n" + table(["request", "kind", "sent", "lost", "p50, ms", "p99, ms", "p99 / p50"],
                                           _kind_rows(soak)),
        "## Memory of the workers\n\nResident memory every 10 s, without the warm-up (the first fifth, at most 5 "
        "minutes). The slope is the median over all pairs of samples (Theil-Sen); flat is a growth of at most "
        f"{TOLERANCE * 100:.0f} % over the time watched.\n\n"
        + table(["worker", "samples", "first tenth, MB", "last tenth, MB", "MB an hour", "growth", "flat"], memory),
        "## Minute by minute\n\n" + table(["minute", "sent", "a second", "lost", "light p50, ms", "light p99, ms",
                                           "other p50, ms", "other p99, ms", "workers, MB"], soak.rows),
        *(["## Errors\n\n" + table(["error", "times"], list(soak.errors.items()))] if soak.errors else []),
        "## Limits broken\n\n" + ("".join(f"- {one}\n" for one in soak.broken) or "None.\n")])


def write(text: str, out: Path) -> None:
    """Put a page in place of the last one, whole (`text`, `out`: its file)."""
    fresh = out.with_suffix(".new")
    fresh.write_text(text, encoding="utf-8")
    fresh.replace(out)
