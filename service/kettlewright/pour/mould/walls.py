"""Walls of a mould whose block is cut: their distance at a height, and the exact volume between cuts.

Every horizontal section of such a block is a rectangle around the middle, so each direction has one pair of walls. All
functions take arrays, so that thousands of bars cost one calculation.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Protocol

import numpy as np
import numpy.typing as npt

__all__ = ["Floats", "Interval", "RoundWall", "StraightWall", "Wall", "volumes_between"]

Floats = npt.NDArray[np.float64]
Interval = tuple[float, float]
_MM3_PER_ML = 1000.0


class Wall(Protocol):
    """A pair of equal walls, each at the same distance from the middle. Heights are from the bottom."""

    @property
    def upright(self) -> bool:
        """Whether the distance is the same at every height. [yes or no]"""

    def half_at(self, height_mm: Any) -> Any:
        """Distance of one wall from the middle at a height (`height_mm` [mm]). [mm]"""

    def widest_to(self, height_mm: float) -> float:
        """Largest distance between the walls up to a height (`height_mm` [mm]). [mm]"""

    def heights_of(self, half_mm: Floats) -> list[Floats]:
        """Heights at which the wall has that distance from the middle (`half_mm` [mm]); NaN if there is none. [mm]"""

    def area_between(self, low_mm: Floats, high_mm: Floats) -> Floats:
        """Integral of the distance from the middle over the height (`low_mm`, `high_mm` [mm]). [mm2]"""


@dataclass(frozen=True, slots=True)
class StraightWall:
    """Upright or slanted walls.

    Parameters
    ----------
    base_mm, rim_mm : float
        Distance between the walls at the bottom and at the rim. [mm]
    depth_mm : float
        From bottom to rim. [mm]
    """

    base_mm: float
    rim_mm: float
    depth_mm: float

    @property
    def upright(self) -> bool:
        """Whether the distance is the same at every height. [yes or no]"""
        return self.base_mm == self.rim_mm

    def half_at(self, height_mm: Any) -> Any:
        """Distance of one wall from the middle at a height (`height_mm` [mm]). [mm]"""
        return (self.base_mm + (self.rim_mm - self.base_mm) * height_mm / self.depth_mm) / 2

    def widest_to(self, height_mm: float) -> float:
        """Largest distance between the walls up to a height (`height_mm` [mm]): the one there. [mm]"""
        return float(2 * self.half_at(height_mm))

    def heights_of(self, half_mm: Floats) -> list[Floats]:
        """Heights at which the wall has that distance from the middle (`half_mm` [mm]); none if upright. [mm]"""
        if self.upright:
            return []
        return [(2 * half_mm - self.base_mm) / (self.rim_mm - self.base_mm) * self.depth_mm]

    def area_between(self, low_mm: Floats, high_mm: Floats) -> Floats:
        """Integral of the distance from the middle over the height (`low_mm`, `high_mm` [mm]). [mm2]"""
        return np.asarray(self.half_at((low_mm + high_mm) / 2) * (high_mm - low_mm))


@dataclass(frozen=True, slots=True)
class RoundWall:
    """Walls that are a circle whose lowest point is the bottom.

    Parameters
    ----------
    radius_mm : float
        Of the circle. [mm]
    """

    radius_mm: float

    @property
    def upright(self) -> bool:
        """Never. [yes or no]"""
        return False

    def half_at(self, height_mm: Any) -> Any:
        """Half the chord at a height (`height_mm` [mm]). [mm]"""
        return np.sqrt(np.maximum(height_mm * (2 * self.radius_mm - height_mm), 0.0))

    def widest_to(self, height_mm: float) -> float:
        """Longest chord up to a height (`height_mm` [mm]): the diameter from the middle on. [mm]"""
        return float(2 * self.half_at(min(height_mm, self.radius_mm)))

    def heights_of(self, half_mm: Floats) -> list[Floats]:
        """The two heights of a chord (`half_mm`: half of it [mm]); NaN where it is longer than the diameter. [mm]"""
        with np.errstate(invalid="ignore"):
            up = np.sqrt(self.radius_mm ** 2 - half_mm ** 2)
        # near the bottom the difference of two nearly equal lengths would lose precision
        return [half_mm ** 2 / (self.radius_mm + up), self.radius_mm + up]

    def area_between(self, low_mm: Floats, high_mm: Floats) -> Floats:
        """Half the circle between two heights (`low_mm`, `high_mm` [mm]), by its angles. [mm2]"""
        low, high = (np.arctan2(self.half_at(height), self.radius_mm - height) for height in (low_mm, high_mm))
        return np.asarray(self.radius_mm ** 2 / 2 * (high - low - np.cos(high + low) * np.sin(high - low)))


def volumes_between(along: Wall, across: Wall, xs: Sequence[Interval], ys: Sequence[Interval],
                    heights: Sequence[Interval]) -> Floats:
    """Volume of every piece of a block between vertical cuts, and of every layer of it. Exact.

    Parameters
    ----------
    along, across : Wall
        Walls at the ends of the length and of the width; at least one of them straight, and both straight or one of
        them upright. [mm]
    xs, ys : sequences of (begin, end), of length n, m
        The pieces along the length and the width, from the middle. [mm]
    heights : sequence of (bottom, top), of length k
        The layers. [mm]

    Returns
    -------
    array of shape (n, m, k) : [mL]

    Notes
    -----
    With l and w half the length and width at a height, a piece has the section ovl(x, l) ovl(y, w) there, where
    ovl([a, b], l) = clip(b, -l, l) - clip(a, -l, l). Between the heights at which a wall passes a cut each factor is
    p + q l with constants p and q, so the integral is a sum of the moments of 1, l, w and l w.
    """
    if along.upright and across.upright:  # the usual box: no wall ever passes a cut, and numbers are faster than arrays
        layers = [abs(top - bottom) for bottom, top in heights]
        half = float(across.half_at(0.0))
        held = [[r * over + s * (half * over) for over in layers] for r, s in _upright_factors(ys, half)]
        half = float(along.half_at(0.0))
        long = [p + q * half for p, q in _upright_factors(xs, half)]
        return np.array([[[max(part * over, 0.0) / _MM3_PER_ML for over in row] for row in held] for part in long])
    x, y = np.array(xs)[:, :, None, None], np.array(ys)[:, :, None]
    low, high = np.array(heights).T
    shape = (len(xs), len(ys), len(heights))
    kinks = [*along.heights_of(np.abs(x[:, 0])), *along.heights_of(np.abs(x[:, 1])),
             *across.heights_of(np.abs(y[:, 0])), *across.heights_of(np.abs(y[:, 1]))]
    inside = [np.broadcast_to(np.where(np.isfinite(kink), np.clip(kink, low, high), low), shape) for kink in kinks]
    steps = np.sort(np.stack([np.broadcast_to(low, shape), *inside, np.broadcast_to(high, shape)]), axis=0)
    begin, end = steps[:-1], steps[1:]
    middle = (begin + end) / 2
    p, q = _factor(x, along.half_at(middle))
    r, s = _factor(y, across.half_at(middle))
    over = end - begin
    wide = across.area_between(begin, end)
    if along.upright:
        half = along.half_at(0.0)
        whole = (p + q * half) * (r * over + s * wide)
    else:
        # both straight: l w is a parabola, for which Simpson's rule is exact
        both = over / 6 * (along.half_at(begin) * across.half_at(begin) + along.half_at(end) * across.half_at(end)
                           + 4 * along.half_at(middle) * across.half_at(middle))
        whole = p * r * over + p * s * wide + q * r * along.area_between(begin, end) + q * s * both
    return np.asarray(np.maximum(whole.sum(axis=0), 0.0) / _MM3_PER_ML)


def _factor(cuts: Floats, half: Floats) -> tuple[Floats, Floats]:
    """The length between two cuts and the walls, as p + q half: (p, q)."""
    begin, end = cuts[:, 0], cuts[:, 1]
    met = [np.where(np.abs(cut) < half, 0.0, np.sign(cut)) for cut in (begin, end)]
    return (np.where(met[1] == 0, end, 0.0) - np.where(met[0] == 0, begin, 0.0), met[1] - met[0])


def _upright_factors(cuts: Sequence[Interval], half: float) -> list[tuple[float, float]]:
    """The same for each pair of cuts between upright walls."""
    found = []
    for begin, end in cuts:
        met = [0.0 if abs(cut) < half else math.copysign(1.0, cut) for cut in (begin, end)]
        found.append(((0.0 if met[1] else end) - (0.0 if met[0] else begin), met[1] - met[0]))
    return found
