"""Reads the query of an address, strictly."""

from __future__ import annotations

import re
from urllib.parse import unquote_to_bytes

from kettlewright.api.door.problems import Problem
from kettlewright.names import tidy

__all__ = ["Pairs", "read_address"]

Pairs = tuple[tuple[str, str], ...]

_BROKEN_ESCAPE = re.compile(rb"%(?![0-9A-Fa-f]{2})")


def read_address(query: bytes) -> Pairs:
    """Keys and values of a query, in their order, decoded once.

    Parameters
    ----------
    query : bytes
        As received, without the question mark. [percent-encoded]

    Returns
    -------
    tuple of (key, value)

    Raises
    ------
    Problem : 400 for an escape cut short, for what is not UTF-8, and for characters that cannot be printed.
    """
    return tuple(_pair(part) for part in query.split(b"&") if part)


def _pair(part: bytes) -> tuple[str, str]:
    key, _, value = part.partition(b"=")
    return _text(key), _text(value)


def _text(encoded: bytes) -> str:
    if _BROKEN_ESCAPE.search(encoded):
        raise Problem(400, "A % in the address must be followed by two digits of its code; write % itself as %25.")
    try:
        # a form writes a space as +, and a + as %2B
        found = unquote_to_bytes(encoded.replace(b"+", b" ")).decode("utf-8")
    except UnicodeDecodeError:
        raise Problem(400, "The address is not UTF-8.") from None
    found = tidy(found)
    if not found.isprintable():
        raise Problem(400, "The address holds a character that cannot be printed (a line break or a control "
                           "character).")
    return found
