"""A block cut into loaves and bars: how many, how large, what is left, what each bar may weigh."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass, field

from kettlewright import limits
from kettlewright.errors import DomainError, OutOfRange, Unsolvable, gather

__all__ = ["BarCut", "BarMass", "Bars", "Block", "CutPositions", "Cuts", "LoafCut", "Loaves", "Offcut", "Tolerance",
           "Trim", "cut_block"]

_MM3_PER_ML = 1000.0
_EPS_PIECES = 1e-9
_EPS_MM = 1e-6


@dataclass(frozen=True, slots=True)
class Block:
    """What lies on the cutting table.

    Parameters
    ----------
    length_mm, width_mm, height_mm : float
        Outside. [mm]
    """

    length_mm: float
    width_mm: float
    height_mm: float

    def __post_init__(self) -> None:
        with gather() as checks:
            for name in ("length", "width", "height"):
                with checks.at():
                    limits.LENGTH.check(getattr(self, f"{name}_mm"), name)

    @property
    def volume_ml(self) -> float:
        """Volume. [mL]"""
        return self.length_mm * self.width_mm * self.height_mm / _MM3_PER_ML


@dataclass(frozen=True, slots=True)
class Trim:
    """What is cut off the ends first, its cut included.

    Parameters
    ----------
    start_mm, end_mm : float
        Off each end. [mm]
    """

    start_mm: float = 0.0
    end_mm: float = 0.0

    def __post_init__(self) -> None:
        limits.DEPTH_OFF.check(self.start_mm, "start")
        limits.DEPTH_OFF.check(self.end_mm, "end")


@dataclass(frozen=True, slots=True)
class LoafCut:
    """How the block is cut across its width.

    Parameters
    ----------
    width_mm : float
        Of a loaf. [mm]
    kerf_mm : float, optional
        The bars' where not given. [mm]
    trim : Trim, optional
        The bars' where not given. [mm]
    """

    width_mm: float
    kerf_mm: float | None = None
    trim: Trim | None = None

    def __post_init__(self) -> None:
        limits.LENGTH.check(self.width_mm, "width")
        if self.kerf_mm is not None:
            limits.KERF.check(self.kerf_mm, "kerf")


@dataclass(frozen=True, slots=True)
class BarCut:
    """How a loaf is cut along its length, in exactly one way.

    Parameters
    ----------
    thickness_mm : float, optional
        Of a bar. [mm]
    count : int, optional
        Equal bars in a loaf. [bars]
    mass_g : float, optional
        Of a bar: cured where a loss in cure is given, else wet. [g]
    """

    thickness_mm: float | None = None
    count: int | None = None
    mass_g: float | None = None

    def __post_init__(self) -> None:
        given = [name for name in ("thickness_mm", "count", "mass_g") if getattr(self, name) is not None]
        if len(given) != 1:
            raise DomainError('Say how bars are cut by exactly one of "thickness", "count" or "mass"; '
                              f"{'none' if not given else ' and '.join(n.split('_')[0] for n in given)} given.")
        if self.thickness_mm is not None:
            limits.LENGTH.check(self.thickness_mm, "thickness")
        if self.count is not None:
            limits.BARS_COUNT.check(self.count, "count")
        if self.mass_g is not None:
            limits.MASS.check(self.mass_g, "mass")


@dataclass(frozen=True, slots=True)
class Tolerance:
    """How far a cut may be off, either way.

    Parameters
    ----------
    length_mm, width_mm, height_mm : float
        Along the block's length, width and height. [mm]
    density_pct : float
        Of the block's density. [%]
    """

    length_mm: float = 1.0
    width_mm: float = 1.0
    height_mm: float = 2.0
    density_pct: float = 1.0

    def __post_init__(self) -> None:
        with gather() as checks:
            for name in ("length", "width", "height"):
                with checks.at():
                    limits.KERF.check(getattr(self, f"{name}_mm"), name)
            with checks.at():
                limits.TOLERANCE_PCT.check(self.density_pct, "density_pct")


@dataclass(frozen=True, slots=True)
class Loaves:
    """The loaves.

    Parameters
    ----------
    count : int
        All of them. [loaves]
    length_mm, width_mm, height_mm : float
        Of each. [mm]
    """

    count: int
    length_mm: float
    width_mm: float
    height_mm: float


@dataclass(frozen=True, slots=True)
class BarMass:
    """What a bar may weigh.

    Parameters
    ----------
    min_g, mid_g, max_g : float
        At the lower corner of the tolerance, as cut exactly, at the upper corner. [g]
    """

    min_g: float
    mid_g: float
    max_g: float


@dataclass(frozen=True, slots=True)
class Bars:
    """The bars.

    Parameters
    ----------
    count : int
        All of them. [bars]
    length_mm, thickness_mm, height_mm : float
        Of each; its length is the loaf's width. [mm]
    mass, cured_mass : BarMass, optional
        Wet, where the density is known; after the loss in cure, where that is given. [g]
    """

    count: int
    length_mm: float
    thickness_mm: float
    height_mm: float
    mass: BarMass | None
    cured_mass: BarMass | None


@dataclass(frozen=True, slots=True)
class Offcut:
    """A piece that is no bar.

    Parameters
    ----------
    name : str
        Where it comes from. [text]
    length_mm, width_mm, height_mm : float
        Along the block's length, width and height. [mm]
    mass_g : float, optional
        Wet. [g]
    """

    name: str
    length_mm: float
    width_mm: float
    height_mm: float
    mass_g: float | None

    @property
    def volume_ml(self) -> float:
        """Volume. [mL]"""
        return self.length_mm * self.width_mm * self.height_mm / _MM3_PER_ML


@dataclass(frozen=True, slots=True)
class CutPositions:
    """Where to cut: near edge of each cut, from the block's start.

    Parameters
    ----------
    loaf_cuts_mm, bar_cuts_mm : tuple of float
        Across the width, along the length. [mm]
    """

    loaf_cuts_mm: tuple[float, ...]
    bar_cuts_mm: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Cuts:
    """How a block, or several equal ones, is cut.

    Parameters
    ----------
    blocks_count : int
        Equal blocks. [blocks]
    block : Block
        One of them. [mm]
    loaves, bars : Loaves, Bars
        Counts are over all blocks. [mm, g]
    offcuts : tuple of Offcut
        Every single one. [mm, g]
    kerf_volume_ml, kerf_mass_g : float
        Lost to the blade; trims carry their own cut. [mL, g]
    volume_yield_pct : float
        Bars, of the blocks. [% by volume]
    positions : CutPositions
        Where to cut. [mm]
    """

    blocks_count: int
    block: Block
    loaves: Loaves
    bars: Bars
    offcuts: tuple[Offcut, ...]
    kerf_volume_ml: float
    kerf_mass_g: float | None
    volume_yield_pct: float
    positions: CutPositions


@dataclass(frozen=True, slots=True)
class _Run:
    """Pieces along one edge. [mm]"""

    count: int
    piece: float
    start: float
    end: float
    rest: float
    kerf: float
    cuts: tuple[float, ...] = field(default=())


def cut_block(block: Block, bar: BarCut, *, loaf: LoafCut | None = None, kerf_mm: float = 0.0,
              trim: Trim | None = None, tolerance: Tolerance | None = None, density: float | None = None,
              expected_loss_pct: float | None = None, blocks_count: int = 1) -> Cuts:
    """Cut a block across its width into loaves, and each along its length into bars.

    Parameters
    ----------
    block : Block
        The block. [mm]
    bar : BarCut
        The bars wanted. [mm, bars or g]
    loaf : LoafCut, optional
        The loaves wanted; without it the block is one loaf, untrimmed across. [mm]
    kerf_mm : float
        Width of a cut. [mm]
    trim : Trim, optional
        Cut off the ends first. [mm]
    tolerance : Tolerance, optional
        How far a cut may be off. [mm, %]
    density : float, optional
        Of the block. [g/mL]
    expected_loss_pct : float, optional
        Loss in cure. [% of batter]
    blocks_count : int
        Equal blocks. [blocks]

    Returns
    -------
    Cuts : block = bars + offcuts + kerf. [mm, g]

    Raises
    ------
    DomainError, OutOfRange, Unsolvable : pieces larger than the block, trims or kerf that leave nothing.

    Notes
    -----
    n = floor((U + k) / (b + k)); between n pieces lie n - 1 cuts, and a last one where something is left.
    """
    limits.KERF.check(kerf_mm, "kerf")
    trim, tolerance = trim or Trim(), tolerance or Tolerance()
    across = _Run(1, block.width_mm, 0.0, 0.0, 0.0, 0.0)
    if loaf is not None:
        across = _pieces(block.width_mm, loaf.width_mm, kerf_mm if loaf.kerf_mm is None else loaf.kerf_mm,
                         loaf.trim or trim, edge="width", what="loaf", field_name=("loaf", "width"))
    thickness, name = _thickness(block, bar, across.piece, kerf_mm, trim, density, expected_loss_pct)
    along = _pieces(block.length_mm, thickness, kerf_mm, trim, edge="length", what="bar", field_name=("bar", name))
    if across.count * along.count * blocks_count > limits.PIECES_MAX:
        raise OutOfRange(f"That is {across.count * along.count * blocks_count:,} bars; a cutting plan lists at most "
                         f"{limits.PIECES_MAX:,}. Is the unit right?", field=("bar", name))
    bars = _bars(across, along, block.height_mm, tolerance, density, expected_loss_pct, blocks_count)
    offcuts = tuple(itertools.chain.from_iterable(
        _offcuts(block, across, along, density, f"block {number}, " if blocks_count > 1 else "")
        for number in range(1, blocks_count + 1)))
    total = block.volume_ml * blocks_count
    in_bars = bars.count * across.piece * along.piece * block.height_mm / _MM3_PER_ML
    kerf_volume = (across.kerf * block.length_mm + across.count * along.kerf * across.piece) \
        * block.height_mm / _MM3_PER_ML * blocks_count
    return Cuts(blocks_count=blocks_count, block=block,
                loaves=Loaves(across.count * blocks_count, block.length_mm, across.piece, block.height_mm),
                bars=bars, offcuts=offcuts, kerf_volume_ml=kerf_volume,
                kerf_mass_g=None if density is None else kerf_volume * density,
                volume_yield_pct=100 * in_bars / total, positions=CutPositions(across.cuts, along.cuts))


def _thickness(block: Block, bar: BarCut, loaf_width: float, kerf: float, trim: Trim, density: float | None,
               loss_pct: float | None) -> tuple[float, str]:
    if bar.thickness_mm is not None:
        return bar.thickness_mm, "thickness"
    if bar.count is not None:
        usable = block.length_mm - trim.start_mm - trim.end_mm
        thickness = (usable - (bar.count - 1) * kerf) / bar.count
        if thickness <= 0:
            raise Unsolvable(f"{bar.count} bars with a kerf of {kerf:.9g} mm do not go into {usable:.6g} mm: the cuts "
                             "eat the loaf. Ask for fewer.", field=("bar", "count"), value=bar.count)
        return thickness, "count"
    if density is None:
        raise Unsolvable('A bar by mass needs the "density" of the block.', field=("density",))
    wet = (bar.mass_g or 0.0) / (1 - (loss_pct or 0.0) / 100)
    return wet / density * _MM3_PER_ML / (loaf_width * block.height_mm), "mass"


def _pieces(edge_mm: float, piece: float, kerf: float, trim: Trim, *, edge: str, what: str,
            field_name: tuple[str, str]) -> _Run:
    usable = edge_mm - trim.start_mm - trim.end_mm
    if usable <= 0:
        raise Unsolvable(f"Trims of {trim.start_mm:.9g} and {trim.end_mm:.9g} mm leave nothing of a {edge} of "
                         f"{edge_mm:.9g} mm.", field=("trim",))
    count = math.floor((usable + kerf) / (piece + kerf) + _EPS_PIECES)
    if count < 1:
        raise Unsolvable(f"A {what} of {piece:.6g} mm does not go into the {usable:.6g} mm that are left of the "
                         f"block's {edge}.", field=field_name, value=piece, allowed=f"at most {usable:.6g} mm")
    left = usable - count * piece - (count - 1) * kerf
    left = 0.0 if left < _EPS_MM else left
    last_cut = min(kerf, left)
    near_edges = [trim.start_mm + number * (piece + kerf) - kerf for number in range(1, count)]
    if left:
        near_edges.append(trim.start_mm + count * (piece + kerf) - kerf)
    if trim.start_mm:
        near_edges.insert(0, max(trim.start_mm - kerf, 0.0))
    if trim.end_mm:
        near_edges.append(edge_mm - trim.end_mm)
    return _Run(count, piece, trim.start_mm, trim.end_mm, left - last_cut, (count - 1) * kerf + last_cut,
                tuple(near_edges))


def _bars(across: _Run, along: _Run, height: float, tolerance: Tolerance, density: float | None,
          loss_pct: float | None, blocks_count: int) -> Bars:
    mass = cured = None
    if density is not None:
        def corner(side: float) -> float:
            edges = (along.piece + side * tolerance.length_mm, across.piece + side * tolerance.width_mm,
                     height + side * tolerance.height_mm)
            volume = math.prod(max(edge, 0.0) for edge in edges) / _MM3_PER_ML
            return volume * density * (1 + side * tolerance.density_pct / 100)

        mass = BarMass(corner(-1), corner(0), corner(1))
        if loss_pct is not None:
            stays = 1 - loss_pct / 100
            cured = BarMass(mass.min_g * stays, mass.mid_g * stays, mass.max_g * stays)
    return Bars(across.count * along.count * blocks_count, across.piece, along.piece, height, mass, cured)


def _offcuts(block: Block, across: _Run, along: _Run, density: float | None, prefix: str) -> list[Offcut]:
    def piece(name: str, length: float, width: float) -> list[Offcut]:
        if length <= 0 or width <= 0:
            return []
        volume = length * width * block.height_mm / _MM3_PER_ML
        return [Offcut(prefix + name, length, width, block.height_mm, None if density is None else volume * density)]

    found = piece("first side trim", block.length_mm, across.start)
    for number in range(1, across.count + 1):
        loaf = f"loaf {number}, " if across.count > 1 else ""
        found += piece(f"{loaf}first end trim", along.start, across.piece)
        found += piece(f"{loaf}rest", along.rest, across.piece)
        found += piece(f"{loaf}last end trim", along.end, across.piece)
    found += piece("side rest", block.length_mm, across.rest)
    return found + piece("last side trim", block.length_mm, across.end)
