"""Moulds: cavities of a shape, with liner and headspace."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from kettlewright import limits
from kettlewright.amounts import length, mass, volume
from kettlewright.copies import replace
from kettlewright.errors import DomainError, OutOfRange, Unsolvable, gather
from kettlewright.pour.mould.shapes import Shape
from kettlewright.said import EnglishText

__all__ = ["Areas", "Fill", "Mould", "ProfilePoint", "fill_by_depth", "fill_by_mass", "fill_by_volume", "fill_mould"]

_ROUNDING = 1e-9
_PROFILE_STEPS = 48


@dataclass(frozen=True, slots=True)
class Areas:
    """Surface areas of a mould, over all cavities.

    Parameters
    ----------
    bottom, top : float
        At the bottom and at the fill limit. [cm2]
    """

    bottom: float
    top: float


@dataclass(frozen=True, slots=True)
class ProfilePoint:
    """Width of a cavity at a height.

    Parameters
    ----------
    height_mm, width_mm : float
        Height above its bottom; width of its section. [mm]
    """

    height_mm: float
    width_mm: float


@dataclass(frozen=True, slots=True)
class Mould:
    """One or several equal cavities, filled to a headspace.

    Parameters
    ----------
    shape : Shape
        Inside of one cavity, unlined. [shape]
    count : int
        Cavities or moulds. [moulds]
    liner_mm : float
        Thickness of the liner. [mm]
    headspace_mm : float
        Left free below the rim. [mm]
    cavity : Shape
        Inside of one lined cavity; derived from the other fields. [shape]

    Raises
    ------
    OutOfRange, Unsolvable, DomainError : a liner or headspace that leaves no space, or that the shape does not allow.
    """

    shape: Shape
    count: int = 1
    liner_mm: float = 0.0
    headspace_mm: float = 0.0
    cavity: Shape = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        with gather() as checks:
            with checks.at():
                limits.CAVITIES_COUNT.check(self.count, "count")
            with checks.at():
                limits.DEPTH_OFF.check(self.liner_mm, "liner")
                limits.DEPTH_OFF.check(self.headspace_mm, "headspace")
                object.__setattr__(self, "cavity", self.shape.lined(self.liner_mm) if self.liner_mm else self.shape)
                depth = self.cavity.height_mm
                if self.headspace_mm and depth is None:
                    raise Unsolvable('A measured mould needs its "depth" for a headspace; or give the volume up '
                                     "to where you pour.", field=("headspace",))
                if depth is not None and self.headspace_mm >= depth:
                    raise OutOfRange(EnglishText("A headspace of {headspace} leaves no space in a mould {depth} deep.",
                                                 headspace=length(self.headspace_mm, digits=9),
                                                 depth=length(depth, digits=9)), field=("headspace",),
                                     value=self.headspace_mm,
                                     allowed=limits.below(length(depth, digits=9)))

    @property
    def fill_height_mm(self) -> float | None:
        """Height of the fill limit in one cavity, if known. [mm]"""
        depth = self.cavity.height_mm
        return None if depth is None else depth - self.headspace_mm

    @property
    def volume_ml(self) -> float:
        """Up to the headspace, all cavities. [mL]"""
        return self.brim_volume_ml if self.fill_height_mm is None \
            else self.count * self.cavity.volume_to(self.fill_height_mm)

    @property
    def brim_volume_ml(self) -> float:
        """Up to the rim, all cavities. [mL]"""
        return self.count * self.cavity.brim_ml

    @property
    def areas(self) -> Areas | None:
        """Surfaces at the bottom and at the fill limit, all cavities; None if heights are not known. [cm2]"""
        if self.fill_height_mm is None:
            return None
        return Areas(bottom=self.area_at(0.0), top=self.area_at(self.fill_height_mm))

    @property
    def profile(self) -> tuple[ProfilePoint, ...]:
        """Width of the section at ascending heights, for a drawing; empty if not known. [mm]

        Straight walls need two points; round ones get as many as keep a chord within a thousandth of the depth.
        """
        depth, cavity = self.cavity.height_mm, self.cavity
        if depth is None or cavity.width_at(0.0) is None:
            return ()

        def width(part: float) -> float:
            return cavity.width_at(part * depth) or 0.0

        # points are denser at the ends, where a round wall curves most
        parts = [0.0, 1.0] if cavity.drawn_straight else [(1 - math.cos(math.pi * step / _PROFILE_STEPS)) / 2
                                             for step in range(_PROFILE_STEPS + 1)]
        return tuple(ProfilePoint(part * depth, width(part)) for part in parts)

    def height_of(self, volume_ml: float) -> float:
        """Height of a volume divided equally among the cavities (`volume_ml`: all cavities [mL]). [mm]"""
        return self.cavity.height_of(volume_ml / self.count)

    def area_at(self, height_mm: float) -> float:
        """Surface at a height, all cavities (`height_mm` [mm]). [cm2]"""
        return self.count * self.cavity.area_at(height_mm)


@dataclass(frozen=True, slots=True)
class Fill:
    """Batter in a mould.

    Parameters
    ----------
    depth_mm : float, optional
        Height in each cavity, if known. [mm]
    volume_ml : float
        All cavities. [mL]
    mass_g : float, optional
        Over all cavities, if the density is known. [g]
    area_cm2 : float, optional
        Surface over all cavities, if known. [cm2]
    cavity_mass_g : float, optional
        In one cavity, if all are filled alike and the density is known. [g]
    """

    depth_mm: float | None
    volume_ml: float
    mass_g: float | None
    area_cm2: float | None
    cavity_mass_g: float | None = None


def fill_by_volume(mould: Mould, volume_ml: float, *, density: float | None = None) -> Fill:
    """A volume of batter in a mould.

    Parameters
    ----------
    mould : Mould
        The mould. [mould]
    volume_ml : float
        Over all cavities. [mL]
    density : float, optional
        Of the batter. [g/mL]

    Returns
    -------
    Fill : [mm, mL, g, cm2]

    Raises
    ------
    OutOfRange : more than the mould holds up to its headspace.
    """
    limits.VOLUME.check(volume_ml, "volume")
    if volume_ml > mould.volume_ml * (1 + _ROUNDING):
        raise OutOfRange(EnglishText("{given} is {over} more than the mould holds up to its headspace ({most}).",
                                     given=volume(volume_ml), over=volume(volume_ml - mould.volume_ml, digits=4),
                                     most=volume(mould.volume_ml)), field=("volume",), value=volume_ml,
                         allowed=limits.up_to(volume(mould.volume_ml)))
    known = mould.fill_height_mm is not None
    depth = mould.height_of(volume_ml) if known else None
    held = None if density is None else volume_ml * density
    return Fill(depth_mm=depth, volume_ml=volume_ml, mass_g=held,
                area_cm2=None if depth is None else mould.area_at(depth),
                cavity_mass_g=None if held is None else held / mould.count)


def fill_by_mass(mould: Mould, mass_g: float, *, density: float) -> Fill:
    """A mass of batter in a mould (`mould`; `mass_g` over all cavities [g]; `density` [g/mL]). [mm, mL, g, cm2]

    Raises
    ------
    OutOfRange : more than the mould holds up to its headspace.
    """
    limits.MASS.check(mass_g, "mass")
    try:
        return replace(fill_by_volume(mould, mass_g / density, density=density), mass_g=mass_g,
                       cavity_mass_g=mass_g / mould.count)
    except DomainError as error:
        raise type(error)(error.detail, field=("mass",), value=mass_g,
                          allowed=limits.up_to(mass(mould.volume_ml * density))
                          ) from None


def fill_by_depth(mould: Mould, depth_mm: float, *, density: float | None = None) -> Fill:
    """Batter up to a height in each cavity (`mould`; `depth_mm` [mm]; `density` [g/mL]). [mm, mL, g, cm2]

    Raises
    ------
    OutOfRange : above the headspace.
    Unsolvable : a measured mould without its depth.
    """
    limits.LENGTH.check(depth_mm, "depth")
    if mould.fill_height_mm is not None and depth_mm > mould.fill_height_mm * (1 + _ROUNDING):
        raise OutOfRange(EnglishText("{depth} is above the fill limit of {most} (depth less headspace).",
                                     depth=length(depth_mm), most=length(mould.fill_height_mm)), field=("depth",),
                         value=depth_mm,
                         allowed=limits.up_to(length(mould.fill_height_mm)))
    held = mould.count * mould.cavity.volume_to(depth_mm)
    each = None if density is None else held * density / mould.count
    return Fill(depth_mm=depth_mm, volume_ml=held, mass_g=None if each is None else each * mould.count,
                area_cm2=mould.area_at(depth_mm), cavity_mass_g=each)


def fill_mould(mould: Mould, *, volume_ml: float | None = None, depth_mm: float | None = None,
               mass_g: float | None = None, density: float | None = None) -> Fill:
    """Batter in a mould, given as exactly one of volume, depth and mass.

    Parameters
    ----------
    mould : Mould
        The mould. [mould]
    volume_ml, depth_mm, mass_g : float, optional
        One of them; a mass needs the density. [mL, mm, g]
    density : float, optional
        Of the batter. [g/mL]

    Returns
    -------
    Fill : [mm, mL, g, cm2]

    Raises
    ------
    DomainError : none of the three is given.
    OutOfRange, Unsolvable : more than the mould takes, a depth in a mould without one.
    """
    if volume_ml is not None:
        return fill_by_volume(mould, volume_ml, density=density)
    if depth_mm is not None:
        return fill_by_depth(mould, depth_mm, density=density)
    if mass_g is not None and density is not None:
        return fill_by_mass(mould, mass_g, density=density)
    raise DomainError('Give exactly one of "volume", "depth", and "mass" with "density".')
