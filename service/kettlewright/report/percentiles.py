"""Percentiles of many times with little memory: counts in bins whose width grows with the time."""

from __future__ import annotations

import math

__all__ = ["RELATIVE_ERROR", "Percentiles"]

RELATIVE_ERROR = 0.01
"""The most by which a percentile differs from the exact one (nearest rank), as a share of it. [share]"""
_BASE = (1 + RELATIVE_ERROR) / (1 - RELATIVE_ERROR)
_LOG_BASE = math.log(_BASE)
_LOWEST, _HIGHEST = 0.001, 1e9


class Percentiles:
    """Times, counted.

    Notes
    -----
    A value x above 0 is counted in the bin k with base^(k - 1) < x <= base^k, and read back as 2 base^k / (base + 1),
    which differs from every value in the bin by at most (base - 1) / (base + 1), here 1 %. Values below 0.001 count as
    0.001, so there are fewer than 1,400 bins whatever is counted.
    """

    __slots__ = ("_bins", "count", "largest")

    def __init__(self) -> None:
        self._bins: dict[int, int] = {}
        self.count = 0
        self.largest = 0.0

    def add(self, value: float) -> None:
        """Count a value (`value`: 0 or more [any unit])."""
        found = math.ceil(math.log(min(max(value, _LOWEST), _HIGHEST)) / _LOG_BASE)
        self._bins[found] = self._bins.get(found, 0) + 1
        self.count += 1
        if value > self.largest:
            self.largest = value

    def add_all(self, other: Percentiles) -> None:
        """Count all that another has counted (`other`)."""
        for number, count in other._bins.items():
            self._bins[number] = self._bins.get(number, 0) + count
        self.count += other.count
        self.largest = max(self.largest, other.largest)

    def at(self, share: float) -> float:
        """The value that this share of all values does not exceed.

        Parameters
        ----------
        share : float
            0 to 1. [share]

        Returns
        -------
        float : of the nearest rank, within 1 %; 0 where nothing was counted. [the unit of the values]
        """
        rank, seen = max(math.ceil(share * self.count), 1), 0
        for number in sorted(self._bins):
            seen += self._bins[number]
            if seen >= rank:
                return min(2 * _BASE ** number / (_BASE + 1), self.largest)
        return 0.0
