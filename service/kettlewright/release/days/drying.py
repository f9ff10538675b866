"""The drying curve of a bar, from the maker's own weighings.

First-order drying towards an equilibrium: w(t) = w_eq + (w_0 - w_eq) exp(-k t). Three weighings have exactly one such
curve, so no error can be given; four or more are fitted by least squares, each parameter with its standard error.
What no such curve fits is refused with the reason, never fitted anyway.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from scipy.special import stdtrit

from kettlewright import amounts, limits
from kettlewright.errors import DomainError, gather
from kettlewright.ranges import Range
from kettlewright.said import EnglishText

__all__ = ["Drying", "DryingErrors", "MassOnDay", "Weighing", "loss_bound"]
_COVERAGE = 0.95


@dataclass(frozen=True, slots=True)
class Weighing:
    """A bar on the scale.

    Parameters
    ----------
    day : float
        Counted from day 0. [days]
    mass_g : float
        What the scale showed. [g]

    Raises
    ------
    DomainErrors : a day or a mass out of its bounds.
    """

    day: float
    mass_g: float

    def __post_init__(self) -> None:
        with gather() as checks:
            with checks.at():
                limits.DRYING_DAY.check(self.day, "day")
            with checks.at():
                limits.MASS.check(self.mass_g, "mass")


@dataclass(frozen=True, slots=True)
class MassOnDay:
    """What a bar weighs on a day.

    Parameters
    ----------
    day : float
        Counted from day 0. [days]
    mass_g, daily_loss_g : float
        By the curve; daily loss by then. [g]
    band : Range, optional
        Range of a weighing on that day (95 %); None if no error can be given. [g]
    loss_pct : float
        Since day 0. [% of the mass on day 0]
    beyond : bool
        After the last weighing: the curve carried on. [yes or no]
    """

    day: float
    mass_g: float
    daily_loss_g: float
    band: Range | None
    loss_pct: float
    beyond: bool


class DryingErrors(NamedTuple):
    """Standard errors of a drying curve.

    Parameters
    ----------
    equilibrium_g, to_lose_g : float
        Of the final mass; of the loss from day 0 to the end. [g]
    rate_per_day : float
        Of the rate. [1/day]
    """

    equilibrium_g: float
    to_lose_g: float
    rate_per_day: float


@dataclass(frozen=True, slots=True)
class Drying:
    """The curve w(t) = w_eq + D exp(-k t), t in days from day 0.

    Parameters
    ----------
    equilibrium_g, to_lose_g : float
        w_eq, the final mass; D, the loss from day 0 to the end. [g]
    rate_per_day : float
        k. [1/day]
    weighings : tuple of Weighing
        What it was fitted to, by day. [g]
    errors : DryingErrors, optional
        Standard errors; none for three weighings. [g, g, 1/day]
    scatter_g : float, optional
        Standard deviation of the weighings about the curve, n - 3 degrees of freedom. [g]
    squares_g2 : float
        Sum of squared residuals. [g2]
    covariance : tuple of tuple of float, optional
        Of the three, in their order. [g2, g/day, 1/day2]
    """

    equilibrium_g: float
    to_lose_g: float
    rate_per_day: float
    weighings: tuple[Weighing, ...]
    errors: DryingErrors | None
    scatter_g: float | None
    squares_g2: float
    covariance: tuple[tuple[float, ...], ...] | None

    @property
    def start_g(self) -> float:
        """The mass on day 0. [g]"""
        return self.equilibrium_g + self.to_lose_g

    @property
    def half_life_days(self) -> float:
        """In which half of what is still to lose is lost. [days]"""
        return math.log(2) / self.rate_per_day

    @property
    def last_day(self) -> float:
        """The day of the last weighing. [days]"""
        return self.weighings[-1].day

    def mass(self, day: float) -> float:
        """What the bar weighs (`day` [days]). [g]"""
        return self.equilibrium_g + self.to_lose_g * math.exp(-self.rate_per_day * day)

    def loss_pct(self, day: float) -> float:
        """What it has lost since day 0 (`day` [days]). [% of the mass on day 0]"""
        return -100 * self.to_lose_g * math.expm1(-self.rate_per_day * day) / self.start_g

    def on_day(self, day: float) -> MassOnDay:
        """What the bar weighs on a day, with its band.

        Parameters
        ----------
        day : float
            Counted from day 0. [days]

        Returns
        -------
        MassOnDay : [g, %]

        Raises
        ------
        OutOfRange : the day is out of its bounds.

        Notes
        -----
        Half the width of the band is t(0.975, n - 3) sqrt(J C J' + s2): how well the curve is known, and the scatter
        of single weighings about it. It grows wide with few weighings, as it must.

        References
        ----------
        .. [1] Prediction interval of non-linear least squares by the linear approximation (from memory).
        """
        limits.DRYING_DAY.check(day, "day")
        mass, left = self.mass(day), math.exp(-self.rate_per_day * day)
        band = None
        if self.covariance is not None and self.scatter_g is not None:
            slope = np.array([1.0, left, -self.to_lose_g * day * left])
            variance = float(slope @ np.array(self.covariance) @ slope) + self.scatter_g ** 2
            half = float(stdtrit(len(self.weighings) - 3, (1 + _COVERAGE) / 2)) * math.sqrt(max(variance, 0.0))
            band = Range(max(mass - half, 0.0), mass + half)
        return MassOnDay(day, mass, self.to_lose_g * self.rate_per_day * left, band, self.loss_pct(day),
                         day > self.last_day)

    def days_until_losing(self, daily_loss_g: float) -> float:
        """When the bar loses less than so much a day.

        Parameters
        ----------
        daily_loss_g : float
            The loss that is small enough. [g/day]

        Returns
        -------
        float : ln(D k / x) / k; 0 if it loses no more than that from the start. [days]

        Raises
        ------
        OutOfRange : no mass.
        """
        limits.MASS.check(daily_loss_g, "daily_loss")
        return self._until(self.to_lose_g * self.rate_per_day, daily_loss_g)

    def days_until_within(self, pct: float) -> float:
        """When the bar is this close to its final mass.

        Parameters
        ----------
        pct : float
            Distance from the equilibrium. [% of the equilibrium]

        Returns
        -------
        float : 0 if it is from the start. [days]

        Raises
        ------
        OutOfRange : `pct` out of its bounds.
        """
        limits.NEAR_END_PCT.check(pct, "within_pct")
        return self._until(self.to_lose_g, self.equilibrium_g * pct / 100)

    def _until(self, at_first: float, enough: float) -> float:
        return max(math.log(at_first / enough) / self.rate_per_day, 0.0)


def loss_bound(batter_g: float, water_g: float) -> float:
    """The most a bar can lose in cure: all of the water of its batter.

    Parameters
    ----------
    batter_g, water_g : float
        The whole batter, and the water in it. [g]

    Returns
    -------
    float : an upper bound; soap and glycerol keep some of the water. [% of the batter]

    Raises
    ------
    DomainError, DomainErrors : a mass out of its bounds, more water than batter.
    """
    with gather() as checks:
        with checks.at():
            limits.MASS.check(batter_g, "batter_mass")
        with checks.at():
            limits.MASS.check(water_g, "water_mass")
    if water_g >= batter_g:
        raise DomainError(EnglishText("The water ({water}) is not less than the batter that contains it ({batter}).",
                                      water=amounts.mass(water_g), batter=amounts.mass(batter_g)),
                          field=("water_mass",), value=water_g, allowed=limits.below(amounts.mass(batter_g)))
    return 100 * water_g / batter_g
