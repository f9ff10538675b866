"""Keys made of the maker's own names, and the nearest known name to one that is not known."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar

__all__ = ["SUGGESTIONS_MAX", "few_suggestions", "nearest", "slug"]

SUGGESTIONS_MAX = 10
"""How many unknown names of one request are compared with all known ones. [number]"""
_COMPARED_MAX = 60  # characters of a name; comparing takes time that grows with their square
_left: ContextVar[list[int] | None] = ContextVar("suggestions_left", default=None)


def slug(name: str) -> str:
    """A key for a name: lower case, letters and digits of any script, the rest as single underscores.

    Parameters
    ----------
    name : str
        A name with at least one letter or digit. [text]

    Returns
    -------
    str : such as "shea_lot_7" for "shea, lot 7". [key]
    """
    return re.sub(r"[\W_]+", "_", name.casefold()).strip("_")


@contextmanager
def few_suggestions() -> Iterator[None]:
    """Let only the first `SUGGESTIONS_MAX` unknown names inside the block be compared with the known ones."""
    token = _left.set([SUGGESTIONS_MAX])
    try:
        yield
    finally:
        _left.reset(token)


def nearest(name: str, known: Iterable[str], *, at_most: int = 1, cutoff: float = 0.6) -> list[str]:
    """The known names that resemble an unknown one, for "Did you mean".

    Parameters
    ----------
    name : str
        The unknown name, in the case of the known ones. [text]
    known : iterable of str
        The known names. [text]
    at_most : int
        How many to return. [number]
    cutoff : float
        The least similarity, from 0 to 1. [1]

    Returns
    -------
    list of str : the most similar first; empty where none is similar, and once `few_suggestions` allows no more. [text]
    """
    left = _left.get()
    if left is not None:
        if left[0] == 0:
            return []
        left[0] -= 1
    return difflib.get_close_matches(name[:_COMPARED_MAX], list(known), n=at_most, cutoff=cutoff)
