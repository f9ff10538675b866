"""The cheapest packs of one ingredient, exactly: by a table of sums, or by searching from the cheapest gram on."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from kettlewright.knapsack import Item, least_costs

__all__ = ["SEARCHED_MAX", "Found", "PackSize", "cheapest_packs"]

SEARCHED_MAX = 50_000
"""Choices that all searches of one request may look at: a count and never seconds, so that the same body gives the same
bytes."""

_TABLE_MAX = 2 ** 16  # sums; above, the search is the faster way
_COST_MAX = 2 ** 62


@dataclass(frozen=True, slots=True)
class PackSize:
    """A pack of the ingredient.

    Parameters
    ----------
    mass, cost : int
        In it, and of it. [steps of mass, steps of money]
    at_most : int
        How many may be bought. [packs]
    """

    mass: int
    cost: int
    at_most: int


@dataclass(frozen=True, slots=True)
class Found:
    """How many of each to buy.

    Parameters
    ----------
    counts : tuple of int
        In the order of the packs. [packs]
    proven : bool
        No cheaper way exists, none as cheap leaves less over, none of those takes fewer packs. [yes or no]
    searched : int
        Choices that were looked at. [count]
    """

    counts: tuple[int, ...]
    proven: bool
    searched: int


def cheapest_packs(packs: Sequence[PackSize], mass: int, *, searched_max: int = SEARCHED_MAX) -> Found:
    """The cheapest packs that hold at least a mass; of those the ones that hold least; of those the fewest.

    Parameters
    ----------
    packs : sequence of PackSize, length n >= 1
        All packs together hold enough. [steps]
    mass : int
        What is needed, above 0. [steps of mass]
    searched_max : int
        Choices to look at, at most, where no table is made. [count]

    Returns
    -------
    Found : [packs]

    Notes
    -----
    Packs are multiples of one step, so the need can be rounded up to it.

    References
    ----------
    .. [1] Kellerer, Pferschy, Pisinger, Knapsack Problems, 2004, the minimisation form (from memory).
    """
    step = math.gcd(*(pack.mass for pack in packs))
    need = -(-mass // step)
    # a best choice holds less than the need and one pack: without that pack it would hold enough
    sums = min(need + max(pack.mass for pack in packs) // step,
               sum(pack.mass // step * pack.at_most for pack in packs))
    pieces = sum(min(pack.at_most, -(-mass // pack.mass)) for pack in packs) + 1
    if sums <= _TABLE_MAX and pieces * sum(pack.cost * pack.at_most for pack in packs) < _COST_MAX:
        return Found(_by_table(packs, need, step=step, sums=sums, pieces=pieces), True, 0)
    return _Search(packs, mass, searched_max).run()


def _by_table(packs: Sequence[PackSize], need: int, *, step: int, sums: int, pieces: int) -> tuple[int, ...]:
    # the cost first, then the number of packs: one whole number that orders by both
    table = least_costs([Item(pack.mass // step, pack.cost * pieces + 1, pack.at_most) for pack in packs], sums)
    enough = table.costs[need:]
    return table.pieces(need + int(np.argmin(enough // pieces)))


class _Search:
    """Depth-first search from the pack with the cheapest gram; branches that cannot beat the best are skipped."""

    def __init__(self, packs: Sequence[PackSize], mass: int, searched_max: int) -> None:
        self.order = sorted(range(len(packs)), key=lambda place: (packs[place].cost / packs[place].mass, place))
        self.packs = [packs[place] for place in self.order]
        self.holds = [0] * (len(packs) + 1)  # what the packs from here on hold at most
        for place in reversed(range(len(packs))):
            self.holds[place] = self.holds[place + 1] + self.packs[place].mass * self.packs[place].at_most
        self.mass, self.searched_max = mass, searched_max
        self.counts = [0] * len(packs)
        self.best: tuple[int, int, int] | None = None
        self.best_counts = tuple(self.counts)
        self.searched = 0

    def run(self) -> Found:
        self._from(0, self.mass, 0, 0, 0)
        counts = [0] * len(self.order)
        for place, count in zip(self.order, self.best_counts, strict=True):
            counts[place] = count
        return Found(tuple(counts), self.searched <= self.searched_max, self.searched)

    def _from(self, place: int, short: int, cost: int, held: int, pieces: int) -> None:
        self.searched += 1
        if short <= 0:
            found = (cost, held, pieces)
            if self.best is None or found < self.best:
                self.best, self.best_counts = found, tuple(self.counts)
            return
        if short > self.holds[place]:
            return
        pack = self.packs[place]
        for count in range(min(-(-short // pack.mass), pack.at_most), -1, -1):
            left = short - count * pack.mass
            if left > self.holds[place + 1]:
                break  # with fewer of this pack the others hold even less of what is needed
            reached = cost + count * pack.cost
            if self.best is not None:
                if self.searched > self.searched_max:
                    break
                if self._at_least(place + 1, left, reached) > self.best[0]:
                    if left > 0:
                        break  # fewer of this pack leaves more for dearer ones
                    continue  # this many are more than enough; fewer may be cheaper
            self.counts[place] = count
            self._from(place + 1, left, reached, held + count * pack.mass, pieces + count)
        self.counts[place] = 0

    def _at_least(self, place: int, short: int, cost: int) -> int:
        """A cost that no choice from here on undercuts (whole numbers, so nothing is lost to rounding)."""
        if short <= 0 or place == len(self.packs):
            return cost
        pack = self.packs[place]
        return cost - (-short * pack.cost // pack.mass)
