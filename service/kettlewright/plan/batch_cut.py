"""The cut of a batch, and what a batch that is not cut comes to."""

from __future__ import annotations

from dataclasses import dataclass

from kettlewright.errors import Unsolvable
from kettlewright.pour import (
    BarCut,
    Cuts,
    Division,
    Fill,
    Finish,
    LoafCut,
    Mould,
    Tolerance,
    Trim,
    cut_block,
    solid_of,
)

__all__ = ["CutOptions", "Pieces", "check_is_cut", "cut_of", "filled"]


@dataclass(frozen=True, slots=True)
class CutOptions:
    """How the block is to be cut, once it is known.

    Parameters
    ----------
    bar : BarCut
        The bars. [mm, bars or g]
    loaf : LoafCut, optional
        The loaves. [mm]
    kerf_mm : float
        Width of a cut. [mm]
    trim, tolerance, finish : optional
        Cut off first; how far a cut may be off; what is taken off each bar. [mm]
    """

    bar: BarCut
    loaf: LoafCut | None = None
    kerf_mm: float = 0.0
    trim: Trim | None = None
    tolerance: Tolerance | None = None
    finish: Finish | None = None


@dataclass(frozen=True, slots=True)
class Pieces:
    """What a batch that is not cut comes to: one piece for each cavity.

    Parameters
    ----------
    count : int
        How many. [pieces]
    mass_g, cured_mass_g : float
        Of one piece, fresh, and after the loss in cure if given. [g]
    """

    count: int
    mass_g: float
    cured_mass_g: float | None


def check_is_cut(mould: Mould, arrangement: str) -> None:
    """Refuse the cut of pieces that are bars already.

    Parameters
    ----------
    mould : Mould
        The mould. [mould]
    arrangement : str
        How the portions lie. [key]

    Raises
    ------
    Unsolvable : each cavity is a bar.
    """
    if solid_of(mould.cavity, 1.0) is None or arrangement == "separate":
        raise Unsolvable("Bowls, cones, measured moulds and portions in separate cavities are not cut: each cavity is "
                         "a bar. Leave out the cut.")


def cut_of(cut: CutOptions, mould: Mould, division: Division, expected_loss_pct: float | None) -> Cuts:
    """The cut of a poured block.

    Parameters
    ----------
    cut : CutOptions
        How it is cut. [mm]
    mould : Mould
        Whose contents are cut. [mould]
    division : Division
        What is in it. [g]
    expected_loss_pct : float, optional
        Loss in cure. [% of a bar as cut]

    Returns
    -------
    Cuts : [mm, g]

    Raises
    ------
    DomainError : whatever `pour.cut_block` refuses.
    """
    solid = solid_of(mould.cavity, mould.height_of(division.mould_volume_ml))
    assert solid is not None
    layers = [(portion.key, (portion.layer.bottom_mm, portion.layer.top_mm)) for portion in division.portions
              if portion.layer is not None]
    columns = [(portion.key, (portion.column.start_mm, portion.column.end_mm)) for portion in division.portions
               if portion.column is not None]
    return cut_block(solid, cut.bar, loaf=cut.loaf, kerf_mm=cut.kerf_mm, trim=cut.trim, tolerance=cut.tolerance,
                     density=division.mould_mass_g / division.mould_volume_ml, expected_loss_pct=expected_loss_pct,
                     blocks_count=mould.count, finish=cut.finish, layers=layers, columns=columns)


def filled(mould: Mould, division: Division, arrangement: str) -> Fill:
    """The contents of a mould (`mould`, `division` of the batter [g], `arrangement` [key]). [mm, mL, g]"""
    known = mould.fill_height_mm is not None
    tops = [portion.layer.top_mm for portion in division.portions if portion.layer is not None]
    # of portions in cavities of their own the highest tells whether all of them fit
    depth = None if not known else max(tops) if tops else mould.height_of(division.mould_volume_ml)
    return Fill(depth_mm=depth, volume_ml=division.mould_volume_ml, mass_g=division.mould_mass_g,
                cavity_mass_g=None if arrangement == "separate" else division.mould_mass_g / mould.count,
                area_cm2=None if depth is None else mould.area_at(depth))
