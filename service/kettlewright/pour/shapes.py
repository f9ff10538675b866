"""Shapes of a cavity: how much they hold up to a height, how high a volume stands, how large its surface is.

A new shape is a frozen class with the members of `Shape`; nothing else knows shapes apart.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Protocol

from scipy.optimize import brentq

from kettlewright import amounts, limits
from kettlewright.errors import DomainError, OutOfRange, Unsolvable, gather
from kettlewright.said import EnglishText

__all__ = ["Bowl", "Box", "ConeFrustum", "Cylinder", "HalfRound", "LyingCylinder", "Measured", "Prism", "Shape",
           "TaperedBox", "Trough"]

_MM3_PER_ML = 1000.0
_MM2_PER_CM2 = 100.0


class Shape(Protocol):
    """The inside of one cavity. Heights rise from its bottom."""

    @property
    def height_mm(self) -> float | None:
        """Depth of the cavity, where known. [mm]"""

    def volume_to(self, height_mm: float) -> float:
        """Volume below a height (`height_mm` [mm]). [mL]"""

    def height_of(self, volume_ml: float) -> float:
        """Height a volume stands at (`volume_ml` [mL]). [mm]"""

    def area_at(self, height_mm: float) -> float:
        """Area of the surface at a height (`height_mm` [mm]). [cm2]"""

    def lined(self, liner_mm: float) -> Shape:
        """The cavity that a liner leaves (`liner_mm`: thickness [mm]). [shape]"""

    def width_at(self, height_mm: float) -> float | None:
        """Width of the section that is drawn, at a height (`height_mm` [mm]). [mm]"""


def _check_lengths(shape: object, *names: str) -> None:
    with gather() as checks:
        for name in names:
            with checks.at():
                limits.LENGTH.check(getattr(shape, f"{name}_mm"), name)


def _less_liner(length_mm: float, walls: int, liner_mm: float, name: str) -> float:
    left = length_mm - walls * liner_mm
    if left <= 0:
        raise OutOfRange(EnglishText("A liner of {liner} leaves nothing of a {name} of {length}.",
                                     liner=amounts.length(liner_mm, digits=9), name=name,
                                     length=amounts.length(length_mm, digits=9)),
                         field=("liner",),
                         value=liner_mm, allowed=limits.below(amounts.length(length_mm / walls, digits=9)))
    return left


def _circle_mm2(diameter_mm: float) -> float:
    return math.pi * diameter_mm ** 2 / 4


class _Deep:
    """A cavity whose depth is told."""

    __slots__ = ()

    depth_mm: float

    @property
    def height_mm(self) -> float:
        """Depth of the cavity. [mm]"""
        return self.depth_mm


class _Upright(_Deep):
    """Upright walls: the same section at every height."""

    __slots__ = ()

    @property
    def _section_mm2(self) -> float:
        raise NotImplementedError

    def area_at(self, height_mm: float) -> float:
        """The same at every height (`height_mm` [mm]). [cm2]"""
        return self._section_mm2 / _MM2_PER_CM2

    def volume_to(self, height_mm: float) -> float:
        """Section x height (`height_mm` [mm]). [mL]"""
        return self._section_mm2 * height_mm / _MM3_PER_ML

    def height_of(self, volume_ml: float) -> float:
        """Volume over section (`volume_ml` [mL]). [mm]"""
        return volume_ml * _MM3_PER_ML / self._section_mm2


class _Rimmed(Protocol):
    """What a root needs of a shape."""

    @property
    def height_mm(self) -> float: ...

    def volume_to(self, height_mm: float) -> float: ...


class _Rooted:
    """No closed form: the height of a volume is searched between the bottom and the rim."""

    __slots__ = ()

    def height_of(self: _Rimmed, volume_ml: float) -> float:
        """A bracketed root, by Brent's method (`volume_ml` [mL]). [mm]"""
        rim = self.height_mm
        if volume_ml <= 0:
            return 0.0
        if volume_ml >= self.volume_to(rim):
            return rim
        return float(brentq(lambda height: self.volume_to(height) - volume_ml, 0.0, rim, xtol=1e-12 * rim,
                            rtol=8.9e-16, maxiter=200))


@dataclass(frozen=True, slots=True)
class Box(_Upright):
    """A slab or loaf mould with upright walls.

    Parameters
    ----------
    length_mm, width_mm, depth_mm : float
        Inside. [mm]
    """

    length_mm: float
    width_mm: float
    depth_mm: float

    def __post_init__(self) -> None:
        _check_lengths(self, "length", "width", "depth")

    @property
    def _section_mm2(self) -> float:
        return self.length_mm * self.width_mm

    def width_at(self, height_mm: float) -> float:
        """The same at every height (`height_mm` [mm]). [mm]"""
        return self.width_mm

    def lined(self, liner_mm: float) -> Box:
        """Two walls off length and width, one off the depth (`liner_mm` [mm]). [shape]"""
        return Box(_less_liner(self.length_mm, 2, liner_mm, "length"), _less_liner(self.width_mm, 2, liner_mm, "width"),
                   _less_liner(self.depth_mm, 1, liner_mm, "depth"))


@dataclass(frozen=True, slots=True)
class Cylinder(_Upright):
    """An upright tube.

    Parameters
    ----------
    diameter_mm, depth_mm : float
        Inside. [mm]
    """

    diameter_mm: float
    depth_mm: float

    def __post_init__(self) -> None:
        _check_lengths(self, "diameter", "depth")

    @property
    def _section_mm2(self) -> float:
        return _circle_mm2(self.diameter_mm)

    def width_at(self, height_mm: float) -> float:
        """The diameter (`height_mm` [mm]). [mm]"""
        return self.diameter_mm

    def lined(self, liner_mm: float) -> Cylinder:
        """Two walls off the diameter, one off the depth (`liner_mm` [mm]). [shape]"""
        return Cylinder(_less_liner(self.diameter_mm, 2, liner_mm, "diameter"),
                        _less_liner(self.depth_mm, 1, liner_mm, "depth"))


@dataclass(frozen=True, slots=True)
class Measured:
    """A mould of any form whose volume was found by filling it with water.

    Parameters
    ----------
    volume_ml : float
        To the brim. [mL]
    depth_mm : float, optional
        With it heights and areas are estimated as if the walls were upright. [mm]
    """

    volume_ml: float
    depth_mm: float | None = None

    def __post_init__(self) -> None:
        with gather() as checks:
            with checks.at():
                limits.VOLUME.check(self.volume_ml, "volume")
            with checks.at():
                if self.depth_mm is not None:
                    limits.LENGTH.check(self.depth_mm, "depth")

    @property
    def height_mm(self) -> float | None:
        """Depth of the cavity, where given. [mm]"""
        return self.depth_mm

    def _depth(self) -> float:
        if self.depth_mm is None:
            raise Unsolvable('A measured mould has heights and areas only with its "depth"; measure it and add it.',
                             field=("depth",))
        return self.depth_mm

    def area_at(self, height_mm: float) -> float:
        """An estimate, as if the walls were upright (`height_mm` [mm]). [cm2]"""
        return self.volume_ml * _MM3_PER_ML / self._depth() / _MM2_PER_CM2

    def volume_to(self, height_mm: float) -> float:
        """An estimate, as if the walls were upright (`height_mm` [mm]). [mL]"""
        return self.volume_ml * height_mm / self._depth()

    def height_of(self, volume_ml: float) -> float:
        """An estimate, as if the walls were upright (`volume_ml` [mL]). [mm]"""
        return self._depth() * volume_ml / self.volume_ml

    def width_at(self, height_mm: float) -> None:
        """Not known (`height_mm` [mm])."""

    def lined(self, liner_mm: float) -> Measured:
        """Refused: what was measured with water is what it holds (`liner_mm` [mm])."""
        raise DomainError("A measured mould takes no liner: measure its volume with the liner in it.",
                          field=("liner",), value=liner_mm, allowed="0")


@dataclass(frozen=True, slots=True)
class TaperedBox(_Deep, _Rooted):
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

    length_mm: float
    width_mm: float
    base_length_mm: float
    base_width_mm: float
    depth_mm: float

    def __post_init__(self) -> None:
        _check_lengths(self, "length", "width", "base_length", "base_width", "depth")
        _check_opens(self, ("base_length", "length"), ("base_width", "width"))

    def _edges(self, height_mm: float) -> tuple[float, float]:
        up = height_mm / self.depth_mm
        return (self.base_length_mm + (self.length_mm - self.base_length_mm) * up,
                self.base_width_mm + (self.width_mm - self.base_width_mm) * up)

    def area_at(self, height_mm: float) -> float:
        """Length x width there (`height_mm` [mm]). [cm2]"""
        return math.prod(self._edges(height_mm)) / _MM2_PER_CM2

    def volume_to(self, height_mm: float) -> float:
        """A prismatoid, exact: ends and four times the middle, over six (`height_mm` [mm]). [mL]"""
        middle = math.prod(self._edges(height_mm / 2))
        ends = self.base_length_mm * self.base_width_mm + math.prod(self._edges(height_mm))
        return height_mm / 6 * (ends + 4 * middle) / _MM3_PER_ML

    def width_at(self, height_mm: float) -> float:
        """Width there (`height_mm` [mm]). [mm]"""
        return self._edges(height_mm)[1]

    def lined(self, liner_mm: float) -> TaperedBox:
        """Two walls off every length and width, one off the depth (`liner_mm` [mm]). [shape]"""
        def less(name: str) -> float:
            return _less_liner(getattr(self, f"{name}_mm"), 2, liner_mm, name.replace("_", " "))

        return TaperedBox(less("length"), less("width"), less("base_length"), less("base_width"),
                          _less_liner(self.depth_mm, 1, liner_mm, "depth"))


@dataclass(frozen=True, slots=True)
class Trough(_Deep):
    """A loaf mould with two slanted sides and upright ends, wider at the rim.

    Parameters
    ----------
    length_mm, width_mm, base_width_mm, depth_mm : float
        Inside; the width at the rim and at the bottom. [mm]
    """

    length_mm: float
    width_mm: float
    base_width_mm: float
    depth_mm: float

    def __post_init__(self) -> None:
        _check_lengths(self, "length", "width", "base_width", "depth")
        _check_opens(self, ("base_width", "width"))

    def width_at(self, height_mm: float) -> float:
        """Width there (`height_mm` [mm]). [mm]"""
        return self.base_width_mm + (self.width_mm - self.base_width_mm) * height_mm / self.depth_mm

    def area_at(self, height_mm: float) -> float:
        """Length x width there (`height_mm` [mm]). [cm2]"""
        return self.length_mm * self.width_at(height_mm) / _MM2_PER_CM2

    def volume_to(self, height_mm: float) -> float:
        """A trapezium times the length (`height_mm` [mm]). [mL]"""
        return self.length_mm * height_mm * (self.base_width_mm + self.width_at(height_mm)) / 2 / _MM3_PER_ML

    def height_of(self, volume_ml: float) -> float:
        """Root of a quadratic, in the form that stays exact for upright walls (`volume_ml` [mL]). [mm]"""
        section = volume_ml * _MM3_PER_ML / self.length_mm
        slope = (self.width_mm - self.base_width_mm) / self.depth_mm
        return 2 * section / (self.base_width_mm + math.sqrt(self.base_width_mm ** 2 + 2 * slope * section))

    def lined(self, liner_mm: float) -> Trough:
        """Two walls off length and widths, one off the depth (`liner_mm` [mm]). [shape]"""
        def less(name: str) -> float:
            return _less_liner(getattr(self, f"{name}_mm"), 2, liner_mm, name.replace("_", " "))

        return Trough(less("length"), less("width"), less("base_width"),
                      _less_liner(self.depth_mm, 1, liner_mm, "depth"))


class _Round(_Rooted):
    """A cylinder that lies: a circle's segment times the length."""

    __slots__ = ()

    length_mm: float
    diameter_mm: float

    def _radius(self) -> float:
        return self.diameter_mm / 2

    def width_at(self, height_mm: float) -> float:
        """Chord of the circle there (`height_mm` [mm]). [mm]"""
        radius = self._radius()
        return 2 * math.sqrt(max(height_mm * (2 * radius - height_mm), 0.0))

    def area_at(self, height_mm: float) -> float:
        """Length x chord (`height_mm` [mm]). [cm2]"""
        return self.length_mm * self.width_at(height_mm) / _MM2_PER_CM2

    def volume_to(self, height_mm: float) -> float:
        """Segment of the circle times the length (`height_mm` [mm]). [mL]"""
        radius = self._radius()
        # the half-angle by its sine and cosine: acos alone loses half of the digits near the bottom
        angle = math.atan2(self.width_at(height_mm) / 2, radius - height_mm)
        segment = radius ** 2 * (angle - math.sin(angle) * math.cos(angle))
        return self.length_mm * segment / _MM3_PER_ML


@dataclass(frozen=True, slots=True)
class LyingCylinder(_Round):
    """A tube that lies on its side.

    Parameters
    ----------
    diameter_mm, length_mm : float
        Inside. [mm]
    """

    diameter_mm: float
    length_mm: float

    def __post_init__(self) -> None:
        _check_lengths(self, "diameter", "length")

    @property
    def height_mm(self) -> float:
        """Its diameter. [mm]"""
        return self.diameter_mm

    def lined(self, liner_mm: float) -> LyingCylinder:
        """Two walls off diameter and length (`liner_mm` [mm]). [shape]"""
        return LyingCylinder(_less_liner(self.diameter_mm, 2, liner_mm, "diameter"),
                             _less_liner(self.length_mm, 2, liner_mm, "length"))


@dataclass(frozen=True, slots=True)
class HalfRound(_Round):
    """A trough whose section is half a circle.

    Parameters
    ----------
    length_mm, diameter_mm : float
        Inside. [mm]
    """

    length_mm: float
    diameter_mm: float

    def __post_init__(self) -> None:
        _check_lengths(self, "length", "diameter")

    @property
    def height_mm(self) -> float:
        """Half its diameter. [mm]"""
        return self.diameter_mm / 2

    def lined(self, liner_mm: float) -> HalfRound:
        """Two walls off length and diameter, so that one is off the depth (`liner_mm` [mm]). [shape]"""
        return HalfRound(_less_liner(self.length_mm, 2, liner_mm, "length"),
                         _less_liner(self.diameter_mm, 2, liner_mm, "diameter"))


@dataclass(frozen=True, slots=True)
class ConeFrustum(_Deep, _Rooted):
    """A round mould that widens to its rim.

    Parameters
    ----------
    diameter_mm, base_diameter_mm, depth_mm : float
        Inside; the diameter at the rim and at the bottom. [mm]
    """

    diameter_mm: float
    base_diameter_mm: float
    depth_mm: float

    def __post_init__(self) -> None:
        _check_lengths(self, "diameter", "base_diameter", "depth")
        _check_opens(self, ("base_diameter", "diameter"))

    def width_at(self, height_mm: float) -> float:
        """Diameter there (`height_mm` [mm]). [mm]"""
        return self.base_diameter_mm + (self.diameter_mm - self.base_diameter_mm) * height_mm / self.depth_mm

    def area_at(self, height_mm: float) -> float:
        """Circle there (`height_mm` [mm]). [cm2]"""
        return _circle_mm2(self.width_at(height_mm)) / _MM2_PER_CM2

    def volume_to(self, height_mm: float) -> float:
        """Frustum of a cone (`height_mm` [mm]). [mL]"""
        low, high = self.base_diameter_mm / 2, self.width_at(height_mm) / 2
        return math.pi * height_mm / 3 * (low * low + low * high + high * high) / _MM3_PER_ML

    def lined(self, liner_mm: float) -> ConeFrustum:
        """Two walls off the diameters, one off the depth (`liner_mm` [mm]). [shape]"""
        return ConeFrustum(_less_liner(self.diameter_mm, 2, liner_mm, "diameter"),
                           _less_liner(self.base_diameter_mm, 2, liner_mm, "base diameter"),
                           _less_liner(self.depth_mm, 1, liner_mm, "depth"))


@dataclass(frozen=True, slots=True)
class Bowl(_Deep, _Rooted):
    """A spherical cap: a round bowl, up to the half of a sphere and beyond.

    Parameters
    ----------
    diameter_mm, depth_mm : float
        Inside; the diameter at the rim. [mm]
    """

    diameter_mm: float
    depth_mm: float

    def __post_init__(self) -> None:
        _check_lengths(self, "diameter", "depth")

    @property
    def sphere_radius_mm(self) -> float:
        """Radius of the sphere it is a cap of. [mm]"""
        return (self.diameter_mm ** 2 / 4 + self.depth_mm ** 2) / (2 * self.depth_mm)

    def width_at(self, height_mm: float) -> float:
        """Diameter there (`height_mm` [mm]). [mm]"""
        return 2 * math.sqrt(max(height_mm * (2 * self.sphere_radius_mm - height_mm), 0.0))

    def area_at(self, height_mm: float) -> float:
        """Circle there (`height_mm` [mm]). [cm2]"""
        return _circle_mm2(self.width_at(height_mm)) / _MM2_PER_CM2

    def volume_to(self, height_mm: float) -> float:
        """Spherical cap (`height_mm` [mm]). [mL]"""
        return math.pi * height_mm ** 2 * (3 * self.sphere_radius_mm - height_mm) / 3 / _MM3_PER_ML

    def lined(self, liner_mm: float) -> Bowl:
        """Two walls off the diameter, one off the depth (`liner_mm` [mm]). [shape]"""
        return Bowl(_less_liner(self.diameter_mm, 2, liner_mm, "diameter"),
                    _less_liner(self.depth_mm, 1, liner_mm, "depth"))


@dataclass(frozen=True, slots=True)
class Prism(_Upright):
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

    sides: int
    depth_mm: float
    side_mm: float | None = None
    across_flats_mm: float | None = None
    circumradius_mm: float | None = None

    def __post_init__(self) -> None:
        with gather() as checks:
            with checks.at():
                limits.SIDES.check(self.sides, "sides")
            with checks.at():
                given = [name for name in ("side", "across_flats", "circumradius")
                         if getattr(self, f"{name}_mm") is not None]
                if len(given) != 1:
                    raise DomainError('A prism is told by exactly one of "side", "across_flats" and "circumradius"; '
                                      f"{' and '.join(given) or 'none'} given.",
                                      field=(given[1] if given else "side",))
                _check_lengths(self, given[0])
            with checks.at():
                _check_lengths(self, "depth")

    @property
    def flats_mm(self) -> float:
        """Twice the distance from the middle to a side. [mm]"""
        if self.across_flats_mm is not None:
            return self.across_flats_mm
        if self.side_mm is not None:
            return self.side_mm / math.tan(math.pi / self.sides)
        return 2 * (self.circumradius_mm or 0.0) * math.cos(math.pi / self.sides)

    @property
    def _section_mm2(self) -> float:
        return self.sides * self.flats_mm ** 2 / 4 * math.tan(math.pi / self.sides)

    def width_at(self, height_mm: float) -> float:
        """Across the flats, the same at every height (`height_mm` [mm]). [mm]"""
        return self.flats_mm

    def lined(self, liner_mm: float) -> Prism:
        """Two walls off the distance across the flats, one off the depth (`liner_mm` [mm]). [shape]"""
        return Prism(self.sides, _less_liner(self.depth_mm, 1, liner_mm, "depth"),
                     across_flats_mm=_less_liner(self.flats_mm, 2, liner_mm, "distance across the flats"))


def _check_opens(shape: object, *pairs: tuple[str, str]) -> None:
    with gather() as checks:
        for base, rim in pairs:
            with checks.at():
                low, high = getattr(shape, f"{base}_mm"), getattr(shape, f"{rim}_mm")
                if low > high:
                    raise OutOfRange(EnglishText("The bottom ({base}: {low}) is wider than the rim ({rim}: {high}): "
                                                 "nothing comes out of such a mould. Are the two mixed up?",
                                                 base=base, low=amounts.length(low, digits=9), rim=rim,
                                                 high=amounts.length(high, digits=9)), field=(base,),
                                     value=low, allowed=limits.up_to(amounts.length(high, digits=9)))
