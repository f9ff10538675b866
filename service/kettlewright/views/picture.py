"""The cut face as a picture (SVG): layers to scale, heights, powder lines; reads in grey by its hatching."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from kettlewright.digits import nine_digits
from kettlewright.views.figures import measured, template

__all__ = ["Stripe", "cut_face", "stripes_of"]

_FACE_WIDTH, _FACE_LEFT, _TOP, _FACE_HEIGHT_MAX = 300.0, 20.0, 34.0, 420.0
_UNCOLOURED = "#d9cfbf"
_HATCHES = 6
_LABEL_GAP = 30.0


@dataclass(frozen=True, slots=True)
class Stripe:
    """One portion of the face, in the picture's own units from its upper left corner.

    Parameters
    ----------
    name, label, colour : str
        Portion, what stands beside it, "#rrggbb". [text]
    hatch : int
        Number of its hatching. [number]
    x, y, width, height : float
        Where it lies. [picture units]
    label_y, mid_y : float
        Height of its label, and of its own middle. [picture units]
    dusted : str
        Powder on top of it, empty where there is none. [text]
    """

    name: str
    label: str
    colour: str
    hatch: int
    x: float
    y: float
    width: float
    height: float
    label_y: float
    mid_y: float
    dusted: str


def _face_size(reply: Mapping[str, Any]) -> tuple[float, float, bool]:
    """Width and height of the face, and whether the width is to scale. [unit of lengths]"""
    height = reply["mould"]["fill"]["depth"] or 1.0
    if reply["cuts"] is not None:
        return reply["cuts"]["bars"]["length"], height, True
    return height, height, False


def stripes_of(reply: Mapping[str, Any]) -> tuple[list[Stripe], float, bool]:
    """The portions as they lie in the face.

    Parameters
    ----------
    reply : mapping
        JSON reply of /v1/batches. [as in JSON]

    Returns
    -------
    list of Stripe in pour order, height of the face [picture units], whether the width is to scale
    """
    width, height, to_scale = _face_size(reply)
    scale = min(_FACE_WIDTH / width, _FACE_HEIGHT_MAX / height)
    tall, wide = height * scale, width * scale
    unit = reply["units"]["length"]
    layered = all(portion["layer"] is not None for portion in reply["portions"])
    total = sum(portion["mass"] for portion in reply["portions"])
    stripes, below, label_y = [], 0.0, _TOP + tall + _LABEL_GAP
    for number, portion in enumerate(reply["portions"]):
        if layered:
            bottom, top = portion["layer"]["bottom"], portion["layer"]["top"]
            label = f"{measured(bottom, unit).removesuffix(f' {unit}')} to {measured(top, unit)}"
            x, y, w, h = _FACE_LEFT, _TOP + (height - top) * scale, wide, (top - bottom) * scale
        else:
            share = portion["mass"] / total
            label = f"{share:.0%} of the mass"
            x, y, w, h = _FACE_LEFT + below * wide, _TOP, share * wide, tall
            below += share
        label_y = min(label_y - _LABEL_GAP, y + h / 2) if layered else _TOP + 14 + number * _LABEL_GAP
        stripes.append(Stripe(portion["name"], label, portion["colour"] or _UNCOLOURED, number % _HATCHES,
                              nine_digits(x), nine_digits(y), nine_digits(w), nine_digits(h), nine_digits(label_y),
                              nine_digits(y + h / 2), portion.get("dusting", {}).get("name", "")))
    return stripes, tall, to_scale


def cut_face(reply: Mapping[str, Any]) -> str:
    """The face of a bar, or the section of a mould that is not cut.

    Parameters
    ----------
    reply : mapping
        JSON reply of /v1/batches. [as in JSON]

    Returns
    -------
    str : SVG with title and description, without script, style or anything from elsewhere
    """
    stripes, tall, to_scale = stripes_of(reply)
    layered = all(portion["layer"] is not None for portion in reply["portions"])
    unit = reply["units"]["length"]
    width, height, _ = _face_size(reply)
    heights_known = reply["mould"]["fill"]["depth"] is not None
    below = f"{measured(width, unit)} wide" if to_scale else "section of the mould, width not to scale"
    if heights_known:
        below += f", {measured(height, unit)} high"
    if not layered:
        below += "; strips show shares: where a swirl runs is in your hand"
    lowest_label = max([stripe.label_y for stripe in stripes])
    highest_label = min([stripe.label_y for stripe in stripes])
    lift = max(0.0, _TOP - 8 - highest_label)  # many thin layers at the top: give their labels room above
    return str(template("cut_face.svg.j2").render(
        stripes=stripes, hatches=range(_HATCHES), tall=tall, wide=sum(s.width for s in stripes) if not layered
        else stripes[0].width, top=_TOP, left=_FACE_LEFT, below=below, lift=nine_digits(lift),
        full_height=nine_digits(max(_TOP + tall + 44, lowest_label + 34) + lift)))
