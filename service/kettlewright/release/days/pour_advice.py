"""Whether there is a calendar at all, how many batches fit, and how much more of a resource makes one possible."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array, hstack

from kettlewright.copies import replace
from kettlewright.release.days.pour_groups import Group, Resource
from kettlewright.release.days.pour_program import (
    NOISE,
    SEARCHED_DAYS_MAX,
    NotDecided,
    Placing,
    PourProgram,
    pour_program,
    relaxed_days,
    solve_days,
)
from kettlewright.release.days.room_left import as_many_as_fit, in_turn

__all__ = ["HARD_SOLVES_MAX", "Effort", "least_extra", "most_batches", "possible"]


_NODES_PER_ADVICE = 20  # what one more would do must be true, and need not be proven the least
HARD_SOLVES_MAX = 2
"""Integer programs that one refusal may solve to find what would do, where neither the relaxation nor placing the
batches one by one decides. The first node alone can take a second, so they are counted and not their nodes."""


_DOUBLINGS_MAX = 12


class Effort:
    """How many integer programs may still be solved in answering one request."""

    def __init__(self, solves: int = HARD_SOLVES_MAX) -> None:
        self.solves = solves

    def spend(self) -> bool:
        """Take one solve, if there is one left. [yes or no]"""
        self.solves -= 1
        return self.solves >= 0


def possible(groups: Sequence[Group], resources: Sequence[Resource], effort: Effort) -> bool:
    """Whether there is a calendar at all.

    Parameters
    ----------
    groups : sequence of Group
        What is poured. [batches]
    resources : sequence of Resource
        What there is. [count]
    effort : Effort
        Used up where neither parts of batches nor one batch after the other decide. [solves]

    Returns
    -------
    bool : False also if it was not decided. [yes or no]
    """
    if not all(group.choices for group in groups):
        return False
    program = pour_program(groups, resources)
    nothing = np.zeros(len(program.columns))
    if relaxed_days(program, groups, nothing) is None:
        return False
    if in_turn(groups, resources, late=True) is not None:
        return True
    try:
        return (len(nothing) <= SEARCHED_DAYS_MAX and effort.spend()
                and solve_days(program, groups, nothing, exact=True, nodes=_NODES_PER_ADVICE) is not None)
    except NotDecided:
        return False


def most_batches(groups: Sequence[Group], resources: Sequence[Resource]) -> Placing | None:
    """As many batches as fit within the resources.

    Parameters
    ----------
    groups : sequence of Group
        What would be poured. [batches]
    resources : sequence of Resource
        What there is. [count]

    Returns
    -------
    Placing or None : None if none was found within the limit of nodes. [batches]
    """
    program = pour_program(groups, resources)
    if len(program.columns) > SEARCHED_DAYS_MAX:
        fitting = as_many_as_fit(groups, resources)
        parts = relaxed_days(program, groups, -np.ones(len(program.columns)), exact=False)
        count = sum(sum(of_group.values()) for of_group in fitting)
        return Placing(fitting, parts is not None and count >= math.floor(float(parts.sum()) + NOISE * count))
    try:
        return solve_days(program, groups, -np.ones(len(program.columns)), exact=False, nodes=_NODES_PER_ADVICE)
    except NotDecided:
        return None


def least_extra(groups: Sequence[Group], resources: Sequence[Resource], key: str, effort: Effort) -> int | None:
    """How much more of one resource makes a calendar possible, all else kept.

    Parameters
    ----------
    groups : sequence of Group
        What is poured. [batches]
    resources : sequence of Resource
        What there is. [count]
    key : str
        The one there may be more of. [key]
    effort : Effort
        Used up where placing the batches one by one does not reach the bound of the relaxation. [solves]

    Returns
    -------
    int or None : the least, as far as decided; None if more of it would not be enough. [count]
    """
    if not all(group.choices for group in groups):
        return None
    program = pour_program(groups, resources)
    more = np.array([-1.0 if owner == key else 0.0 for owner in program.owners])
    if not more.any():
        return None
    relaxed = _extra(program, groups, more, whole=False)
    if relaxed is None:
        return None
    least = max(math.ceil(relaxed - NOISE), 1)
    if _with_extra(groups, resources, key, least):
        return least
    if len(program.columns) <= SEARCHED_DAYS_MAX and effort.spend():
        return None if (found := _extra(program, groups, more, whole=True)) is None else round(found)
    enough = next((extra for extra in (least * 2 ** power for power in range(_DOUBLINGS_MAX))
                   if _with_extra(groups, resources, key, extra)), None)
    while enough is not None and enough > least + 1:
        middle = (least + enough) // 2
        least, enough = (least, middle) if _with_extra(groups, resources, key, middle) else (middle, enough)
    return enough


def _with_extra(groups: Sequence[Group], resources: Sequence[Resource], key: str, extra: int) -> bool:
    raised = [replace(one, limit=one.limit + extra) if one.key == key else one for one in resources]
    return in_turn(groups, raised, late=True) is not None


def _extra(program: PourProgram, groups: Sequence[Group], more: np.ndarray, *, whole: bool) -> float | None:
    """The least extra, of whole batches or of parts of them."""
    width = len(program.columns)
    rows = hstack([program.rows, csr_array(more[:, None])], format="csr")
    members = hstack([program.members, csr_array((len(groups), 1))], format="csr")
    counts = np.array([float(group.count) for group in groups])
    most = np.append([float(groups[place].count) for place, _ in program.columns], np.inf)
    found = milp(np.append(np.zeros(width), 1.0), integrality=np.full(width + 1, int(whole)),
                 bounds=Bounds(np.zeros(width + 1), most),
                 constraints=[LinearConstraint(rows, ub=program.limits), LinearConstraint(members, counts, counts)],
                 options={"node_limit": _NODES_PER_ADVICE})
    return None if found.x is None else float(found.x[-1])
