"""Upright tubes: what comes out of them is laid down and cut along its length."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar, Self

from kettlewright.pour.mould.shapes.base import Dimension, Point, Upright, circle_mm2, less_liner

__all__ = ["Cylinder", "EllipticCylinder", "Prism"]

_ROUND_POINTS = 72


def _ellipse(across_mm: float, up_mm: float) -> Sequence[Point]:
    turns = [2 * math.pi * step / _ROUND_POINTS for step in range(_ROUND_POINTS)]
    return [(across_mm / 2 * math.cos(turn), up_mm / 2 * math.sin(turn)) for turn in turns]


@dataclass(frozen=True, slots=True)
class Cylinder(Upright):
    """An upright tube.

    Parameters
    ----------
    diameter_mm, depth_mm : float
        Inside. [mm]
    """

    key: ClassVar[str] = "cylinder"
    about: ClassVar[str] = "An upright tube; inside dimensions."
    dimensions: ClassVar[tuple[Dimension, ...]] = (
        Dimension("diameter_mm", "Inside diameter", 75, walls=2), Dimension("depth_mm", "Inside depth", 250, walls=1))
    cut_as: ClassVar = "tube"
    piece: ClassVar[str] = "round"

    diameter_mm: float
    depth_mm: float

    @property
    def section_mm2(self) -> float:
        """Of the circle. [mm2]"""
        return circle_mm2(self.diameter_mm)

    def width_at(self, height_mm: float) -> float:
        """The diameter (`height_mm` [mm]). [mm]"""
        return self.diameter_mm

    @property
    def lying_mm(self) -> float:
        """The diameter. [mm]"""
        return self.diameter_mm

    def face(self) -> Sequence[Point]:
        """A circle. [mm]"""
        return _ellipse(self.diameter_mm, self.diameter_mm)


@dataclass(frozen=True, slots=True)
class EllipticCylinder(Upright):
    """An upright tube whose section is an ellipse.

    Parameters
    ----------
    diameter_mm, short_diameter_mm, depth_mm : float
        Inside; the long and the short diameter of the ellipse. [mm]

    Notes
    -----
    A liner leaves nearly an ellipse: for 100 x 60 mm and 2 mm of liner the area is 0.2 % less than computed.
    """

    key: ClassVar[str] = "elliptic_cylinder"
    about: ClassVar[str] = "An upright tube with an oval section (an ellipse); inside dimensions."
    dimensions: ClassVar[tuple[Dimension, ...]] = (
        Dimension("diameter_mm", "Inside, the long diameter", 90, walls=2),
        Dimension("short_diameter_mm", "Inside, the short diameter", 60, walls=2),
        Dimension("depth_mm", "Inside depth", 250, walls=1))
    cut_as: ClassVar = "tube"
    piece: ClassVar[str] = "oval"

    diameter_mm: float
    short_diameter_mm: float
    depth_mm: float

    @property
    def section_mm2(self) -> float:
        """Of the ellipse. [mm2]"""
        return math.pi * self.diameter_mm * self.short_diameter_mm / 4

    def width_at(self, height_mm: float) -> float:
        """The long diameter (`height_mm` [mm]). [mm]"""
        return self.diameter_mm

    @property
    def lying_mm(self) -> float:
        """The short diameter: it is laid down flat. [mm]"""
        return self.short_diameter_mm

    def face(self) -> Sequence[Point]:
        """An ellipse, the long diameter across. [mm]"""
        return _ellipse(self.diameter_mm, self.short_diameter_mm)


@dataclass(frozen=True, slots=True)
class Prism(Upright):
    """An upright tube whose section is a regular polygon.

    Parameters
    ----------
    sides : int
        3 or more. [sides]
    depth_mm : float
        Inside. [mm]
    side_mm, across_flats_mm, circumradius_mm : float, optional
        Exactly one: length of a side, twice the distance from the middle to a side, distance to a corner. [mm]
    """

    key: ClassVar[str] = "prism"
    about: ClassVar[str] = ("An upright tube whose section is a regular polygon; inside, by one of side, across_flats "
                            "and circumradius.")
    dimensions: ClassVar[tuple[Dimension, ...]] = (
        Dimension("sides", "How many sides", 6, measure="sides"),
        Dimension("side_mm", "Length of a side", 32, required=False),
        Dimension("across_flats_mm", "From side to opposite side (twice the distance from the middle to a side)", 55,
                  required=False, in_example=False),
        Dimension("circumradius_mm", "From the middle to a corner", 40, required=False, in_example=False),
        Dimension("depth_mm", "Inside depth", 90, walls=1))
    one_of: ClassVar[tuple[str, ...]] = ("side_mm", "across_flats_mm", "circumradius_mm")
    cut_as: ClassVar = "tube"
    piece: ClassVar[str] = "polygon"

    sides: int
    depth_mm: float
    side_mm: float | None = None
    across_flats_mm: float | None = None
    circumradius_mm: float | None = None

    @property
    def flats_mm(self) -> float:
        """Twice the distance from the middle to a side. [mm]"""
        if self.across_flats_mm is not None:
            return self.across_flats_mm
        if self.side_mm is not None:
            return self.side_mm / math.tan(math.pi / self.sides)
        return 2 * (self.circumradius_mm or 0.0) * math.cos(math.pi / self.sides)

    @property
    def section_mm2(self) -> float:
        """Of the polygon. [mm2]"""
        return self.sides * self.flats_mm ** 2 / 4 * math.tan(math.pi / self.sides)

    def width_at(self, height_mm: float) -> float:
        """Across the flats, the same at every height (`height_mm` [mm]). [mm]"""
        return self.flats_mm

    @property
    def lying_mm(self) -> float:
        """Across the flats. [mm]"""
        return self.flats_mm

    def lined(self, liner_mm: float) -> Self:
        """Two walls off the distance across the flats, one off the depth (`liner_mm` [mm]). [shape]

        Raises
        ------
        OutOfRange : the liner leaves nothing.
        """
        return type(self)(self.sides, less_liner(self.depth_mm, 1, liner_mm, "depth"),
                          across_flats_mm=less_liner(self.flats_mm, 2, liner_mm, "distance across the flats"))

    def face(self) -> Sequence[Point]:
        """A polygon that lies on one of its sides. [mm]"""
        corner = self.flats_mm / 2 / math.cos(math.pi / self.sides)
        turns = [-math.pi / 2 + (2 * step + 1) * math.pi / self.sides for step in range(self.sides)]
        return [(corner * math.cos(turn), corner * math.sin(turn)) for turn in turns]
