"""The identity of a plan as a QR code (ISO/IEC 18004), to scan from the sheet with a phone or a scanner."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any
from xml.sax.saxutils import escape

import segno

__all__ = ["MODULE_MM", "identity_code", "identity_text"]

MODULE_MM = 0.6
"""Side of a module in print; below 0.5 mm, scans begin to fail on wet sheets or with worn cameras (own decision)."""

_MASK = 4
"""Of the eight patterns, the one with the least penalty on the average of such texts (ISO/IEC 18004, 7.8.3: 1,204, and
1,176 with the best of all eight; DECISIONS.md). To try all of them took four times as long as the code itself."""

_QUIET = 4  # modules of light round the code (ISO/IEC 18004, 6.3.8)
_DARK = re.compile(rb"\x01+")
_NUMBER_MAX = 40  # characters of a batch number that still leave the code below 3 cm


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
    modules = segno.make(text, error="m", micro=False, mask=_MASK).matrix
    side = (len(modules) + 2 * _QUIET) * MODULE_MM
    return (f'<svg width="{side}mm" height="{side}mm" viewBox="0 0 {side} {side}" class="qr"><title>{escape(text)}'
            f'</title><path transform="scale({MODULE_MM})" stroke="#000" d="{_strokes(modules)}"/></svg>')


def _strokes(modules: Iterable[bytearray]) -> str:
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
