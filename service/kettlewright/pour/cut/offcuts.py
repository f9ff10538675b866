"""Pieces of a block that are not bars: trims and rests."""

from __future__ import annotations

from dataclasses import dataclass

from kettlewright.pour.cut.cut_pieces import (
    Offcut,
)
from kettlewright.pour.cut.runs import Run
from kettlewright.pour.mould.solids import Solid
from kettlewright.said import Said

__all__ = ["PieceOfBlock", "offcut_of", "offcuts_of_block"]


@dataclass(frozen=True, slots=True)
class PieceOfBlock:
    """A piece of one block that is not a bar.

    Parameters
    ----------
    name : Said
        Where it comes from. [text]
    length, width, height, volume : float
        Along the edges of the block; what it holds. [mm, mL]
    """

    name: Said
    length: float
    width: float
    height: float
    volume: float


def offcuts_of_block(solid: Solid, across: Run, along: Run) -> list[PieceOfBlock]:
    """The pieces of one block that are not bars.

    Parameters
    ----------
    solid : Solid
        The block. [mm]
    across, along : Run
        Its loaves, and the bars of a loaf. [mm]

    Returns
    -------
    list of PieceOfBlock : from the first side to the last. [mm, mL]
    """
    long, wide = solid.length_mm, solid.width_mm
    side = {"first": (0.0, across.start), "rest": (wide - across.end - across.rest, wide - across.end),
            "last": (wide - across.end, wide)}
    ends = [(Said("first end trim"), (0.0, along.start)),
            (Said("rest"), (long - along.end - along.rest, long - along.end)),
            (Said("last end trim"), (long - along.end, long))]
    ends = [(name, x) for name, x in ends if x[1] > x[0]]
    beside = solid.volumes([(0.0, long)], list(side.values()))[0, :, 0].tolist()
    behind = solid.volumes([x for _, x in ends], across.places)[:, :, 0].tolist() if ends else []

    def of_side(name: Said, place: str) -> list[PieceOfBlock]:
        y = side[place]
        volume = beside[list(side).index(place)]
        return [PieceOfBlock(name, long, y[1] - y[0], solid.height_mm, volume)] if y[1] > y[0] else []

    found = of_side(Said("first side trim"), "first")
    for number in range(across.count):
        loaf = None if across.count == 1 else number + 1
        found += [PieceOfBlock(_of_loaf(loaf, name), x[1] - x[0], across.piece, solid.height_mm, volumes[number])
                  for (name, x), volumes in zip(ends, behind, strict=True)]
    return [*found, *of_side(Said("side rest"), "rest"), *of_side(Said("last side trim"), "last")]


def offcut_of(piece: PieceOfBlock, density: float | None, block: int | None) -> Offcut:
    """A piece with its mass and its name.

    Parameters
    ----------
    piece : PieceOfBlock
        Of one block. [mm, mL]
    density : float, optional
        Of the block, if known. [g/mL]
    block : int, optional
        Which block, where there are several. [number]

    Returns
    -------
    Offcut : [mm, g]
    """
    name = piece.name if block is None else Said("block {block}, {piece}", block=block, piece=piece.name)
    return Offcut(name, piece.length, piece.width, piece.height,
                  None if density is None else piece.volume * density, piece.volume)


def _of_loaf(loaf: int | None, piece: Said) -> Said:
    return piece if loaf is None else Said("loaf {loaf}, {piece}", loaf=loaf, piece=piece)
