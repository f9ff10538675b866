"""Bounded knapsack by dynamic programming: which whole numbers of items add up to a sum at the lowest cost.

The sums of whole steps form a table with one place for each sum, so the time depends on the size of the table only. An
integer program solved by branch and bound depends on the figures instead: two moulds of 997 and 1,003 mL can take it
seconds.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

__all__ = ["SUMS_MAX", "Item", "LeastCosts", "least_costs"]

SUMS_MAX = 2 ** 19
"""The largest table. With forty items of 200 pieces each it takes about half a second."""

_NEVER = np.iinfo(np.int64).max // 2


@dataclass(frozen=True, slots=True)
class Item:
    """An item that is taken a whole number of times.

    Parameters
    ----------
    size : int
        Size of one piece, at least 1. [steps]
    cost : int
        Cost of one piece, at least 0. [any whole unit]
    most : int
        Pieces available. [pieces]
    """

    size: int
    cost: int
    most: int


@dataclass(frozen=True, slots=True)
class LeastCosts:
    """The lowest cost of every sum.

    Parameters
    ----------
    costs : array of int64, length `sum_max` + 1
        By sum; `reached` says which sums exist. [unit of the items' costs]
    """

    costs: np.ndarray
    _items: tuple[Item, ...]
    _bundles: tuple[tuple[int, int], ...]
    _taken: tuple[np.ndarray, ...]

    @property
    def reached(self) -> np.ndarray:
        """Which sums the items can make. [yes or no, by sum]"""
        return self.costs < _NEVER

    def pieces(self, total: int) -> tuple[int, ...]:
        """Pieces of each item that make a sum at its lowest cost (`total` [steps], one that is `reached`). [pieces]"""
        counts = [0] * len(self._items)
        left = total
        for (place, bundle), taken in zip(reversed(self._bundles), reversed(self._taken), strict=True):
            if taken[left >> 3] >> (7 - (left & 7)) & 1:
                counts[place] += bundle
                left -= bundle * self._items[place].size
        return tuple(counts)


def least_costs(items: Sequence[Item], sum_max: int) -> LeastCosts:
    """The lowest cost of every sum up to a largest one.

    Parameters
    ----------
    items : sequence of Item
        The items available. [pieces]
    sum_max : int
        The largest sum that matters, below `SUMS_MAX`. [steps]

    Returns
    -------
    LeastCosts : [unit of the items' costs]

    Notes
    -----
    Each item is split into bundles of 1, 2, 4 ... pieces, so that 200 pieces take 8 passes rather than 200. Among
    choices of equal cost, the one with fewer pieces of the later items is kept.
    """
    costs = np.full(sum_max + 1, _NEVER, dtype=np.int64)
    costs[0] = 0
    bundles: list[tuple[int, int]] = []
    taken: list[np.ndarray] = []
    for place, item in enumerate(items):
        for bundle in _bundles(min(item.most, sum_max // item.size)):
            size = bundle * item.size
            with_it = costs[:sum_max + 1 - size] + bundle * item.cost
            better = np.zeros(sum_max + 1, dtype=bool)
            np.less(with_it, costs[size:], out=better[size:])
            costs[size:][better[size:]] = with_it[better[size:]]
            bundles.append((place, bundle))
            taken.append(np.packbits(better))
    return LeastCosts(costs, tuple(items), tuple(bundles), tuple(taken))


def _bundles(most: int) -> Iterator[int]:
    """1, 2, 4 ... and the rest: together they make every number up to `most` and none above it."""
    bundle = 1
    while most > 0:
        yield min(bundle, most)
        most -= bundle
        bundle *= 2
