"""The bars that were really cut, beside those of the plan, and how they dry."""

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
        Good ones. [bars]
    masses_g : tuple of float
        Of all or some of them, fresh. [g]

    Raises
    ------
    DomainErrors : a count or a mass out of its bounds, more masses than bars.
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
                    raise OutOfRange(f"{len(self.masses_g)} masses of {self.count} bars: weigh each bar once, or "
                                     "count those that broke.", field=("masses",), value=len(self.masses_g),
                                     allowed=f"at most {self.count}")


@dataclass(frozen=True, slots=True)
class BarsMade:
    """Bars made beside bars planned.

    Parameters
    ----------
    planned_count, count, off_count : int
        By the plan, made, and their difference. [bars]
    yield_pct : float
        Made, of the planned. [%]
    planned_mass : BarMass, optional
        What a bar may weigh by the plan, fresh. [g]
    min_g, mean_g, max_g, total_g : float, optional
        Of the bars weighed; none where none was. [g]
    weighed_count : int
        How many were. [bars]
    outside_count : int, optional
        Of them, lighter or heavier than the plan's tolerances allow; none where nothing can be said. [bars]
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


def compare_bars(cuts: Cuts | None, told: ReportedBars) -> BarsMade:
    """Hold the bars that were cut beside the plan.

    Parameters
    ----------
    cuts : Cuts, optional
        Of the plan. [bars]
    told : ReportedBars
        As cut. [bars, g]

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
    planned, masses = cuts.bars, told.masses_g
    mass = planned.mass
    outside = None if mass is None or not masses else sum(
        not _within(one, mass.min_g, mass.max_g) for one in masses)
    return BarsMade(planned.count, told.count, told.count - planned.count, 100 * told.count / planned.count, mass,
                    min(masses, default=None), _mean(masses), max(masses, default=None),
                    math.fsum(masses) if masses else None, len(masses), outside)


def _within(mass_g: float, low_g: float, high_g: float) -> bool:
    return low_g * (1 - 1e-9) <= mass_g <= high_g * (1 + 1e-9)


def _mean(masses_g: Sequence[float]) -> float | None:
    return math.fsum(masses_g) / len(masses_g) if masses_g else None
