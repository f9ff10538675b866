"""What lies on the cutting table: the form the mould gave it, and how much of it lies between cuts.

x runs along the length (bars are cut along it), y across the width (loaves are cut across it), z upward.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

import numpy as np

from kettlewright.pour.mould.shapes import Point, Shape
from kettlewright.pour.mould.walls import Floats, Interval, volumes_between

__all__ = ["CastBlock", "CastTube", "Interval", "Solid", "bevel_volume", "solid_of"]

_MM3_PER_ML = 1000.0
_MM2_PER_CM2 = 100.0
_FACE_POINTS = 36


class Solid(Protocol):
    """A block with a volume between any cuts."""

    @property
    def shape(self) -> Shape:
        """Cavity it was cast in. [shape]"""

    @property
    def length_mm(self) -> float:
        """Largest extent along x. [mm]"""

    @property
    def width_mm(self) -> float:
        """Largest extent along y. [mm]"""

    @property
    def height_mm(self) -> float:
        """Extent along z as it lies. [mm]"""

    @property
    def loaves(self) -> bool:
        """Whether it can be cut across its width. [yes or no]"""

    def fold(self, x: Sequence[Interval]) -> list[Interval]:
        """Pieces along x, each of those that are alike by symmetry moved to the same place (`x` [mm]). [mm]"""

    def fold_across(self, y: Sequence[Interval]) -> list[Interval]:
        """Pieces along y, each of those that are alike by symmetry moved to the same place (`y` [mm]). [mm]"""

    def volumes(self, x: Sequence[Interval], y: Sequence[Interval], layers: Sequence[Interval] = ()) -> Floats:
        """Volume between cuts along x and along y, and of each layer in it, by its heights in the mould [mm].

        One array of shape (len(x), len(y), 1 + len(layers)); the first of the last axis is the whole. [mL]
        """

    def face(self) -> Sequence[Point]:
        """Outline of a piece seen from the cut side, its lowest left corner at (0, 0) or above. [mm]"""


@dataclass(frozen=True)  # no slots: length and width are asked for again and again
class CastBlock:
    """A block whose horizontal sections are rectangles around its middle, as the mould's walls make them.

    Parameters
    ----------
    shape : Shape
        Cavity it was cast in, one that is cut as a block. [shape]
    height_mm : float
        How high it stood there. [mm]
    """

    shape: Shape
    height_mm: float

    @cached_property
    def length_mm(self) -> float:
        """Length where it is longest. [mm]"""
        return self.shape.walls()[0].widest_to(self.height_mm)

    @cached_property
    def width_mm(self) -> float:
        """Width where it is widest. [mm]"""
        return self.shape.walls()[1].widest_to(self.height_mm)

    @property
    def loaves(self) -> bool:
        """It can be. [yes or no]"""
        return True

    def fold(self, x: Sequence[Interval]) -> list[Interval]:
        """Both ends are alike, and so are equal pieces above the bottom (`x` [mm]). [mm]"""
        return _folded(x, self.length_mm, 2 * float(self.shape.walls()[0].half_at(0.0)))

    def fold_across(self, y: Sequence[Interval]) -> list[Interval]:
        """Both sides are alike, and so are equal pieces above the bottom (`y` [mm]). [mm]"""
        return _folded(y, self.width_mm, 2 * float(self.shape.walls()[1].half_at(0.0)))

    def volumes(self, x: Sequence[Interval], y: Sequence[Interval], layers: Sequence[Interval] = ()) -> Floats:
        """Volume between cuts (`x`, `y` [mm]), and of each of the `layers` [mm]; exact. [mL]"""
        along, across = self.shape.walls()
        top, half_length, half_width = self.height_mm, self.length_mm / 2, self.width_mm / 2
        return volumes_between(along, across, [(begin - half_length, end - half_length) for begin, end in x],
                               [(begin - half_width, end - half_width) for begin, end in y],
                               [(min(max(low, 0.0), top), min(max(high, 0.0), top))
                                for low, high in ((0.0, top), *layers)])

    def face(self) -> Sequence[Point]:
        """The section of the mould, up to where the block stood. [mm]"""
        across = self.shape.walls()[1]
        parts = [0.0, 1.0] if self.shape.drawn_straight else [
            (1 - float(np.cos(np.pi * step / _FACE_POINTS))) / 2 for step in range(_FACE_POINTS + 1)]
        middle = self.width_mm / 2
        rim = [(float(across.half_at(part * self.height_mm)), part * self.height_mm) for part in parts]
        return [*((middle + half, height) for half, height in rim),
                *((middle - half, height) for half, height in reversed(rim) if half > 0 or height > 0)]


def _folded(intervals: Sequence[Interval], whole: float, core: float) -> list[Interval]:
    """Pieces within the core moved to its begin, the others to the near end."""
    first, last = (whole - core) / 2, (whole + core) / 2
    found = []
    for begin, end in intervals:
        if begin >= first and end <= last:
            place = first, first + (end - begin)
        else:
            place = min((begin, end), (whole - end, whole - begin))
        found.append(place)
    return found


@dataclass(frozen=True, slots=True)
class CastTube:
    """What comes out of an upright tube, laid down: it is cut along its length, which is its height in the mould.

    Parameters
    ----------
    shape : Shape
        Cavity it was cast in, one that is cut as a tube. [shape]
    stood_mm : float
        How high it stood there. [mm]
    """

    shape: Shape
    stood_mm: float

    @property
    def length_mm(self) -> float:
        """Its height in the mould. [mm]"""
        return self.stood_mm

    @property
    def width_mm(self) -> float:
        """Its width in the mould: the diameter, the long one of two, or across the flats. [mm]"""
        return self.shape.width_at(0.0) or 0.0

    @property
    def height_mm(self) -> float:
        """Across its section the other way. [mm]"""
        return self.shape.lying_mm

    @property
    def loaves(self) -> bool:
        """It is cut along its length only. [yes or no]"""
        return False

    def fold(self, x: Sequence[Interval]) -> list[Interval]:
        """Layers lie one after another along it, so no two places are alike (`x` [mm]). [mm]"""
        return list(x)

    def fold_across(self, y: Sequence[Interval]) -> list[Interval]:
        """There is one (`y` [mm]). [mm]"""
        return list(y)

    def volumes(self, x: Sequence[Interval], y: Sequence[Interval], layers: Sequence[Interval] = ()) -> Floats:
        """Volume of slices (`x` [mm]; each of `y` is the whole), and of each of the `layers` in them [mm]. [mL]"""
        cuts = np.clip(np.array(x, dtype=float), 0.0, self.stood_mm)[:, None, :]
        heights = np.clip(np.array([(0.0, self.stood_mm), *layers]), 0.0, self.stood_mm)
        along = np.maximum(np.minimum(cuts[:, :, 1], heights[:, 1]) - np.maximum(cuts[:, :, 0], heights[:, 0]), 0.0)
        each = along * self.shape.area_at(0.0) * _MM2_PER_CM2 / _MM3_PER_ML
        return np.asarray(np.repeat(each[:, None, :], len(y), axis=1))

    def face(self) -> Sequence[Point]:
        """The section of the tube. [mm]"""
        points = self.shape.face()
        left, low = min(x for x, _ in points), min(y for _, y in points)
        return [(x - left, y - low) for x, y in points]


def solid_of(shape: Shape, height_mm: float) -> CastBlock | CastTube | None:
    """The block that a cavity gives.

    Parameters
    ----------
    shape : Shape
        The cavity, lined. [shape]
    height_mm : float
        How high the batter reaches in it. [mm]

    Returns
    -------
    CastBlock, CastTube, or None where it is not cut: bowls, cones and moulds of any form. [mm]
    """
    if shape.cut_as is None:
        return None
    return CastBlock(shape, height_mm) if shape.cut_as == "block" else CastTube(shape, height_mm)


def bevel_volume(length_mm: float, width_mm: float, height_mm: float, leg_mm: float) -> float:
    """What bevelling all twelve edges of a bar takes off.

    Parameters
    ----------
    length_mm, width_mm, height_mm : float
        Of the bar. [mm]
    leg_mm : float
        How far the bevel reaches on either face. [mm]

    Returns
    -------
    float : exact: twelve triangular prisms less what they share in the eight corners. [mL]
    """
    edges = length_mm + width_mm + height_mm
    return (2 * leg_mm ** 2 * edges - 6 * leg_mm ** 3) / _MM3_PER_ML
