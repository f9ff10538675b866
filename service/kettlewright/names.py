"""The maker's own names: brought to one form, and made into keys."""

from __future__ import annotations

import unicodedata

__all__ = ["slug", "tidy"]

_KEPT = frozenset("LNM")  # letters, numbers, and the marks that belong to a letter


def tidy(text: str) -> str:
    """A text in the one form that is stored, compared and printed.

    Parameters
    ----------
    text : str
        As typed, or pasted from a web page. [text]

    Returns
    -------
    str : composed (NFC), with ordinary spaces, without invisible characters such as soft hyphens. [text]

    Notes
    -----
    Unicode categories: Zs (spaces, the no-break space among them) becomes one space, Cf (soft hyphen, joiners, marks of
    direction) is dropped. Line breaks and control characters stay, so that they can be refused.

    References
    ----------
    .. [1] Unicode Standard Annex 15 (normalisation forms); Unicode Character Database by Python's `unicodedata`.
    """
    if text.isascii():
        return text
    shown = (" " if unicodedata.category(character) == "Zs" else character
             for character in text if unicodedata.category(character) != "Cf")
    return unicodedata.normalize("NFC", "".join(shown))


def slug(name: str) -> str:
    """A key for a name: lower case, letters, marks and digits of any script, the rest as single underscores.

    Parameters
    ----------
    name : str
        A name with at least one letter or digit. [text]

    Returns
    -------
    str : such as "shea_lot_7" for "shea, lot 7". [key]

    Notes
    -----
    Vowel signs of many scripts are marks and tell names apart, so they are kept as letters are.
    """
    folded = unicodedata.normalize("NFC", tidy(name).casefold())
    letters = (character if unicodedata.category(character)[0] in _KEPT else " " for character in folded)
    return "_".join("".join(letters).split())
