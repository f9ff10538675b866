"""Curves of absorption against dose: Kubelka-Munk K/S of one channel, through the swatches of a colourant."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

import numpy as np
from scipy.optimize import isotonic_regression, minimize_scalar

if TYPE_CHECKING:
    from scipy.interpolate import PchipInterpolator

__all__ = ["Curve", "Interpolated", "Point", "Power", "Straight", "absorption", "fit_interpolated", "fit_power",
           "fit_straight", "reflectance"]

_LIGHTEST = 1e-4  # K/S of a reflectance of 0.986: above that a step of K/S would mean ever more
_EXPONENT_MIN, _EXPONENT_MAX = 0.25, 2.0  # of a power law; dyes and pigments lie between 0.5 and 1
_GRID = tuple(float(one) for one in np.linspace(_EXPONENT_MIN, _EXPONENT_MAX, 36))
_END_MIN, _END_MAX = 0.4, 1.6  # of the exponent carried below the lightest dyed swatch
_STEEPEST = 8.0  # of a local exponent between swatches
_SMALLEST = 1e-9  # K/S no eye sees; it has a logarithm


class Curve(Protocol):
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
        K/S without colourant, and its change for a gram per kilogram, of either sign. [1, kg/g]
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
        K/S without colourant, its change at the dose `unit`, of either sign, and how it grows. [1]
    unit : float
        The highest dose fitted. [g/kg]
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
        K/S that the change is counted from: of the plain batter, or 0 without a plain swatch. [1]
    sign : float
        1 where K/S rises with the dose, -1 where it falls. [1]
    lowest, exponent : float
        Lowest dose of the interpolation, and the local exponent that is carried below it. [g/kg, 1]
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
    """R = 1 + x - sqrt(x^2 + 2 x), in the form that keeps its digits for large x.

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
    """What a step of K/S means to the eye, squared: (d R^(1/3) / dx)^2, since lightness goes with the cube root of R.

    Swatches scatter about alike in lightness; in K/S a dark one scatters far more than a light one.
    """
    absorbed = max(point.value, _LIGHTEST)
    return point.count * float(reflectance(absorbed) ** (2 / 3) / (absorbed * (absorbed + 2)))


def fit_straight(points: Sequence[Point]) -> Straight:
    """A straight line, from the plain swatch where there is one.

    Parameters
    ----------
    points : sequence of Point, length n >= 2
        In rising order of distinct doses. [g/kg]

    Returns
    -------
    Straight : least squares, weighted by what a step of K/S means to the eye. [1]
    """
    plain, slope, _ = _least_squares(points, 1.0)
    return Straight(plain, slope / points[-1].dose)


def fit_power(points: Sequence[Point]) -> Power:
    """A power of the dose, from the plain swatch where there is one.

    Parameters
    ----------
    points : sequence of Point, length n >= 3, without a plain one n >= 4
        In rising order of distinct doses. [g/kg]

    Returns
    -------
    Power : least squares, weighted by what a step of K/S means to the eye. [1]
    """
    best = int(np.argmin([_least_squares(points, exponent)[2] for exponent in _GRID]))
    around = (_GRID[max(best - 1, 0)], _GRID[min(best + 1, len(_GRID) - 1)])
    exponent = float(minimize_scalar(lambda one: _least_squares(points, one)[2], bounds=around, method="bounded",
                                     options={"xatol": 1e-9}).x)
    plain, factor, _ = _least_squares(points, exponent)
    return Power(plain, factor, exponent, points[-1].dose)


def _least_squares(points: Sequence[Point], exponent: float) -> tuple[float, float, float]:
    """Plain, factor and weighted sum of squares of a power of dose / highest dose."""
    weights, doses, values = np.array([(_weight(point), point.dose, point.value) for point in points]).T
    powers = (doses / doses[-1]) ** exponent
    from_plain = points[0].dose == 0
    middle = 0.0 if from_plain else float(np.average(powers, weights=weights))
    mean = points[0].value if from_plain else float(np.average(values, weights=weights))
    factor = float(weights @ ((powers - middle) * (values - mean)) / (weights @ (powers - middle) ** 2))
    missed = values - mean - factor * (powers - middle)
    return mean - factor * middle, factor, float(weights @ missed ** 2)


def fit_interpolated(points: Sequence[Point]) -> Interpolated:
    """A monotone curve through the swatches.

    Parameters
    ----------
    points : sequence of Point, length n >= 3
        In rising order of distinct doses. [g/kg]

    Returns
    -------
    Interpolated : through all points that are in order; those that are not meet at their mean. [1]

    Notes
    -----
    Between swatches log(x - x0) goes with log dose by monotone cubic interpolation, which keeps a power of the dose
    exactly. Below the lightest dyed swatch its local exponent is carried on to plain. Without a plain swatch log x
    goes with log dose.
    """
    from scipy.interpolate import PchipInterpolator  # here, since most requests have no fade

    rising = _rises(points)
    if points[0].dose == 0:
        plain, sign, dyed = points[0].value, 1.0 if rising else -1.0, points[1:]
        changes = _in_order([sign * (point.value - plain) for point in dyed], dyed, rising=True)
        for index in range(len(dyed) - 2, -1, -1):  # no change at all has no logarithm
            ratio = dyed[index].dose / dyed[index + 1].dose
            changes[index] = max(changes[index], changes[index + 1] * ratio ** _STEEPEST)
    else:
        plain, sign, dyed = 0.0, 1.0, points
        changes = _in_order([point.value for point in dyed], dyed, rising=rising)
    exponent = math.log(changes[1] / changes[0]) / math.log(dyed[1].dose / dyed[0].dose)
    return Interpolated(plain, sign, dyed[0].dose, min(max(exponent, _END_MIN), _END_MAX), PchipInterpolator(
        [math.log(point.dose) for point in dyed], [math.log(change) for change in changes]))


def _rises(points: Sequence[Point]) -> bool:
    """Whether K/S rises with the dose, by what the eye sees."""
    seen = np.array([-reflectance(point.value) ** (1 / 3) for point in points])
    up, down = (float(np.sum((isotonic_regression(seen, increasing=rising).x - seen) ** 2)) for rising in (True, False))
    return up <= down


def _in_order(values: Sequence[float], points: Sequence[Point], *, rising: bool) -> list[float]:
    """The nearest values in order, all above 0."""
    found = isotonic_regression(values, weights=[_weight(point) for point in points], increasing=rising).x
    return [max(float(one), _SMALLEST) for one in found]
