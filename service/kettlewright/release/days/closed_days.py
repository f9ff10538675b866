"""Closed days, on which nobody works, and the open days next to them."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, timedelta

from kettlewright import limits
from kettlewright.errors import DomainError, Unsolvable

__all__ = ["LOOKED_AT_DAYS", "NONE_CLOSED", "ONE_DAY", "WEEKDAYS", "ClosedDays", "NoOpenDay", "Span"]

WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")

ONE_DAY = timedelta(days=1)
LOOKED_AT_DAYS = 800  # how far an open day is looked for; nobody closes for longer
_FIRST, _LAST = date(limits.YEARS[0], 1, 1), date(limits.YEARS[1], 12, 31)


class NoOpenDay(Unsolvable):
    """Nobody works for so long that no day can be found."""


@dataclass(frozen=True, slots=True)
class Span:
    """Days in a row.

    Parameters
    ----------
    first, last : date
        Both are part of it. [day]

    Raises
    ------
    DomainError : the last day is before the first.
    """

    first: date
    last: date

    def __post_init__(self) -> None:
        if self.last < self.first:
            raise DomainError(f"The closed days go from {self.first} back to {self.last}: give the earlier day "
                              "first.", field=("last",), value=str(self.last), allowed=f"{self.first} or later")


@dataclass(frozen=True, slots=True)
class ClosedDays:
    """Closed days: nobody works.

    Parameters
    ----------
    weekdays : tuple of str
        Of `WEEKDAYS`. [keys]
    dates : tuple of date
        Single days. [days]
    spans : tuple of Span
        Days in a row. [days]

    Raises
    ------
    Unsolvable : all seven weekdays.
    """

    weekdays: tuple[str, ...] = ()
    dates: tuple[date, ...] = ()
    spans: tuple[Span, ...] = ()
    _weekdays: frozenset[int] = field(init=False, repr=False, compare=False, default=frozenset())
    _dates: frozenset[date] = field(init=False, repr=False, compare=False, default=frozenset())

    def __post_init__(self) -> None:
        if len(set(self.weekdays)) == len(WEEKDAYS):
            raise Unsolvable("All seven days of the week are closed, so no batch can be poured. Leave one open.",
                             field=("weekdays",))
        object.__setattr__(self, "_weekdays", frozenset(WEEKDAYS.index(day) for day in self.weekdays))
        object.__setattr__(self, "_dates", frozenset(self.dates))

    def holds(self, day: date) -> bool:
        """Whether a day is closed (`day` [day]). [yes or no]"""
        return (day.weekday() in self._weekdays or day in self._dates
                or any(span.first <= day <= span.last for span in self.spans))

    def open_from(self, day: date) -> date:
        """The first open day, `day` or later (`day` [day]). [day]

        Raises
        ------
        NoOpenDay : there is none for a very long time.
        """
        return self._open(day, ONE_DAY)

    def open_until(self, day: date) -> date:
        """The last open day, `day` or earlier (`day` [day]). [day]

        Raises
        ------
        NoOpenDay : there is none for a very long time.
        """
        return self._open(day, -ONE_DAY)

    def _open(self, day: date, step: timedelta) -> date:
        found = day
        for _ in range(LOOKED_AT_DAYS):
            if not _FIRST <= found <= _LAST:
                break
            if not self.holds(found):
                return found
            found += step
        else:
            raise NoOpenDay(f"Every day is closed for {LOOKED_AT_DAYS} days {'after' if step > -step else 'before'} "
                            f"{day}: open one.")
        raise NoOpenDay(f"The dates are outside the calendar of this service ({_FIRST} to {_LAST}).",
                        allowed=f"{_FIRST} to {_LAST}")


NONE_CLOSED = ClosedDays()
"""Work on every day."""
