"""A dose too small for the scale: what to stir it into so that it can be weighed."""

from __future__ import annotations

import math
from dataclasses import dataclass

from kettlewright.recipe.weighing import round_nearest

__all__ = ["STEPS_AT_LEAST", "Dilution", "dilution_for"]

STEPS_AT_LEAST = 10
"""Steps of the scale below which a weighing is too coarse: half a step is then more than 5 % of it. An own decision."""

_PARTS_MAX = 1000


@dataclass(frozen=True, slots=True)
class Dilution:
    """Weigh more, stir it into a carrier, and take a part of that.

    Parameters
    ----------
    weigh_g, carrier_g : float
        Of the addition and of what it is stirred into. [g]
    take_g, take_weigh_g : float
        Of the two together into the batter: exact, and on the scale. [g]
    """

    weigh_g: float
    carrier_g: float
    take_g: float
    take_weigh_g: float

    @property
    def carrier_in_take_g(self) -> float:
        """Carrier that comes along; where it is oil it gets no alkali. [g]"""
        return self.take_g * self.carrier_g / (self.weigh_g + self.carrier_g)


def dilution_for(mass_g: float, step_g: float) -> Dilution | None:
    """How to weigh a dose on a scale too coarse for it.

    Parameters
    ----------
    mass_g : float
        The dose. [g]
    step_g : float
        Step of the scale. [g]

    Returns
    -------
    Dilution, optional : ten steps of the addition in a whole number of times as much carrier, so that the part taken is
        ten steps at least; none where the dose can be weighed, and where it is below a thousandth of that. [g]
    """
    least = STEPS_AT_LEAST * step_g
    if mass_g >= least * (1 - 1e-9):
        return None
    parts = math.ceil(least / mass_g - 1e-9) if mass_g > least / _PARTS_MAX else 0
    if not 2 <= parts <= _PARTS_MAX:
        return None
    take = mass_g * parts
    return Dilution(least, least * (parts - 1), take, round_nearest(take, step_g))
