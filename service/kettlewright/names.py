"""Names that the maker gives: normalised, turned into keys, compared with known names."""

from __future__ import annotations

import difflib
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from functools import lru_cache

__all__ = ["SUGGESTIONS_MAX", "did_you_mean", "few_suggestions", "may_suggest", "nearest", "no_suggestions",
           "or_nearest", "slug", "tidy"]

SUGGESTIONS_MAX = 10
"""How many unknown names in one request are compared with all known names. [number]"""
_COMPARED_MAX = 60  # characters of a name; the time to compare grows with their square
_left: ContextVar[list[int] | None] = ContextVar("suggestions_left", default=None)

# soft hyphen, zero-width spaces, joiners, direction marks, byte order mark: web pages contain them, names do not
_INVISIBLE = frozenset("\u00ad\u200b\u200c\u200d\u200e\u200f\u2060\ufeff")
_KEPT = frozenset("LNM")  # letters, numbers, and the marks that belong to a letter
_ASCII = "".join(chr(code) if chr(code).isalnum() else " " for code in range(128))  # a faster table for ASCII


def tidy(text: str) -> str:
    """A text in the form in which it is stored, compared and printed.

    Parameters
    ----------
    text : str
        As typed, or pasted from a web page. [text]

    Returns
    -------
    str : composed (NFC), with ordinary spaces, without invisible characters such as soft hyphens. [text]

    Notes
    -----
    Every Unicode space (category Zs, including the no-break space) becomes an ordinary one; soft hyphens, joiners and
    the like are removed. Line breaks, control characters and direction overrides stay, so that validation can reject
    them.

    References
    ----------
    .. [1] Unicode Standard Annex 15 (normalisation forms); the Unicode Character Database in Python's `unicodedata`.
    """
    if text.isascii():
        return text
    shown = (" " if unicodedata.category(character) == "Zs" else character
             for character in text if character not in _INVISIBLE)
    return unicodedata.normalize("NFC", "".join(shown))


@lru_cache(maxsize=4096)  # every stage of a batch needs the keys of the same names
def slug(name: str) -> str:
    """The key for a name: lower case; letters, marks and digits of any script; everything else becomes underscores.

    Parameters
    ----------
    name : str
        A name with at least one letter or digit. [text]

    Returns
    -------
    str : such as "shea_lot_7" for "shea, lot 7". [key]

    Notes
    -----
    Marks are kept like letters: in many scripts vowel signs are marks, and names differ only in them.
    """
    if name.isascii():
        return "_".join(name.lower().translate(_ASCII).split())
    folded = unicodedata.normalize("NFC", tidy(name).casefold())
    letters = (character if unicodedata.category(character)[0] in _KEPT else " " for character in folded)
    return "_".join("".join(letters).split())


@contextmanager
def few_suggestions() -> Iterator[None]:
    """Inside the block, compare only the first `SUGGESTIONS_MAX` unknown names with the known ones."""
    token = _left.set([SUGGESTIONS_MAX])
    try:
        yield
    finally:
        _left.reset(token)


@contextmanager
def no_suggestions() -> Iterator[None]:
    """Inside the block, compare no unknown name; those after it may be compared as if the block had not been."""
    token = _left.set([0])
    try:
        yield
    finally:
        _left.reset(token)


def may_suggest() -> bool:
    """Whether one more unknown name may be compared with the known ones; the call counts as one. [yes or no]"""
    left = _left.get()
    if left is None:
        return True
    left[0] -= 1
    return left[0] >= 0


def nearest(name: str, known: Iterable[str], *, at_most: int = 1, cutoff: float = 0.6) -> list[str]:
    """The known names most similar to an unknown one, in upper or lower case.

    Parameters
    ----------
    name : str
        The unknown name. [text]
    known : iterable of str
        The known names. [text]
    at_most : int
        The largest number of names to return. [number]
    cutoff : float
        The lowest similarity, from 0 to 1. [1]

    Returns
    -------
    list of str : the most similar first; empty if none is similar or `few_suggestions` allows no more. [text]
    """
    if not may_suggest():
        return []
    folded: dict[str, str] = {}
    for one in known:
        folded.setdefault(one.casefold(), one)
    near = difflib.get_close_matches(name[:_COMPARED_MAX].casefold(), folded, n=at_most, cutoff=cutoff)
    return [folded[one] for one in near]


def did_you_mean(names: Sequence[str]) -> str:
    """The question that an error about an unknown name ends in, after a space; empty without names (`names`). [text]"""
    return " Did you mean " + " or ".join(f'"{name}"' for name in names) + "?" if names else ""


def or_nearest(name: str, known: Iterable[str], *, at_most: int = 1, cutoff: float = 0.6) -> str:
    """The question `did_you_mean` about the nearest known names.

    Parameters
    ----------
    name, known, at_most, cutoff
        As for `nearest`. [text, number, 1]

    Returns
    -------
    str : empty if no known name is similar. [text]
    """
    return did_you_mean(nearest(name, known, at_most=at_most, cutoff=cutoff))
