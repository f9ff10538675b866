"""Memory of processes over time, and whether it grows."""

from __future__ import annotations

import itertools
import statistics
import threading
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

__all__ = ["TOLERANCE", "Growth", "Memory", "growth_of", "resident_mb", "workers_of"]

TOLERANCE = 0.03
"""Growth over the time watched that still counts as flat, as a share of the memory. [share]"""
SHORTEST_S = 600.0
"""Nothing is said about a shorter time: allocators reach their level only after some minutes. [s]"""


def workers_of(pid: int) -> list[int]:
    """Process ids of the workers of gunicorn (`pid`: of its main process)."""
    try:
        return [int(one) for one in Path(f"/proc/{pid}/task/{pid}/children").read_text(encoding="utf-8").split()]
    except OSError:
        return []


def resident_mb(pid: int) -> float | None:
    """What a process holds in memory now, shared pages included (`pid`); None where it has ended. [MB]"""
    try:
        text = Path(f"/proc/{pid}/status").read_text(encoding="utf-8")
    except OSError:
        return None
    return next((int(line.split()[1]) / 1000 for line in text.splitlines() if line.startswith("VmRSS:")), None)


@dataclass(frozen=True, slots=True)
class Growth:
    """How the memory of a process went.

    Parameters
    ----------
    samples : int
        After the warm-up. [samples]
    first_mb, last_mb : float
        Medians of the first and last tenth of them. [MB]
    per_hour_mb : float
        Slope: the median of the slopes between all pairs of samples (Theil-Sen), which single peaks do not move. [MB/h]
    share : float
        Growth over the time watched, as a share of the memory. [share]
    seconds : float
        The time watched. [s]
    """

    samples: int
    first_mb: float
    last_mb: float
    per_hour_mb: float
    share: float
    seconds: float

    @property
    def flat(self) -> bool | None:
        """Whether it did not grow; None where the time was too short to say. [yes or no]"""
        return None if self.seconds < SHORTEST_S else self.share <= TOLERANCE


def growth_of(times_s: Sequence[float], values_mb: Sequence[float]) -> Growth:
    """How memory went (`times_s` [s], `values_mb` [MB], of the same length).

    Notes
    -----
    Theil-Sen: P. K. Sen, Estimates of the regression coefficient based on Kendall's tau, J. Amer. Statist. Assoc. 63
    (1968) 1379 (from memory).
    """
    slopes = [(b - a) / (until - since) for (since, a), (until, b)
              in itertools.combinations(zip(times_s, values_mb, strict=True), 2) if until > since]
    slope, watched = statistics.median(slopes or [0.0]), times_s[-1] - times_s[0]
    tenth = max(len(values_mb) // 10, 1)
    return Growth(len(values_mb), statistics.median(values_mb[:tenth]), statistics.median(values_mb[-tenth:]),
                  slope * 3600, slope * watched / statistics.median(values_mb), watched)


class Memory:
    """Watches the workers of a gunicorn.

    Parameters
    ----------
    pid : int
        Of its main process. [process id]
    every_s : float
        Between two samples. [s]
    """

    def __init__(self, pid: int, every_s: float = 10.0) -> None:
        self.samples: dict[int, list[tuple[float, float]]] = {}
        self._pid, self._every_s = pid, every_s
        self._end = threading.Event()
        self._thread = threading.Thread(target=self._run)

    def __enter__(self) -> Memory:
        self._thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._end.set()
        self._thread.join()

    def _run(self) -> None:
        while True:
            for pid in workers_of(self._pid):
                held = resident_mb(pid)
                if held is not None:
                    self.samples.setdefault(pid, []).append((time.monotonic(), held))
            if self._end.wait(self._every_s):
                return

    def since(self, begun_s: float) -> dict[int, Growth]:
        """How each worker's memory went (`begun_s`: samples before it are left out) [s]."""
        kept = {pid: [one for one in list(samples) if one[0] >= begun_s] for pid, samples in list(self.samples.items())}
        return {pid: growth_of([at for at, _ in samples], [mb for _, mb in samples])
                for pid, samples in kept.items() if len(samples) >= 3}

    def at(self, moment_s: float) -> list[float]:
        """What each worker held about then (`moment_s`) [s]. [MB]"""
        return [min(samples, key=lambda one: abs(one[0] - moment_s))[1] for samples in list(self.samples.values())]
