"""A block cut into loaves and bars: their number, size and mass, and the offcuts."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from kettlewright import limits
from kettlewright.amounts import length
from kettlewright.copies import replace
from kettlewright.curing import cured_mass, fresh_mass
from kettlewright.errors import DomainError, OutOfRange, Unsolvable
from kettlewright.pour.cut.alike_bars import AlikeBars, alike_bars
from kettlewright.pour.cut.cut_inputs import BarCut, Block, Finish, LoafCut, Tolerance, Trim
from kettlewright.pour.cut.cut_pieces import (
    BarKind,
    BarMass,
    Bars,
    CutPositions,
    Cuts,
    FacePoint,
    LayerShare,
    Loaves,
    Turned,
)
from kettlewright.pour.cut.offcuts import offcut_of, offcuts_of_block
from kettlewright.pour.cut.runs import Run, run_along
from kettlewright.pour.mould.shapes import Box
from kettlewright.pour.mould.solids import CastBlock, Interval, Solid, bevel_volume
from kettlewright.said import EnglishText

__all__ = ["cut_block"]

_MM3_PER_ML = 1000.0


def cut_block(block: Block | Solid, bar: BarCut, *, loaf: LoafCut | None = None, kerf_mm: float = 0.0,
              trim: Trim | None = None, tolerance: Tolerance | None = None, density: float | None = None,
              expected_loss_pct: float | None = None, blocks_count: int = 1, finish: Finish | None = None,
              layers: Sequence[tuple[str, Interval]] = (),
              columns: Sequence[tuple[str, Interval]] = ()) -> Cuts:
    """Cut a block across its width into loaves, and each along its length into bars.

    Parameters
    ----------
    block : Block or Solid
        The block; a `Solid` if it is not a box. [mm]
    bar : BarCut
        The requested bars. [mm, bars or g]
    loaf : LoafCut, optional
        The requested loaves; if not given, the block is one loaf, untrimmed across. [mm]
    kerf_mm : float
        Width of a cut. [mm]
    trim : Trim, optional
        Cut off the ends first. [mm]
    tolerance : Tolerance, optional
        Tolerance of a cut. [mm, %]
    density : float, optional
        Of the block. [g/mL]
    expected_loss_pct : float, optional
        Loss in cure. [% of a bar as cut]
    blocks_count : int
        Equal blocks. [blocks]
    finish : Finish, optional
        Planing and bevelling of each bar; for box-shaped bars only. [mm]
    layers : sequence of (key, (bottom, top))
        Flat layers, by their heights in the mould. [mm]
    columns : sequence of (key, (start, end))
        Instead of layers: upright columns, across the width of a box. [mm]

    Returns
    -------
    Cuts : block = bars + offcuts + kerf + shavings. [mm, g]

    Raises
    ------
    DomainError, OutOfRange, Unsolvable : pieces larger than the block, trims or kerf that use up the block.

    Notes
    -----
    n = floor((U + k) / (b + k)); n pieces need n - 1 cuts, and one more if something is left.
    """
    limits.KERF.check(kerf_mm, "kerf")
    solid: Solid = CastBlock(Box(block.length_mm, block.width_mm, block.height_mm), block.height_mm) \
        if isinstance(block, Block) else block
    boxed = solid.shape.box_bars
    if loaf is not None and not solid.loaves:
        raise Unsolvable('A round is cut along its length only; leave "loaf" out.', field=("loaf",))
    trim, tolerance, finish = trim or Trim(), tolerance or Tolerance(), finish or Finish()
    _check_finish(finish, solid, boxed)
    across = Run(1, solid.width_mm, 0.0, 0.0, 0.0, 0.0)
    if loaf is not None:
        across = run_along(solid.width_mm, loaf.width_mm, kerf_mm if loaf.kerf_mm is None else loaf.kerf_mm,
                         loaf.trim or trim, edge="width", what="loaf", field_name=("loaf", "width"))
    thickness, name = _thickness(solid, bar, across, kerf_mm, trim, density, expected_loss_pct, finish)
    along = run_along(solid.length_mm, thickness, kerf_mm, trim, edge="length", what="bar", field_name=("bar", name))
    _check_listed(across, along, blocks_count, name)
    shaved = _shaved(finish, along.piece, across.piece, solid.height_mm)
    alike = alike_bars(solid, along.places, across.places, layers=layers, columns=columns)
    if len(alike) > limits.BAR_KINDS_MAX:
        raise OutOfRange(f"{len(alike):,} different kinds of bar; a cutting plan lists at most "
                         f"{limits.BAR_KINDS_MAX} kinds. Check the unit.", field=("bar", name))
    kinds = _kinds(alike, density, blocks_count, shaved,
                   {side: _corner(side, solid, across, along, tolerance) for side in (-1, 0, 1)})
    height = solid.height_mm - finish.planing_mm
    bars = replace(_bars(across, along, height, kinds, expected_loss_pct, blocks_count),
                   **_face(solid, loaf is not None, across.piece, height))
    pieces = offcuts_of_block(solid, across, along)
    offcuts = tuple(offcut_of(offcut, density, number if blocks_count > 1 else None)
                    for number in range(1, blocks_count + 1) for offcut in pieces)
    total = _volume(solid, (0.0, solid.length_mm), (0.0, solid.width_mm)) * blocks_count
    in_bars = math.fsum(kind.count * kind.volume_ml for kind in kinds)
    shavings = shaved * bars.count
    if boxed:
        kerf_volume = (across.kerf * solid.length_mm + across.count * along.kerf * across.piece) \
            * solid.height_mm / _MM3_PER_ML * blocks_count
    elif not (across.kerf or along.kerf):
        kerf_volume = 0.0
    else:
        kerf_volume = max(total - in_bars - shavings - math.fsum(offcut.volume_ml for offcut in offcuts), 0.0)
    return Cuts(blocks_count=blocks_count, block=Block(solid.length_mm, solid.width_mm, solid.height_mm),
                loaves=Loaves(across.count * blocks_count, solid.length_mm, across.piece, solid.height_mm),
                bars=bars, offcuts=offcuts, kerf_volume_ml=kerf_volume,
                kerf_mass_g=None if density is None else kerf_volume * density,
                volume_yield_pct=100 * in_bars / total, positions=_positions(across, along), kinds=kinds,
                turned=_turned(solid, bar, loaf, kerf_mm, trim) if boxed and loaf is not None else None,
                shavings_mass_g=None if density is None else shavings * density)


def _face(solid: Solid, in_loaves: bool, width: float, height: float) -> dict[str, Any]:
    """Form of a bar seen from the cut side."""
    if solid.shape.box_bars:
        return {"form": "bar", "face": tuple(FacePoint(x, y) for x, y in (
            (0.0, 0.0), (width, 0.0), (width, height), (0.0, height)))}
    if in_loaves:
        return {"form": "slanted", "face": ()}  # bars along the walls differ from those between them
    return {"form": solid.shape.piece, "face": tuple(FacePoint(x, y) for x, y in solid.face())}


def _check_listed(across: Run, along: Run, blocks_count: int, name: str) -> None:
    """Reject unrealistic numbers of pieces before computing each piece."""
    bars = across.count * along.count * blocks_count
    ends = sum(length > 0 for length in (along.start, along.rest, along.end))
    sides = sum(width > 0 for width in (across.start, across.rest, across.end))
    offcuts = (across.count * ends + sides) * blocks_count
    if bars + offcuts > limits.PIECES_MAX:
        raise OutOfRange(f"That is {bars:,} bars and {offcuts:,} offcuts; a cutting plan lists at most "
                         f"{limits.PIECES_MAX:,} pieces. Check the unit.", field=("bar", name))


def _positions(across: Run, along: Run) -> CutPositions:
    return CutPositions(across.cuts, along.cuts, tuple(begin for begin, _ in across.places),
                        tuple(begin for begin, _ in along.places))


def _check_finish(finish: Finish, solid: Solid, boxed: bool) -> None:
    if not boxed and (finish.planing_mm or finish.bevel_mm):
        raise Unsolvable("Planing and bevelling are computed for box-shaped bars only; leave them out here.",
                         field=("planing" if finish.planing_mm else "bevel",))
    if finish.planing_mm >= solid.height_mm:
        raise Unsolvable(EnglishText("Planing {planing} uses up a block {height} high.",
                                     planing=length(finish.planing_mm, digits=9), height=length(solid.height_mm)),
                         field=("planing",), value=finish.planing_mm)


def _shaved(finish: Finish, thickness: float, width: float, height: float, *, check: bool = True) -> float:
    """Volume that planing and bevelling remove from one bar. [mL]"""
    left = height - finish.planing_mm
    thinnest = min(thickness, width, left)
    if check and 2 * finish.bevel_mm >= thinnest:
        raise Unsolvable(EnglishText("Bevels of {bevel} overlap on a bar {thin} thick.",
                                     bevel=length(finish.bevel_mm, digits=9), thin=length(thinnest)),
                         field=("bevel",), value=finish.bevel_mm,
                         allowed=limits.below(length(thinnest / 2)))
    return thickness * width * finish.planing_mm / _MM3_PER_ML + bevel_volume(thickness, width, left, finish.bevel_mm)


def _turned(solid: Solid, bar: BarCut, loaf: LoafCut, kerf: float, trim: Trim) -> Turned | None:
    """Only for bars of a given thickness: for a count or a mass the bars change when the block is turned."""
    if bar.thickness_mm is None:
        return None
    try:
        across = run_along(solid.length_mm, loaf.width_mm, kerf if loaf.kerf_mm is None else loaf.kerf_mm,
                         loaf.trim or trim, edge="length", what="loaf", field_name=("loaf", "width"))
        along = run_along(solid.width_mm, bar.thickness_mm, kerf, trim, edge="width", what="bar",
                        field_name=("bar", "thickness"))
    except DomainError:
        return None
    count = across.count * along.count
    return Turned(count, 100 * count * loaf.width_mm * bar.thickness_mm / (solid.length_mm * solid.width_mm))


def _thickness(solid: Solid, bar: BarCut, across: Run, kerf: float, trim: Trim, density: float | None,
               loss_pct: float | None, finish: Finish) -> tuple[float, str]:
    if bar.thickness_mm is not None:
        return bar.thickness_mm, "thickness"
    if bar.count is not None:
        usable = solid.length_mm - trim.start_mm - trim.end_mm
        thickness = (usable - (bar.count - 1) * kerf) / bar.count
        if thickness <= 0:
            raise Unsolvable(EnglishText("{count} bars with a kerf of {kerf} do not fit into {usable}: the cuts use up "
                                         "the whole loaf. Request fewer bars.", count=bar.count,
                                         kerf=length(kerf, digits=9), usable=length(usable)),
                             field=("bar", "count"), value=bar.count)
        return thickness, "count"
    if density is None:
        raise Unsolvable('A bar by mass needs the "density" of the block.', field=("density",))
    wet = fresh_mass(bar.mass_g or 0.0, loss_pct or 0.0)
    # a millimetre from the middle of the first loaf: bars at slanted ends are lighter, as their kinds show
    middle = solid.length_mm / 2
    per_mm = _volume(solid, (middle - 0.5, middle + 0.5), across.places[0])
    # planing and bevel are linear in the thickness: a part per millimetre and a constant part
    bar_at = [_shaved(finish, thickness, across.piece, solid.height_mm, check=False) for thickness in (1.0, 2.0)]
    shaved_per_mm = bar_at[1] - bar_at[0]
    return (wet / density + bar_at[0] - shaved_per_mm) / (per_mm - shaved_per_mm), "mass"


def _kinds(found: Sequence[AlikeBars], density: float | None, blocks_count: int, shaved_ml: float,
           corners: Mapping[int, float]) -> tuple[BarKind, ...]:
    """The most numerous first."""
    kinds = []
    for one in found:
        left = one.volume_ml - shaved_ml
        mass = None if density is None else BarMass(*(left * density * corners[side] for side in (-1, 0, 1)))
        kinds.append(BarKind(one.count * blocks_count, one.first_loaf, one.first_bar, left, mass,
                             tuple(LayerShare(key, share) for key, share in one.shares)))
    return tuple(sorted(kinds, key=lambda kind: -kind.count))


def _corner(side: int, solid: Solid, across: Run, along: Run, tolerance: Tolerance) -> float:
    """Relative size of a bar if all cuts err in the same direction. [1]"""
    edges = ((along.piece, tolerance.length_mm), (across.piece, tolerance.width_mm), (solid.height_mm,
                                                                                   tolerance.height_mm))
    return math.prod(max(edge + side * off, 0.0) / edge for edge, off in edges) * (
        1 + side * tolerance.density_pct / 100)


def _bars(across: Run, along: Run, height: float, kinds: Sequence[BarKind], loss_pct: float | None,
          blocks_count: int) -> Bars:
    count = across.count * along.count * blocks_count
    mass = cured = None
    masses = [(kind.count, kind.mass) for kind in kinds if kind.mass is not None]
    if masses:
        mass = BarMass(min(one.min_g for _, one in masses), math.fsum(n * one.mid_g for n, one in masses) / count,
                       max(one.max_g for _, one in masses))
        if loss_pct is not None:
            cured = BarMass(*(cured_mass(one, loss_pct) for one in mass.ends))
    return Bars(count, across.piece, along.piece, height, mass, cured)


def _volume(solid: Solid, x: Interval, y: Interval) -> float:
    return float(solid.volumes([x], [y])[0, 0, 0])
