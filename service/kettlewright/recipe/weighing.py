"""The steps of a scale, and how a mass is rounded to them."""

from __future__ import annotations

import math
from dataclasses import dataclass

from kettlewright import limits

__all__ = ["EXACT", "Scale", "round_down", "round_nearest", "round_up"]

_GUARD_STEPS = 1e-9  # in binary 0.3 / 0.1 is slightly below 3; without this, a mass on a step would lose it


@dataclass(frozen=True, slots=True)
class Scale:
    """Steps of the scales on the bench.

    Parameters
    ----------
    readability_g : float
        Step for fats, water, liquids and portions. [g]
    alkali_readability_g : float
        Step for dry alkali and stock solutions. [g]
    dose_readability_g : float
        Step for acids, additions and dusting. [g]

    Raises
    ------
    OutOfRange : a step is not above 0 or above 10 kg.
    """

    readability_g: float = 1.0
    alkali_readability_g: float = 0.1
    dose_readability_g: float = 0.1

    def __post_init__(self) -> None:
        for name in ("readability_g", "alkali_readability_g", "dose_readability_g"):
            limits.READABILITY.check(getattr(self, name), name)


EXACT = Scale(readability_g=1e-9, alkali_readability_g=1e-9, dose_readability_g=1e-9)
"""An ideal scale: masses are not rounded."""


def round_down(mass_g: float, step_g: float) -> float:
    """The last step of the scale that is not above a mass.

    Parameters
    ----------
    mass_g, step_g : float
        Mass and step. [g]

    Returns
    -------
    float : at most `mass_g`, within a billionth of a step. [g]
    """
    return math.floor(mass_g / step_g + _GUARD_STEPS) * step_g


def round_nearest(mass_g: float, step_g: float) -> float:
    """The step of the scale nearest to a mass; half a step goes up.

    Parameters
    ----------
    mass_g, step_g : float
        Mass and step. [g]

    Returns
    -------
    float : within half a step of `mass_g`. [g]
    """
    return math.floor(mass_g / step_g + 0.5 + _GUARD_STEPS) * step_g


def round_up(amount: float, step: float) -> float:
    """The first step that is not below an amount.

    Parameters
    ----------
    amount, step : float
        Amount and step. [same unit]

    Returns
    -------
    float : at least `amount`, within a billionth of a step. [same unit]
    """
    return math.ceil(amount / step - _GUARD_STEPS) * step
