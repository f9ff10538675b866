"""Inputs of a cut, and the pieces it makes: blocks, loaves, bars, offcuts."""

from __future__ import annotations

import math
from dataclasses import dataclass

from kettlewright import limits
from kettlewright.errors import gather, one_of

__all__ = ["BarCut", "BarKind", "BarMass", "Bars", "Block", "CutPositions", "Cuts", "FacePoint", "Finish", "LayerShare",
           "LoafCut", "Loaves", "Offcut", "Rebatch", "Tolerance", "Trim", "Turned", "whole_pieces"]

_MM3_PER_ML = 1000.0
_EPS_PIECES = 1e-9


def whole_pieces(pieces: float) -> int:
    """Number of whole pieces, with a tolerance for rounding (`pieces` [1]). [pieces]"""
    return math.floor(pieces + _EPS_PIECES)


@dataclass(frozen=True, slots=True)
class Block:
    """A block to be cut.

    Parameters
    ----------
    length_mm, width_mm, height_mm : float
        Outer dimensions. [mm]
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
    """Length cut off the ends first, including the cut.

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
        The bars' if not given. [mm]
    trim : Trim, optional
        The bars' if not given. [mm]
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
        Of a bar: cured if a loss in cure is given, otherwise wet. [g]
    """

    thickness_mm: float | None = None
    count: int | None = None
    mass_g: float | None = None

    def __post_init__(self) -> None:
        given = [name for name in ("thickness_mm", "count", "mass_g") if getattr(self, name) is not None]
        if len(given) != 1:
            raise one_of(given or None)('Give bars exactly one of "thickness", "count" and "mass"; '
                                        f"{'none' if not given else ' and '.join(n.split('_')[0] for n in given)} "
                                        "given.")
        if self.thickness_mm is not None:
            limits.LENGTH.check(self.thickness_mm, "thickness")
        if self.count is not None:
            limits.BARS_COUNT.check(self.count, "count")
        if self.mass_g is not None:
            limits.MASS.check(self.mass_g, "mass")


@dataclass(frozen=True, slots=True)
class Tolerance:
    """Tolerance of a cut, either way.

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
class Finish:
    """Finishing of each bar after cutting.

    Parameters
    ----------
    planing_mm : float
        Off the top of each bar. [mm]
    bevel_mm : float
        Leg of the bevel on all its edges. [mm]
    """

    planing_mm: float = 0.0
    bevel_mm: float = 0.0

    def __post_init__(self) -> None:
        limits.KERF.check(self.planing_mm, "planing")
        limits.KERF.check(self.bevel_mm, "bevel")


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
    """Range of a bar's mass.

    Parameters
    ----------
    min_g, mid_g, max_g : float
        At the lower end of all tolerances, cut exactly, at the upper end. [g]
    """

    min_g: float
    mid_g: float
    max_g: float


@dataclass(frozen=True, slots=True)
class FacePoint:
    """A corner of the outline of a piece, seen from the cut side.

    Parameters
    ----------
    across_mm, up_mm : float
        From the left end and from the table. [mm]
    """

    across_mm: float
    up_mm: float


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
        Wet, if the density is known; after the loss in cure, if it is given. [g]
    form : str
        Their form seen from the cut side: one of `shapes.PIECE_FORMS`. [key]
    face : tuple of FacePoint
        Their outline from that side, straight between the points; empty if the loaves differ. [mm]
    """

    count: int
    length_mm: float
    thickness_mm: float
    height_mm: float
    mass: BarMass | None
    cured_mass: BarMass | None
    form: str = "bar"
    face: tuple[FacePoint, ...] = ()


@dataclass(frozen=True, slots=True)
class LayerShare:
    """A layer's share of a bar.

    Parameters
    ----------
    key : str
        Of the portion. [key]
    share_pct : float
        By volume. [% of bar]
    """

    key: str
    share_pct: float


@dataclass(frozen=True, slots=True)
class BarKind:
    """Bars of one kind.

    Parameters
    ----------
    count : int
        How many. [bars]
    first_loaf, first_bar : int
        Position of the first of them, counted from the block's start. [number]
    volume_ml : float
        Of one. [mL]
    mass : BarMass, optional
        Wet, if the density is known. [g]
    layers : tuple of LayerShare
        Its share of each layer or column, if known. [% of bar]
    """

    count: int
    first_loaf: int
    first_bar: int
    volume_ml: float
    mass: BarMass | None
    layers: tuple[LayerShare, ...]


@dataclass(frozen=True, slots=True)
class Turned:
    """The same cut with the block turned by a quarter.

    Parameters
    ----------
    bars_count : int
        Bars it would give. [bars]
    volume_yield_pct : float
        Bars, of the block. [% by volume]
    """

    bars_count: int
    volume_yield_pct: float


@dataclass(frozen=True, slots=True)
class Offcut:
    """A piece that is not a bar.

    Parameters
    ----------
    name : str
        Where it comes from. [text]
    length_mm, width_mm, height_mm : float
        Along the block's length, width and height. [mm]
    mass_g : float, optional
        Wet. [g]
    volume_ml : float
        Volume. [mL]
    """

    name: str
    length_mm: float
    width_mm: float
    height_mm: float
    mass_g: float | None
    volume_ml: float


@dataclass(frozen=True, slots=True)
class CutPositions:
    """Where to cut, from the block's start.

    Parameters
    ----------
    loaf_cuts_mm, bar_cuts_mm : tuple of float
        Near edge of each cut, across the width and along the length. [mm]
    loaf_starts_mm, bar_starts_mm : tuple of float
        Where each loaf and each bar of a loaf begins. [mm]
    """

    loaf_cuts_mm: tuple[float, ...]
    bar_cuts_mm: tuple[float, ...]
    loaf_starts_mm: tuple[float, ...]
    bar_starts_mm: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Cuts:
    """The cutting plan of a block, or of several equal ones.

    Parameters
    ----------
    blocks_count : int
        Equal blocks. [blocks]
    block : Block
        One of them. [mm]
    loaves, bars : Loaves, Bars
        Counts are over all blocks. [mm, g]
    offcuts : tuple of Offcut
        Each offcut. [mm, g]
    kerf_volume_ml, kerf_mass_g : float
        Lost to the blade; trims include their own cut. [mL, g]
    volume_yield_pct : float
        Bars, of the blocks. [% by volume]
    positions : CutPositions
        Where to cut. [mm]
    kinds : tuple of BarKind
        Kinds of bars, the most numerous first. [bars]
    turned : Turned, optional
        The same cut with the block turned, if it gives any bars. [bars]
    shavings_mass_g : float, optional
        Lost to planing and bevelling. [g]
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
    kinds: tuple[BarKind, ...] = ()
    turned: Turned | None = None
    shavings_mass_g: float | None = None

    @property
    def rebatch(self) -> Rebatch | None:
        """The offcuts together, if masses are known. [g]"""
        if self.bars.mass is None:
            return None
        mass = math.fsum(offcut.mass_g or 0.0 for offcut in self.offcuts)
        return Rebatch(mass, whole_pieces(mass / self.bars.mass.mid_g))


@dataclass(frozen=True, slots=True)
class Rebatch:
    """The offcuts together.

    Parameters
    ----------
    mass_g : float
        All offcuts, wet. [g]
    bars_count : int
        Bars of the planned mass that they would make when rebatched. [bars]
    """

    mass_g: float
    bars_count: int
