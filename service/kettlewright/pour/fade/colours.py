"""Colours: sRGB, linear light and CIELAB; colour differences from a library."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from coloraide import Color

from kettlewright.errors import OutOfRange, WrongType

__all__ = ["Colour", "Lab", "difference", "from_hex", "from_lab", "from_linear", "mean_colour"]

Triple = tuple[float, float, float]

_HEX = re.compile(r"#[0-9A-Fa-f]{6}")
_WHITE = (0.9504559270516716, 1.0, 1.0890577507598784)  # D65 of x = 0.3127, y = 0.3290
_TO_XYZ = ((0.4123907992659595, 0.357584339383878, 0.1804807884018343),
           (0.2126390058715104, 0.715168678767756, 0.07219231536073371),
           (0.01933081871559185, 0.11919477979462599, 0.9505321522496606))
_FROM_XYZ = ((3.2409699419045213, -1.5373831775700935, -0.4986107602930033),
             (-0.9692436362808798, 1.8759675015077206, 0.04155505740717561),
             (0.05563007969699361, -0.20397695888897657, 1.0569715142428786))
_EPSILON, _KAPPA = 216 / 24389, 24389 / 27
_OUTSIDE = 1e-3


class Lab(NamedTuple):
    """L*, a*, b* of CIELAB. [1]"""

    lightness: float
    a: float
    b: float


@dataclass(frozen=True, slots=True)
class Colour:
    """A colour in linear light.

    Parameters
    ----------
    linear : tuple of three floats, 0 to 1
        Red, green and blue of sRGB, decoded. [1]
    """

    linear: Triple

    @property
    def lab(self) -> Lab:
        """CIELAB under D65, 2 degrees: L*, a*, b*. [1]

        References
        ----------
        .. [1] ISO/CIE 11664-4. From memory; agrees with an independent library.
        """
        fx, fy, fz = (_f(value / white) for value, white in zip(_times(_TO_XYZ, self.linear), _WHITE, strict=True))
        return Lab(116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz))

    @property
    def cube_roots(self) -> Triple:
        """Cube roots of the channels, in which lightness is linear: 0.01 is 1.16 of L*. [1]"""
        red, green, blue = self.linear
        return math.cbrt(red), math.cbrt(green), math.cbrt(blue)

    @property
    def hex(self) -> str:
        """As "#rrggbb", rounded to screen values. [text]"""
        return "#" + "".join(f"{round(255 * _encode(min(max(channel, 0.0), 1.0))):02x}" for channel in self.linear)


def _times(matrix: tuple[Triple, Triple, Triple], vector: Triple) -> Triple:
    x, y, z = (math.fsum(a * b for a, b in zip(row, vector, strict=True)) for row in matrix)
    return x, y, z


def _f(t: float) -> float:
    return math.cbrt(t) if t > _EPSILON else (_KAPPA * t + 16) / 116


def _decode(value: float) -> float:
    """IEC 61966-2-1, read."""
    return value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4


def _encode(linear: float) -> float:
    return 12.92 * linear if linear <= 0.0031308 else 1.055 * linear ** (1 / 2.4) - 0.055


def from_linear(red: float, green: float, blue: float) -> Colour:
    """A colour from linear light (`red`, `green`, `blue` [1])."""
    return Colour((red, green, blue))


def from_hex(text: str) -> Colour:
    """A colour from a screen value.

    Parameters
    ----------
    text : str
        Such as "#7d2f22". [text]

    Returns
    -------
    Colour : a channel of 0 counts as half a step, the resolution of 8 bits. [1]

    Raises
    ------
    DomainError : not a colour.
    """
    if not _HEX.fullmatch(text):
        raise WrongType(f'"{text[:20]}" is not a colour such as "#7d2f22".', value=text)
    red, green, blue = (_decode(max(int(text[at:at + 2], 16), 0.5) / 255) for at in (1, 3, 5))
    return Colour((red, green, blue))


def from_lab(lightness: float, a: float, b: float) -> Colour:
    """A colour from CIELAB (D65, 2 degrees).

    Parameters
    ----------
    lightness, a, b : float
        L*, a*, b*. [1]

    Returns
    -------
    Colour : [1]

    Raises
    ------
    OutOfRange : outside sRGB.
    """
    fy = (lightness + 16) / 116
    xyz = tuple(white * (f ** 3 if f ** 3 > _EPSILON else (116 * f - 16) / _KAPPA)
                for white, f in zip(_WHITE, (fy + a / 500, fy, fy - b / 200), strict=True))
    linear = _times(_FROM_XYZ, (xyz[0], xyz[1], xyz[2]))
    if any(not -_OUTSIDE <= channel <= 1 + _OUTSIDE for channel in linear):
        raise OutOfRange(f"No screen shows L* {lightness:.4g}, a* {a:.4g}, b* {b:.4g}. Measure again, or give the "
                         'colour as "#rrggbb".', value=lightness, allowed="colours within sRGB")
    red, green, blue = (min(max(channel, _decode(0.5 / 255)), 1.0) for channel in linear)
    return Colour((red, green, blue))


def mean_colour(colours: Sequence[Colour]) -> Colour:
    """The visual mean of several colours.

    Parameters
    ----------
    colours : sequence of Colour, length n >= 1
        Of the same sample. [1]

    Returns
    -------
    Colour : mean of each channel's cube root, in which lightness is linear. [1]
    """
    red, green, blue = ((math.fsum(one) / len(colours)) ** 3
                        for one in zip(*(colour.cube_roots for colour in colours), strict=True))
    return Colour((red, green, blue))


def difference(one: Colour, other: Colour) -> float:
    """Colour difference CIEDE2000 (`one`, `other`). [1]

    References
    ----------
    .. [1] ISO/CIE 11664-6, by coloraide.
    """
    return float(Color("lab-d65", list(one.lab)).delta_e(Color("lab-d65", list(other.lab)), method="2000"))
