"""What sets a batch right that was weighed otherwise: a part of the lye, or more fat. Never thinned by eye.

Both are found on whole steps of the scale and judged by the superfat of what would then be in the pot, so that what is
told is what the result says.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from kettlewright import limits
from kettlewright.recipe.as_weighed import OnScale, jug_mass, lye_as_weighed
from kettlewright.recipe.superfat import Superfat
from kettlewright.recipe.weighed import Lye

__all__ = ["fat_to_add", "is_kept", "part_of_lye", "with_more_fat"]

_NOISE_POINTS = 1e-9


def is_kept(found: Superfat, asked_pct: float, *, at_least: bool) -> bool:
    """Whether a superfat is what was asked.

    Parameters
    ----------
    found : Superfat
        Of what is weighed. [% of full demand]
    asked_pct : float
        As asked. [% of full demand]
    at_least : bool
        Asked as the least over the whole declared range, errors of the scales included. [yes or no]

    Returns
    -------
    bool : the worst case counts where the least was asked, else the achieved superfat
    """
    reached = found.worst_case_pct.min if at_least else found.achieved_pct
    return reached >= asked_pct - _NOISE_POINTS


def part_of_lye(planned: Lye, on_scale: OnScale) -> OnScale | None:
    """The most of the lye in the jug that keeps the superfat asked.

    Parameters
    ----------
    planned : Lye
        The weighed recipe of the plan. [lye]
    on_scale : OnScale
        What was weighed. [g]

    Returns
    -------
    OnScale, or None where not even one step of it does : the same with that part, on a whole step of the scale. [g]

    Notes
    -----
    With f of the lye, s = 1 - (f A - f n_jug - n_pot) / (E_pot + f E_jug), which falls as f grows. Where the superfat
    is to be kept over the whole range, its lower end counts.
    """
    step, jug = planned.scale.readability_g, jug_mass(planned, on_scale)
    recipe = planned.recipe

    def of(steps: int) -> OnScale:
        return replace(on_scale, lye_part=min(steps * step / jug, 1.0), lye_step_g=step)

    def too_much(steps: int) -> bool:
        return not is_kept(lye_as_weighed(planned, of(steps)).superfat, recipe.asked_pct,
                           at_least=recipe.superfat_at_least_pct is not None)

    most = int(jug / step * (1 + 1e-12)) + 1  # one beyond, so that the whole jug is among them
    first_bad = _first_between(too_much, 0, most + 1)
    return None if first_bad <= 1 else of(first_bad - 1)


def with_more_fat(on_scale: OnScale, index: int, mass_g: float) -> OnScale:
    """The same pot with more of one fat (`on_scale`, `index` of the fat in the recipe, `mass_g`). [g]"""
    fats = list(on_scale.put_in.fats)
    fats[index] += mass_g
    return replace(on_scale, put_in=replace(on_scale.put_in, fats=tuple(fats)))


def fat_to_add(planned: Lye, on_scale: OnScale, index: int) -> float | None:
    """Fat that brings the lower edge of the likely superfat back.

    Parameters
    ----------
    planned : Lye
        The weighed recipe of the plan. [lye]
    on_scale : OnScale
        What is in the pot. [g]
    index : int
        Which fat of the recipe is added. [place]

    Returns
    -------
    float, or None where no mass that a workshop can hold does : up to the step of the scale, so that the edge lies
        above 0, and at or above the superfat that was to be kept at the least. [g]

    Notes
    -----
    For the middle of every range this is m_x = (sum(A_j p_j / M_j) / (1 - s) - E) 56105.6 / SV_x; the edge is found on
    the superfat's own ranges, which the added fat widens too.
    """
    step, floor_pct = planned.scale.readability_g, planned.recipe.superfat_at_least_pct

    def enough(steps: int) -> bool:
        likely = lye_as_weighed(planned, with_more_fat(on_scale, index, steps * step)).superfat.likely_pct.min
        return likely > 0 and (floor_pct is None or likely >= floor_pct - _NOISE_POINTS)

    most = int((limits.MASS.high - lye_as_weighed(planned, on_scale).mass_g) / step)
    found = _first(enough, most)
    return None if found > most else found * step


def _first(holds: Callable[[int], bool], most: int) -> int:
    """The first of 1 to `most` for which something holds that goes on holding; `most` + 1 where it never does."""
    low, high = 0, 1  # it does not hold at `low`
    while high <= most and not holds(high):
        low, high = high, high * 2
    return _first_between(holds, low, min(high, most + 1))


def _first_between(holds: Callable[[int], bool], low: int, high: int) -> int:
    """The first above `low`, where it does not hold, up to `high`, where it does."""
    while high - low > 1:
        middle = (low + high) // 2
        if holds(middle):
            high = middle
        else:
            low = middle
    return high
