"""The dates of one batch, backward from its release or forward from its pour.

Whole calendar days, no time of day and no time zone. Hands are needed on the days of the pour, of unmoulding and
cutting, of packing and of the release, so none of them is on a closed day. A day that was given stays as it
is; what is reckoned from it moves earlier on the way back and later on the way forward, so that neither the time in
the mould nor the cure is ever shorter than requested.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, timedelta

from kettlewright import limits
from kettlewright.errors import DomainError, Unsolvable, gather, one_of
from kettlewright.said import Said

__all__ = ["CURE_DAYS", "UNMOULD_DAYS", "WEEKDAYS", "BatchDates", "ClosedDays", "DateOptions", "NoOpenDay", "Span",
           "batch_dates", "check_mould_days", "latest_cut", "mould_days_fit", "packing_from"]

UNMOULD_DAYS = 1
"""Days in the mould if none are given: unmould after 18 to 24 hours (common practice, no source)."""
CURE_DAYS = 42
"""Days of cure if none are given: the longer end of 4 to 6 weeks (common practice, no source)."""
WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")

_DAY = timedelta(days=1)
_LOOKED_AT_DAYS = 800  # how far an open day is looked for; nobody closes for longer
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
        return self._open(day, _DAY)

    def open_until(self, day: date) -> date:
        """The last open day, `day` or earlier (`day` [day]). [day]

        Raises
        ------
        NoOpenDay : there is none for a very long time.
        """
        return self._open(day, -_DAY)

    def _open(self, day: date, step: timedelta) -> date:
        found = day
        for _ in range(_LOOKED_AT_DAYS):
            if not _FIRST <= found <= _LAST:
                break
            if not self.holds(found):
                return found
            found += step
        else:
            raise NoOpenDay(f"Every day is closed for {_LOOKED_AT_DAYS} days {'after' if step > -step else 'before'} "
                            f"{day}: open one.")
        raise NoOpenDay(f"The dates are outside the calendar of this service ({_FIRST} to {_LAST}).",
                        allowed=f"{_FIRST} to {_LAST}")


@dataclass(frozen=True, slots=True)
class DateOptions:
    """What the dates of a batch follow from.

    Parameters
    ----------
    release, pour : date, optional
        The day it is sold from, or the day it is poured: exactly one. [day]
    unmould_days : int, optional
        From the pour to unmoulding and cutting; default `UNMOULD_DAYS`. [days]
    unmould_at_most_days : int, optional
        Never longer in the mould than this, whatever is closed. [days]
    cure_days : int, optional
        From the cut to packing; default `CURE_DAYS`. [days]
    packing_days : int
        Working days of packing before the release; 0: packed on the day of the release. [days]
    closed : ClosedDays
        Closed days. [days]
    earliest : date, optional
        No pour before it; the maker gives today's date. [day]

    Raises
    ------
    DomainError, DomainErrors : none or both of release and pour, a number of days out of its bounds.
    """

    release: date | None = None
    pour: date | None = None
    unmould_days: int | None = None
    unmould_at_most_days: int | None = None
    cure_days: int | None = None
    packing_days: int = 0
    closed: ClosedDays = ClosedDays()
    earliest: date | None = None

    def __post_init__(self) -> None:
        with gather() as checks:
            with checks.at():
                if (self.release is None) == (self.pour is None):
                    raise one_of(self.release)('Give either "release" or "pour": the other is computed.',
                                               field=("release",))
            for name, bounds in (("unmould_days", limits.UNMOULD_DAYS), ("unmould_at_most_days", limits.UNMOULD_DAYS),
                                 ("cure_days", limits.CURE_DAYS), ("packing_days", limits.PACKING_DAYS)):
                given = getattr(self, name)
                with checks.at():
                    if given is not None:
                        bounds.check(given, name)
            with checks.at():
                check_mould_days(self.unmould_days, self.unmould_at_most_days)


def check_mould_days(unmould_days: int | None, at_most: int | None) -> None:
    """Refuse a maximum below the requested days.

    Parameters
    ----------
    unmould_days, at_most : int, optional
        From the pour to unmoulding, as planned and at most. [days]

    Raises
    ------
    Unsolvable : the most is below what is planned.
    """
    planned = UNMOULD_DAYS if unmould_days is None else unmould_days
    if at_most is not None and at_most < planned:
        raise Unsolvable(f"The soap is planned to stay {planned} days in the mould, but at most {at_most} are allowed: "
                         "raise the maximum, or plan fewer days.", field=("unmould_at_most_days",), value=at_most,
                         allowed=f"{planned} or more")


def mould_days_fit(pour: date, unmould: date, at_most: int | None) -> bool:
    """Whether the days in the mould keep within the most.

    Parameters
    ----------
    pour, unmould : date
        In and out. [day]
    at_most : int, optional
        The most; any number if it is not given. [days]

    Returns
    -------
    bool : [yes or no]
    """
    return at_most is None or (unmould - pour).days <= at_most


@dataclass(frozen=True, slots=True)
class BatchDates:
    """The dates of one batch.

    Parameters
    ----------
    pour, unmould, cure_until, pack_from, release : date
        Poured; unmoulded and cut; cured as requested; packing begins; sold from. [day]
    in_mould_days, curing_days : int
        From the pour to unmoulding, and from there to packing; never less than requested. [days]
    assumed : tuple of str
        Fields that were not given and were assumed. [keys]
    notes : tuple of Said
        Notes. [text]
    """

    pour: date
    unmould: date
    cure_until: date
    pack_from: date
    release: date
    in_mould_days: int
    curing_days: int
    assumed: tuple[str, ...] = ()
    notes: tuple[Said, ...] = ()


def batch_dates(options: DateOptions) -> BatchDates:
    """When a batch is poured, unmoulded and cut, cured, packed and sold.

    Parameters
    ----------
    options : DateOptions
        Its release or its pour, how long each step takes, closed days. [days]

    Returns
    -------
    BatchDates : [days]

    Raises
    ------
    Unsolvable : the day given is closed; the release comes before a pour is possible (the earliest is stated); there is
        no open day.

    Notes
    -----
    release = pour + unmould + cure + packing, in whole days. Backward every day is the latest that is possible.

    References
    ----------
    .. [1] 18 to 24 hours in the mould, 4 to 6 weeks of cure: common practice, no source.
    """
    try:
        return _in_time(options)
    except NoOpenDay as error:
        raise error.at("closed") from None


def _in_time(options: DateOptions) -> BatchDates:
    found = _backward(options) if options.release is not None else _forward(options, options.pour)
    if options.earliest is not None and found.pour < options.earliest:
        if options.pour is not None:
            raise Unsolvable(f"The pour on {options.pour} is before {options.earliest}, the earliest day you gave.",
                             field=("pour",), value=str(options.pour), allowed=f"{options.earliest} or later")
        first = _forward(options, _pour_from(options, options.closed.open_from(options.earliest)))
        raise Unsolvable(
            f"For a release on {options.release} you would have to pour by {found.pour}, before {options.earliest}. "
            f"The earliest release is {first.release}.", field=("release",), value=str(options.release),
            allowed=f"{first.release} or later")
    return found


def packing_from(release: date, packing_days: int, closed: ClosedDays) -> date:
    """The day packing begins, so that it is done before the release.

    Parameters
    ----------
    release : date
        When the bars are sold. [day]
    packing_days : int
        Working days it takes. [days]
    closed : ClosedDays
        Closed days. [days]

    Returns
    -------
    date : the release itself where packing takes no day. [day]
    """
    return _steps(release, packing_days, lambda day: closed.open_until(day - _DAY))


def latest_cut(pack_from: date, cure_days: int, closed: ClosedDays) -> date:
    """The last day for unmoulding and cutting, so that the bars are cured when packing begins.

    Parameters
    ----------
    pack_from : date
        When packing begins. [day]
    cure_days : int
        From the cut. [days]
    closed : ClosedDays
        Closed days. [days]

    Returns
    -------
    date : [day]
    """
    return closed.open_until(pack_from - timedelta(days=cure_days))


def _steps(day: date, count: int, step: Callable[[date], date]) -> date:
    for _ in range(count):
        day = step(day)
    return day


def _refuse_closed(day: date, name: str, closed: ClosedDays) -> None:
    if closed.holds(day):
        near = f"{closed.open_until(day)} and {closed.open_from(day)}"
        raise Unsolvable(f"The {name} on {day} is on a closed day; the nearest open days are {near}.",
                         field=(name,), value=str(day), allowed=near)


def _days(options: DateOptions) -> tuple[int, int]:
    return (UNMOULD_DAYS if options.unmould_days is None else options.unmould_days,
            CURE_DAYS if options.cure_days is None else options.cure_days)


def _backward(options: DateOptions) -> BatchDates:
    assert options.release is not None
    unmould_days, cure_days = _days(options)
    _refuse_closed(options.release, "release", options.closed)
    pack_from = packing_from(options.release, options.packing_days, options.closed)
    cut_by = latest_cut(pack_from, cure_days, options.closed)
    pour = _pour_until(options, options.closed.open_until(cut_by - timedelta(days=unmould_days)))
    # no longer in the mould than closed days make it: a pour that had to move earlier is unmoulded earlier too
    unmould = options.closed.open_from(pour + timedelta(days=unmould_days))
    return _result(options, pour, unmould, pack_from, options.release)


def _unmould(options: DateOptions, pour: date) -> date:
    return options.closed.open_from(pour + timedelta(days=_days(options)[0]))


def _pour_until(options: DateOptions, pour: date) -> date:
    """The last day for a pour, `pour` or earlier, that is not too long in the mould."""
    for _ in range(_LOOKED_AT_DAYS):
        if mould_days_fit(pour, _unmould(options, pour), options.unmould_at_most_days):
            return pour
        pour = options.closed.open_until(pour - _DAY)
    raise _never_in_time(options)


def _pour_from(options: DateOptions, pour: date) -> date:
    """The first day for a pour, `pour` or later, that is not too long in the mould."""
    for _ in range(_LOOKED_AT_DAYS):
        if mould_days_fit(pour, _unmould(options, pour), options.unmould_at_most_days):
            return pour
        pour = options.closed.open_from(pour + _DAY)
    raise _never_in_time(options)


def _never_in_time(options: DateOptions) -> Unsolvable:
    return Unsolvable(f"No pour can be unmoulded on an open day within {options.unmould_at_most_days} days: raise "
                      "unmould_at_most_days, or open a day.", field=("unmould_at_most_days",),
                      value=options.unmould_at_most_days)


def _forward(options: DateOptions, pour: date | None) -> BatchDates:
    assert pour is not None
    _, cure_days = _days(options)
    _refuse_closed(pour, "pour", options.closed)
    unmould = _unmould(options, pour)
    if not mould_days_fit(pour, unmould, options.unmould_at_most_days):
        other = _pour_from(options, pour)
        raise Unsolvable(
            f"Poured on {pour}, the soap can be unmoulded on {unmould} at the earliest, after {(unmould - pour).days} "
            f"days in the mould; at most {options.unmould_at_most_days} are allowed. The next day for the pour is "
            f"{other}.", field=("pour",), value=str(pour), allowed=f"{other}, or a day that can be unmoulded in time")
    pack_from = options.closed.open_from(unmould + timedelta(days=cure_days))
    release = _steps(pack_from, options.packing_days, lambda day: options.closed.open_from(day + _DAY))
    return _result(options, pour, unmould, pack_from, release)


def _result(options: DateOptions, pour: date, unmould: date, pack_from: date, release: date) -> BatchDates:
    unmould_days, cure_days = _days(options)
    in_mould, curing = (unmould - pour).days, (pack_from - unmould).days
    assumed = tuple(name for name in ("unmould_days", "cure_days") if getattr(options, name) is None)
    notes = []
    if "unmould_days" in assumed:
        notes.append(Said("Unmoulding after 18 to 24 hours is assumed (common practice, no source); allow longer with "
                          "a lot of olive oil or little alkali. Cut while the soap is firm but still pliable."))
    if "cure_days" in assumed:
        notes.append(Said("A cure of {days} days is assumed, the longer end of 4 to 6 weeks (common practice, no "
                          "source).", days=CURE_DAYS))
    if in_mould > unmould_days:
        notes.append(Said("Because of closed days the soap stays {days} days in the mould instead of {planned}: it may "
                          "be hard to cut by then.", days=in_mould, planned=unmould_days))
    if curing > cure_days:
        notes.append(Said("Because of closed days there are {days} days from the cut to packing instead of "
                          "{planned}.", days=curing,
                          planned=cure_days))
    notes.append(Said("Curing is not only drying: lather and mildness keep changing after a bar stops losing weight "
                      "(common practice, no source)."))
    return BatchDates(pour, unmould, unmould + timedelta(days=cure_days), pack_from, release, in_mould, curing,
                      assumed, tuple(notes))
