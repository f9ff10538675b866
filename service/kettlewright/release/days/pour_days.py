"""Chooses the pour day of each batch: an integer program over pour days, and the effect of one more of a resource.

A group is batches that are alike. For each group and each day on which it may be poured there is one whole number: how
many of it are poured then. Pours of a day, full moulds and curing places are sums of those, each
within its limit. Bounded by nodes and never by seconds, so that the same body gives the same bytes.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from kettlewright.copies import replace
from kettlewright.release.days.pour_groups import Group, Resource
from kettlewright.release.days.pour_program import (
    NOISE,
    SEARCHED_DAYS_MAX,
    Placing,
    PourProgram,
    pour_program,
    relaxed_days,
    solve_days,
)
from kettlewright.release.days.room_left import days_of, in_turn, packed_first_poured_first

__all__ = ["best_days"]


def best_days(groups: Sequence[Group], resources: Sequence[Resource], *, late: bool) -> Placing | None:
    """Pour days within the resources.

    Parameters
    ----------
    groups : sequence of Group
        What is poured. [batches]
    resources : sequence of Resource
        What there is. [count]
    late : bool
        As late as possible in the sum of all days, else as early. [yes or no]

    Returns
    -------
    Placing or None : None if there is none. [batches]

    Raises
    ------
    NotDecided : none was found within the limit of nodes, and none was proven impossible.

    Notes
    -----
    The relaxation, which pours parts of batches, bounds the sum. A calendar made by placing one batch after the other
    that reaches this bound is the best; else an integer program looks for a better one. Of a large one only the days
    near those of the relaxation and of the calendar at hand are searched.

    References
    ----------
    .. [1] Linear and integer programs, HiGHS by scipy.optimize.milp.
    """
    program = pour_program(groups, resources)
    sign = -1.0 if late else 1.0
    first = min((choice.pour for _, choice in program.columns), default=0)
    cost = np.array([sign * (choice.pour - first) for _, choice in program.columns])
    relaxed = relaxed_days(program, groups, cost)
    if relaxed is None:
        return None
    bound = math.ceil(float(cost @ relaxed) - NOISE * max(1.0, float(np.abs(cost).max(initial=0.0))))
    at_hand = in_turn(groups, resources, late=late)
    best = None if at_hand is None else Placing(at_hand, False)

    def value(placing: Placing) -> int:
        return round(sign * (days_of(placing.counts) - first * sum(group.count for group in groups)))

    if best is None or value(best) > bound:
        near = _near(program, relaxed, best)
        found = solve_days(program.only(near), groups, cost[near], exact=True, whole_program=len(near) == len(cost),
                       otherwise=best)
        best = found if best is None or (found is not None and value(found) < value(best)) else replace(
            best, proven=found is not None and found.proven)
    if best is None:
        return None
    return Placing(packed_first_poured_first(groups, resources, best.counts), best.proven or value(best) == bound)


def _near(program: PourProgram, relaxed: np.ndarray, best: Placing | None) -> np.ndarray:
    """The columns to search: all of a small program, else those that are used and their neighbours, nearest first."""
    size = len(program.columns)
    if size <= SEARCHED_DAYS_MAX:
        return np.arange(size)
    used = relaxed > NOISE
    if best is not None:
        used |= np.array([choice in best.counts[place] for place, choice in program.columns])
    groups = np.array([place for place, _ in program.columns])
    chosen = used.copy()
    for distance in range(1, size):
        wider = chosen.copy()
        wider[distance:] |= used[:-distance] & (groups[distance:] == groups[:-distance])
        wider[:-distance] |= used[distance:] & (groups[:-distance] == groups[distance:])
        if wider.sum() > SEARCHED_DAYS_MAX:
            break
        chosen = wider
    return np.flatnonzero(chosen)
