"""A dose too small for the scale: what to stir it into so that it can be weighed."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kettlewright.recipe.weighing import round_nearest, round_up

__all__ = ["STEPS_AT_LEAST", "Dilution", "dilutions_for"]

STEPS_AT_LEAST = 10
"""Steps of the scale below which a weighing is too coarse: half a step is then more than 5 % of it. An own decision."""

_PARTS_MAX = 1000


@dataclass(frozen=True, slots=True)
class Dilution:
    """Weigh more, stir it into a carrier, and take a part of that.

    Parameters
    ----------
    weigh_g, carrier_g : float
        Of the addition and of what it is stirred into, for all its doses that need it. [g]
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


def dilutions_for(doses: Sequence[tuple[float, float]]) -> tuple[Dilution | None, ...]:
    """How to weigh the doses of one ingredient on a scale too coarse for some of them: one dilution serves them all.

    Parameters
    ----------
    doses : sequence of (mass, step of the scale)
        All of a batch. [g]

    Returns
    -------
    tuple of Dilution or None, one for each dose : the addition, ten steps or what all these doses take, in a whole
        number of times as much carrier, so that each part taken is ten steps at least; none where a dose can be
        weighed, and where it is below a thousandth of ten steps. [g]
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
