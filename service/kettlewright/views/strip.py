"""The strip (SVG): the predicted colours of a fade, portion by portion, to hold beside the bucket."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from kettlewright.digits import nine_digits
from kettlewright.languages import figure, in_language_of_response, translated
from kettlewright.said import Said
from kettlewright.views.figures import plain
from kettlewright.views.templating import template

__all__ = ["Patch", "SwatchDrawn", "fade_strip"]

_LEFT, _TOP, _WIDE, _TALL = 20.0, 34.0, 580.0, 150.0
_SWATCH_EACH, _SWATCH_PART, _LABEL_WIDE = 48.0, 11 / 12, 34.0


@dataclass(frozen=True, slots=True)
class Patch:
    """A portion of the strip.

    Parameters
    ----------
    name, colour, dose, step, lightness : str
        Its texts and colour. [text]
    x, width : float
        Left edge and width. [picture units]
    """

    name: str
    colour: str
    dose: str
    step: str
    lightness: str
    x: float
    width: float


@dataclass(frozen=True, slots=True)
class SwatchDrawn:
    """A swatch that the fade is fitted to.

    Parameters
    ----------
    colour, dose : str
        Measured colour and its dose; no dose if swatches are too narrow for all. [text]
    x, width : float
        Left edge and width. [picture units]
    """

    colour: str
    dose: str
    x: float
    width: float


def _lightness(portion: Mapping[str, Any]) -> str:
    band = portion["band"]
    if band is None or f"{band['lightness_min']:.0f}" == f"{band['lightness_max']:.0f}":
        return f"L* {portion['lab']['lightness']:.0f}"
    return translated(Said("L* {low:.0f} to {high:.0f}", low=band["lightness_min"], high=band["lightness_max"]))


def _swatches(fade: Mapping[str, Any]) -> list[SwatchDrawn]:
    """Swatches from dark to light, then those of the other colourant from light to dark, in the order of the strip."""
    shown = list(reversed(fade["fit"]["swatches"])) + (fade["other_fit"]["swatches"] if fade["other_fit"] else [])
    each = min(_SWATCH_EACH, _WIDE / len(shown))
    every = math.ceil(_LABEL_WIDE / each)
    return [SwatchDrawn(swatch["colour"], plain(swatch["dose"], 3) if number % every == 0 else "",
                        nine_digits(_LEFT + number * each), nine_digits(each * _SWATCH_PART))
            for number, swatch in enumerate(shown)]


_PREDICTED = {"cured": Said("Predicted for cured soap"), "wet": Said("Predicted for wet soap")}


@in_language_of_response
def fade_strip(fade: Mapping[str, Any]) -> str:
    """The predicted colours of a fade, darkest first, with doses, lightness, steps and swatches; readable in grey.

    Parameters
    ----------
    fade : mapping
        JSON reply of /v1/fades, or the fade of a batch. [as in JSON]

    Returns
    -------
    str : SVG with title and description, without scripts, styles or external resources
    """
    portions = fade["portions"]
    each = _WIDE / len(portions)
    patches = [Patch(portion["name"], portion["colour"], f"{plain(portion['dose'], 3)} g/kg",
                     "" if portion["to_next"] is None else figure(f"{portion['to_next']:.1f}"),
                     _lightness(portion), nine_digits(_LEFT + number * each), nine_digits(each))
               for number, portion in enumerate(portions)]
    return str(template("strip.svg.j2").render(
        patches=patches, top=_TOP, tall=_TALL, left=_LEFT, room=int(each / 6.5),
        predicted=translated(_PREDICTED[fade["state"]]),
        swatches=_swatches(fade), band=any(portion["band"] for portion in portions),
        reach=translated(Said("swatches from {low} to {high} g/kg", low=plain(fade["fit"]["dose_min"], 3),
                          high=plain(fade["fit"]["dose_max"], 3)))))
