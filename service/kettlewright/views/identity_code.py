"""The identity of a plan as a QR code (ISO/IEC 18004), to scan from the sheet with a phone or a scanner."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import segno

__all__ = ["MODULE_MM", "identity_code", "identity_text"]

MODULE_MM = 0.6
"""Side of a module in print; below 0.5 mm, scans begin to fail on wet sheets or with worn cameras (own decision)."""

_MASK = 4
"""Of the eight patterns, the one with the least penalty on the average of such texts (ISO/IEC 18004, 7.8.3: 1,204, and
1,176 with the best of all eight; DECISIONS.md). To try all of them took four times as long as the code itself."""

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
    code = segno.make(identity_text(reply), error="m", micro=False, mask=_MASK)
    return str(code.svg_inline(scale=MODULE_MM, unit="mm", svgclass="qr", lineclass=None, omitsize=False,
                               title=identity_text(reply)))
