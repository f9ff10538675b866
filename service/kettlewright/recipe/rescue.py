"""Remedies for a batch that was weighed differently from the plan: a part of the lye, or more fat; never water by eye.

Both are whole steps of the scale, and are judged by the superfat of the batch that would then be in the pot, so that
the advice agrees with the result.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable

from kettlewright import limits
from kettlewright.copies import replace
from kettlewright.recipe.as_weighed import OnScale, jug_mass, lye_as_weighed
from kettlewright.recipe.lye_result import Lye
from kettlewright.recipe.superfat_result import Superfat

__all__ = ["fat_to_add", "is_kept", "part_of_lye", "with_more_fat"]

_NOISE_POINTS = 1e-9


def is_kept(found: Superfat, asked_pct: float, *, at_least: bool) -> bool:
    """Whether a superfat meets the request.

    Parameters
    ----------
    found : Superfat
        Superfat of the weighed batch. [% of full demand]
    asked_pct : float
        The requested superfat. [% of full demand]
    at_least : bool
        It was requested as a minimum over the whole declared range, including scale errors. [yes or no]

    Returns
    -------
    bool : judged by the worst case for a minimum, otherwise by the achieved superfat
    """
    reached = found.worst_case_pct.min if at_least else found.achieved_pct
    return reached >= asked_pct - _NOISE_POINTS


def part_of_lye(planned: Lye, on_scale: OnScale, enough: Callable[[Lye], bool] | None = None) -> OnScale | None:
    """The largest part of the lye in the jug that keeps the requested superfat.

    Parameters
    ----------
    planned : Lye
        The weighed recipe of the plan. [lye]
    on_scale : OnScale
        The masses weighed. [g]
    enough : callable, optional
        Whether a batch will do, which holds for any smaller part of the lye; by default, whether it has the requested
        superfat. [function]

    Returns
    -------
    OnScale, or None if not even one step does : the same with that part, on a whole step of the scale. [g]

    Notes
    -----
    With a fraction f of the lye, s = 1 - (f A - f n_jug - n_pot) / (E_pot + f E_jug), which falls as f grows. For a
    superfat kept over the whole range, use its lower end.
    """
    step, jug = planned.scale.readability_g, jug_mass(planned, on_scale)
    recipe = planned.recipe

    def of(steps: int) -> OnScale:
        return replace(on_scale, lye_part=min(steps * step / jug, 1.0), lye_step_g=step)

    def too_much(steps: int) -> bool:
        lye = lye_as_weighed(planned, of(steps))
        return not (enough(lye) if enough is not None else is_kept(
            lye.superfat, recipe.asked_pct, at_least=recipe.superfat_at_least_pct is not None))

    most = int(jug / step * (1 + 1e-12)) + 1  # one step beyond the jug, so that the whole jug is included
    kept = _first_true(too_much, most) - 1
    return None if kept == 0 else of(kept)


def with_more_fat(on_scale: OnScale, index: int, mass_g: float) -> OnScale:
    """The same pot with more of one fat (`on_scale`, `index` of the fat in the recipe, `mass_g`). [g]"""
    fats = list(on_scale.recipe_masses.fats)
    fats[index] += mass_g
    return replace(on_scale, recipe_masses=replace(on_scale.recipe_masses, fats=tuple(fats)))


def fat_to_add(planned: Lye, on_scale: OnScale, index: int,
               enough: Callable[[Lye], bool] | None = None) -> float | None:
    """Fat that restores the lower end of the likely superfat.

    Parameters
    ----------
    planned : Lye
        The weighed recipe of the plan. [lye]
    on_scale : OnScale
        The masses in the pot. [g]
    index : int
        Index of the fat to add. [place]
    enough : callable, optional
        Whether a batch will do, which holds for any more of the fat; by default, whether its likely superfat is above
        0 and not below a minimum. [function]

    Returns
    -------
    float, or None if no mass within a workshop's limits does : rounded up to the step of the scale, so that the lower
        end is above 0, and not below a minimum superfat. [g]

    Notes
    -----
    At the middle of every range this is m_x = (sum(A_j p_j / M_j) / (1 - s) - E) 56105.6 / SV_x; the lower end comes
    from the superfat's own ranges, which the added fat also widens.
    """
    step, floor_pct = planned.scale.readability_g, planned.recipe.superfat_at_least_pct

    def is_enough(steps: int) -> bool:
        lye = lye_as_weighed(planned, with_more_fat(on_scale, index, steps * step))
        if enough is not None:
            return enough(lye)
        likely = lye.superfat.likely_pct.min
        return likely > 0 and (floor_pct is None or likely >= floor_pct - _NOISE_POINTS)

    most = int((limits.MASS.high - lye_as_weighed(planned, on_scale).mass_g) / step)
    found = _first_true(is_enough, most)
    return None if found > most else found * step


def _first_true(holds: Callable[[int], bool], most: int) -> int:
    """The first of 1 to `most` that a monotonic condition holds for; `most` + 1 if there is none."""
    return bisect_left(range(1, most + 1), True, key=holds) + 1
