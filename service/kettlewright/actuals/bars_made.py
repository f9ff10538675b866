"""The bars that were really cut, compared with the plan."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kettlewright import limits
from kettlewright.errors import OutOfRange, Unsolvable, gather
from kettlewright.pour import BarMass, Cuts

__all__ = ["BarsMade", "ReportedBars", "compare_bars"]


@dataclass(frozen=True, slots=True)
class ReportedBars:
    """Bars as they were cut.

    Parameters
    ----------
    count : int
        Good bars only. [bars]
    masses_g : tuple of float
        Fresh masses of some or all of them. [g]

    Raises
    ------
    DomainErrors : a count or a mass out of range, or more masses than bars.
    """

    count: int
    masses_g: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        with gather() as checks:
            with checks.at():
                limits.BARS_MADE.check(self.count, "count")
            for index, mass in enumerate(self.masses_g):
                with checks.at("masses", index):
                    limits.MASS.check(mass)
            with checks.at():
                if len(self.masses_g) > self.count:
                    raise OutOfRange(f"{len(self.masses_g)} masses for {self.count} bars: weigh each bar once, or "
                                     "count the broken ones as well.", field=("masses",), value=len(self.masses_g),
                                     allowed=f"at most {self.count}")


@dataclass(frozen=True, slots=True)
class BarsMade:
    """Bars made, compared with bars planned.

    Parameters
    ----------
    planned_count, count, off_count : int
        Planned, made, and made less planned. [bars]
    yield_pct : float
        Bars made as a part of those planned. [%]
    planned_mass : BarMass, optional
        Fresh mass of a bar according to the plan, with its tolerance. [g]
    min_g, mean_g, max_g, total_g : float, optional
        Of the bars that were weighed; None if none were. [g]
    weighed_count : int
        Bars that were weighed. [bars]
    outside_count : int, optional
        Weighed bars outside the plan's tolerance; None if no bar was weighed or the plan has no mass. [bars]
    """

    planned_count: int
    count: int
    off_count: int
    yield_pct: float
    planned_mass: BarMass | None
    min_g: float | None
    mean_g: float | None
    max_g: float | None
    total_g: float | None
    weighed_count: int
    outside_count: int | None


def compare_bars(cuts: Cuts | None, reported: ReportedBars) -> BarsMade:
    """Compare the bars that were cut with the plan.

    Parameters
    ----------
    cuts : Cuts, optional
        Planned cut. [bars]
    reported : ReportedBars
        Bars as they were cut. [bars, g]

    Returns
    -------
    BarsMade : [bars, g]

    Raises
    ------
    Unsolvable : the plan has no cut.
    """
    if cuts is None:
        raise Unsolvable('The plan has no cut, so there are no bars to compare with: plan the batch with a "cut", or '
                         'stay at stage "poured".', field=("bars",))
    planned, masses = cuts.bars, reported.masses_g
    mass = planned.mass
    outside = None if mass is None or not masses else sum(
        not _within(one, mass.min_g, mass.max_g) for one in masses)
    return BarsMade(planned.count, reported.count, reported.count - planned.count,
                    100 * reported.count / planned.count, mass,
                    min(masses, default=None), _mean(masses), max(masses, default=None),
                    math.fsum(masses) if masses else None, len(masses), outside)


def _within(mass_g: float, low_g: float, high_g: float) -> bool:
    return low_g * (1 - 1e-9) <= mass_g <= high_g * (1 + 1e-9)


def _mean(masses_g: Sequence[float]) -> float | None:
    return math.fsum(masses_g) / len(masses_g) if masses_g else None
