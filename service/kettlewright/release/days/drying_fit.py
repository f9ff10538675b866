"""The drying curve that a bar's weighings give: three exactly, four or more by least squares; or why there is none."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

import numpy as np
from scipy.optimize import brentq

from kettlewright import amounts, limits
from kettlewright.errors import DomainError, OutOfRange, Unsolvable, gather
from kettlewright.least import least
from kettlewright.release.days.drying import Drying, DryingErrors, Weighing
from kettlewright.said import EnglishText

__all__ = ["WEIGHINGS_MAX", "WEIGHINGS_MIN", "fit_drying"]


WEIGHINGS_MIN, WEIGHINGS_MAX = 3, 200

_SAME_DAY = 0.01  # a quarter of an hour
_RISE_PART = 0.1  # of all that was lost: more is another bar or a slip of the pen, not a damp day
_NO_CHANGE = 1e-5  # of the mass: no scale shows it
_SLOWEST, _FASTEST = 0.02, 12.0  # k times all days; k times the first gap: beyond, an end of the curve is not seen
_BACK = 30.0  # k times the first day: beyond, the curve carried back to day 0 is nonsense
_RATES = 400


def fit_drying(weighings: Sequence[Weighing], *, bound_pct: float | None = None) -> Drying:
    """The drying curve through the maker's weighings.

    Parameters
    ----------
    weighings : sequence of Weighing, length n >= 3
        Of one bar, or each the mean of the same bars; in any order. [g]
    bound_pct : float, optional
        The most it can lose: the water of its batter. [%]

    Returns
    -------
    Drying : through three weighings exactly, without errors; through more by least squares. [g, days]

    Raises
    ------
    DomainError, DomainErrors, Unsolvable : too few or too many weighings, a day twice, a rising mass, losses that do
        not shrink, an end below what is possible.

    Notes
    -----
    Three weighings an equal time apart have w_eq = (w1 w3 - w2^2) / (w1 + w3 - 2 w2); other times are solved for k.

    References
    ----------
    .. [1] First-order (thin-layer) drying: standard form, from memory. The closed form: computed.
    """
    rows = _in_order(weighings)
    found = _exact(rows) if len(rows) == WEIGHINGS_MIN else _least_squares(rows)
    _check_end(found, bound_pct)
    return found


def _in_order(weighings: Sequence[Weighing]) -> tuple[Weighing, ...]:
    if not WEIGHINGS_MIN <= len(weighings) <= WEIGHINGS_MAX:
        few = " Two do not show where it ends." if len(weighings) < WEIGHINGS_MIN else ""
        raise OutOfRange(f"A drying curve needs {WEIGHINGS_MIN} to {WEIGHINGS_MAX} weighings, and four or more to "
                         f"estimate the error; {len(weighings)} {'is' if len(weighings) == 1 else 'are'} given.{few}",
                         value=len(weighings), allowed=f"{WEIGHINGS_MIN} to {WEIGHINGS_MAX}")
    places = sorted(range(len(weighings)), key=lambda place: weighings[place].day)
    rows = tuple(weighings[place] for place in places)
    with gather() as checks:
        for (_, before), (place, now) in itertools.pairwise(zip(places, rows, strict=True)):
            with checks.at(place):
                if now.day - before.day < _SAME_DAY:
                    raise DomainError(f"Day {now.day:.6g} appears twice: give one weighing per day, the mean if you "
                                      "weigh several bars.", value=now.day)
    lost = rows[0].mass_g - min(row.mass_g for row in rows)
    if lost <= _NO_CHANGE * rows[0].mass_g:
        raise Unsolvable(EnglishText("The bar loses nothing from day {first:.6g} ({first_mass}) to day {last:.6g} "
                                     "({last_mass}): there is no drying to fit. Start weighing on the day it is cut.",
                                     first=rows[0].day, first_mass=amounts.mass(rows[0].mass_g), last=rows[-1].day,
                                     last_mass=amounts.mass(rows[-1].mass_g)))
    allowed = 0.0 if len(rows) == WEIGHINGS_MIN else _RISE_PART * lost
    with gather() as checks:
        for (_, before), (place, now) in itertools.pairwise(zip(places, rows, strict=True)):
            with checks.at(place):
                if now.mass_g - before.mass_g > allowed:
                    raise Unsolvable(
                        EnglishText("From day {before:.6g} to day {now:.6g} the mass rises from {was} to {became}: is "
                                    "it another bar, or a typing error? Leave out one of the two.",
                                    before=before.day, now=now.day, was=amounts.bare(amounts.mass(before.mass_g)),
                                    became=amounts.mass(now.mass_g)),
                        field=("mass",), value=now.mass_g)
    return rows


def _not_shrinking(rows: Sequence[Weighing]) -> Unsolvable:
    return Unsolvable(f"Keep weighing beyond day {rows[-1].day:.6g}: the daily loss is not getting smaller yet, so the "
                      "final mass cannot be estimated.")


def _too_fast(rows: Sequence[Weighing]) -> Unsolvable:
    return Unsolvable(f"The bar loses everything before its second weighing (day {rows[1].day:.6g}), so its drying "
                      "rate cannot be seen. Weigh earlier and more often at the start.")


def _too_late(rows: Sequence[Weighing]) -> Unsolvable:
    return Unsolvable(f"The first weighing, on day {rows[0].day:.6g}, is too late to tell the mass on day 0: weigh on "
                      "day 0 too, or count the days from the first weighing.")


def _exact(rows: Sequence[Weighing]) -> Drying:
    (t1, w1), (t2, w2), (t3, w3) = ((row.day, row.mass_g) for row in rows)
    first, whole = t2 - t1, t3 - t1
    part = (w1 - w2) / (w1 - w3)  # of the loss up to the second weighing: above first / whole where losses shrink

    def lost(rate: float) -> float:
        return math.expm1(-rate * first) / math.expm1(-rate * whole) - part

    slowest, fastest = _SLOWEST / whole, _FASTEST / first
    if lost(slowest) >= 0:
        raise _not_shrinking(rows)
    if lost(fastest) <= 0:
        raise _too_fast(rows)
    if math.isclose(2 * first, whole, rel_tol=1e-9):
        end = (w1 * w3 - w2 * w2) / (w1 + w3 - 2 * w2)
        rate = math.log((w1 - end) / (w2 - end)) / first
    else:
        rate = float(brentq(lost, slowest, fastest, xtol=1e-15, rtol=1e-14))
        end = w1 + (w1 - w3) / math.expm1(-rate * whole)
    if rate * t1 > _BACK:
        raise _too_late(rows)
    return Drying(end, (w1 - end) * math.exp(rate * t1), rate, tuple(rows), None, None, 0.0, None)


def _least_squares(rows: Sequence[Weighing]) -> Drying:
    days = np.array([row.day for row in rows])
    masses = np.array([row.mass_g for row in rows])
    start, whole, size = days[0], days[-1] - days[0], masses[0] - masses.min()
    times, parts = (days - start) / whole, (masses - masses.min()) / size  # all of the order of 1: a well-set problem

    # for one rate the curve is linear in the two others, so the best of many rates is a straight line's work
    rates = np.geomspace(_SLOWEST, _FASTEST / times[1], _RATES)
    shapes = np.exp(-np.outer(rates, times))
    leaning, lying = shapes - shapes.mean(axis=1, keepdims=True), parts - parts.mean()
    mores = leaning @ lying / np.sum(leaning ** 2, axis=1)
    ends = parts.mean() - mores * shapes.mean(axis=1)
    best = int(np.argmin(np.sum((ends[:, None] + mores[:, None] * shapes - parts) ** 2, axis=1)))
    if best == 0 or mores[best] <= 0:
        raise _not_shrinking(rows)
    if best == _RATES - 1:
        raise _too_fast(rows)
    found = _best_curve(times.tolist(), parts.tolist(), rates[best - 1:best + 2].tolist())
    return _in_grams(rows, found, _spread(times, parts, found), start=float(start), whole=float(whole),
                     size=float(size), low=float(masses.min()))


def _best_curve(times: Sequence[float], parts: Sequence[float], rates: Sequence[float]) -> tuple[float, float, float]:
    """End, amount lost and rate of the least sum of squares, near the second of three rates."""
    mean = math.fsum(parts) / len(parts)

    def line(rate: float) -> tuple[list[float], float, float]:
        shape = [math.exp(-rate * time) for time in times]
        middle = math.fsum(shape) / len(shape)
        more = (math.fsum((one - middle) * (part - mean) for one, part in zip(shape, parts, strict=True))
                / math.fsum((one - middle) ** 2 for one in shape))
        return shape, mean - more * middle, more

    def slope(rate: float) -> float:
        shape, end, more = line(rate)
        return more * math.fsum((part - end - more * one) * time * one
                                for one, part, time in zip(shape, parts, times, strict=True))

    rate = least(slope, *rates)
    _, end, more = line(rate)
    return end, more, rate


def _spread(times: np.ndarray, parts: np.ndarray, found: tuple[float, float, float]) -> np.ndarray:
    """The covariance of end, amount lost and rate: variance of the residuals x (J^T J)^-1, as is usual."""
    end, more, rate = found
    shape = np.exp(-rate * times)
    residuals = parts - end - more * shape
    jacobian = np.column_stack([np.ones_like(times), shape, -more * times * shape])
    _, sizes, turned = np.linalg.svd(jacobian, full_matrices=False)
    with np.errstate(all="ignore"):
        halves = turned.T / sizes
    return np.asarray(halves @ halves.T * (residuals @ residuals / (len(times) - 3)))


def _in_grams(rows: Sequence[Weighing], found: tuple[float, float, float], spread: np.ndarray, *, start: float,
              whole: float, size: float, low: float) -> Drying:
    """Back from parts to grams and days; what is lost is counted from day 0 and not from the first weighing."""
    end, more, rate = low + size * found[0], size * found[1], found[2] / whole
    if not (rate > 0 and more > 0 and np.all(np.isfinite(spread))):
        raise _not_shrinking(rows)
    if rate * start > _BACK:
        raise _too_late(rows)
    back = math.exp(rate * start)
    turn = np.array([[size, 0.0, 0.0], [0.0, size * back, more * back * start / whole], [0.0, 0.0, 1 / whole]])
    covariance = turn @ spread @ turn.T
    missed = [row.mass_g - end - more * math.exp(-rate * (row.day - start)) for row in rows]
    squares = math.fsum(miss * miss for miss in missed)
    errors = [math.sqrt(max(float(value), 0.0)) for value in np.diag(covariance)]
    return Drying(end, more * back, rate, tuple(rows), DryingErrors(*errors),
                  math.sqrt(squares / (len(rows) - 3)), squares,
                  tuple(tuple(float(value) for value in row) for row in covariance))


def _check_end(found: Drying, bound_pct: float | None) -> None:
    most = limits.LOSS_PCT.high if bound_pct is None else bound_pct
    loss = 100 * found.to_lose_g / found.start_g
    if loss > most:
        why = ("all the water of its batter" if bound_pct is not None else "the most any bar can lose")
        first = found.weighings[0].day
        back = (f" The curve is extrapolated back from day {first:.6g} to day 0: weigh on day 0 too, or count the days "
                "from the first weighing.") if first > 0 else ""
        raise Unsolvable(EnglishText("The curve would end at {equilibrium}, {loss:.3g} % below day 0; {most:.3g} % is "
                                     "{why}. Keep weighing until the losses are small, or check the weighings.{back}",
                                     equilibrium=amounts.mass(found.equilibrium_g), loss=loss, most=most, why=why,
                                     back=back),
                         value=loss, allowed=f"at most {most:.6g} %")
