"""What lies on the cutting table: the form the mould gave it, and how much of it lies between cuts.

x runs along the length (bars are cut along it), y across the width (loaves are cut across it), z upward.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from scipy.integrate import quad

from kettlewright.pour.shapes import Box, Cylinder, HalfRound, LyingCylinder, Prism, Shape, TaperedBox, Trough

__all__ = ["Interval", "RoundBlock", "SlantedBlock", "Solid", "bevel_volume", "solid_of"]

Interval = tuple[float, float]

_MM3_PER_ML = 1000.0
_MM2_PER_CM2 = 100.0


class Solid(Protocol):
    """A block with a volume between any cuts."""

    @property
    def length_mm(self) -> float:
        """Largest extent along x. [mm]"""

    @property
    def width_mm(self) -> float:
        """Largest extent along y. [mm]"""

    @property
    def height_mm(self) -> float:
        """Extent along z, or of a round its diameter. [mm]"""

    @property
    def alike_along(self) -> bool:
        """Whether the bars of a loaf are alike, with what they hold of each layer. [yes or no]"""

    def volume_between(self, x: Interval, y: Interval, heights: Interval | None = None) -> float:
        """Volume between two cuts along x and two along y, and of a layer (`heights` in the mould) of it. [mm -> mL]"""


def _overlap(one: Interval, other: Interval) -> float:
    return max(min(one[1], other[1]) - max(one[0], other[0]), 0.0)


@dataclass(frozen=True, slots=True)
class SlantedBlock:
    """A block whose horizontal sections are rectangles that widen upward, as the mould's walls do.

    Parameters
    ----------
    shape : Shape
        Cavity it was cast in. [shape]
    height_mm : float
        How high it stood there. [mm]
    """

    shape: Box | TaperedBox | Trough | HalfRound | LyingCylinder
    height_mm: float

    def _extents(self, height_mm: float) -> tuple[float, float]:
        """Length and width of the section at a height; only a tapered box slants along its length too. [mm]"""
        width = self.shape.width_at(height_mm)
        if isinstance(self.shape, TaperedBox):
            return self.shape.area_at(height_mm) * _MM2_PER_CM2 / width, width
        return self.shape.length_mm, width

    def _widest(self) -> tuple[float, float]:
        # a lying cylinder is widest at its middle
        at = [self.height_mm]
        if isinstance(self.shape, LyingCylinder):
            at.append(min(self.shape.diameter_mm / 2, self.height_mm))
        lengths, widths = zip(*(self._extents(height) for height in at), strict=True)
        return max(lengths), max(widths)

    @property
    def length_mm(self) -> float:
        """Length where it is longest. [mm]"""
        return self._widest()[0]

    @property
    def width_mm(self) -> float:
        """Width where it is widest. [mm]"""
        return self._widest()[1]

    @property
    def alike_along(self) -> bool:
        """Where its ends stand upright. [yes or no]"""
        return not isinstance(self.shape, TaperedBox)

    def volume_between(self, x: Interval, y: Interval, heights: Interval | None = None) -> float:
        """Volume between cuts (`x`, `y` [mm]), of one layer where `heights` are given [mm]. [mL]

        Exact for upright walls; else by quadrature of the sections, to 1e-9.
        """
        low, high = heights or (0.0, self.height_mm)
        low, high = max(low, 0.0), min(high, self.height_mm)
        if high <= low:
            return 0.0
        if isinstance(self.shape, Box):
            return _overlap(x, (0, self.length_mm)) * _overlap(y, (0, self.width_mm)) * (high - low) / _MM3_PER_ML
        longest, widest = self.length_mm, self.width_mm

        def section(height: float) -> float:
            length, width = self._extents(height)
            return (_overlap(x, ((longest - length) / 2, (longest + length) / 2))
                    * _overlap(y, ((widest - width) / 2, (widest + width) / 2)))

        return float(quad(section, low, high, epsabs=1e-6, epsrel=1e-9, limit=200)[0]) / _MM3_PER_ML


@dataclass(frozen=True, slots=True)
class RoundBlock:
    """What comes out of an upright tube, laid down: rounds are cut along its length, which is its height in the mould.

    Parameters
    ----------
    shape : Shape
        Cavity it was cast in. [shape]
    stood_mm : float
        How high it stood there. [mm]
    """

    shape: Cylinder | Prism
    stood_mm: float

    @property
    def length_mm(self) -> float:
        """Its height in the mould. [mm]"""
        return self.stood_mm

    @property
    def width_mm(self) -> float:
        """Its diameter, or across the flats. [mm]"""
        return self.shape.width_at(0.0)

    @property
    def height_mm(self) -> float:
        """The same. [mm]"""
        return self.shape.width_at(0.0)

    @property
    def alike_along(self) -> bool:
        """Never: layers lie one after another along it. [yes or no]"""
        return False

    def volume_between(self, x: Interval, y: Interval, heights: Interval | None = None) -> float:
        """Volume of a slice (`x` [mm]; `y` is the whole), of one layer where `heights` are given [mm]. [mL]"""
        layer = (0.0, self.stood_mm) if heights is None else heights
        along = max(min(x[1], layer[1], self.stood_mm) - max(x[0], layer[0], 0.0), 0.0)
        return self.shape.area_at(0.0) * _MM2_PER_CM2 * along / _MM3_PER_ML


def solid_of(shape: Shape, height_mm: float) -> SlantedBlock | RoundBlock | None:
    """The block that a cavity gives.

    Parameters
    ----------
    shape : Shape
        The cavity, lined. [shape]
    height_mm : float
        How high the batter stands in it. [mm]

    Returns
    -------
    SlantedBlock, RoundBlock, or None where it is not cut: bowls, cones and moulds of any form. [mm]
    """
    if isinstance(shape, (Box, TaperedBox, Trough, HalfRound, LyingCylinder)):
        return SlantedBlock(shape, height_mm)
    return RoundBlock(shape, height_mm) if isinstance(shape, (Cylinder, Prism)) else None


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
