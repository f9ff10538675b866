"""Cups to weigh before any lye is made: bottle by bottle, with the total of each."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kettlewright.pour import Division
from kettlewright.said import Said
from kettlewright.weigh_list import WeighRow

__all__ = ["BOTTLE_KINDS", "Bottle", "Cup", "set_out"]

BOTTLE_KINDS = ("dispersion", "addition", "dusting", "spray")


@dataclass(frozen=True, slots=True)
class Cup:
    """One cup to weigh out of a bottle or a jar.

    Parameters
    ----------
    portion : str, optional
        Key of the portion it is for; None for the pot. [key]
    name : str
        Name of portion or pot. [text]
    weigh_g : float
        On the scale; of a dose too little for the scale, of its dilution. [g]
    diluted : bool
        Of its dilution. [yes or no]
    count : int
        Equal cups: one for each mix. [cups]
    """

    portion: str | None
    name: str
    weigh_g: float
    diluted: bool
    count: int


@dataclass(frozen=True, slots=True)
class Bottle:
    """What is weighed into one cup or several.

    Parameters
    ----------
    row : WeighRow
        One of its rows: what it is, its form, lot and scale. [g]
    total_g : float
        Of all its rows, undiluted. [g]
    cups : tuple of Cup
        In pour order, the pot first. [g]
    """

    row: WeighRow
    total_g: float
    cups: tuple[Cup, ...]


def set_out(rows: Sequence[WeighRow], division: Division) -> tuple[Bottle, ...]:
    """Every dye, scent, powder and dispersion, with its cups.

    Parameters
    ----------
    rows : sequence of WeighRow
        The weigh list of the batch. [g]
    division : Division
        The buckets. [g]

    Returns
    -------
    tuple of Bottle : dispersions first, since their jars are mixed before anything is weighed out of them; then in the
        order of the weigh list. [g]
    """
    names = {portion.key: portion.name for portion in division.portions}
    found: dict[tuple[object, ...], list[WeighRow]] = {}
    for row in rows:
        if row.kind in BOTTLE_KINDS and row.where != "jar":
            found.setdefault((row.kind, row.key, row.lot), []).append(row)
    bottles = [Bottle(of[0], math.fsum(row.weigh_g for row in of), tuple(_cup(row, names) for row in of))
               for of in found.values()]
    return tuple(sorted(bottles, key=lambda one: one.row.kind != "dispersion"))


def _cup(row: WeighRow, names: dict[str, str]) -> Cup:
    count = 1 if row.each_mix_g is None else round(row.weigh_g / row.each_mix_g) if row.each_mix_g else 1
    weigh = row.take_g if row.take_g is not None else row.weigh_g if row.each_mix_g is None else row.each_mix_g
    return Cup(row.portion, Said("pot") if row.portion is None else names[row.portion], weigh, row.take_g is not None,
               count)
