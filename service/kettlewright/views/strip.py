"""The strip (SVG): a fade as it should look, portion by portion, to hold beside the bucket."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from kettlewright.digits import nine_digits
from kettlewright.views.figures import plain, template

__all__ = ["Patch", "fade_strip"]

_LEFT, _TOP, _WIDE, _TALL = 20.0, 34.0, 580.0, 150.0


@dataclass(frozen=True, slots=True)
class Patch:
    """A portion of the strip.

    Parameters
    ----------
    name, colour, dose, step, lightness : str
        What stands in and below it. [text]
    x, width : float
        Where it lies. [picture units]
    """

    name: str
    colour: str
    dose: str
    step: str
    lightness: str
    x: float
    width: float


def fade_strip(reply: Mapping[str, Any]) -> str:
    """A fade as it should look, darkest first, with doses, lightness and steps; it reads in grey by its lightness.

    Parameters
    ----------
    reply : mapping
        JSON reply of /v1/fades. [as in JSON]

    Returns
    -------
    str : SVG with title and description, without script, style or anything from elsewhere
    """
    portions = reply["portions"]
    each = _WIDE / len(portions)
    patches = [Patch(portion["name"], portion["colour"], f"{plain(portion['dose'], 3)} g/kg",
                     "" if portion["to_next"] is None else f"{portion['to_next']:.1f}",
                     f"L* {portion['lab']['lightness']:.0f}", nine_digits(_LEFT + number * each), nine_digits(each))
               for number, portion in enumerate(portions)]
    return str(template("strip.svg.j2").render(
        patches=patches, top=_TOP, tall=_TALL, left=_LEFT, room=int(each / 6.5), state=reply["state"],
        reach=f"swatches from {plain(reply['fit']['dose_min'], 3)} to {plain(reply['fit']['dose_max'], 3)} g/kg"))
