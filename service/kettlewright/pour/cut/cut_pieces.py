"""The pieces that a cut makes: loaves, bars, offcuts."""

from __future__ import annotations

import math
from dataclasses import dataclass

from kettlewright.pour.cut.cut_inputs import Block

__all__ = ["BarKind", "BarMass", "Bars", "CutPositions", "Cuts", "FacePoint", "LayerShare", "Loaves", "Offcut",
           "Rebatch", "Turned", "whole_pieces"]
_EPS_PIECES = 1e-9


def whole_pieces(pieces: float) -> int:
    """Number of whole pieces, with a tolerance for rounding (`pieces` [1]). [pieces]"""
    return math.floor(pieces + _EPS_PIECES)


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

    @property
    def ends(self) -> tuple[float, float, float]:
        """The least, the middle and the most. [g]"""
        return self.min_g, self.mid_g, self.max_g


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
