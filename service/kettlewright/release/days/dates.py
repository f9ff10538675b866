"""The dates of one batch, backward from its release or forward from its pour.

Whole calendar days, no time of day and no time zone. Hands are needed on the days of the pour, of unmoulding and
cutting, of packing and of the release, so none of them is on a closed day. A day that was given stays as it
is; what is reckoned from it moves earlier on the way back and later on the way forward, so that neither the time in
the mould nor the cure is ever shorter than requested.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from kettlewright import limits
from kettlewright.errors import Unsolvable, gather, one_of
from kettlewright.release.days.closed_days import LOOKED_AT_DAYS, NONE_CLOSED, ONE_DAY, ClosedDays, NoOpenDay
from kettlewright.release.days.date_steps import (
    CURE_DAYS,
    UNMOULD_DAYS,
    check_mould_days,
    latest_cut,
    mould_days_fit,
    packing_from,
    release_after,
)
from kettlewright.said import Said

__all__ = ["BatchDates", "DateOptions", "batch_dates"]


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
    closed: ClosedDays = NONE_CLOSED
    earliest: date | None = None

    def __post_init__(self) -> None:
        with gather() as checks:
            with checks.at():
                if (self.release is None) == (self.pour is None):
                    raise one_of(self.release)('Give either "release" or "pour": the other is computed.',
                                               field=("release",))
            limits.check_each(self, checks, unmould_days=limits.UNMOULD_DAYS, unmould_at_most_days=limits.UNMOULD_DAYS,
                              cure_days=limits.CURE_DAYS, packing_days=limits.PACKING_DAYS)
            with checks.at():
                check_mould_days(self.unmould_days, self.unmould_at_most_days)


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
    for _ in range(LOOKED_AT_DAYS):
        if mould_days_fit(pour, _unmould(options, pour), options.unmould_at_most_days):
            return pour
        pour = options.closed.open_until(pour - ONE_DAY)
    raise _never_in_time(options)


def _pour_from(options: DateOptions, pour: date) -> date:
    """The first day for a pour, `pour` or later, that is not too long in the mould."""
    for _ in range(LOOKED_AT_DAYS):
        if mould_days_fit(pour, _unmould(options, pour), options.unmould_at_most_days):
            return pour
        pour = options.closed.open_from(pour + ONE_DAY)
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
    release = release_after(pack_from, options.packing_days, options.closed)
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
