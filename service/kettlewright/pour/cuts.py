"""A block cut into loaves and bars: how many, how large, what is left, what each bar may weigh."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from kettlewright import amounts, limits
from kettlewright.curing import cured_mass, fresh_mass
from kettlewright.errors import DomainError, OutOfRange, Unsolvable
from kettlewright.pour.pieces import (
    BarCut,
    BarKind,
    BarMass,
    Bars,
    Block,
    CutPositions,
    Cuts,
    Finish,
    LayerShare,
    LoafCut,
    Loaves,
    Offcut,
    Tolerance,
    Trim,
    Turned,
    whole_pieces,
)
from kettlewright.pour.shapes import Box
from kettlewright.pour.solids import Interval, RoundBlock, SlantedBlock, Solid, bevel_volume
from kettlewright.said import EnglishText, Said

__all__ = ["cut_block"]

_MM3_PER_ML = 1000.0
_EPS_MM = 1e-6

_Region = tuple[str, Interval | None, Interval | None]
"""Where a portion lies in the block: its key, its place across, its heights; none where it takes all of that."""


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
    between: float = 0.0

    def place(self, number: int) -> Interval:
        """Where a piece lies, counted from 0. [mm]"""
        begin = self.start + number * (self.piece + self.between)
        return begin, begin + self.piece


def cut_block(block: Block | Solid, bar: BarCut, *, loaf: LoafCut | None = None, kerf_mm: float = 0.0,
              trim: Trim | None = None, tolerance: Tolerance | None = None, density: float | None = None,
              expected_loss_pct: float | None = None, blocks_count: int = 1, finish: Finish | None = None,
              layers: Sequence[tuple[str, Interval]] = (),
              columns: Sequence[tuple[str, Interval]] = ()) -> Cuts:
    """Cut a block across its width into loaves, and each along its length into bars.

    Parameters
    ----------
    block : Block or Solid
        The block; a mould's own form where it is no box. [mm]
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
        Loss in cure. [% of a bar as cut]
    blocks_count : int
        Equal blocks. [blocks]
    finish : Finish, optional
        What is taken off each bar; of box-shaped bars only. [mm]
    layers : sequence of (key, (bottom, top))
        Flat layers, by their heights in the mould. [mm]
    columns : sequence of (key, (start, end))
        In place of layers: upright ones, across the width of a box. [mm]

    Returns
    -------
    Cuts : block = bars + offcuts + kerf + shavings. [mm, g]

    Raises
    ------
    DomainError, OutOfRange, Unsolvable : pieces larger than the block, trims or kerf that leave nothing.

    Notes
    -----
    n = floor((U + k) / (b + k)); between n pieces lie n - 1 cuts, and a last one where something is left.
    """
    limits.KERF.check(kerf_mm, "kerf")
    solid: Solid = SlantedBlock(Box(block.length_mm, block.width_mm, block.height_mm), block.height_mm) \
        if isinstance(block, Block) else block
    boxed = isinstance(solid, SlantedBlock) and isinstance(solid.shape, Box)
    if loaf is not None and isinstance(solid, RoundBlock):
        raise Unsolvable('A round is cut along its length only; leave "loaf" out.', field=("loaf",))
    trim, tolerance, finish = trim or Trim(), tolerance or Tolerance(), finish or Finish()
    _check_finish(finish, solid, boxed)
    across = _Run(1, solid.width_mm, 0.0, 0.0, 0.0, 0.0)
    if loaf is not None:
        across = _pieces(solid.width_mm, loaf.width_mm, kerf_mm if loaf.kerf_mm is None else loaf.kerf_mm,
                         loaf.trim or trim, edge="width", what="loaf", field_name=("loaf", "width"))
    thickness, name = _thickness(solid, bar, across, kerf_mm, trim, density, expected_loss_pct, finish)
    along = _pieces(solid.length_mm, thickness, kerf_mm, trim, edge="length", what="bar", field_name=("bar", name))
    if across.count * along.count * blocks_count > limits.PIECES_MAX:
        raise OutOfRange(f"That is {across.count * along.count * blocks_count:,} bars; a cutting plan lists at most "
                         f"{limits.PIECES_MAX:,}. Is the unit right?", field=("bar", name))
    shaved = _shaved(finish, along.piece, across.piece, solid.height_mm)
    regions: list[_Region] = [(key, None, heights) for key, heights in layers]
    regions += [(key, width, None) for key, width in columns]
    kinds = _kinds(solid, across, along, tolerance, density, blocks_count, shaved, regions)
    bars = _bars(across, along, solid.height_mm - finish.planing_mm, kinds, expected_loss_pct, blocks_count)
    offcuts = tuple(itertools.chain.from_iterable(
        _offcuts(solid, across, along, density, number if blocks_count > 1 else None)
        for number in range(1, blocks_count + 1)))
    whole = ((0.0, solid.length_mm), (0.0, solid.width_mm))
    total = solid.volume_between(*whole) * blocks_count
    in_bars = math.fsum(kind.count * kind.volume_ml for kind in kinds)
    shavings = shaved * bars.count
    if boxed:
        kerf_volume = (across.kerf * solid.length_mm + across.count * along.kerf * across.piece) \
            * solid.height_mm / _MM3_PER_ML * blocks_count
    else:
        kerf_volume = max(total - in_bars - shavings - math.fsum(offcut.volume_ml for offcut in offcuts), 0.0)
    return Cuts(blocks_count=blocks_count, block=Block(solid.length_mm, solid.width_mm, solid.height_mm),
                loaves=Loaves(across.count * blocks_count, solid.length_mm, across.piece, solid.height_mm),
                bars=bars, offcuts=offcuts, kerf_volume_ml=kerf_volume,
                kerf_mass_g=None if density is None else kerf_volume * density,
                volume_yield_pct=100 * in_bars / total, positions=_positions(across, along), kinds=kinds,
                turned=_turned(solid, bar, loaf, kerf_mm, trim) if boxed and loaf is not None else None,
                shavings_mass_g=None if density is None else shavings * density)


def _positions(across: _Run, along: _Run) -> CutPositions:
    return CutPositions(across.cuts, along.cuts, tuple(across.place(number)[0] for number in range(across.count)),
                        tuple(along.place(number)[0] for number in range(along.count)))


def _check_finish(finish: Finish, solid: Solid, boxed: bool) -> None:
    if not boxed and (finish.planing_mm or finish.bevel_mm):
        raise Unsolvable("Planing and bevelling are reckoned for box-shaped bars only; leave them out here.",
                         field=("planing" if finish.planing_mm else "bevel",))
    if finish.planing_mm >= solid.height_mm:
        raise Unsolvable(EnglishText("Planing {planing} leaves nothing of a block {height} high.",
                                     planing=amounts.length(finish.planing_mm, digits=9),
                                     height=amounts.length(solid.height_mm)),
                         field=("planing",), value=finish.planing_mm)


def _shaved(finish: Finish, thickness: float, width: float, height: float, *, check: bool = True) -> float:
    """What planing and bevelling take off one bar. [mL]"""
    left = height - finish.planing_mm
    thinnest = min(thickness, width, left)
    if check and 2 * finish.bevel_mm >= thinnest:
        raise Unsolvable(EnglishText("A bevel of {bevel} meets itself on a bar {thinnest} thin.",
                                     bevel=amounts.length(finish.bevel_mm, digits=9),
                                     thinnest=amounts.length(thinnest)),
                         field=("bevel",), value=finish.bevel_mm, allowed=limits.below(amounts.length(thinnest / 2)))
    return thickness * width * finish.planing_mm / _MM3_PER_ML + bevel_volume(thickness, width, left, finish.bevel_mm)


def _turned(solid: Solid, bar: BarCut, loaf: LoafCut, kerf: float, trim: Trim) -> Turned | None:
    """Bars of a wanted thickness only: a count or a mass means another bar when the block is turned."""
    if bar.thickness_mm is None:
        return None
    try:
        across = _pieces(solid.length_mm, loaf.width_mm, kerf if loaf.kerf_mm is None else loaf.kerf_mm,
                         loaf.trim or trim, edge="length", what="loaf", field_name=("loaf", "width"))
        along = _pieces(solid.width_mm, bar.thickness_mm, kerf, trim, edge="width", what="bar",
                        field_name=("bar", "thickness"))
    except DomainError:
        return None
    count = across.count * along.count
    return Turned(count, 100 * count * loaf.width_mm * bar.thickness_mm / (solid.length_mm * solid.width_mm))


def _thickness(solid: Solid, bar: BarCut, across: _Run, kerf: float, trim: Trim, density: float | None,
               loss_pct: float | None, finish: Finish) -> tuple[float, str]:
    if bar.thickness_mm is not None:
        return bar.thickness_mm, "thickness"
    if bar.count is not None:
        usable = solid.length_mm - trim.start_mm - trim.end_mm
        thickness = (usable - (bar.count - 1) * kerf) / bar.count
        if thickness <= 0:
            raise Unsolvable(EnglishText("{count} bars with a kerf of {kerf} do not go into {usable}: the cuts eat "
                                         "the loaf. Ask for fewer.",
                                         count=bar.count, kerf=amounts.length(kerf, digits=9),
                                         usable=amounts.length(usable)), field=("bar", "count"), value=bar.count)
        return thickness, "count"
    if density is None:
        raise Unsolvable('A bar by mass needs the "density" of the block.', field=("density",))
    wet = fresh_mass(bar.mass_g or 0.0, loss_pct or 0.0)
    # a millimetre from the middle of the first loaf: ends that slant make their bars lighter, and the kinds say so
    middle = solid.length_mm / 2
    per_mm = solid.volume_between((middle - 0.5, middle + 0.5), across.place(0))
    # planing and bevel grow with the thickness in a straight line: so much of it for each millimetre, so much always
    bar_at = [_shaved(finish, thickness, across.piece, solid.height_mm, check=False) for thickness in (1.0, 2.0)]
    shaved_per_mm = bar_at[1] - bar_at[0]
    return (wet / density + bar_at[0] - shaved_per_mm) / (per_mm - shaved_per_mm), "mass"


def _pieces(edge_mm: float, piece: float, kerf: float, trim: Trim, *, edge: str, what: str,
            field_name: tuple[str, str]) -> _Run:
    usable = edge_mm - trim.start_mm - trim.end_mm
    if usable <= 0:
        raise Unsolvable(EnglishText("Trims of {start} and {end} leave nothing of a {edge} of {size}.",
                                     start=amounts.bare(amounts.length(trim.start_mm, digits=9)),
                                     end=amounts.length(trim.end_mm, digits=9), edge=edge,
                                     size=amounts.length(edge_mm, digits=9)), field=("trim",))
    count = whole_pieces((usable + kerf) / (piece + kerf))
    if count < 1:
        raise Unsolvable(EnglishText("A {what} of {piece} does not go into the {usable} that are left of the block's "
                                     "{edge}.",
                                     what=what, piece=amounts.length(piece), usable=amounts.length(usable),
                                     edge=edge),
                         field=field_name, value=piece, allowed=limits.up_to(amounts.length(usable)))
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
                tuple(near_edges), kerf)


def _kinds(solid: Solid, across: _Run, along: _Run, tolerance: Tolerance, density: float | None, blocks_count: int,
           shaved_ml: float, regions: Sequence[_Region]) -> tuple[BarKind, ...]:
    """Bars that are alike to a millionth, the most numerous first."""
    found: list[tuple[int, int, int, float, tuple[float, ...]]] = []
    for loaf in range(across.count):
        sample: tuple[float, tuple[float, ...]] | None = None
        for number in range(along.count):
            if sample is None or not solid.alike_along:
                place = (along.place(number), across.place(loaf))
                sample = (solid.volume_between(*place),
                          tuple(_volume_of(region, solid, *place) for region in regions))
            volume, parts = sample
            close = 1e-6 * volume
            for position, (count, first_loaf, first_bar, other, others) in enumerate(found):
                if abs(volume - other) <= close and all(
                        abs(one - two) <= close for one, two in zip(parts, others, strict=True)):
                    found[position] = (count + 1, first_loaf, first_bar, other, others)
                    break
            else:
                found.append((1, loaf + 1, number + 1, volume, parts))
    kinds = []
    for count, first_loaf, first_bar, volume, parts in found:
        left = volume - shaved_ml
        mass = None
        if density is not None:
            mass = BarMass(*(left * density * _corner(side, solid, across, along, tolerance) for side in (-1, 0, 1)))
        held = math.fsum(parts)
        kinds.append(BarKind(count * blocks_count, first_loaf, first_bar, left, mass, tuple(
            LayerShare(key, 100 * part / held) for (key, *_), part in zip(regions, parts, strict=True) if part > 0)))
    return tuple(sorted(kinds, key=lambda kind: -kind.count))


def _volume_of(region: _Region, solid: Solid, x: Interval, y: Interval) -> float:
    """Of a portion, in one bar. [mL]"""
    _, width, heights = region
    if width is None:
        return solid.volume_between(x, y, heights)
    inside = max(y[0], width[0]), min(y[1], width[1])
    return solid.volume_between(x, inside) if inside[1] > inside[0] else 0.0


def _corner(side: int, solid: Solid, across: _Run, along: _Run, tolerance: Tolerance) -> float:
    """How much larger or smaller a bar is when every cut errs the same way. [1]"""
    edges = ((along.piece, tolerance.length_mm), (across.piece, tolerance.width_mm), (solid.height_mm,
                                                                                   tolerance.height_mm))
    return math.prod(max(edge + side * off, 0.0) / edge for edge, off in edges) * (
        1 + side * tolerance.density_pct / 100)


def _bars(across: _Run, along: _Run, height: float, kinds: Sequence[BarKind], loss_pct: float | None,
          blocks_count: int) -> Bars:
    count = across.count * along.count * blocks_count
    mass = cured = None
    masses = [(kind.count, kind.mass) for kind in kinds if kind.mass is not None]
    if masses:
        mass = BarMass(min(one.min_g for _, one in masses), math.fsum(n * one.mid_g for n, one in masses) / count,
                       max(one.max_g for _, one in masses))
        if loss_pct is not None:
            cured = BarMass(*(cured_mass(one, loss_pct) for one in (mass.min_g, mass.mid_g, mass.max_g)))
    return Bars(count, across.piece, along.piece, height, mass, cured)


def _offcuts(solid: Solid, across: _Run, along: _Run, density: float | None, block: int | None) -> list[Offcut]:
    def piece(name: Said, x: Interval, y: Interval) -> list[Offcut]:
        if x[1] - x[0] <= 0 or y[1] - y[0] <= 0:
            return []
        volume = solid.volume_between(x, y)
        whole = name if block is None else Said("block {block}, {piece}", block=block, piece=name)
        return [Offcut(whole, x[1] - x[0], y[1] - y[0], solid.height_mm,
                       None if density is None else volume * density, volume)]

    long, wide = solid.length_mm, solid.width_mm
    found = piece(Said("first side trim"), (0.0, long), (0.0, across.start))
    for number in range(across.count):
        y = across.place(number)
        loaf = None if across.count == 1 else number + 1
        found += piece(_of_loaf(loaf, Said("first end trim")), (0.0, along.start), y)
        found += piece(_of_loaf(loaf, Said("rest")), (long - along.end - along.rest, long - along.end), y)
        found += piece(_of_loaf(loaf, Said("last end trim")), (long - along.end, long), y)
    found += piece(Said("side rest"), (0.0, long), (wide - across.end - across.rest, wide - across.end))
    return found + piece(Said("last side trim"), (0.0, long), (wide - across.end, wide))


def _of_loaf(loaf: int | None, piece: Said) -> Said:
    return piece if loaf is None else Said("loaf {loaf}, {piece}", loaf=loaf, piece=piece)
