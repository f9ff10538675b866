"""Equal pieces in a row along one edge of a block, and the cuts between them."""

from __future__ import annotations

from dataclasses import dataclass, field

from kettlewright import limits
from kettlewright.amounts import bare, length
from kettlewright.errors import Unsolvable
from kettlewright.pour.cut.cut_inputs import Trim
from kettlewright.pour.cut.cut_pieces import (
    whole_pieces,
)
from kettlewright.pour.mould.solids import Interval
from kettlewright.said import EnglishText

__all__ = ["Run", "run_along"]

_EPS_MM = 1e-6
_SLIVER_MM = 5.0
"""A thinner rest is not a useful piece: it stays attached to the trim next to it (own decision)."""

@dataclass(frozen=True, slots=True)
class Run:
    """Pieces along one edge.

    Parameters
    ----------
    count : int
        How many. [pieces]
    piece : float
        Length of each. [mm]
    start, end, rest : float
        Trimmed off at both ends, and left over before the last trim. [mm]
    kerf : float
        Of all cuts together, trims not counted. [mm]
    cuts : tuple of float
        Near edge of each cut. [mm]
    between : float
        Width of the cut between two pieces. [mm]
    """

    count: int
    piece: float
    start: float
    end: float
    rest: float
    kerf: float
    cuts: tuple[float, ...] = field(default=())
    between: float = 0.0

    @property
    def places(self) -> list[Interval]:
        """Position of each piece. [mm]"""
        begins = [self.start + number * (self.piece + self.between) for number in range(self.count)]
        return [(begin, begin + self.piece) for begin in begins]


def run_along(edge_mm: float, piece: float, kerf: float, trim: Trim, *, edge: str, what: str,
              field_name: tuple[str, str]) -> Run:
    """As many pieces as fit along an edge.

    Parameters
    ----------
    edge_mm, piece, kerf : float
        The edge, a piece, the width of a cut. [mm]
    trim : Trim
        Cut off both ends first. [mm]
    edge, what : str
        How an error names the edge and the piece. [text]
    field_name : tuple of str
        Where the size of the piece is in the request. [path]

    Returns
    -------
    Run : [mm]

    Raises
    ------
    Unsolvable : trims that use up the edge, a piece that does not fit.

    Notes
    -----
    n = floor((U + k) / (b + k)); n pieces need n - 1 cuts, and one more if something is left.
    """
    usable = edge_mm - trim.start_mm - trim.end_mm
    if usable <= 0:
        raise Unsolvable(EnglishText("Trims of {start} and {end} use up a {edge} of {whole}.",
                                     start=bare(length(trim.start_mm, digits=9)), end=length(trim.end_mm, digits=9),
                                     edge=edge, whole=length(edge_mm, digits=9)), field=("trim",))
    count = whole_pieces((usable + kerf) / (piece + kerf))
    if count < 1:
        raise Unsolvable(EnglishText("A {what} of {piece} does not fit into the remaining {usable} of the block's "
                                     "{edge}.", what=what, piece=length(piece), usable=length(usable), edge=edge),
                         field=field_name, value=piece,
                         allowed=limits.up_to(length(usable)))
    left = usable - count * piece - (count - 1) * kerf
    left = 0.0 if left < _EPS_MM else left
    last_cut = min(kerf, left)
    rest, end = left - last_cut, trim.end_mm
    sliver = left > 0 and end > 0 and rest < _SLIVER_MM
    if sliver:
        rest, end = 0.0, end + rest
    near_edges = [trim.start_mm + number * (piece + kerf) - kerf for number in range(1, count)]
    if left:
        near_edges.append(trim.start_mm + count * (piece + kerf) - kerf)
    if trim.start_mm:
        near_edges.insert(0, max(trim.start_mm - kerf, 0.0))
    if trim.end_mm and not sliver:
        near_edges.append(edge_mm - trim.end_mm)
    return Run(count, piece, trim.start_mm, end, rest, (count - 1) * kerf + last_cut,
                tuple(near_edges), kerf)
