"""The linear program of a blend, and the smallest relaxation if its constraints are infeasible."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.optimize import linprog

from kettlewright.errors import DomainError, DomainErrors, Path, Unsolvable
from kettlewright.recipe.blend_data import BlendFat

__all__ = ["NEGLIGIBLE", "BlendConstraint", "infeasible", "solve"]

NEGLIGIBLE = 1e-7


@dataclass(frozen=True, slots=True)
class BlendConstraint:
    """low <= coefficients . shares <= high.

    Parameters
    ----------
    coefficients : array of shape (fats,)
        What one percent of each fat contributes. [units of the property]
    low, high : float
        Bounds; infinite if there is none. [units of the property]
    place : Path
        Where the request states it. [path]
    name, unit : str
        How a sentence names it. [text]
    """

    coefficients: np.ndarray
    low: float
    high: float
    place: Path
    name: str
    unit: str


def solve(cost: np.ndarray, rows: Sequence[BlendConstraint], target: Mapping[str, float] | None,
           made: Sequence[BlendFat]) -> np.ndarray | None:
    """Shares of least cost, or nearest to the target fatty acids.

    Parameters
    ----------
    cost : array of shape (n,)
        Of one percent of each fat. [any unit]
    rows : sequence of BlendConstraint
        The constraints. [units of each]
    target : mapping of str to float, optional
        Fatty acids to approximate. [% of fatty acids]
    made : sequence of BlendFat, length n
        The fats. [units of each]

    Returns
    -------
    array of shape (n,), or None if the constraints are infeasible : [% of fats]
    """
    count = len(made)
    names = sorted({notation for one in made for notation in one.acids or {}} | set(target or {})) if target else []
    above, limits_above = [], []
    for row in rows:
        for sign, bound in ((1.0, row.high), (-1.0, -row.low)):
            if math.isfinite(bound):
                above.append(np.concatenate([sign * row.coefficients, np.zeros(len(names))]))
                limits_above.append(bound)
    for position, notation in enumerate(names):
        mix = np.array([(one.acids or {}).get(notation, 0.0) for one in made]) / 100
        off = np.zeros(len(names))
        off[position] = -1.0
        aim = (target or {}).get(notation, 0.0)
        above += [np.concatenate([mix, off]), np.concatenate([-mix, off])]
        limits_above += [aim, -aim]
    found = linprog(np.concatenate([cost, np.full(len(names), 0.5)]), A_ub=np.array(above) if above else None,
                    b_ub=np.array(limits_above) if above else None,
                    A_eq=np.concatenate([np.ones(count), np.zeros(len(names))])[None, :], b_eq=[100.0],
                    bounds=[(0.0, 100.0)] * count + [(0.0, None)] * len(names), method="highs")
    return None if found.x is None else found.x[:count]


def infeasible(rows: Sequence[BlendConstraint], count: int) -> DomainErrors:
    """The smallest relaxation that is feasible: of one constraint if that is enough, otherwise of several together.

    Parameters
    ----------
    rows : sequence of BlendConstraint
        The constraints, which contradict each other. [units of each]
    count : int
        Number of fats. [fats]

    Returns
    -------
    DomainErrors : one error for each constraint to relax. [errors]
    """
    ends = [(row, sign, bound) for row in rows for sign, bound in ((1.0, row.high), (-1.0, -row.low))
            if math.isfinite(bound)]

    def slack(free: Sequence[int]) -> np.ndarray | None:
        extra = np.zeros((len(ends), len(free)))
        for column, position in enumerate(free):
            extra[position, column] = -1.0
        matrix = np.hstack([np.array([sign * row.coefficients for row, sign, _ in ends]), extra])
        weights = [1 / max(abs(ends[position][2]), 1.0) for position in free]
        found = linprog(np.concatenate([np.zeros(count), weights]), A_ub=matrix, b_ub=[bound for *_, bound in ends],
                        A_eq=np.concatenate([np.ones(count), np.zeros(len(free))])[None, :], b_eq=[100.0],
                        bounds=[(0.0, 100.0)] * count + [(0.0, None)] * len(free), method="highs")
        return None if found.x is None else found.x[count:]

    errors: list[DomainError] = []
    for position, end in enumerate(ends):
        alone = slack([position])
        if alone is not None and alone[0] > NEGLIGIBLE:
            errors.append(_relaxed(end, float(alone[0]), "With everything else kept"))
    if not errors:
        together = slack(range(len(ends)))
        if together is not None:
            errors = [_relaxed(end, float(off), "No single constraint is the cause; with the smallest change to all")
                      for end, off in zip(ends, together, strict=True) if off > NEGLIGIBLE]
    return DomainErrors(errors or [Unsolvable("No blend meets all of these constraints.", field=("wishes",))])


def _relaxed(end: tuple[BlendConstraint, float, float], off: float, how: str) -> Unsolvable:
    row, sign, bound = end
    limit, feasible = (bound, bound + off) if sign > 0 else (-bound, -bound - off)
    limit, feasible = float(f"{limit:.6g}"), float(f"{feasible:.6g}")
    word = "at most" if sign > 0 else "at least"
    return Unsolvable(f"{row.name[:1].upper()}{row.name[1:]} of {word} {limit:.6g}{row.unit} is not possible. {how}, "
                      f"{word} {feasible:.6g}{row.unit} is.", field=row.place, value=limit,
                      allowed=f"{word} {feasible:.6g}{row.unit}")
