"""Reply of `schedules`. Written by `make contract` from openapi.yaml; do not edit."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from kettlewright_client.generated.results.cure import BatchDays
from kettlewright_client.generated.results.shared import Reply
from kettlewright_client.record import Record

__all__ = ["FullestDay", "Schedule", "ScheduledBatch"]


@dataclass(frozen=True, kw_only=True, repr=False)
class ScheduledBatch(Record):
    """`batches[]` of `Schedule` (By the day they are poured, then in the order given)."""

    key: str
    """A slug of the name."""

    name: str
    """Your name for the design."""

    number: int
    """Number of this batch in its design, in order of the pours. Unit: batches."""

    of_count: int
    """Batches of its design. Unit: batches."""

    mould: str
    """Moulds it takes."""

    moulds_count: int
    """How many of them. Unit: moulds."""

    release_name: str | None
    """Name of the release; null if it has none."""

    dates: BatchDays
    """Its days."""

    if TYPE_CHECKING:
        def need(self, part: Literal["release_name"]) -> str: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class FullestDay(Record):
    """`fullest[]` of `Schedule` (Pours, moulds and places on their fullest day)."""

    key: str
    """"pours", "places", or a slug of the moulds' name."""

    name: str
    """What it is."""

    most_count: int
    """Used on that day. Unit: pours, moulds, batches or bars."""

    of_count: int
    """How many there are. Unit: the same."""

    date: str
    """The first such day. A date such as 2027-03-20."""

    weekday: str
    """Weekday of "date", in words."""


@dataclass(frozen=True, kw_only=True, repr=False)
class Schedule(Reply):
    """Reply of `schedules`: a calendar of several batches before their releases."""

    batches: tuple[ScheduledBatch, ...]
    """By the day they are poured, then in the order given."""

    fullest: tuple[FullestDay, ...]
    """Pours, moulds and places on their fullest day."""

    objective: str
    """What it was optimised for. One of late_pours, early_pours."""

    proven_optimal: bool
    """No better calendar exists; false if the node limit was reached."""

    stamp: str
    """Date stamp of the calendar file. A date such as 2027-03-20."""

    notes: tuple[str, ...]
    """What to know about it."""
