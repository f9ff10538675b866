"""The cut plan (SVG): the block from above, and the cut face of a piece that is not a rectangle."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from kettlewright.digits import nine_digits
from kettlewright.languages import in_language_of_response, translated
from kettlewright.said import Said
from kettlewright.views.drawing import Outline
from kettlewright.views.figures import measured
from kettlewright.views.templating import template

__all__ = ["Number", "cut_plan", "pieces_in_words"]

_LEFT, _TOP = 40, 34.0
_PLAN_WIDE, _PLAN_TALL = 540.0, 300.0
_FACE_WIDE, _FACE_TALL = 240.0, 160.0
_READABLE = 13.0


@dataclass(frozen=True, slots=True)
class Number:
    """The number of a bar.

    Parameters
    ----------
    x, y : float
        Middle and foot of its digits. [picture units]
    text : str
        Such as "7", or "2.1" for the first bar of the second loaf. [text]
    """

    x: float
    y: float
    text: str


_PIECES: Mapping[str, Callable[..., Said]] = {
    "bar": lambda **of: Said("{count} bars {thickness} thick, {length} long", **of),
    "slanted": lambda **of: Said("{count} bars {thickness} thick, up to {length} long, {height} high", **of),
    "round": lambda **of: Said("{count} rounds {thickness} thick, {length} across, {height} high", **of),
    "half_round": lambda **of: Said("{count} half-rounds {thickness} thick, {length} across, {height} high", **of),
    "oval": lambda **of: Said("{count} ovals {thickness} thick, {length} by {height} across", **of),
    "polygon": lambda **of: Said("{count} pieces {thickness} thick, {length} across the flats", **of)}


def pieces_in_words(bars: Mapping[str, Any], unit: str) -> Said:
    """Count and size of the pieces of a cut (`bars` as in the reply, `unit` [key of the unit]). [text]"""
    form = bars["form"]
    if form == "round" and abs(bars["length"] - bars["height"]) < 1e-6 * bars["length"]:
        return Said("{count} rounds {thickness} thick, {length} across", count=bars["count"],
                    thickness=measured(bars["thickness"], unit), length=measured(bars["length"], unit))
    return _PIECES[form](count=bars["count"], **{name: measured(bars[name], unit)
                                                 for name in ("thickness", "length", "height")})


def _face(bars: Mapping[str, Any], scale: float, top: float) -> Outline | None:
    """The cut face of a piece that is not a rectangle, drawn below the plan."""
    if bars["form"] == "bar" or not bars["face"]:
        return None
    wide, tall = (max(point[name] for point in bars["face"]) for name in ("across", "up"))
    scale = min(scale, _FACE_WIDE / wide, _FACE_TALL / tall)
    return Outline(tuple((_LEFT + point["across"] * scale, top + (tall - point["up"]) * scale)
                         for point in bars["face"]))


def _numbers(starts: Sequence[float], tops: Sequence[float], wide: float, tall: float) -> list[Number]:
    """The numbers of the bars that have room for one; the first bar of each of several loaves also shows the loaf."""
    if tall < _READABLE:
        return []
    found, half_wide, half_tall = [], nine_digits(wide) / 2, nine_digits(tall) / 2
    for loaf, y in enumerate(tops, 1):
        for bar, x in enumerate(starts, 1):
            if len(tops) > 1 and bar == 1 and wide >= 2 * _READABLE:
                text = f"{loaf}.{bar}"
            elif wide >= _READABLE or (wide >= 3 and bar % 5 == 0):
                text = str(bar)
            else:
                continue
            found.append(Number(x + half_wide, y + half_tall + 4, text))
    return found


@in_language_of_response
def cut_plan(reply: Mapping[str, Any], *, tall_at_most: float = _PLAN_TALL, mm_per_unit: float | None = None) -> str:
    """The block from above with its cuts, bars numbered loaf by loaf; hatched areas are not bars.

    Parameters
    ----------
    reply : mapping
        JSON reply of /v1/cuts, or `cuts` of /v1/batches with its `units` beside it. [as in JSON]
    tall_at_most : float
        Height of the drawn block at most. [picture units]
    mm_per_unit : float, optional
        For paper: the picture is as wide as its drawing and words, at this scale. [mm]

    Returns
    -------
    str : SVG with title and description, without scripts, styles or external resources
    """
    unit, block, bars = reply["units"]["length"], reply["block"], reply["bars"]
    scale = min(_PLAN_WIDE / block["length"], tall_at_most / block["width"])
    wide, tall = bars["thickness"] * scale, bars["length"] * scale
    starts = [nine_digits(_LEFT + x * scale) for x in reply["positions"]["bar_starts"]]
    tops = [nine_digits(_TOP + y * scale) for y in reply["positions"]["loaf_starts"]]
    words_tall = 68 if mm_per_unit is None else 36  # on the sheet the words are beside the picture
    face = _face(bars, scale, _TOP + block["width"] * scale + words_tall)
    count = reply["loaves"]["count"]
    in_loaves = Said("1 loaf") if count == 1 else Said("{count} loaves", count=count)
    below = [Said("{along} along, {across} across", along=measured(block["length"], unit),
                  across=measured(block["width"], unit)),
             Said("{pieces}; {loaves}", pieces=pieces_in_words(bars, unit), loaves=in_loaves)]
    full_wide = 620.0
    if mm_per_unit is not None:
        full_wide = min(full_wide, 60 + block["length"] * scale)
    return str(template("cut_plan.svg.j2").render(
        full_wide=nine_digits(full_wide),
        width_mm=None if mm_per_unit is None else nine_digits(full_wide * mm_per_unit),
        starts=starts, tops=tops, bar_wide=nine_digits(wide), bar_tall=nine_digits(tall),
        numbers=_numbers(starts, tops, wide, tall), below=[translated(one) for one in below], top=_TOP, left=_LEFT,
        wide=nine_digits(block["length"] * scale), tall=nine_digits(block["width"] * scale),
        along=measured(block["length"], unit), across=measured(block["width"], unit), face=face,
        full_height=nine_digits(
            _TOP + block["width"] * scale + words_tall + (0 if face is None else face.box[3] + 30))))
