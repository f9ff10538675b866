"""Superfat of a mixture of soaps: the mean of theirs, and which of them may be lye-heavy."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kettlewright.pour import Division
from kettlewright.ranges import Range
from kettlewright.recipe import Lye
from kettlewright.recipe.superfat_result import Superfat

__all__ = ["LYE_HEAVY", "SuperfatOfSoap", "mean_superfat", "superfat_in_soap"]

LYE_HEAVY = ("not_expected", "possible", "yes")


@dataclass(frozen=True, slots=True)
class SuperfatOfSoap:
    """Superfat of some soap.

    Parameters
    ----------
    achieved_pct : float
        At the middle of every range. [% of full demand]
    likely_pct, worst_case_pct : Range
        As of a batch. [% of full demand]
    demand_mol, least_demand_mol : float
        Alkali that all its fat takes, and the least it may take. [mol]
    lye_heavy : str
        One of `LYE_HEAVY`: "yes" below 0, "possible" where the likely range reaches 0; of a mixture, at least that of
        the worst soap in it. [key]
    """

    achieved_pct: float
    likely_pct: Range
    worst_case_pct: Range
    demand_mol: float
    least_demand_mol: float
    lye_heavy: str


def superfat_in_soap(lye: Lye, division: Division, batter_g: float, portion: str | None, factor: float
                     ) -> SuperfatOfSoap:
    """Superfat of some soap of a batch.

    Parameters
    ----------
    lye : Lye
        The weighed recipe. [mol, % of full demand]
    division : Division
        Its buckets: oil of their additions has no alkali. [g]
    batter_g : float
        Plain batter of the batch. [g]
    portion : str, optional
        Key of the portion it is from; all of them if not given. [key]
    factor : float
        So many times what was poured. [1]

    Returns
    -------
    SuperfatOfSoap : [% of full demand]
    """
    chosen = [one for one in division.portions if portion in (None, one.key)]
    part = factor * math.fsum(one.mix.batter_g for one in chosen) / batter_g
    oil = factor * math.fsum(one.free_fat.demand_mol * one.mould_mass_g / one.mass_g for one in chosen
                             if one.free_fat is not None)
    found = lye.superfat
    return _with_oil(found, found.demand_mol * part, found.least_demand_mol * part, oil)


def _with_oil(found: Superfat, demand_mol: float, least_mol: float, oil_mol: float) -> SuperfatOfSoap:
    """Oil that gets no alkali makes every superfat larger."""
    whole = demand_mol + oil_mol

    def of(superfat_pct: float) -> float:
        return 100 - (100 - superfat_pct) * demand_mol / whole

    achieved = of(found.achieved_pct)
    likely = Range(of(found.likely_pct.min), of(found.likely_pct.max))
    return SuperfatOfSoap(achieved, likely, Range(of(found.worst_case_pct.min), of(found.worst_case_pct.max)), whole,
                          least_mol + oil_mol, _lye_heavy(achieved, likely))


def mean_superfat(soaps: Sequence[SuperfatOfSoap], oil_mol: float = 0.0) -> SuperfatOfSoap:
    """Superfat of soaps melted together.

    Parameters
    ----------
    soaps : sequence of SuperfatOfSoap, length n >= 1
        All of them. [% of full demand]
    oil_mol : float
        Alkali that oil would take which is stirred into them. [mol]

    Returns
    -------
    SuperfatOfSoap : [% of full demand]

    Notes
    -----
    The mean, weighted by the alkali that the fat in each takes: by definition the superfat of one recipe with all
    their masses. Each end of a range is the mean of the same ends: errors that batches share, such as one lot of a
    fat or one scale, do not cancel, and it is not known which they share.
    """
    least = _mean([one.worst_case_pct.min for one in soaps], [one.least_demand_mol for one in soaps], oil_mol)
    weights = [one.demand_mol for one in soaps]
    achieved, low, high, highest = (_mean(ends, weights, oil_mol) for ends in (
        [one.achieved_pct for one in soaps], [one.likely_pct.min for one in soaps],
        [one.likely_pct.max for one in soaps], [one.worst_case_pct.max for one in soaps]))
    likely = Range(low, high)
    worst = max((_lye_heavy(achieved, likely), *(one.lye_heavy for one in soaps)), key=LYE_HEAVY.index)
    return SuperfatOfSoap(achieved, likely, Range(min(least, low), highest), math.fsum([*weights, oil_mol]),
                          math.fsum([*(one.least_demand_mol for one in soaps), oil_mol]), worst)


def _mean(superfats_pct: Sequence[float], weights_mol: Sequence[float], oil_mol: float) -> float:
    alkali = math.fsum((100 - one) * weight for one, weight in zip(superfats_pct, weights_mol, strict=True))
    return 100 - alkali / math.fsum([*weights_mol, oil_mol])


def _lye_heavy(achieved_pct: float, likely_pct: Range) -> str:
    return "yes" if achieved_pct < 0 else "possible" if likely_pct.min <= 0 else "not_expected"
