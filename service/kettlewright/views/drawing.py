"""Outlines of layers in a section, drawn to scale in picture units."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from kettlewright.digits import nine_digits

__all__ = ["HATCHES", "Outline", "Profile", "band", "column", "profile_of", "strip", "width_at"]

HATCHES = 6

Profile = Sequence[tuple[float, float]]
"""Width at each height of a section, heights rising. [unit of lengths]"""


@dataclass(frozen=True, slots=True)
class Outline:
    """A closed outline.

    Parameters
    ----------
    points : tuple of (x, y)
        Its corners, y downward. [picture units]
    """

    points: tuple[tuple[float, float], ...]

    @property
    def box(self) -> tuple[float, float, float, float]:
        """x, y, width and height around it. [picture units]"""
        xs, ys = [x for x, _ in self.points], [y for _, y in self.points]
        return (nine_digits(min(xs)), nine_digits(min(ys)), nine_digits(max(xs) - min(xs)),
                nine_digits(max(ys) - min(ys)))

    @property
    def upright(self) -> bool:
        """Whether it is an upright rectangle. [yes or no]"""
        return len(self.points) == 4 and len({x for x, _ in self.points}) == 2

    @property
    def powder(self) -> tuple[float, float]:
        """Left end and width of its upper edge. [picture units]"""
        top = min(y for _, y in self.points)
        xs = [x for x, y in self.points if y - top < 1e-9]
        return nine_digits(min(xs)), nine_digits(max(xs) - min(xs))

    @property
    def path(self) -> str:
        """As an SVG path. [text]"""
        corners = " L".join(f"{nine_digits(x)} {nine_digits(y)}" for x, y in self.points)
        return f"M{corners} Z"


def profile_of(mould: Mapping[str, Any] | None) -> Profile | None:
    """Width at each height of a mould, None if unknown (`mould`: as in the reply). [unit of lengths]"""
    if mould is None or not mould.get("profile"):
        return None
    return [(row["height"], row["width"]) for row in mould["profile"]]


def width_at(profile: Profile, height: float) -> float:
    """Width at a height, interpolated linearly (`profile`, `height` [unit of lengths]). [unit of lengths]"""
    if height <= profile[0][0]:
        return profile[0][1]
    for (low, narrow), (high, wide) in itertools.pairwise(profile):
        if height <= high:
            return narrow + (wide - narrow) * (height - low) / (high - low)
    return profile[-1][1]


def band(profile: Profile, bottom: float, top: float, *, middle: float, ground: float, scale: float) -> Outline:
    """A layer in a section.

    Parameters
    ----------
    profile : Profile
        Of the section. [unit of lengths]
    bottom, top : float
        Heights of the layer. [unit of lengths]
    middle, ground, scale : float
        x of the axis, y of height 0, and picture units for a unit of length. [picture units]

    Returns
    -------
    Outline : linear between the heights of the profile. [picture units]
    """
    heights = [bottom, *(height for height, _ in profile if bottom < height < top), top]
    widths = [width_at(profile, height) for height in heights]
    if len(set(widths)) == 1:
        heights, widths = [bottom, top], widths[:2]
    right = [(middle + width * scale / 2, ground - height * scale)
             for height, width in zip(heights, widths, strict=True)]
    left = [(middle - width * scale / 2, ground - height * scale)
            for height, width in zip(heights, widths, strict=True)]
    return Outline((*left[:1], *right, *left[:0:-1]))


def strip(profile: Profile, first: float, last: float, top: float, *, middle: float, ground: float,
          scale: float) -> Outline:
    """A vertical part of a section that follows the walls, so that its area matches its share.

    Parameters
    ----------
    profile : Profile
        Of the section. [unit of lengths]
    first, last : float
        Where it begins and ends, as parts of the width. [1]
    top : float
        Its height. [unit of lengths]
    middle, ground, scale : float
        x of the axis, y of height 0, and picture units for a unit of length. [picture units]

    Returns
    -------
    Outline : linear between the heights of the profile. [picture units]
    """
    heights = [profile[0][0], *(height for height, _ in profile if profile[0][0] < height < top), top]
    widths = [width_at(profile, height) for height in heights]
    if len(set(widths)) == 1:
        heights, widths = [heights[0], top], widths[:2]

    def edge(part: float) -> list[tuple[float, float]]:
        return [(middle + (part - 0.5) * width * scale, ground - height * scale)
                for height, width in zip(heights, widths, strict=True)]

    left, right = edge(first), edge(last)
    return Outline((left[0], *right, *left[:0:-1]))


def column(start: float, end: float, height: float, *, left: float, ground: float, scale: float) -> Outline:
    """A part of a section between two upright dividers.

    Parameters
    ----------
    start, end, height : float
        Distances from the left wall, and height. [unit of lengths]
    left, ground, scale : float
        x of the left wall, y of height 0, and picture units for a unit of length. [picture units]

    Returns
    -------
    Outline : [picture units]
    """
    x, y = (left + start * scale, left + end * scale), (ground, ground - height * scale)
    return Outline(((x[0], y[0]), (x[1], y[0]), (x[1], y[1]), (x[0], y[1])))
