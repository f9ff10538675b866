"""Kinds of bars: computed once where the block is symmetric, and merged if they agree within a millionth."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from kettlewright.pour.mould.solids import Interval, Solid

__all__ = ["AlikeBars", "alike_bars"]

_ALIKE = 1e-6
_NOTHING = 1e-9
_DIGITS = 9  # of a millimetre: positions that differ by rounding are equal
_GOLDEN = (math.sqrt(5) - 1) / 2

Region = tuple[str, Interval]


@dataclass(frozen=True, slots=True)
class AlikeBars:
    """Bars of one kind.

    Parameters
    ----------
    count : int
        Number of bars. [bars]
    first_loaf, first_bar : int
        Position of the first of them, from 1. [number]
    volume_ml : float
        Volume of one, as cut. [mL]
    shares : tuple of (key, float)
        Its share of each layer or column. [% of bar]
    """

    count: int
    first_loaf: int
    first_bar: int
    volume_ml: float
    shares: tuple[tuple[str, float], ...]


def alike_bars(solid: Solid, bars: Sequence[Interval], loaves: Sequence[Interval], *, layers: Sequence[Region] = (),
               columns: Sequence[Region] = ()) -> list[AlikeBars]:
    """The bars of a block, grouped by kind.

    Parameters
    ----------
    solid : Solid
        The block. [mm]
    bars, loaves : sequences of (begin, end)
        Positions of bars along the length and of loaves across the width. [mm]
    layers : sequence of (key, (bottom, top))
        Flat layers, by their heights in the mould. [mm]
    columns : sequence of (key, (start, end))
        Instead of layers: upright columns, across the width. [mm]

    Returns
    -------
    list of AlikeBars : in the order of their first bar, loaf by loaf. [bars]
    """
    along = _classes(solid.fold(bars))
    across = _classes(loaves if columns else solid.fold_across(loaves))
    x, y = [one.place for one in along], [one.place for one in across]
    found = solid.volumes(x, y, [heights for _, heights in layers])
    volumes, parts = found[:, :, 0], found[:, :, 1:]
    if columns:
        parts = np.stack([solid.volumes(x, [_within(place, column) for place in y])[:, :, 0]
                          for _, column in columns], axis=2)
    keys = [key for key, _ in (*layers, *columns)]
    # loaf by loaf, in the order of the bars' numbers
    flat = volumes.T.reshape(-1)
    held = parts.transpose(1, 0, 2).reshape(len(flat), -1)
    places = [(one.count * other.count, other.first, one.first) for other in across for one in along]
    group = _groups(flat, held)
    counts: dict[int, int] = {}
    for (count, _, _), first in zip(places, group, strict=True):
        counts[first] = counts.get(first, 0) + count
    return [AlikeBars(count, places[first][1] + 1, places[first][2] + 1, float(flat[first]),
                      _shares(keys, held[first].tolist())) for first, count in counts.items()]


def _shares(keys: Sequence[str], parts: Sequence[float]) -> tuple[tuple[str, float], ...]:
    whole = math.fsum(parts)
    return tuple((key, 100 * part / whole) for key, part in zip(keys, parts, strict=True) if part > _NOTHING * whole)


def _within(place: Interval, column: Interval) -> Interval:
    begin, end = max(place[0], column[0]), min(place[1], column[1])
    return begin, max(begin, end)


@dataclass(frozen=True, slots=True)
class _Class:
    """Equivalent positions: one of them, their number, and the index of the first, from 0."""

    place: Interval
    count: int
    first: int


def _classes(places: Sequence[Interval]) -> list[_Class]:
    counts: dict[Interval, list[int]] = {}
    for number, (begin, end) in enumerate(places):
        counts.setdefault((round(begin, _DIGITS), round(end, _DIGITS)), [0, number])[0] += 1
    return [_Class(places[first], count, first) for count, first in counts.values()]


def _groups(volumes: np.ndarray, parts: np.ndarray) -> list[int]:
    """For each bar the index of the first bar of its kind: volume and parts within a millionth of its volume.

    Every bar is compared only with those whose volume, and a weighted sum of whose parts, fall into the same or a
    neighbouring bin, so that the work does not grow with the square of the number of bars.
    """
    if len(volumes) == 1:
        return [0]
    weights = np.modf(_GOLDEN * np.arange(1, parts.shape[1] + 1))[0]
    with np.errstate(divide="ignore", invalid="ignore"):
        size = np.nan_to_num(np.log(volumes) / (2 * _ALIKE), neginf=0.0)
        mixed = np.nan_to_num((parts @ weights) / volumes / (2 * _ALIKE * (parts.shape[1] + 1)))
    bins: dict[tuple[int, int], list[int]] = {}
    found = []
    for number, (one, other) in enumerate(zip(np.floor(size).astype(int).tolist(),
                                              np.floor(mixed).astype(int).tolist(), strict=True)):
        close = _ALIKE * volumes[number]
        near = sorted(first for step in (-1, 0, 1) for turn in (-1, 0, 1)
                      for first in bins.get((one + step, other + turn), ()))
        like = next((first for first in near if abs(volumes[first] - volumes[number]) <= close
                     and bool(np.all(np.abs(parts[first] - parts[number]) <= close))), None)
        if like is None:
            like = number
            bins.setdefault((one, other), []).append(number)
        found.append(like)
    return found
