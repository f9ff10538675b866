"""The strip (SVG): a fade as it should look, portion by portion, to hold beside the bucket."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from kettlewright.digits import nine_digits
from kettlewright.languages import figure, in_language_of_response, translated
from kettlewright.said import Said
from kettlewright.views.figures import plain, template

__all__ = ["Patch", "SwatchDrawn", "fade_strip"]

_LEFT, _TOP, _WIDE, _TALL = 20.0, 34.0, 580.0, 150.0
_SWATCH_EACH, _SWATCH_PART, _LABEL_WIDE = 48.0, 11 / 12, 34.0


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


@dataclass(frozen=True, slots=True)
class SwatchDrawn:
    """A swatch the fade rests on.

    Parameters
    ----------
    colour, dose : str
        As measured, and of which dose; none where swatches are too narrow for all. [text]
    x, width : float
        Where it lies. [picture units]
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
    """From dark to light, those of the other end in turn from light to dark, as the strip goes."""
    shown = list(reversed(fade["fit"]["swatches"])) + (fade["other_fit"]["swatches"] if fade["other_fit"] else [])
    each = min(_SWATCH_EACH, _WIDE / len(shown))
    every = math.ceil(_LABEL_WIDE / each)
    return [SwatchDrawn(swatch["colour"], plain(swatch["dose"], 3) if number % every == 0 else "",
                        nine_digits(_LEFT + number * each), nine_digits(each * _SWATCH_PART))
            for number, swatch in enumerate(shown)]


_PREDICTED = {"cured": Said("Predicted for cured soap"), "wet": Said("Predicted for wet soap")}


@in_language_of_response
def fade_strip(fade: Mapping[str, Any]) -> str:
    """A fade as it should look, darkest first, with doses, lightness, steps and the swatches it rests on.

    It reads in grey by its lightness.

    Parameters
    ----------
    fade : mapping
        JSON reply of /v1/fades, or the fade of a batch. [as in JSON]

    Returns
    -------
    str : SVG with title and description, without script, style or anything from elsewhere
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
