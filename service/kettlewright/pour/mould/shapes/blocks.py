"""Shapes whose block is cut: horizontal sections are rectangles."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import ClassVar

from kettlewright.pour.mould.shapes.base import MM2_PER_CM2, MM3_PER_ML, Deep, Dimension, Rooted, Upright
from kettlewright.pour.mould.walls import RoundWall, StraightWall, Wall

__all__ = ["Box", "HalfRound", "LyingCylinder", "TaperedBox", "Trough"]


@dataclass(frozen=True, slots=True)
class Box(Upright):
    """A slab or loaf mould with upright walls.

    Parameters
    ----------
    length_mm, width_mm, depth_mm : float
        Inside. [mm]
    """

    key: ClassVar[str] = "box"
    about: ClassVar[str] = "A slab or loaf mould with upright walls; inside dimensions."
    dimensions: ClassVar[tuple[Dimension, ...]] = (
        Dimension("length_mm", "Inside length", 380, walls=2), Dimension("width_mm", "Inside width", 260, walls=2),
        Dimension("depth_mm", "Inside depth", 60, walls=1))
    cut_as: ClassVar = "block"
    box_bars: ClassVar[bool] = True
    columns: ClassVar[bool] = True

    length_mm: float
    width_mm: float
    depth_mm: float

    @property
    def section_mm2(self) -> float:
        """Length x width. [mm2]"""
        return self.length_mm * self.width_mm

    def width_at(self, height_mm: float) -> float:
        """The same at every height (`height_mm` [mm]). [mm]"""
        return self.width_mm

    def walls(self) -> tuple[Wall, Wall]:
        """Upright all round. [mm]"""
        return (StraightWall(self.length_mm, self.length_mm, self.depth_mm),
                StraightWall(self.width_mm, self.width_mm, self.depth_mm))


@dataclass(frozen=True, slots=True)
class TaperedBox(Deep, Rooted):
    """A mould with four slanted walls, wider at the rim.

    Parameters
    ----------
    length_mm, width_mm : float
        Inside, at the rim. [mm]
    base_length_mm, base_width_mm : float
        Inside, at the bottom. [mm]
    depth_mm : float
        Inside. [mm]
    """

    key: ClassVar[str] = "tapered_box"
    about: ClassVar[str] = "A mould with four slanted walls, wider at the rim; inside dimensions."
    dimensions: ClassVar[tuple[Dimension, ...]] = (
        Dimension("length_mm", "Inside length at the rim", 220, walls=2),
        Dimension("width_mm", "Inside width at the rim", 95, walls=2),
        Dimension("base_length_mm", "Inside length at the bottom", 200, walls=2, widens_to="length_mm"),
        Dimension("base_width_mm", "Inside width at the bottom", 80, walls=2, widens_to="width_mm"),
        Dimension("depth_mm", "Inside depth", 70, walls=1))
    cut_as: ClassVar = "block"
    piece: ClassVar[str] = "slanted"

    length_mm: float
    width_mm: float
    base_length_mm: float
    base_width_mm: float
    depth_mm: float

    def walls(self) -> tuple[Wall, Wall]:
        """Slanted all round. [mm]"""
        return (StraightWall(self.base_length_mm, self.length_mm, self.depth_mm),
                StraightWall(self.base_width_mm, self.width_mm, self.depth_mm))

    def _edges(self, height_mm: float) -> tuple[float, float]:
        up = height_mm / self.depth_mm
        return (self.base_length_mm + (self.length_mm - self.base_length_mm) * up,
                self.base_width_mm + (self.width_mm - self.base_width_mm) * up)

    def area_at(self, height_mm: float) -> float:
        """Length x width there (`height_mm` [mm]). [cm2]"""
        return math.prod(self._edges(height_mm)) / MM2_PER_CM2

    def volume_to(self, height_mm: float) -> float:
        """A prismatoid, exact: ends and four times the middle, over six (`height_mm` [mm]). [mL]"""
        middle = math.prod(self._edges(height_mm / 2))
        ends = self.base_length_mm * self.base_width_mm + math.prod(self._edges(height_mm))
        return height_mm / 6 * (ends + 4 * middle) / MM3_PER_ML

    def width_at(self, height_mm: float) -> float:
        """Width there (`height_mm` [mm]). [mm]"""
        return self._edges(height_mm)[1]


@dataclass(frozen=True, slots=True)
class Trough(Deep):
    """A loaf mould with two slanted sides and upright ends, wider at the rim.

    Parameters
    ----------
    length_mm, width_mm, base_width_mm, depth_mm : float
        Inside; the width at the rim and at the bottom. [mm]
    """

    key: ClassVar[str] = "trough"
    about: ClassVar[str] = "A loaf mould with two slanted sides and upright ends; inside dimensions."
    dimensions: ClassVar[tuple[Dimension, ...]] = (
        Dimension("length_mm", "Inside length", 250, walls=2),
        Dimension("width_mm", "Inside width at the rim", 90, walls=2),
        Dimension("base_width_mm", "Inside width at the bottom", 70, walls=2, widens_to="width_mm"),
        Dimension("depth_mm", "Inside depth", 80, walls=1))
    cut_as: ClassVar = "block"
    piece: ClassVar[str] = "slanted"

    length_mm: float
    width_mm: float
    base_width_mm: float
    depth_mm: float

    def walls(self) -> tuple[Wall, Wall]:
        """Upright ends and slanted sides. [mm]"""
        return (StraightWall(self.length_mm, self.length_mm, self.depth_mm),
                StraightWall(self.base_width_mm, self.width_mm, self.depth_mm))

    def width_at(self, height_mm: float) -> float:
        """Width there (`height_mm` [mm]). [mm]"""
        return self.base_width_mm + (self.width_mm - self.base_width_mm) * height_mm / self.depth_mm

    def area_at(self, height_mm: float) -> float:
        """Length x width there (`height_mm` [mm]). [cm2]"""
        return self.length_mm * self.width_at(height_mm) / MM2_PER_CM2

    def volume_to(self, height_mm: float) -> float:
        """A trapezium times the length (`height_mm` [mm]). [mL]"""
        return self.length_mm * height_mm * (self.base_width_mm + self.width_at(height_mm)) / 2 / MM3_PER_ML

    def height_of(self, volume_ml: float) -> float:
        """Root of a quadratic, in the form that stays exact for upright walls (`volume_ml` [mL]). [mm]"""
        section = volume_ml * MM3_PER_ML / self.length_mm
        slope = (self.width_mm - self.base_width_mm) / self.depth_mm
        return 2 * section / (self.base_width_mm + math.sqrt(self.base_width_mm ** 2 + 2 * slope * section))


class _Lying(Rooted):
    """A cylinder that lies: a circle's segment times the length."""

    __slots__ = ()

    cut_as: ClassVar = "block"
    drawn_straight: ClassVar[bool] = False

    length_mm: float
    diameter_mm: float

    def walls(self) -> tuple[Wall, Wall]:
        """Upright ends and a round bottom. [mm]"""
        depth = self.height_mm
        assert depth is not None
        return StraightWall(self.length_mm, self.length_mm, depth), RoundWall(self.diameter_mm / 2)

    def width_at(self, height_mm: float) -> float:
        """Chord of the circle there (`height_mm` [mm]). [mm]"""
        return 2 * math.sqrt(max(height_mm * (self.diameter_mm - height_mm), 0.0))

    def area_at(self, height_mm: float) -> float:
        """Length x chord (`height_mm` [mm]). [cm2]"""
        return self.length_mm * self.width_at(height_mm) / MM2_PER_CM2

    def volume_to(self, height_mm: float) -> float:
        """Segment of the circle times the length (`height_mm` [mm]). [mL]"""
        radius = self.diameter_mm / 2
        # the half-angle by its sine and cosine: acos alone loses half of the digits near the bottom
        angle = math.atan2(self.width_at(height_mm) / 2, radius - height_mm)
        segment = radius ** 2 * (angle - math.sin(angle) * math.cos(angle))
        return self.length_mm * segment / MM3_PER_ML


@dataclass(frozen=True, slots=True)
class HalfRound(_Lying):
    """A trough whose section is half a circle.

    Parameters
    ----------
    length_mm, diameter_mm : float
        Inside; the depth is half the diameter, so that one thickness of a liner comes off it. [mm]
    """

    key: ClassVar[str] = "half_round"
    about: ClassVar[str] = "A trough whose section is half a circle; inside dimensions."
    dimensions: ClassVar[tuple[Dimension, ...]] = (
        Dimension("length_mm", "Inside length", 300, walls=2), Dimension("diameter_mm", "Inside diameter", 80, walls=2))
    piece: ClassVar[str] = "half_round"

    length_mm: float
    diameter_mm: float

    @property
    def height_mm(self) -> float:
        """Half its diameter. [mm]"""
        return self.diameter_mm / 2


@dataclass(frozen=True, slots=True)
class LyingCylinder(_Lying):
    """A tube that lies on its side.

    Parameters
    ----------
    diameter_mm, length_mm : float
        Inside. [mm]
    """

    key: ClassVar[str] = "lying_cylinder"
    about: ClassVar[str] = "A tube that lies on its side; inside dimensions."
    dimensions: ClassVar[tuple[Dimension, ...]] = (
        Dimension("diameter_mm", "Inside diameter", 80, walls=2), Dimension("length_mm", "Inside length", 300, walls=2))
    piece: ClassVar[str] = "round"

    diameter_mm: float
    length_mm: float

    @property
    def height_mm(self) -> float:
        """Its diameter. [mm]"""
        return self.diameter_mm


