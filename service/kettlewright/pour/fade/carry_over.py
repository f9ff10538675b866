"""Colour the next portion with the batter kept from the darker one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kettlewright.errors import Unsolvable

__all__ = ["CarryOver", "carry_over", "check_falling"]


@dataclass(frozen=True, slots=True)
class CarryOver:
    """One pour, in which the batter kept from the darker bucket colours the next one.

    Parameters
    ----------
    pour_g, make_g, keep_g, plain_g : float
        Poured; in the bucket before the pour; kept for the next; plain batter to add first. [g]
    colourant_g : float
        Colourant to add here: only for the first. [g]
    """

    pour_g: float
    make_g: float
    keep_g: float
    plain_g: float
    colourant_g: float


def carry_over(poured_g: Sequence[float], doses: Sequence[float]) -> tuple[CarryOver, ...]:
    """How much of each batter to keep so that it colours the next.

    Parameters
    ----------
    poured_g : sequence of float, length n >= 2
        Poured from each, darkest first. [g]
    doses : sequence of float, same length
        Decreasing, all above 0. [g per kg of batter]

    Returns
    -------
    tuple of CarryOver : in the order of work; plain batter adds up to the total poured, colourant to the total in it.
    [g]

    Raises
    ------
    Unsolvable : doses that do not decrease, a dose of 0.

    Notes
    -----
    Backward: M_n = P_n; q_i = M_(i+1) c_(i+1) / c_i; M_i = P_i + q_i; plain b_1 = M_1, b_i = M_i - q_(i-1).
    """
    check_falling(doses)
    made, kept = [0.0] * len(doses), [0.0] * len(doses)
    for index in range(len(doses) - 1, -1, -1):
        if index + 1 < len(doses):
            kept[index] = made[index + 1] * doses[index + 1] / doses[index]
        made[index] = poured_g[index] + kept[index]
    return tuple(CarryOver(poured, made[index], kept[index], made[index] - (kept[index - 1] if index else 0.0),
                           made[0] * doses[0] / 1000 if index == 0 else 0.0) for index, poured in enumerate(poured_g))


def check_falling(doses: Sequence[float]) -> None:
    """Validate doses for carry-over.

    Parameters
    ----------
    doses : sequence of float
        In the order of work. [g per kg of batter]

    Raises
    ------
    Unsolvable : doses that do not decrease, a dose of 0.
    """
    for index, dose in enumerate(doses):
        if dose <= 0:
            raise Unsolvable("A plain portion cannot be made from coloured batter: it needs plain batter "
                             "of its own. Leave it out of the carry-over.", field=("doses", index), value=dose)
        if index and dose >= doses[index - 1]:
            raise Unsolvable("With carry-over each batter is lighter than the one before: the doses must decrease.",
                             field=("doses", index), value=dose)
