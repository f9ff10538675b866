"""The identity of a plan as a QR code (ISO/IEC 18004), to scan from the sheet with a phone or a scanner."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from functools import cache
from typing import Any
from xml.sax.saxutils import escape

import segno

__all__ = ["MODULE_MM", "identity_code", "identity_text"]

MODULE_MM = 0.6
"""Side of a module in print; below 0.5 mm, scans begin to fail on wet sheets or with worn cameras (own decision)."""

_MASK = 4
"""Of the eight patterns, the one with the least penalty on the average of such texts (ISO/IEC 18004, 7.8.3: 1,204, and
1,176 with the best of all eight; DECISIONS.md). To try all of them took four times as long as the code itself."""

_NUMBER_MAX = 40  # characters of a batch number that still leave the code below 3 cm
_QUIET = 4  # modules of light round the code (ISO/IEC 18004, 6.3.8)
_DARK = re.compile(rb"\x01+")

_SYMBOLS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:"
"""Two of these are one number of 11 bits in a code (ISO/IEC 18004, 7.4.4)."""
_BLANK = "KETTLEWRIGHT 00000-00000"
_PAIRS = range(_BLANK.index(" "), len(_BLANK), 2)  # where identities differ
_SIDE = 25  # modules, for so many symbols
_IDENTITY_ALONE = re.compile("KETTLEWRIGHT [0-9A-Z]{5}-[0-9A-Z]{5}")


def identity_text(reply: Mapping[str, Any]) -> str:
    """The text of the code: the plan's identity, and the batch number if it is short.

    Parameters
    ----------
    reply : mapping
        JSON reply of /v1/batches. [as in JSON]

    Returns
    -------
    str : such as "KETTLEWRIGHT 7KQ4D-X2M9F N-7"
    """
    number = reply.get("batch_number") or ""
    return f"KETTLEWRIGHT {reply['identity']}" + (f" {number}" if 0 < len(number) <= _NUMBER_MAX else "")


def identity_code(reply: Mapping[str, Any]) -> str:
    """The code as SVG, without styles or external resources.

    Parameters
    ----------
    reply : mapping
        JSON reply of /v1/batches. [as in JSON]

    Returns
    -------
    str : SVG whose modules are `MODULE_MM` wide in print, with its quiet zone of four modules
    """
    text = identity_text(reply)
    modules = _of_identity(text) if _IDENTITY_ALONE.fullmatch(text) else _of_text(text)
    side = (len(modules) + 2 * _QUIET) * MODULE_MM
    return (f'<svg width="{side}mm" height="{side}mm" viewBox="0 0 {side} {side}" class="qr"><title>{escape(text)}'
            f'</title><path transform="scale({MODULE_MM})" stroke="#000" d="{_strokes(modules)}"/></svg>')


def _of_text(text: str) -> list[bytes]:
    """The modules of a code: rows of 0 and 1."""
    return [bytes(row) for row in segno.make(text, error="m", micro=False, mask=_MASK).matrix]


def _of_identity(text: str) -> list[bytes]:
    """The modules of a code without a batch number, in a thirtieth of segno's time.

    Error correction and mask are sums modulo 2, and each bit has its place: so a bit of the identity always turns the
    same modules, and codes of one length are put together from what each bit turns.
    """
    modules = _as_number(_BLANK)
    for at in _PAIRS:
        differs = _pair(text, at) ^ _pair(_BLANK, at)
        while differs:
            modules ^= _turned(at, differs & -differs)
            differs &= differs - 1
    found = modules.to_bytes(_SIDE * _SIDE)
    return [found[start:start + _SIDE] for start in range(0, len(found), _SIDE)]


def _pair(text: str, at: int) -> int:
    first, second = map(_SYMBOLS.index, text[at:at + 2])
    return first * len(_SYMBOLS) + second


@cache  # 66 at most: they take segno 30 ms together, each when it is first needed
def _turned(at: int, bit: int) -> int:
    """What a bit (`bit`: 1, 2, 4 to 1024) of a pair turns, from a code that segno made with it."""
    first, second = divmod(_pair(_BLANK, at) ^ bit, len(_SYMBOLS))
    with_it = _BLANK[:at] + _SYMBOLS[first] + _SYMBOLS[second] + _BLANK[at + 2:]
    return int.from_bytes(b"".join(_of_text(with_it))) ^ _as_number(_BLANK)


@cache  # of one text
def _as_number(text: str) -> int:
    return int.from_bytes(b"".join(_of_text(text)))


def _strokes(modules: Iterable[bytes]) -> str:
    """A stroke for each run of dark modules, as an SVG path, in a quarter of segno's time (`modules`: rows of 0 and 1).
    """
    found = []
    x, down = -_QUIET, _QUIET + 0.5  # where the last stroke ended; what it is from there to this row
    for row in modules:
        for run in _DARK.finditer(row):
            first, end = run.span()
            found.append(f"m{first - x} {down}h{end - first}")
            x, down = end, 0
        down += 1
    return "M" + "".join(found)[1:]
