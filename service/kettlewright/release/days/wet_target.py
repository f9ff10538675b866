"""What a bar must weigh fresh, so that it holds a promised mass."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from kettlewright.curing import fresh_mass
from kettlewright.errors import Missing
from kettlewright.release.days.cure_days import DayInput, Promise, day_number
from kettlewright.release.days.dates import BatchDates
from kettlewright.release.days.drying import Drying

__all__ = ["WetTarget", "wet_target"]


@dataclass(frozen=True, slots=True)
class WetTarget:
    """What a bar must weigh fresh.

    Parameters
    ----------
    promised_g, wet_g : float
        On the day, and so on day 0. [g]
    loss_pct : float
        Between the two. [% of the fresh mass]
    basis : str
        Source of the loss: "told", "curve", "curve_end" or "bound". [key]
    day : float, optional
        Of the promise, where the loss is the curve's on a day. [days]
    wet_for_band_g : float, optional
        For the lower end of the band; None if there is no band. [g]
    """

    promised_g: float
    wet_g: float
    loss_pct: float
    basis: str
    day: float | None = None
    wet_for_band_g: float | None = None


def wet_target(promise: Promise, drying: Drying | None, *, zero: date | None, dates: BatchDates | None,
               bound: float | None, given_pct: float | None) -> WetTarget:
    """What a bar must weigh fresh.

    Parameters
    ----------
    promise : Promise
        The mass that the bar must hold, and when. [g]
    drying : Drying, optional
        The curve of its weighings. [g]
    zero : date, optional
        Date of day 0. [day]
    dates : BatchDates, optional
        Of the batch: its release is the day of a promise without a day. [days]
    bound : float, optional
        The largest possible loss. [%]
    given_pct : float, optional
        A loss given instead of weighings. [%]

    Returns
    -------
    WetTarget : [g]

    Raises
    ------
    Missing : a day without weighings; no loss is known.
    """
    wanted = promise.mass_g
    if drying is not None:
        if promise.when is None and dates is None:
            loss = 100 * drying.to_lose_g / drying.start_g
            return WetTarget(wanted, fresh_mass(wanted, loss), loss, "curve_end")
        when = DayInput(date=dates.release) if promise.when is None and dates is not None else promise.when
        assert when is not None
        found = drying.on_day(day_number(when, zero))
        # at the lower end of the band the same bar has lost more
        for_band = None if found.band is None or found.band.min <= 0 else wanted * drying.start_g / found.band.min
        return WetTarget(wanted, fresh_mass(wanted, found.loss_pct), found.loss_pct, "curve", found.day, for_band)
    if promise.when is not None:
        raise Missing("Give three or more weighings, or leave out the day: the loss by a day is computed from them.",
                      field=("day" if promise.when.date is None else "date",))
    known, basis = (given_pct, "told") if given_pct is not None else (bound, "bound")
    if known is None:
        raise Missing("Give weighings, expected_loss_pct, or batter_mass with water_mass: the fresh mass is computed "
                      "from the loss in cure.", field=("mass",))
    return WetTarget(wanted, fresh_mass(wanted, known), known, basis)
