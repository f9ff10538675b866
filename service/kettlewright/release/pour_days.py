"""On which day to pour which batch: an integer program over pour days, and what one more of something would do.

A group is batches that are alike. For each group and each day on which it may be poured there is one whole number: how
many of it are poured then. Pours of a day, moulds that are full and places for curing bars are sums of those, each
within what there is. Bounded by nodes and never by seconds, so that the same body gives the same bytes.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array

from kettlewright.errors import Unsolvable

__all__ = ["Choice", "Group", "NotDecided", "Placing", "Resource", "best_days", "least_extra", "most_batches",
           "possible"]

_NODES_MAX = 200
_NODES_OF_TIES = 20
_NODES_OF_WISHES = 20  # what one more would do must be true, and need not be proven the least


class NotDecided(Unsolvable):
    """The limit of nodes was reached before anything was found or proven impossible."""


@dataclass(frozen=True, slots=True)
class Choice:
    """A day on which a group may be poured.

    Parameters
    ----------
    pour, unmould, pack : int
        Days: poured; the mould is free again and the bars lie down to cure; their place is free again. [days]
    """

    pour: int
    unmould: int
    pack: int


@dataclass(frozen=True, slots=True)
class Group:
    """Batches that are alike.

    Parameters
    ----------
    count : int
        How many. [batches]
    mould : str
        Key of the moulds it takes. [key]
    moulds : int
        How many of them each batch takes. [moulds]
    room : int
        What each batch takes of the curing places. [batches or bars]
    choices : tuple of Choice
        Days on which it may be poured, rising. [days]
    """

    count: int
    mould: str
    moulds: int
    room: int
    choices: tuple[Choice, ...]


@dataclass(frozen=True, slots=True)
class Resource:
    """Something of which there is only so much on a day.

    Parameters
    ----------
    key : str
        "pours", "places" or "mould:" and the key of its moulds. [key]
    limit : int
        How much there is. [count]
    """

    key: str
    limit: int

    def taken(self, group: Group) -> tuple[int, Callable[[Choice], range]]:
        """How much a batch takes, and on which days (`group` [batches]). [count, days]"""
        if self.key == "pours":
            return 1, lambda choice: range(choice.pour, choice.pour + 1)
        if self.key == "places":
            return group.room, lambda choice: range(choice.unmould, choice.pack)
        # free on the day of unmoulding, but never filled twice on one day
        return (group.moulds if self.key == f"mould:{group.mould}" else 0,
                lambda choice: range(choice.pour, max(choice.unmould, choice.pour + 1)))

    def from_day(self, choice: Choice) -> int:
        """The day from which it is taken (`choice` [days]). [day]"""
        return choice.unmould if self.key == "places" else choice.pour


@dataclass(frozen=True, slots=True)
class Placing:
    """How many batches of each group are poured on which day.

    Parameters
    ----------
    counts : tuple of mapping
        For each group, by its choice. [batches]
    proven : bool
        No better one exists. [yes or no]
    """

    counts: tuple[Mapping[Choice, int], ...]
    proven: bool


@dataclass(frozen=True, slots=True)
class _Program:
    """The columns (group and choice) and the rows of what there is."""

    columns: tuple[tuple[int, Choice], ...]
    rows: csr_array
    limits: np.ndarray
    owners: tuple[str, ...]  # key of the resource of each row
    members: csr_array  # one row for each group


def best_days(groups: Sequence[Group], resources: Sequence[Resource], *, late: bool) -> Placing | None:
    """Pour days within what there is.

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
    Placing or None : None where there is none. [batches]

    Raises
    ------
    NotDecided : none was found within the limit of nodes, and none was proven impossible.

    References
    ----------
    .. [1] Integer program, HiGHS by scipy.optimize.milp.
    """
    program = _program(groups, resources)
    first = min((choice.pour for _, choice in program.columns), default=0)
    days = np.array([float(choice.pour - first) for _, choice in program.columns])
    best = _solve(program, groups, -days if late else days, exact=True)
    if best is None or len(groups) == 1:
        return best
    # many calendars are as good: of those the one that pours first what is packed first, then in the order asked
    total = float(sum((choice.pour - first) * count for counts in best.counts for choice, count in counts.items()))
    order = sorted(range(len(groups)), key=lambda place: (groups[place].choices[0].pack, place))
    weight = {place: float(len(groups) - rank) for rank, place in enumerate(order)}
    same = LinearConstraint(days[None, :], total, total)
    try:
        tied = _solve(program, groups, days * np.array([weight[place] for place, _ in program.columns]), exact=True,
                      more=[same], nodes=_NODES_OF_TIES)
    except NotDecided:
        tied = None
    return best if tied is None else Placing(tied.counts, best.proven)


def possible(groups: Sequence[Group], resources: Sequence[Resource]) -> bool:
    """Whether there is a calendar at all.

    Parameters
    ----------
    groups : sequence of Group
        What is poured. [batches]
    resources : sequence of Resource
        What there is. [count]

    Returns
    -------
    bool : False also where none was found within the limit of nodes. [yes or no]
    """
    if not all(group.choices for group in groups):
        return False
    program = _program(groups, resources)
    try:
        return _solve(program, groups, np.zeros(len(program.columns)), exact=True, nodes=_NODES_OF_WISHES) is not None
    except NotDecided:
        return False


def most_batches(groups: Sequence[Group], resources: Sequence[Resource]) -> Placing | None:
    """As many batches as can be had within what there is.

    Parameters
    ----------
    groups : sequence of Group
        What would be poured. [batches]
    resources : sequence of Resource
        What there is. [count]

    Returns
    -------
    Placing or None : None where none was found within the limit of nodes. [batches]
    """
    program = _program(groups, resources)
    try:
        return _solve(program, groups, -np.ones(len(program.columns)), exact=False, nodes=_NODES_OF_WISHES)
    except NotDecided:
        return None


def least_extra(groups: Sequence[Group], resources: Sequence[Resource], key: str) -> int | None:
    """The least more of one resource with which all can be poured, all else kept.

    Parameters
    ----------
    groups : sequence of Group
        What is poured. [batches]
    resources : sequence of Resource
        What there is. [count]
    key : str
        The one there may be more of. [key]

    Returns
    -------
    int or None : None where more of it would not do, or nothing was found within the limit of nodes. [count]
    """
    program = _program(groups, resources)
    more = np.array([-1.0 if owner == key else 0.0 for owner in program.owners])
    if not more.any():
        return None
    width = len(program.columns)
    rows = csr_array(np.hstack([program.rows.toarray(), more[:, None]]))
    members = csr_array(np.hstack([program.members.toarray(), np.zeros((len(groups), 1))]))
    counts = np.array([float(group.count) for group in groups])
    most = np.append([float(groups[place].count) for place, _ in program.columns], np.inf)
    found = milp(np.append(np.zeros(width), 1.0), integrality=np.ones(width + 1, dtype=np.int64),
                 bounds=Bounds(np.zeros(width + 1), most),
                 constraints=[LinearConstraint(rows, ub=program.limits), LinearConstraint(members, counts, counts)],
                 options={"node_limit": _NODES_OF_WISHES})
    return None if found.x is None else round(float(found.x[-1]))


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


def _solve(program: _Program, groups: Sequence[Group], cost: np.ndarray, *, exact: bool,
           more: Sequence[LinearConstraint] = (), nodes: int = _NODES_MAX) -> Placing | None:
    counts = np.array([float(group.count) for group in groups])
    found = milp(cost, integrality=np.ones(len(cost), dtype=np.int64),
                 bounds=Bounds(np.zeros(len(cost)), np.array([counts[place] for place, _ in program.columns])),
                 constraints=[LinearConstraint(program.rows, ub=program.limits),
                              LinearConstraint(program.members, counts if exact else -np.inf, counts), *more],
                 options={"node_limit": nodes, "mip_rel_gap": 0.0})
    if found.x is None:
        if found.status == 2:
            return None
        raise NotDecided("No calendar was found within the limit of nodes, and none was proven impossible: ask for "
                         "fewer batches at once.", field=("batches",))
    placed: list[dict[Choice, int]] = [{} for _ in groups]
    for (place, choice), value in zip(program.columns, found.x, strict=True):
        if round(float(value)):
            placed[place][choice] = round(float(value))
    return Placing(tuple(placed), bool(found.status == 0))
