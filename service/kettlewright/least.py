"""Where a sum of squares is least, to the last digit."""

from __future__ import annotations

from collections.abc import Callable

from scipy.optimize import brentq

__all__ = ["least"]


def least(slope: Callable[[float], float], low: float, near: float, high: float) -> float:
    """The value at which a function of one value is least, from its slope.

    Parameters
    ----------
    slope : callable
        The derivative of the function, or what has the same sign. [any unit]
    low, near, high : float
        `near` is the best of the values tried, `low` and `high` its neighbours, or `near` itself at an end of the
        range. [any unit]

    Returns
    -------
    float : where the slope changes its sign; `near` if it changes it nowhere between the neighbours. [unit of `near`]

    Notes
    -----
    A search for the least value itself (`scipy.optimize.minimize_scalar`, `curve_fit`) finds the place only to half of
    the digits, as the function is flat there. The rest is rounding, which differs from processor to processor.

    References
    ----------
    .. [1] Brent's method, scipy.optimize.brentq.
    """
    if slope(low) < 0 < slope(high):
        return float(brentq(slope, low, high, xtol=1e-15, rtol=1e-14))
    return near
