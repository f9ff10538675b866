"""Days of a cure, by number or by the calendar, and what is weighed or promised on them."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date, timedelta

from kettlewright import limits
from kettlewright.errors import Missing, OutOfRange, one_of

__all__ = ["DayInput", "Promise", "Weighed", "date_of_day", "day_number"]


@dataclass(frozen=True, slots=True)
class DayInput:
    """A day of the cure, by its number or by the calendar.

    Parameters
    ----------
    day : float, optional
        Counted from day 0. [days]
    date : date, optional
        In its place. [day]

    Raises
    ------
    DomainError : neither or both given, or a day out of range.
    """

    day: float | None = None
    date: date | None = None

    def __post_init__(self) -> None:
        if (self.day is None) == (self.date is None):
            raise one_of(self.day)('Give either "day" (counted from day 0) or "date".',
                                   field=("day",))
        if self.day is not None:
            limits.DRYING_DAY.check(self.day, "day")


@dataclass(frozen=True, slots=True)
class Weighed:
    """A weighing as the maker reports it.

    Parameters
    ----------
    when : DayInput
        Its day. [days]
    mass_g : float
        What the scale showed. [g]
    """

    when: DayInput
    mass_g: float


@dataclass(frozen=True, slots=True)
class Promise:
    """A mass promised on a day.

    Parameters
    ----------
    mass_g : float
        Of the cured bar. [g]
    when : DayInput, optional
        Day of the release if there are dates, else the end of the curve. [days]
    """

    mass_g: float
    when: DayInput | None = None

    def __post_init__(self) -> None:
        limits.MASS.check(self.mass_g, "mass")


def day_number(given: DayInput, zero: date | None) -> float:
    """A day of the cure by its number.

    Parameters
    ----------
    given : DayInput
        By number or by the calendar. [days]
    zero : date, optional
        Date of day 0. [day]

    Returns
    -------
    float : [days]

    Raises
    ------
    Missing, OutOfRange : a date without the date of day 0, before it, or too long after it.
    """
    if given.date is None:
        return given.day or 0.0
    if zero is None:
        raise Missing('Dates need the date of day 0: give the weighings by "date", or give "dates".', field=("date",))
    days = float((given.date - zero).days)
    if days < 0:
        raise OutOfRange(f"{given.date} lies before day 0, which is {zero}.", field=("date",), value=str(given.date),
                         allowed=f"{zero} or later")
    return limits.DRYING_DAY.check(days, "date")


def date_of_day(zero: date | None, day: float) -> date | None:
    """The first whole day by which a day of the cure is reached.

    Parameters
    ----------
    zero : date, optional
        Date of day 0. [day]
    day : float
        Counted from day 0. [days]

    Returns
    -------
    date or None : None where the date of day 0 is not known, or the day is out of bounds. [day]
    """
    if zero is None or not day <= limits.DRYING_DAY.high:
        return None
    return zero + timedelta(days=math.ceil(day - 1e-9))
