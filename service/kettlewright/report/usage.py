"""Sums of requests: by member and month, by operation, by day, by status; their size does not grow with the log."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field

from kettlewright.report.lines import LoggedRequest
from kettlewright.report.percentiles import Percentiles

__all__ = ["OTHERS", "Sums", "Usage", "usage_of"]

OTHERS = "(others)"
"""What is listed together, once there are too many names. [text]"""
_MOST_MEMBERS, _MOST_OPERATIONS, _MOST_DAYS = 1_000, 200, 4_000


@dataclass(slots=True)
class Sums:
    """Requests of one kind.

    Parameters
    ----------
    requests, refused, failed : int
        All; with a status of 400 to 499; of 500 and more. [requests]
    cpu_milliseconds : float
        Of all. [ms]
    request_bytes, reply_bytes : int
        Of all bodies. [bytes]
    """

    requests: int = 0
    refused: int = 0
    failed: int = 0
    cpu_milliseconds: float = 0.0
    request_bytes: int = 0
    reply_bytes: int = 0

    def add(self, entry: LoggedRequest) -> None:
        """Count a request (`entry`)."""
        self.requests += 1
        self.refused += 400 <= entry.status < 500
        self.failed += entry.status >= 500
        self.cpu_milliseconds += entry.cpu_milliseconds
        self.request_bytes += entry.request_bytes
        self.reply_bytes += entry.reply_bytes

    def add_all(self, other: Sums) -> None:
        """Add other requests (`other`)."""
        self.requests += other.requests
        self.refused += other.refused
        self.failed += other.failed
        self.cpu_milliseconds += other.cpu_milliseconds
        self.request_bytes += other.request_bytes
        self.reply_bytes += other.reply_bytes


@dataclass(slots=True)
class Usage:
    """All of a report.

    Parameters
    ----------
    member, month : str, optional
        Of which it is; all where None. [name, YYYY-MM]
    by_member : mapping
        By month and member. [sums]
    by_operation : mapping
        By operation: its sums and its times. [sums, ms]
    by_day : mapping
        By day. [sums]
    statuses : mapping
        How many replies of each status. [requests]
    """

    member: str | None = None
    month: str | None = None
    by_member: dict[tuple[str, str], Sums] = field(default_factory=dict)
    by_operation: dict[str, tuple[Sums, Percentiles]] = field(default_factory=dict)
    by_day: dict[str, Sums] = field(default_factory=dict)
    statuses: Counter[int] = field(default_factory=Counter)

    def add(self, entry: LoggedRequest) -> None:
        """Count a request, if the report is about it (`entry`)."""
        month = entry.day[:7]
        if self.member not in (None, entry.member) or self.month not in (None, month):
            return
        self.statuses[entry.status] += 1
        owner = (month, entry.member)
        if owner not in self.by_member and len(self.by_member) >= _MOST_MEMBERS:
            owner = (OTHERS, OTHERS)
        self.by_member.setdefault(owner, Sums()).add(entry)
        name = entry.operation
        if name not in self.by_operation and len(self.by_operation) >= _MOST_OPERATIONS:
            name = OTHERS
        sums, times = self.by_operation.setdefault(name, (Sums(), Percentiles()))
        sums.add(entry)
        times.add(entry.milliseconds)
        day = entry.day if entry.day in self.by_day or len(self.by_day) < _MOST_DAYS else OTHERS
        self.by_day.setdefault(day, Sums()).add(entry)

    @property
    def total(self) -> Sums:
        """Of all requests. [sums]"""
        found = Sums()
        for sums, _ in self.by_operation.values():
            found.add_all(sums)
        return found

    @property
    def times(self) -> Percentiles:
        """Of all requests. [ms]"""
        found = Percentiles()
        for _, times in self.by_operation.values():
            found.add_all(times)
        return found


def usage_of(requests: Iterable[LoggedRequest], *, member: str | None = None, month: str | None = None) -> Usage:
    """The report on requests.

    Parameters
    ----------
    requests : iterable of LoggedRequest
        Read once. [requests]
    member, month : str, optional
        Only those of a member, of a month (YYYY-MM). [name, month]

    Returns
    -------
    Usage
    """
    usage = Usage(member, month)
    for one in requests:
        usage.add(one)
    return usage
