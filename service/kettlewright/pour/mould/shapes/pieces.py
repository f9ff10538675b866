"""Cavities whose content is one piece and is not cut."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import ClassVar, Self

from kettlewright.errors import DomainError, Unsolvable
from kettlewright.pour.mould.shapes.base import MM2_PER_CM2, MM3_PER_ML, Deep, Dimension, Rooted, Shape, circle_mm2

__all__ = ["Bowl", "ConeFrustum", "Measured"]


@dataclass(frozen=True, slots=True)
class ConeFrustum(Deep, Rooted):
    """A round mould that widens to its rim.

    Parameters
    ----------
    diameter_mm, base_diameter_mm, depth_mm : float
        Inside; the diameter at the rim and at the bottom. [mm]
    """

    key: ClassVar[str] = "cone_frustum"
    about: ClassVar[str] = "A round mould that widens to its rim; inside dimensions."
    dimensions: ClassVar[tuple[Dimension, ...]] = (
        Dimension("diameter_mm", "Inside diameter at the rim", 80, walls=2),
        Dimension("base_diameter_mm", "Inside diameter at the bottom", 60, walls=2, widens_to="diameter_mm"),
        Dimension("depth_mm", "Inside depth", 50, walls=1))

    diameter_mm: float
    base_diameter_mm: float
    depth_mm: float

    def width_at(self, height_mm: float) -> float:
        """Diameter there (`height_mm` [mm]). [mm]"""
        return self.base_diameter_mm + (self.diameter_mm - self.base_diameter_mm) * height_mm / self.depth_mm

    def area_at(self, height_mm: float) -> float:
        """Circle there (`height_mm` [mm]). [cm2]"""
        return circle_mm2(self.width_at(height_mm)) / MM2_PER_CM2

    def volume_to(self, height_mm: float) -> float:
        """Frustum of a cone (`height_mm` [mm]). [mL]"""
        low, high = self.base_diameter_mm / 2, self.width_at(height_mm) / 2
        return math.pi * height_mm / 3 * (low * low + low * high + high * high) / MM3_PER_ML


@dataclass(frozen=True, slots=True)
class Bowl(Deep, Rooted):
    """A spherical cap: a round bowl, up to the half of a sphere and beyond.

    Parameters
    ----------
    diameter_mm, depth_mm : float
        Inside; the diameter at the rim. [mm]
    """

    key: ClassVar[str] = "bowl"
    about: ClassVar[str] = "A spherical cap; inside dimensions."
    dimensions: ClassVar[tuple[Dimension, ...]] = (
        Dimension("diameter_mm", "Inside diameter at the rim", 70, walls=2),
        Dimension("depth_mm", "Inside depth", 35, walls=1))
    drawn_straight: ClassVar[bool] = False

    diameter_mm: float
    depth_mm: float

    @property
    def sphere_radius_mm(self) -> float:
        """Radius of the sphere it is a cap of. [mm]"""
        return (self.diameter_mm ** 2 / 4 + self.depth_mm ** 2) / (2 * self.depth_mm)

    def width_at(self, height_mm: float) -> float:
        """Diameter there (`height_mm` [mm]). [mm]"""
        return 2 * math.sqrt(max(height_mm * (2 * self.sphere_radius_mm - height_mm), 0.0))

    def area_at(self, height_mm: float) -> float:
        """Circle there (`height_mm` [mm]). [cm2]"""
        return circle_mm2(self.width_at(height_mm)) / MM2_PER_CM2

    def volume_to(self, height_mm: float) -> float:
        """Spherical cap (`height_mm` [mm]). [mL]"""
        return math.pi * height_mm ** 2 * (3 * self.sphere_radius_mm - height_mm) / 3 / MM3_PER_ML


@dataclass(frozen=True, slots=True)
class Measured(Shape):
    """A mould of any form whose volume was found by filling it with water.

    Parameters
    ----------
    volume_ml : float
        To the brim. [mL]
    depth_mm : float, optional
        With it heights and areas are estimated as if the walls were upright. [mm]
    """

    key: ClassVar[str] = "measured"
    about: ClassVar[str] = "A mould of any form whose volume was found by filling it with water."
    dimensions: ClassVar[tuple[Dimension, ...]] = (
        Dimension("volume_ml", "To the brim, of one cavity", 115, measure="volume"),
        Dimension("depth_mm", "With it heights are estimated as if the walls were upright", 40, required=False))
    heights_estimated: ClassVar[bool] = True

    volume_ml: float
    depth_mm: float | None = None

    @property
    def height_mm(self) -> float | None:
        """Depth of the cavity, where given. [mm]"""
        return self.depth_mm

    @property
    def brim_ml(self) -> float:
        """As measured. [mL]"""
        return self.volume_ml

    def _depth(self) -> float:
        if self.depth_mm is None:
            raise Unsolvable('A measured mould has heights and areas only with its "depth"; measure it and add it.',
                             field=("depth",))
        return self.depth_mm

    def area_at(self, height_mm: float) -> float:
        """An estimate, as if the walls were upright (`height_mm` [mm]). [cm2]"""
        return self.volume_ml * MM3_PER_ML / self._depth() / MM2_PER_CM2

    def volume_to(self, height_mm: float) -> float:
        """An estimate, as if the walls were upright (`height_mm` [mm]). [mL]"""
        return self.volume_ml * height_mm / self._depth()

    def height_of(self, volume_ml: float) -> float:
        """An estimate, as if the walls were upright (`volume_ml` [mL]). [mm]"""
        return self._depth() * volume_ml / self.volume_ml

    def width_at(self, height_mm: float) -> None:
        """Not known (`height_mm` [mm])."""

    def lined(self, liner_mm: float) -> Self:
        """Refused: what was measured with water is what it holds (`liner_mm` [mm]).

        Raises
        ------
        DomainError : always.
        """
        raise DomainError("A measured mould takes no liner: measure its volume with the liner in it.",
                          field=("liner",), value=liner_mm, allowed="0")
