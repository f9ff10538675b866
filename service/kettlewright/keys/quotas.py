"""How much of its month a key has used: requests and CPU seconds, in the memory of one process."""

from __future__ import annotations

import math
import threading
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime

from kettlewright.keys.key import Key

__all__ = ["Quotas", "seconds_to_next_month"]


@dataclass(slots=True)
class _Used:
    month: tuple[int, int]
    requests: int = 0
    cpu_seconds: float = 0.0


class Quotas:
    """What each key has used this month (UTC), counted in this process since it started.

    Parameters
    ----------
    clock : callable
        The time now, with a time zone. [function]
    """

    def __init__(self, clock: Callable[[], datetime]) -> None:
        self._clock = clock
        self._used: dict[str, _Used] = {}
        self._lock = threading.Lock()

    def take(self, key: Key) -> str | None:
        """Count a request of a key.

        Parameters
        ----------
        key : Key
            The key. [key]

        Returns
        -------
        str or None : what is used up, "requests" or "cpu_seconds", and then the request is not counted; else None.
        """
        with self._lock:
            used = self._of(key)
            if key.requests_per_month is not None and used.requests >= key.requests_per_month:
                return "requests"
            if key.cpu_seconds_per_month is not None and used.cpu_seconds >= key.cpu_seconds_per_month:
                return "cpu_seconds"
            used.requests += 1
            return None

    def charge(self, key: Key, seconds: float) -> None:
        """Count CPU time of a key (`key`, `seconds`)."""
        with self._lock:
            self._of(key).cpu_seconds += seconds

    def used(self, key: Key) -> tuple[int, float]:
        """What a key has used this month (`key`). [requests, seconds]"""
        with self._lock:
            found = self._of(key)
            return found.requests, found.cpu_seconds

    def _of(self, key: Key) -> _Used:
        now = self._clock().astimezone(UTC)
        month = (now.year, now.month)
        found = self._used.get(key.key_id)
        if found is None or found.month != month:
            found = self._used[key.key_id] = _Used(month)
        return found


def seconds_to_next_month(now: datetime) -> int:
    """Whole seconds from a time to the next calendar month in UTC (`now`: with a time zone), at least 1. [seconds]"""
    now = now.astimezone(UTC)
    after = datetime(now.year + now.month // 12, now.month % 12 + 1, 1, tzinfo=UTC)
    return max(math.ceil((after - now).total_seconds()), 1)
