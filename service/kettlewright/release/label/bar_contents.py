"""Which bars hold what: every kind of bar, cavity or piece of a batch, with the buckets that are in it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kettlewright.pour import BarKind, BarMass, Cuts, Division
from kettlewright.release.label.contents import Content, together
from kettlewright.said import Said

__all__ = ["BarContent", "bars_of"]

_NOTHING = 1e-9


@dataclass(frozen=True, slots=True)
class BarContent:
    """Bars that are alike.

    Parameters
    ----------
    count : int
        Number of bars; 0 if not known. [bars]
    where : Said
        Which, in words. [text]
    holds : tuple of str
        Keys of the portions in them. [keys]
    content : Content
        Of one bar (of all together, if the count is not known). [g]
    mass : BarMass, optional
        Wet, of one. [g]
    """

    count: int
    where: Said
    holds: tuple[str, ...]
    content: Content
    mass: BarMass | None


@dataclass(frozen=True, slots=True)
class _Filled:
    """Contents of a bucket in the mould and in the overflow mould. [mL, g]"""

    key: str
    name: str
    main: Content
    main_ml: float
    over: Content
    over_ml: float


def bars_of(division: Division, buckets: Mapping[str, tuple[Content, Content]], cuts: Cuts | None, arrangement: str, *,
            piece_tolerance_pct: float) -> tuple[BarContent, ...]:
    """Every kind of bar and what is in it.

    Parameters
    ----------
    division : Division
        The buckets and the mould. [g, mL]
    buckets : mapping of str to (Content, Content)
        What leaves each bucket and its powder, by key. [g]
    cuts : Cuts, optional
        How the block is cut; without it each cavity is a piece. [mm]
    arrangement : str
        How the portions lie. [key]
    piece_tolerance_pct : float
        How far the mass of a piece that is not cut may be off, either way. [%]

    Returns
    -------
    tuple of BarContent : the most numerous first; the overflow last. [g]

    Notes
    -----
    Bars with layers hold each layer by its share of their volume; the powder on a layer goes with the layer. Columns
    are divided by the width each loaf takes of them. Mingled portions are everywhere, also in the overflow mould.
    """
    filled = _filled(division, buckets)
    found = _pieces(filled, division, arrangement, piece_tolerance_pct) if cuts is None else _cut(filled, cuts)
    over = [one for one in filled if one.over_ml > _NOTHING * (one.main_ml + one.over_ml)]
    if over:
        found.append(BarContent(0, Said("the batter in the overflow mould"), tuple(one.key for one in over),
                                together(one.over for one in over), None))
    return tuple(found)


def _filled(division: Division, buckets: Mapping[str, tuple[Content, Content]]) -> list[_Filled]:
    """Where the contents of each bucket are."""
    found = []
    for portion in division.portions:
        content, powder = buckets[portion.key]
        over_ml = portion.overflow_volume_ml
        part = 1 - over_ml / portion.mould_volume_ml
        found.append(_Filled(
            portion.key, portion.name,
            together((content.times(part), powder)) if part > _NOTHING else Content(),
            portion.mould_volume_ml - over_ml,
            content.times(1 - part) if part > _NOTHING else together((content, powder)), over_ml))
    return found


def _cut(filled: Sequence[_Filled], cuts: Cuts) -> list[BarContent]:
    by_key = {one.key: one for one in filled}
    found = []
    for kind in cuts.kinds:
        if kind.layers:
            parts = [(by_key[layer.key], kind.volume_ml * layer.share_pct / 100) for layer in kind.layers]
            parts = [(one, volume) for one, volume in parts if one.main_ml > _NOTHING]
        else:
            total = math.fsum(one.main_ml for one in filled)
            parts = [(one, kind.volume_ml * one.main_ml / total) for one in filled if one.main_ml > _NOTHING]
        content = together(one.main.times(volume / one.main_ml) for one, volume in parts)
        found.append(BarContent(kind.count, _where(kind, cuts), tuple(one.key for one, _ in parts), content, kind.mass))
    return found


def _where(kind: BarKind, cuts: Cuts) -> Said:
    if kind.count == cuts.bars.count:
        return Said("all bars")
    a_loaf = cuts.bars.count // cuts.loaves.count
    if kind.first_bar == 1 and kind.count == a_loaf:
        return Said("the {count} bars of loaf {loaf}", count=a_loaf, loaf=kind.first_loaf)
    return Said("{count} bars, the first of them bar {bar} of loaf {loaf}", count=kind.count, bar=kind.first_bar,
                loaf=kind.first_loaf)


def _pieces(filled: Sequence[_Filled], division: Division, arrangement: str, tolerance_pct: float) -> list[BarContent]:
    if arrangement == "separate":
        return [BarContent(1, Said('the cavity of "{portion}"', portion=one.name), (one.key,), one.main,
                           _around(one.main.mass_g, tolerance_pct)) for one in filled]
    count = 1 if division.mould is None else division.mould.count
    inside = [one for one in filled if one.main_ml > _NOTHING]
    return [BarContent(count, Said("all pieces"), tuple(one.key for one in inside),
                       together(one.main for one in inside).times(1 / count),
                       _around(division.mould_mass_g / count, tolerance_pct))]


def _around(mass_g: float, tolerance_pct: float) -> BarMass:
    off = mass_g * tolerance_pct / 100
    return BarMass(mass_g - off, mass_g, mass_g + off)
