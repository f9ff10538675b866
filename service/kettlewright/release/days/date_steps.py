"""How long each step from the pour to the release takes, around closed days."""

from __future__ import annotations

from datetime import date, timedelta

from kettlewright.errors import Unsolvable
from kettlewright.release.days.closed_days import ONE_DAY, ClosedDays

__all__ = ["CURE_DAYS", "UNMOULD_DAYS", "check_mould_days", "latest_cut", "mould_days_fit", "packing_from",
           "release_after"]


UNMOULD_DAYS = 1
"""Days in the mould if none are given: unmould after 18 to 24 hours (common practice, no source)."""
CURE_DAYS = 42
"""Days of cure if none are given: the longer end of 4 to 6 weeks (common practice, no source)."""


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
    day = release
    for _ in range(packing_days):
        day = closed.open_until(day - ONE_DAY)
    return day


def release_after(pack_from: date, packing_days: int, closed: ClosedDays) -> date:
    """The first day of sale once packing has begun.

    Parameters
    ----------
    pack_from : date
        When packing begins. [day]
    packing_days : int
        Working days it takes. [days]
    closed : ClosedDays
        Closed days. [days]

    Returns
    -------
    date : that day itself where packing takes no day. [day]
    """
    day = pack_from
    for _ in range(packing_days):
        day = closed.open_from(day + ONE_DAY)
    return day


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
