"""Replies of `schedules`."""

from __future__ import annotations

from dataclasses import dataclass

from kettlewright_client.results.cure import BatchDays
from kettlewright_client.results.ground import Reply

__all__ = ["Load", "Schedule", "ScheduledBatch"]


@dataclass(frozen=True, kw_only=True)
class ScheduledBatch:
    """A batch in the calendar."""

    key: str
    name: str
    number: int
    of_count: int
    mould: str
    moulds_count: int
    release_name: str | None
    dates: BatchDays


@dataclass(frozen=True, kw_only=True)
class Load:
    """Use of a resource on its fullest day."""

    key: str
    name: str
    most_count: int
    of_count: int
    date: str
    weekday: str


@dataclass(frozen=True, kw_only=True)
class Schedule(Reply):
    """Reply of `schedules`."""

    batches: tuple[ScheduledBatch, ...]
    fullest: tuple[Load, ...]
    objective: str
    proven_optimal: bool
    stamp: str
    notes: tuple[str, ...]
