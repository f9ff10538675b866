"""Dilution of a dose that is too small for the scale."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kettlewright.recipe.weighing import round_nearest, round_up

__all__ = ["STEPS_AT_LEAST", "Dilution", "dilutions_for"]

STEPS_AT_LEAST = 10
"""Number of steps below which a weighing is too coarse: half a step is then more than 5 % of it. An own decision."""

_PARTS_MAX = 1000


@dataclass(frozen=True, slots=True)
class Dilution:
    """Weigh a larger mass, stir it into a carrier, and take a part of the mixture.

    Parameters
    ----------
    weigh_g, carrier_g : float
        The addition and its carrier, for all doses that need it. [g]
    take_g, take_weigh_g : float
        The part of the mixture for the batter: exact, and on the scale. [g]
    """

    weigh_g: float
    carrier_g: float
    take_g: float
    take_weigh_g: float

    @property
    def carrier_in_take_g(self) -> float:
        """Carrier in that part; if it is oil, it gets no alkali. [g]"""
        return self.take_g * self.carrier_g / (self.weigh_g + self.carrier_g)


def dilutions_for(doses: Sequence[tuple[float, float]]) -> tuple[Dilution | None, ...]:
    """One dilution for all doses of an ingredient that are too small for the scale.

    Parameters
    ----------
    doses : sequence of (mass, step of the scale)
        All doses of a batch. [g]

    Returns
    -------
    tuple of Dilution or None, one for each dose : the addition (ten steps, or as much as these doses need) in a whole
        multiple of its mass of carrier, so that each part taken is at least ten steps; None if a dose can be
        weighed directly, or is below a thousandth of ten steps. [g]
    """
    small = [(mass, step) for mass, step in doses
             if STEPS_AT_LEAST * step / _PARTS_MAX < mass < STEPS_AT_LEAST * step * (1 - 1e-9)]
    if not small:
        return (None,) * len(doses)
    parts = max(max(math.ceil(STEPS_AT_LEAST * step / mass - 1e-9) for mass, step in small), 2)
    coarsest = max(step for _, step in small)
    taken = math.fsum(round_nearest(mass * parts, step) for mass, step in small)
    weigh = max(STEPS_AT_LEAST * coarsest, round_up(taken / parts, coarsest))
    return tuple(Dilution(weigh, weigh * (parts - 1), mass * parts, round_nearest(mass * parts, step))
                 if (mass, step) in small else None for mass, step in doses)
