"""The ingredient list: one line for each name, in the order the law requires."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TypeVar

from kettlewright.release.label.contents import Content, Substance
from kettlewright.said import Said

__all__ = ["GROUPS", "ROLES", "Ingredient", "ingredient_list"]

GROUPS = ("ordered", "any_order", "colourants")
ROLES = ("ingredient", "perfume", "allergen", "colourant")
_FROM_PCT = 1.0
_NOISE = 1e-9
Words = TypeVar("Words", bound=str)
_LEAST_SURE = ("market", "table", "coop", "you", "fallback")


@dataclass(frozen=True, slots=True)
class Ingredient:
    """A line of the list.

    Parameters
    ----------
    name : str
        As printed. [text]
    share_pct : float
        Of the mass as added; of an allergen, which is a part of the scent, the same. [% by mass]
    group : str
        One of `GROUPS`: in falling order, in any order, colourants last. [key]
    role : str
        One of `ROLES`. [key]
    named_by : str
        "you", "coop", "table", "market" or "fallback". [key]
    made_of : tuple of str
        The maker's words for its sources. [text]
    remarks : tuple of Said
        Notes. [text]
    pointers : tuple of str
        Its places in the request, as JSON Pointers. [text]
    doubts : tuple of Said
        Why something in it is listed as added although its salt was requested. [text]
    colour_status : str, optional
        Of a colourant: "stated", "listed", "not_listed" or "not_shown". [key]
    rows : tuple of str
        Keys of the rows of the shared list that name it. [keys]
    """

    name: str
    share_pct: float
    group: str
    role: str
    named_by: str
    made_of: tuple[str, ...]
    remarks: tuple[Said, ...]
    pointers: tuple[str, ...]
    doubts: tuple[Said, ...]
    colour_status: str | None
    rows: tuple[str, ...] = ()


def ingredient_list(content: Content, allergens: Sequence[tuple[str, float]] = ()) -> tuple[Ingredient, ...]:
    """The list of what is in a bar.

    Parameters
    ----------
    content : Content
        Of the bar. [g]
    allergens : sequence of (str, float)
        Those to be named one by one, and how much of each. [g]

    Returns
    -------
    tuple of Ingredient : in falling order of mass as added, colourants last in falling order too. [% by mass]

    Notes
    -----
    Names that are the same are one line. Below 1 % the law leaves the order free, and the list goes on falling; exactly
    1 % stays in order. Colourants may follow in any order after the others.

    References
    ----------
    .. [1] Regulation (EC) 1223/2009, Article 19(1)(g). Read in quotes.
    .. [2] 21 CFR 701.3(f): ingredients of 1 % or less, and colour additives, in any order. Second-hand.
    """
    total = content.mass_g
    lines: dict[str, list[Substance]] = {}
    for piece in content.pieces:
        if piece.mass_g > 0:
            lines.setdefault(piece.named.text.casefold(), []).append(piece)
    found = [_line(pieces, total) for pieces in lines.values()]
    named = {line.name.casefold() for line in found}
    found += [Ingredient(name, 100 * mass / total, _group(100 * mass / total, "allergen"), "allergen", "table", (), (),
                         (), (), None) for name, mass in allergens if name.casefold() not in named]
    return tuple(sorted(found, key=lambda line: (line.group == "colourants", -line.share_pct)))


def _line(pieces: Sequence[Substance], total_g: float) -> Ingredient:
    share = 100 * math.fsum(piece.mass_g for piece in pieces) / total_g
    role = next((piece.role for piece in pieces if piece.role != "ingredient"), "ingredient")
    statuses = [piece.colour_status for piece in pieces if piece.colour_status]
    return Ingredient(
        name=pieces[0].named.text, share_pct=share, group=_group(share, role), role=role,
        named_by=max((piece.named.by for piece in pieces), key=_LEAST_SURE.index),
        made_of=_once(piece.made_of for piece in pieces),
        remarks=_once(text for piece in pieces for text in (piece.named.remark, piece.colour_remark) if text),
        pointers=_once(piece.pointer for piece in pieces),
        doubts=_once(piece.doubt for piece in pieces if piece.doubt),
        colour_status=next((one for one in ("not_shown", "not_listed", "listed", "stated") if one in statuses), None),
        rows=_once(piece.named.row for piece in pieces if piece.named.row))


def _group(share_pct: float, role: str) -> str:
    if role == "colourant":
        return "colourants"
    return "ordered" if share_pct >= _FROM_PCT * (1 - _NOISE) else "any_order"


def _once(words: Iterable[Words]) -> tuple[Words, ...]:
    return tuple(dict.fromkeys(words))
