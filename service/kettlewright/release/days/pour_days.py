"""Chooses the pour day of each batch: an integer program over pour days, and the effect of one more of a resource.

A group is batches that are alike. For each group and each day on which it may be poured there is one whole number: how
many of it are poured then. Pours of a day, full moulds and curing places are sums of those, each
within its limit. Bounded by nodes and never by seconds, so that the same body gives the same bytes.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array, hstack

from kettlewright.errors import Unsolvable
from kettlewright.release.days.pour_groups import Group, PourDayChoice, Resource
from kettlewright.release.days.room_left import Counts, as_many_as_fit, days_of, in_turn, packed_first_poured_first

__all__ = ["HARD_SOLVES_MAX", "SEARCHED_DAYS_MAX", "Effort", "NotDecided", "Placing", "best_days", "least_extra",
           "most_batches", "possible"]

_NODES_MAX = 60
SEARCHED_DAYS_MAX = 400
"""Days of all groups together that one integer program searches: of more, the first node alone may take seconds."""

_NODES_PER_ADVICE = 20  # what one more would do must be true, and need not be proven the least
HARD_SOLVES_MAX = 2
"""Integer programs that one refusal may solve to find what would do, where neither the relaxation nor placing the
batches one by one decides. The first node alone can take a second, so they are counted and not their nodes."""


_NOISE = 1e-6  # of the solver's figures
_DOUBLINGS_MAX = 12


class NotDecided(Unsolvable):
    """The limit of nodes was reached before anything was found or proven impossible."""


@dataclass(frozen=True, slots=True)
class Placing:
    """How many batches of each group are poured on which day.

    Parameters
    ----------
    counts : Counts
        For each group, by its choice. [batches]
    proven : bool
        No better one exists. [yes or no]
    """

    counts: Counts
    proven: bool


@dataclass(frozen=True, slots=True)
class _Program:
    """The columns (group and choice) and the rows (resources)."""

    columns: tuple[tuple[int, PourDayChoice], ...]
    rows: csr_array
    limits: np.ndarray
    owners: tuple[str, ...]  # key of the resource of each row
    members: csr_array  # one row for each group

    def only(self, columns: np.ndarray) -> _Program:
        """The same with some of the columns."""
        return replace(self, columns=tuple(self.columns[place] for place in columns),
                       rows=csr_array(self.rows[:, columns]), members=csr_array(self.members[:, columns]))


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
    program = _program(groups, resources)
    sign = -1.0 if late else 1.0
    first = min((choice.pour for _, choice in program.columns), default=0)
    cost = np.array([sign * (choice.pour - first) for _, choice in program.columns])
    relaxed = _relaxed(program, groups, cost)
    if relaxed is None:
        return None
    bound = math.ceil(float(cost @ relaxed) - _NOISE * max(1.0, float(np.abs(cost).max(initial=0.0))))
    at_hand = in_turn(groups, resources, late=late)
    best = None if at_hand is None else Placing(at_hand, False)

    def value(placing: Placing) -> int:
        return round(sign * (days_of(placing.counts) - first * sum(group.count for group in groups)))

    if best is None or value(best) > bound:
        near = _near(program, relaxed, best)
        found = _solve(program.only(near), groups, cost[near], exact=True, whole_program=len(near) == len(cost),
                       otherwise=best)
        best = found if best is None or (found is not None and value(found) < value(best)) else replace(
            best, proven=found is not None and found.proven)
    if best is None:
        return None
    return Placing(packed_first_poured_first(groups, resources, best.counts), best.proven or value(best) == bound)


def _near(program: _Program, relaxed: np.ndarray, best: Placing | None) -> np.ndarray:
    """The columns to search: all of a small program, else those that are used and their neighbours, nearest first."""
    size = len(program.columns)
    if size <= SEARCHED_DAYS_MAX:
        return np.arange(size)
    used = relaxed > _NOISE
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
    program = _program(groups, resources)
    nothing = np.zeros(len(program.columns))
    if _relaxed(program, groups, nothing) is None:
        return False
    if in_turn(groups, resources, late=True) is not None:
        return True
    try:
        return (len(nothing) <= SEARCHED_DAYS_MAX and effort.spend()
                and _solve(program, groups, nothing, exact=True, nodes=_NODES_PER_ADVICE) is not None)
    except NotDecided:
        return False


def _relaxed(program: _Program, groups: Sequence[Group], cost: np.ndarray, *, exact: bool = True) -> np.ndarray | None:
    """The best way to pour parts of batches; if there is none, there is none for whole ones."""
    counts = np.array([float(group.count) for group in groups])
    most = np.array([counts[place] for place, _ in program.columns])
    found = milp(cost, bounds=Bounds(np.zeros(len(most)), most),
                 constraints=[LinearConstraint(program.rows, ub=program.limits),
                              LinearConstraint(program.members, counts if exact else -np.inf, counts)])
    return None if found.x is None else np.asarray(found.x)


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
    program = _program(groups, resources)
    if len(program.columns) > SEARCHED_DAYS_MAX:
        fitting = as_many_as_fit(groups, resources)
        parts = _relaxed(program, groups, -np.ones(len(program.columns)), exact=False)
        count = sum(sum(of_group.values()) for of_group in fitting)
        return Placing(fitting, parts is not None and count >= math.floor(float(parts.sum()) + _NOISE * count))
    try:
        return _solve(program, groups, -np.ones(len(program.columns)), exact=False, nodes=_NODES_PER_ADVICE)
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
    program = _program(groups, resources)
    more = np.array([-1.0 if owner == key else 0.0 for owner in program.owners])
    if not more.any():
        return None
    relaxed = _extra(program, groups, more, whole=False)
    if relaxed is None:
        return None
    least = max(math.ceil(relaxed - _NOISE), 1)
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


def _extra(program: _Program, groups: Sequence[Group], more: np.ndarray, *, whole: bool) -> float | None:
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


def _program(groups: Sequence[Group], resources: Sequence[Resource]) -> _Program:
    columns = tuple((place, choice) for place, group in enumerate(groups) for choice in group.choices)
    entries: list[tuple[int, int, int]] = []
    limits: list[float] = []
    owners: list[str] = []
    for resource in resources:
        takers = [(column, *resource.taken(groups[place])) for column, (place, _) in enumerate(columns)]
        takers = [taker for taker in takers if taker[1]]
        # what is taken grows only on days on which something begins, so those days are rows enough
        starts = sorted({resource.from_day(columns[column][1]) for column, *_ in takers})
        row_of = {day: len(limits) + number for number, day in enumerate(starts)}
        for column, amount, days in takers:
            held = days(columns[column][1])
            entries += [(row_of[day], column, amount) for day in held if day in row_of]
        limits += [float(resource.limit)] * len(starts)
        owners += [resource.key] * len(starts)
    shape = (len(limits), len(columns))
    return _Program(columns, _sparse(entries, shape), np.array(limits), tuple(owners),
                    _sparse([(place, column, 1) for column, (place, _) in enumerate(columns)],
                            (len(groups), len(columns))))


def _sparse(entries: Sequence[tuple[int, int, int]], shape: tuple[int, int]) -> csr_array:
    rows, columns, values = ([entry[part] for entry in entries] for part in range(3))
    return csr_array((np.array(values, dtype=float), (rows, columns)), shape=shape)


def _solve(program: _Program, groups: Sequence[Group], cost: np.ndarray, *, exact: bool, nodes: int = _NODES_MAX,
           whole_program: bool = True, otherwise: Placing | None = None) -> Placing | None:
    counts = np.array([float(group.count) for group in groups])
    found = milp(cost, integrality=np.ones(len(cost), dtype=np.int64),
                 bounds=Bounds(np.zeros(len(cost)), np.array([counts[place] for place, _ in program.columns])),
                 constraints=[LinearConstraint(program.rows, ub=program.limits),
                              LinearConstraint(program.members, counts if exact else -np.inf, counts)],
                 options={"node_limit": nodes, "mip_rel_gap": 0.0})
    if found.x is None:
        if found.status == 2 and whole_program:
            return None
        if otherwise is not None:
            return otherwise
        raise NotDecided("No calendar was found within the search limit, and none was proven impossible: request fewer "
                         "batches at once.", field=("batches",))
    placed: list[dict[PourDayChoice, int]] = [{} for _ in groups]
    for (place, choice), value in zip(program.columns, found.x, strict=True):
        if round(float(value)):
            placed[place][choice] = round(float(value))
    return Placing(tuple(placed), bool(found.status == 0) and whole_program)
