"""The attributes that every shape of a cavity declares, and code that most shapes share."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, ClassVar, Literal, Self

from scipy.optimize import brentq

from kettlewright import limits
from kettlewright.amounts import length
from kettlewright.copies import replace
from kettlewright.errors import OutOfRange, gather, one_of
from kettlewright.pour.mould.walls import Wall
from kettlewright.said import EnglishText

__all__ = ["MM2_PER_CM2", "MM3_PER_ML", "PIECE_FORMS", "Deep", "Dimension", "Point", "Rooted", "Shape", "Upright",
           "circle_mm2"]

MM3_PER_ML = 1000.0
MM2_PER_CM2 = 100.0

Point = tuple[float, float]

PIECE_FORMS = ("bar", "slanted", "round", "half_round", "oval", "polygon")
"""What a piece looks like from the cut side: a rectangle; slanted or curved at its sides; a circle, or the part of it
up to where the mould was filled; half a circle; an ellipse; a regular polygon."""

_BOUNDS = {"length": limits.LENGTH, "volume": limits.VOLUME, "sides": limits.SIDES}


@dataclass(frozen=True, slots=True)
class Dimension:
    """A dimension of a shape, as requests give it.

    Parameters
    ----------
    name : str
        Attribute of the shape, with its unit. [name]
    about : str
        Description. [text]
    example : float
        In the unit of the maths. [mm, mL or sides]
    measure : str
        "length", "volume" or "sides". [key]
    walls : int
        Number of walls whose liner reduces it. [walls]
    required : bool
        Whether a request must give it. [yes or no]
    widens_to : str
        For a dimension at the bottom: attribute of the one at the rim, which must not be smaller. [name]
    in_example : bool
        Whether the example of the shape gives it. [yes or no]
    """

    name: str
    about: str
    example: float
    measure: Literal["length", "volume", "sides"] = "length"
    walls: int = 0
    required: bool = True
    widens_to: str = ""
    in_example: bool = True

    @property
    def key(self) -> str:
        """Name in a request: without the unit. [key]"""
        return self.name.removesuffix("_mm").removesuffix("_ml")

    @property
    def words(self) -> str:
        """Name in a sentence. [text]"""
        return self.key.replace("_", " ")

    @property
    def bounds(self) -> limits.Bounds:
        """Its bounds. [mm, mL or sides]"""
        return _BOUNDS[self.measure]


class Shape:
    """The inside of one cavity. Heights are from its bottom.

    A shape is a frozen dataclass that declares the class attributes below and is listed in `shapes.SHAPES`. Requests,
    the contract, links, cuts, cautions, pictures and tests read these attributes; none of them compares classes.
    """

    __slots__ = ()

    key: ClassVar[str]
    """Word for it in a request."""
    about: ClassVar[str]
    """What it is, for the contract."""
    dimensions: ClassVar[tuple[Dimension, ...]]
    """All its dimensions, in the order in which requests give them."""
    one_of: ClassVar[tuple[str, ...]] = ()
    """Dimensions of which a request gives exactly one."""
    cut_as: ClassVar[Literal["block", "tube"] | None] = None
    """A block with rectangular sections; a tube that is laid down and cut along its height; None: it is not cut."""
    piece: ClassVar[str] = "bar"
    """What a piece looks like from the cut side: one of PIECE_FORMS."""
    box_bars: ClassVar[bool] = False
    """Its bars are boxes, so that they can be planed and bevelled, and the block can be turned."""
    columns: ClassVar[bool] = False
    """Portions may stand upright side by side, since they keep their places over the whole length and height."""
    heights_estimated: ClassVar[bool] = False
    """Heights and areas are estimates."""
    drawn_straight: ClassVar[bool] = True
    """The section between bottom and rim is drawn by two points; of a round one, by many."""

    def __post_init__(self) -> None:
        with gather() as checks:
            for one in self.dimensions:
                with checks.at():
                    value = getattr(self, one.name)
                    if one.required or (value is not None and one.name not in self.one_of):
                        one.bounds.check(value, one.key)
            with checks.at():
                self._check_one_of()
            for one in self.dimensions:
                with checks.at():
                    self._check_opens(one)

    def _check_one_of(self) -> None:
        if not self.one_of:
            return
        by_name = {one.name: one for one in self.dimensions}
        given = [by_name[name] for name in self.one_of if getattr(self, name) is not None]
        if len(given) != 1:
            names = [f'"{by_name[name].key}"' for name in self.one_of]
            raise one_of(given or None)(
                f"Give a {self.key} exactly one of {', '.join(names[:-1])} and {names[-1]}; "
                f"{' and '.join(one.key for one in given) or 'none'} given.",
                field=((given[1] if given else by_name[self.one_of[0]]).key,))
        given[0].bounds.check(getattr(self, given[0].name), given[0].key)

    def _check_opens(self, base: Dimension) -> None:
        if not base.widens_to:
            return
        low, high = getattr(self, base.name), getattr(self, base.widens_to)
        if low > high:
            raise OutOfRange(EnglishText(
                "The bottom ({base}: {low}) is wider than the rim ({rim}: {high}): the soap would not come out. "
                "Check whether the two are swapped.", base=base.key, low=length(low, digits=9),
                rim=base.widens_to.removesuffix("_mm"), high=length(high, digits=9)), field=(base.key,), value=low,
                allowed=limits.up_to(length(high, digits=9)))

    @classmethod
    def example(cls) -> Self:
        """The shape of the examples of its dimensions. [shape]"""
        return cls(**{one.name: one.example for one in cls.dimensions if one.in_example})

    @property
    def height_mm(self) -> float | None:
        """Depth of the cavity, if known. [mm]"""
        raise NotImplementedError

    @property
    def brim_ml(self) -> float:
        """Volume to the brim. [mL]"""
        assert self.height_mm is not None
        return self.volume_to(self.height_mm)

    def volume_to(self, height_mm: float) -> float:
        """Volume below a height (`height_mm` [mm]). [mL]"""
        raise NotImplementedError

    def height_of(self, volume_ml: float) -> float:
        """Height of a volume (`volume_ml` [mL]). [mm]"""
        raise NotImplementedError

    def area_at(self, height_mm: float) -> float:
        """Area of the surface at a height (`height_mm` [mm]). [cm2]"""
        raise NotImplementedError

    def width_at(self, height_mm: float) -> float | None:
        """Width of the section that is drawn, at a height (`height_mm` [mm]). [mm]"""
        raise NotImplementedError

    def lined(self, liner_mm: float) -> Self:
        """The cavity that a liner leaves: every dimension less the walls it has (`liner_mm`: thickness [mm]). [shape]

        Raises
        ------
        OutOfRange : the liner leaves no space.
        """
        changes: dict[str, Any] = {one.name: less_liner(getattr(self, one.name), one.walls, liner_mm, one.words)
                                   for one in self.dimensions if one.walls}
        return replace(self, **changes)  # type: ignore[type-var]  # every shape is a dataclass

    def walls(self) -> tuple[Wall, Wall]:
        """For a shape cut as a block: the walls at the ends of its length, and along its width. [mm]

        They are straight, or one is upright and the other round (see `walls.volumes_between`).
        """
        raise NotImplementedError

    @property
    def lying_mm(self) -> float:
        """For a shape cut as a tube: its height when laid down. [mm]"""
        raise NotImplementedError

    def face(self) -> Sequence[Point]:
        """For a shape cut as a tube: the outline of its section, from its middle, laid down to be cut. [mm]"""
        raise NotImplementedError


def less_liner(length_mm: float, walls: int, liner_mm: float, words: str) -> float:
    """A length less the liner on its walls (`length_mm`, `walls`, `liner_mm`; `words`: its name). [mm]

    Raises
    ------
    OutOfRange : nothing is left.
    """
    left = length_mm - walls * liner_mm
    if left <= 0:
        raise OutOfRange(EnglishText("A liner of {liner} leaves no space in a {dimension} of {whole}.",
                                     liner=length(liner_mm, digits=9), dimension=words,
                                     whole=length(length_mm, digits=9)), field=("liner",), value=liner_mm,
                         allowed=limits.below(length(length_mm / walls, digits=9)))
    return left


def circle_mm2(diameter_mm: float) -> float:
    """Area of a circle (`diameter_mm` [mm]). [mm2]"""
    return math.pi * diameter_mm ** 2 / 4


class Deep(Shape):
    """A cavity whose depth is given."""

    __slots__ = ()

    depth_mm: float

    @property
    def height_mm(self) -> float:
        """Depth of the cavity. [mm]"""
        return self.depth_mm


class Upright(Deep):
    """Upright walls: the same section at every height."""

    __slots__ = ()

    @property
    def section_mm2(self) -> float:
        """Area of the section. [mm2]"""
        raise NotImplementedError

    def area_at(self, height_mm: float) -> float:
        """The same at every height (`height_mm` [mm]). [cm2]"""
        return self.section_mm2 / MM2_PER_CM2

    def volume_to(self, height_mm: float) -> float:
        """Section x height (`height_mm` [mm]). [mL]"""
        return self.section_mm2 * height_mm / MM3_PER_ML

    def height_of(self, volume_ml: float) -> float:
        """Volume over section (`volume_ml` [mL]). [mm]"""
        return volume_ml * MM3_PER_ML / self.section_mm2


class Rooted(Shape):
    """No closed form: the height of a volume is searched between the bottom and the rim."""

    __slots__ = ()

    def height_of(self, volume_ml: float) -> float:
        """A bracketed root, by Brent's method (`volume_ml` [mL]). [mm]"""
        rim = self.height_mm
        assert rim is not None
        if volume_ml <= 0:
            return 0.0
        if volume_ml >= self.volume_to(rim):
            return rim
        return float(brentq(lambda height: self.volume_to(height) - volume_ml, 0.0, rim, xtol=1e-12 * rim,
                            rtol=8.9e-16, maxiter=200))
