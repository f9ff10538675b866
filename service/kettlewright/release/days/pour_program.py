"""Pour days as an integer program: one column for each group and day, one row for each resource and day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array

from kettlewright.copies import replace
from kettlewright.errors import Unsolvable
from kettlewright.release.days.pour_groups import Group, PourDayChoice, Resource
from kettlewright.release.days.room_left import Counts

__all__ = ["NOISE", "SEARCHED_DAYS_MAX", "NotDecided", "Placing", "PourProgram", "pour_program", "relaxed_days",
           "solve_days"]


_NODES_MAX = 60
SEARCHED_DAYS_MAX = 400
"""Days of all groups together that one integer program searches: of more, the first node alone may take seconds."""
NOISE = 1e-6
"""Of the solver's figures."""


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
class PourProgram:
    """The columns (group and choice) and the rows (resources).

    Parameters
    ----------
    columns : tuple of (int, PourDayChoice)
        Index of the group, and the day. [days]
    rows : csr_array
        How much of a resource each column takes on a day. [count]
    limits : array
        How much there is, for each row. [count]
    owners : tuple of str
        Key of the resource of each row. [keys]
    members : csr_array
        Which columns belong to which group, one row for each group. [1]
    """

    columns: tuple[tuple[int, PourDayChoice], ...]
    rows: csr_array
    limits: np.ndarray
    owners: tuple[str, ...]
    members: csr_array

    def only(self, columns: np.ndarray) -> PourProgram:
        """The same with some of the columns."""
        return replace(self, columns=tuple(self.columns[place] for place in columns),
                       rows=csr_array(self.rows[:, columns]), members=csr_array(self.members[:, columns]))


def relaxed_days(program: PourProgram, groups: Sequence[Group], cost: np.ndarray, *,
                 exact: bool = True) -> np.ndarray | None:
    """The best way to pour parts of batches; if there is none, there is none for whole ones.

    Parameters
    ----------
    program : PourProgram
        Days and resources. [days]
    groups : sequence of Group
        What is poured. [batches]
    cost : array
        Of each column. [days]
    exact : bool
        All batches are poured, else at most all. [yes or no]

    Returns
    -------
    array or None : how much of each column is poured. [batches]
    """
    counts = np.array([float(group.count) for group in groups])
    most = np.array([counts[place] for place, _ in program.columns])
    found = milp(cost, bounds=Bounds(np.zeros(len(most)), most),
                 constraints=[LinearConstraint(program.rows, ub=program.limits),
                              LinearConstraint(program.members, counts if exact else -np.inf, counts)])
    return None if found.x is None else np.asarray(found.x)


def pour_program(groups: Sequence[Group], resources: Sequence[Resource]) -> PourProgram:
    """The program of some groups.

    Parameters
    ----------
    groups : sequence of Group
        What is poured. [batches]
    resources : sequence of Resource
        What there is. [count]

    Returns
    -------
    PourProgram : [count]
    """
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
    members = [(place, column, 1) for column, (place, _) in enumerate(columns)]
    return PourProgram(columns, _sparse(entries, shape), np.array(limits), tuple(owners),
                       _sparse(members, (len(groups), len(columns))))


def _sparse(entries: Sequence[tuple[int, int, int]], shape: tuple[int, int]) -> csr_array:
    rows, columns, values = ([entry[part] for entry in entries] for part in range(3))
    return csr_array((np.array(values, dtype=float), (rows, columns)), shape=shape)


def solve_days(program: PourProgram, groups: Sequence[Group], cost: np.ndarray, *, exact: bool, nodes: int = _NODES_MAX,
               whole_program: bool = True, otherwise: Placing | None = None) -> Placing | None:
    """The best way to pour whole batches.

    Parameters
    ----------
    program : PourProgram
        Days and resources. [days]
    groups : sequence of Group
        What is poured. [batches]
    cost : array
        Of each column. [days]
    exact : bool
        All batches are poured, else at most all. [yes or no]
    nodes : int
        How many nodes of the search may be used. [nodes]
    whole_program : bool
        No column was left out, so the result proves something about all days. [yes or no]
    otherwise : Placing, optional
        The result where the search finds nothing. [batches]

    Returns
    -------
    Placing or None : None if it is proven that there is none. [batches]

    Raises
    ------
    NotDecided : none was found within the limit of nodes, and none was proven impossible.
    """
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
