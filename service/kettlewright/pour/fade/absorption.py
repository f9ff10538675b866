"""Curves of absorption against dose: Kubelka-Munk K/S of one channel, through the swatches of a colourant."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import PchipInterpolator
from scipy.optimize import isotonic_regression

from kettlewright.least import least

__all__ = ["AbsorptionCurve", "Interpolated", "Point", "Power", "Straight", "absorption", "fit_interpolated",
           "fit_power", "fit_straight", "reflectance"]

_LIGHTEST = 1e-4  # K/S of a reflectance of 0.986: for lighter colours a step of K/S matters ever more
_EXPONENT_MIN, _EXPONENT_MAX = 0.25, 2.0  # of a power law; dyes and pigments lie between 0.5 and 1
_GRID = np.linspace(_EXPONENT_MIN, _EXPONENT_MAX, 36)
_END_MIN, _END_MAX = 0.4, 1.6  # of the exponent extrapolated below the lightest dyed swatch
_STEEPEST = 8.0  # of a local exponent between swatches
_SMALLEST = 1e-9  # an invisible K/S that still has a logarithm


class AbsorptionCurve(Protocol):
    """K/S of one channel against the dose."""

    def at(self, dose: float) -> float:
        """K/S (`dose` [g/kg]). [1]"""


@dataclass(frozen=True, slots=True)
class Point:
    """K/S measured at a dose.

    Parameters
    ----------
    dose : float
        Colourant. [g/kg]
    value : float
        K/S, the mean of `count` swatches. [1]
    count : int
        Swatches of this dose. [number]
    """

    dose: float
    value: float
    count: int = 1


@dataclass(frozen=True, slots=True)
class Straight:
    """K/S = plain + slope * dose.

    Parameters
    ----------
    plain, slope : float
        K/S without colourant, and its change per gram per kilogram, positive or negative. [1, kg/g]
    """

    plain: float
    slope: float

    def at(self, dose: float) -> float:
        """K/S (`dose` [g/kg]). [1]"""
        return max(self.plain + self.slope * dose, 0.0)


@dataclass(frozen=True, slots=True)
class Power:
    """K/S = plain + factor * (dose/unit)^exponent.

    Parameters
    ----------
    plain, factor, exponent : float
        K/S without colourant, its change at the dose `unit` (positive or negative), and the exponent of the dose. [1]
    unit : float
        The highest dose in the fit. [g/kg]
    """

    plain: float
    factor: float
    exponent: float
    unit: float

    def at(self, dose: float) -> float:
        """K/S (`dose` [g/kg]). [1]"""
        return max(self.plain + self.factor * math.pow(dose / self.unit, self.exponent), 0.0)


@dataclass(frozen=True, slots=True)
class Interpolated:
    """Through the swatches: the logarithm of the change of K/S against the logarithm of the dose.

    Parameters
    ----------
    plain : float
        K/S from which the change is counted: that of the plain batter, or 0 without a plain swatch. [1]
    sign : float
        1 if K/S rises with the dose, -1 if it falls. [1]
    lowest, exponent : float
        Lowest dose of the interpolation, and the local exponent used below it. [g/kg, 1]
    logarithms : PchipInterpolator
        Monotone between its points. [log of K/S against log of g/kg]
    """

    plain: float
    sign: float
    lowest: float
    exponent: float
    logarithms: PchipInterpolator

    def at(self, dose: float) -> float:
        """K/S (`dose` [g/kg]). [1]"""
        if dose <= 0:
            return self.plain
        change = math.exp(float(self.logarithms(math.log(max(dose, self.lowest)))))
        if dose < self.lowest:
            change *= (dose / self.lowest) ** self.exponent
        return max(self.plain + self.sign * change, 0.0)


def absorption(reflected: float) -> float:
    """K/S = (1 - R)^2 / (2 R) of a reflectance.

    Parameters
    ----------
    reflected : float, 0 to 1
        R. [1]

    Returns
    -------
    float : K/S. [1]
    """
    return (1 - reflected) ** 2 / (2 * reflected)


def reflectance(absorbed: float) -> float:
    """R = 1 + x - sqrt(x^2 + 2 x), in a form that stays accurate for large x.

    Parameters
    ----------
    absorbed : float
        x = K/S. [1]

    Returns
    -------
    float : R. [1]
    """
    return 1 / (1 + absorbed + math.sqrt(absorbed * (absorbed + 2)))


def _weight(point: Point) -> float:
    """How visible a step of K/S is, squared: (d R^(1/3) / dx)^2, since lightness follows the cube root of R.

    Swatches scatter equally in lightness; in K/S a dark one scatters far more than a light one.
    """
    absorbed = max(point.value, _LIGHTEST)
    return point.count * float(reflectance(absorbed) ** (2 / 3) / (absorbed * (absorbed + 2)))


def fit_straight(points: Sequence[Point]) -> Straight:
    """Fit a straight line, through the plain swatch if there is one.

    Parameters
    ----------
    points : sequence of Point, length n >= 2
        In ascending order of distinct doses. [g/kg]

    Returns
    -------
    Straight : least squares, weighted by how visible a step of K/S is. [1]
    """
    plain, slope = _at_one(_columns(points), 1.0)
    return Straight(plain, slope / points[-1].dose)


def fit_power(points: Sequence[Point]) -> Power:
    """Fit a power of the dose, through the plain swatch if there is one.

    Parameters
    ----------
    points : sequence of Point, length n >= 3, without a plain one n >= 4
        In ascending order of distinct doses. [g/kg]

    Returns
    -------
    Power : least squares, weighted by how visible a step of K/S is. [1]
    """
    columns = _columns(points)
    best = int(np.argmin(_least_squares(columns, _GRID)[2]))
    low, near, high = (float(_GRID[one]) for one in (max(best - 1, 0), best, min(best + 1, len(_GRID) - 1)))
    exponent = least(lambda one: _slope(columns, one), low, near, high)
    plain, factor = _at_one(columns, exponent)
    return Power(plain, factor, exponent, points[-1].dose)


def _columns(points: Sequence[Point]) -> NDArray[np.float64]:
    """Weights, doses as shares of the highest, and values: once for all exponents that are tried."""
    columns = np.array([(_weight(point), point.dose, point.value) for point in points]).T
    columns[1] /= columns[1, -1]
    return columns


def _least_squares(columns: NDArray[np.float64], exponents: NDArray[np.float64]) -> tuple[NDArray[np.float64], ...]:
    """Plain, factor and weighted sum of squares of a power of dose / highest dose, for each exponent."""
    weights, shares, values = columns
    powers = shares ** exponents[..., None]
    from_plain = shares[0] == 0
    middle = np.zeros(exponents.shape) if from_plain else powers @ weights / weights.sum()
    mean = values[0] if from_plain else values @ weights / weights.sum()
    away = powers - middle[..., None]
    factor = (away * (values - mean)) @ weights / (away ** 2 @ weights)
    missed = values - mean - factor[..., None] * away
    return mean - factor * middle, factor, missed ** 2 @ weights


def _at_one(columns: NDArray[np.float64], exponent: float) -> tuple[float, float]:
    """Plain and factor."""
    plain, factor, _ = _least_squares(columns, np.array(exponent))
    return float(plain), float(factor)


def _slope(columns: NDArray[np.float64], exponent: float) -> float:
    """Half the derivative of the weighted sum of squares by the exponent; plain and factor are the best for each."""
    weights, shares, values = columns
    plain, factor = _at_one(columns, exponent)
    powers = shares ** exponent
    turned = powers * np.log(shares, out=np.zeros_like(shares), where=shares > 0)
    return -factor * float(weights @ ((values - plain - factor * powers) * turned))


def fit_interpolated(points: Sequence[Point]) -> Interpolated:
    """Interpolate a monotone curve through the swatches.

    Parameters
    ----------
    points : sequence of Point, length n >= 3
        In ascending order of distinct doses. [g/kg]

    Returns
    -------
    Interpolated : through all points in order; points out of order are replaced by their mean. [1]

    Notes
    -----
    Between swatches log(x - x0) is a monotone cubic interpolation of log dose, which reproduces a power of the dose
    exactly. Below the lightest dyed swatch its local exponent applies down to plain. Without a plain swatch log x
    is interpolated instead.
    """
    rising = _rises(points)
    if points[0].dose == 0:
        plain, sign, dyed = points[0].value, 1.0 if rising else -1.0, points[1:]
        changes = _in_order([sign * (point.value - plain) for point in dyed], dyed, rising=True)
        for index in range(len(dyed) - 2, -1, -1):  # no change has no logarithm
            ratio = dyed[index].dose / dyed[index + 1].dose
            changes[index] = max(changes[index], changes[index + 1] * ratio ** _STEEPEST)
    else:
        plain, sign, dyed = 0.0, 1.0, points
        changes = _in_order([point.value for point in dyed], dyed, rising=rising)
    exponent = math.log(changes[1] / changes[0]) / math.log(dyed[1].dose / dyed[0].dose)
    return Interpolated(plain, sign, dyed[0].dose, min(max(exponent, _END_MIN), _END_MAX), PchipInterpolator(
        [math.log(point.dose) for point in dyed], [math.log(change) for change in changes]))


def _rises(points: Sequence[Point]) -> bool:
    """Whether K/S rises with the dose, weighted by visibility."""
    seen = np.array([-reflectance(point.value) ** (1 / 3) for point in points])
    up, down = (float(np.sum((isotonic_regression(seen, increasing=rising).x - seen) ** 2)) for rising in (True, False))
    return up <= down


def _in_order(values: Sequence[float], points: Sequence[Point], *, rising: bool) -> list[float]:
    """The nearest values in order, all above 0."""
    found = isotonic_regression(values, weights=[_weight(point) for point in points], increasing=rising).x
    return [max(float(one), _SMALLEST) for one in found]
