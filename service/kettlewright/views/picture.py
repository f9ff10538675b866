"""Pictures (SVG) of a reply: a section or bar face with its layers; hatching keeps them readable in grey."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from kettlewright.digits import nine_digits
from kettlewright.languages import in_language_of_response, translated
from kettlewright.said import Said
from kettlewright.views.drawing import HATCHES, Outline, Profile, band, column, profile_of, strip, width_at
from kettlewright.views.figures import measured, span
from kettlewright.views.templating import template

__all__ = ["MM_PER_UNIT", "UNCOLOURED", "Canvas", "Stripe", "cut_face", "hatch_ink", "mould_section", "on_paper",
           "portions_section"]

_LEFT = 20.0
UNCOLOURED = "#d9cfbf"
_GAP = 0.08  # of a cavity's width, between cavities drawn side by side
MM_PER_UNIT = 0.3  # on a sheet, whose page is 620 units wide: words of 10 units are 8.5 points
_MANY = 8  # portions: more have one line of label each


@dataclass(frozen=True, slots=True)
class Canvas:
    """Room for a section and its labels.

    Parameters
    ----------
    wide, tall : float
        Of the section, at most. [picture units]
    top, label_gap, full_wide : float
        Above the section, from label to label, of everything. [picture units]
    longest : int
        Characters of a name, at most. [characters]
    heights : bool
        The labels say where each portion lies. [yes or no]
    width_mm : float, optional
        Printed width of everything; as wide as there is room if not given. [mm]
    """

    wide: float = 300.0
    tall: float = 420.0
    top: float = 34.0
    label_gap: float = 30.0
    full_wide: float = 620.0
    longest: int = 34
    heights: bool = True
    width_mm: float | None = None


_SCREEN = Canvas()


def on_paper(count: int) -> Canvas:
    """Room for the section of some portions beside the facts of a sheet (`count`). [canvas]"""
    gap = 27.0 if count <= _MANY else 15.0
    return Canvas(wide=150.0, tall=max(gap * count, 90.0), top=12.0, label_gap=gap, full_wide=430.0, longest=22,
                  heights=count <= _MANY, width_mm=430.0 * MM_PER_UNIT)


_DARK = 0.42  # of full brightness: below it a black hatch is lost in print


def hatch_ink(colour: str) -> str:
    """Set of hatches that shows on a colour: "h", black, or "w", white (`colour`: "#rrggbb"). [prefix]"""
    red, green, blue = (int(colour[at:at + 2], 16) / 255 for at in (1, 3, 5))
    return "w" if 0.299 * red + 0.587 * green + 0.114 * blue < _DARK else "h"


@dataclass(frozen=True, slots=True)
class Stripe:
    """One portion of a section.

    Parameters
    ----------
    name, label, colour : str
        Portion, its label, "#rrggbb". [text]
    hatch : int
        Number of its hatching. [number]
    outline : Outline
        Its shape in the picture. [picture units]
    label_y, mid_y : float
        Heights of its label and of its own middle. [picture units]
    right_x : float, optional
        Its right edge at `mid_y`, if a line leads from there to the label. [picture units]
    dusted, powder : str
        Powder on top of it, empty if there is none; its colour, empty if not given. [text]
    """

    name: str
    label: str
    colour: str
    hatch: int
    outline: Outline
    label_y: float
    mid_y: float
    right_x: float | None
    dusted: str
    powder: str

    @property
    def ink(self) -> str:
        """Set of hatches that shows on its colour: black, or white on a dark one. [prefix]"""
        return hatch_ink(self.colour)


@dataclass(frozen=True, slots=True)
class _Frame:
    """Position of a section, or of several side by side, in the picture."""

    profile: Profile
    scale: float
    middle: float
    ground: float
    cavities: int
    canvas: Canvas

    @property
    def _each(self) -> float:
        return max(width for _, width in self.profile) * (1 if self.cavities == 1 else 1 + _GAP)

    @property
    def right(self) -> float:
        return self.middle + self.cavities * self._each * self.scale / 2

    @property
    def left(self) -> float:
        return 2 * self.middle - self.right

    @property
    def face(self) -> tuple[float, float, float, float]:
        """The section without its labels: a small screen shows this alone, as `picture.svg#face`."""
        tall = self.profile[-1][0] * self.scale
        return self.left - 2, self.ground - tall - 2, self.right - self.left + 4, tall + 4

    def cavity(self, number: int, top: float) -> Outline:
        """One of the cavities side by side, filled up to a height."""
        return band(self.profile, 0.0, top, middle=self.left + (number + 0.5) * self._each * self.scale,
                    ground=self.ground, scale=self.scale)


def _frame(profile: Profile, canvas: Canvas, cavities: int = 1) -> _Frame:
    wide, tall = max(width for _, width in profile), max(profile[-1][0], 1e-9)
    wide *= cavities * (1 if cavities == 1 else 1 + _GAP)
    scale = min(canvas.wide / wide, canvas.tall / tall)
    return _Frame(profile, scale, _LEFT + wide * scale / 2, canvas.top + tall * scale, cavities, canvas)


def _cut_off(profile: Profile, height: float) -> Profile:
    """A profile up to a height."""
    kept = [(at, width) for at, width in profile if at < height * (1 - 1e-9)]
    for (low, narrow), (high, wide) in itertools.pairwise(profile):
        if low < height <= high * (1 + 1e-9):
            return [*kept, (height, narrow + (wide - narrow) * min((height - low) / (high - low), 1.0))]
    return kept or profile


def _stripes(portions: Sequence[Mapping[str, Any]], frame: _Frame, arrangement: str, depth: float,
             unit: str) -> list[Stripe]:
    stripes: list[Stripe] = []
    total = sum(portion["mass"] for portion in portions)
    gap = frame.canvas.label_gap
    across, label_y = 0.0, frame.ground + gap
    stacked = arrangement == "layers" and all(portion["layer"] is not None for portion in portions)
    for number, portion in enumerate(portions):
        layer, stand = portion["layer"], portion.get("column")
        if stacked:
            outline = band(frame.profile, layer["bottom"], layer["top"], middle=frame.middle, ground=frame.ground,
                           scale=frame.scale)
            label = span(layer["bottom"], layer["top"], unit)
        elif arrangement == "separate" and layer is not None:
            outline = frame.cavity(number, layer["top"])
            label = translated(Said("own cavity, {height} high", height=measured(layer["top"], unit)))
        elif stand is not None:
            outline = column(stand["start"], stand["end"], depth, left=frame.left, ground=frame.ground,
                             scale=frame.scale)
            label = translated(Said("{span} across", span=span(stand["start"], stand["end"], unit)))
        else:
            share = portion["mass"] / total
            outline = strip(frame.profile, across, across + share, depth, middle=frame.middle, ground=frame.ground,
                            scale=frame.scale)
            across += share
            label = translated(Said("{share:.0f}% of the mass", share=100 * share))
        _, y, _, h = outline.box
        label_y = min(label_y - gap, y + h / 2) if stacked else frame.canvas.top + 14 + number * gap
        stripes.append(Stripe(portion["name"], label, portion["colour"] or UNCOLOURED, number % HATCHES, outline,
                              nine_digits(label_y), nine_digits(y + h / 2),
                              _edge(frame, y + h / 2) if stacked else None,
                              portion.get("dusting", {}).get("name", ""), portion.get("dusting", {}).get("colour", "")))
    return stripes


def _edge(frame: _Frame, y: float) -> float:
    """Right edge of the section at a height. [picture units]"""
    return nine_digits(frame.middle + width_at(frame.profile, (frame.ground - y) / frame.scale) * frame.scale / 2)


_NOTES = {"mingled": Said("strips show shares; you decide where the swirl runs"),
          "columns": Said("upright dividers"), "separate": Said("each portion in its own cavity")}


def _section(stripes: Sequence[Stripe], frame: _Frame, rims: Sequence[Outline], title: Said,
             below: Sequence[Said]) -> str:
    canvas = frame.canvas
    lowest = max([stripe.label_y for stripe in stripes], default=canvas.top)
    highest = min([stripe.label_y for stripe in stripes], default=canvas.top)
    words_y = max(frame.ground + 22, lowest + 34)
    lift = max(0.0, max(canvas.top - 8, 14.0) - highest)  # many thin layers at the top: give their labels room above
    return str(template("section.svg.j2").render(
        stripes=stripes, canvas=canvas, right=nine_digits(frame.right), left=nine_digits(frame.left),
        words_y=nine_digits(words_y), title=translated(title), below=[translated(one) for one in below],
        face=" ".join(str(nine_digits(one)) for one in frame.face), lift=nine_digits(lift), rims=rims,
        full_height=nine_digits(words_y + 16 * len(below) + 6 + lift)))


def _empty_profile(depth: float | None) -> Profile:
    """A mould of unknown shape: as wide as it is high."""
    side = depth or 1.0
    return [(0.0, side), (side, side)]


def _with_layers(reply: Mapping[str, Any], mould: Mapping[str, Any] | None, arrangement: str, title: Said,
                 face_width: float | None, canvas: Canvas = _SCREEN) -> str:
    """A section with the portions of a reply."""
    portions, unit = reply["portions"], reply["units"]["length"]
    known = profile_of(mould)
    tops = [portion["layer"]["top"] for portion in portions if portion["layer"] is not None]
    fill = None if mould is None or "fill" not in mould else mould["fill"]["depth"]
    depth = fill if fill is not None else max(tops, default=None)
    if face_width is not None and depth is not None:
        profile: Profile = [(0.0, face_width), (depth, face_width)]
        below = Said("{width} wide, {height} high", width=measured(face_width, unit), height=measured(depth, unit))
    elif known is not None and depth is not None:
        profile = known
        below = Said("section of the mould, {width} wide, filled {height} high",
                     width=measured(max(width for _, width in known), unit), height=measured(depth, unit))
    else:
        profile = _empty_profile(depth)
        below = Said("section of the mould, width not to scale, {height} high", height=measured(depth, unit)) \
            if depth else Said("section of the mould, width not to scale")
    frame = _frame(profile, canvas, len(portions) if arrangement == "separate" else 1)
    stripes = _stripes(portions, frame, arrangement, depth or profile[-1][0], unit)
    return _section(stripes, frame, [] if face_width is not None else _rims(frame), title,
                    [below, _NOTES[arrangement]] if arrangement in _NOTES else [below])


def _rims(frame: _Frame) -> list[Outline]:
    """Walls of the mould, or of each cavity."""
    deep = frame.profile[-1][0]
    if frame.cavities == 1:
        return [band(frame.profile, 0.0, deep, middle=frame.middle, ground=frame.ground, scale=frame.scale)]
    return [frame.cavity(number, deep) for number in range(frame.cavities)]


@in_language_of_response
def cut_face(reply: Mapping[str, Any], canvas: Canvas = _SCREEN) -> str:
    """The face of a bar, or the section of a mould that is not cut or whose loaves slant.

    Parameters
    ----------
    reply : mapping
        JSON reply of /v1/batches. [as in JSON]
    canvas : Canvas
        Room for it. [canvas]

    Returns
    -------
    str : SVG with title and description, without scripts, styles or external resources
    """
    cuts, profile = reply["cuts"], profile_of(reply["mould"])
    upright = profile is not None and len({width for _, width in profile}) == 1
    # a round is laid down to be cut: its face does not show the section
    cut_as_poured = cuts is not None and abs(
        cuts["block"]["height"] - (reply["mould"]["fill"]["depth"] or 0)) < 1e-6 * cuts["block"]["height"]
    face = cuts["bars"]["length"] if upright and cut_as_poured and reply["arrangement"] in (
        "layers", "mingled") else None
    title = Said("The cut face") if face else Said("The filled mould")
    return _with_layers(reply, reply["mould"], reply["arrangement"], title, face, canvas)


@in_language_of_response
def portions_section(reply: Mapping[str, Any]) -> str:
    """The section of a mould with its portions; without a mould, their shares side by side.

    Parameters
    ----------
    reply : mapping
        JSON reply of /v1/portions. [as in JSON]

    Returns
    -------
    str : SVG with title and description, without scripts, styles or external resources
    """
    mould = reply.get("mould")
    return _with_layers(reply, mould, reply["arrangement"] if mould else "mingled", Said("The filled mould"), None)


@in_language_of_response
def mould_section(reply: Mapping[str, Any]) -> str:
    """The section of a mould, filled to the requested depth; one of unknown shape is as wide as it is high and says so.

    Parameters
    ----------
    reply : mapping
        JSON reply of /v1/moulds. [as in JSON]

    Returns
    -------
    str : SVG with title and description, without scripts, styles or external resources
    """
    unit, known = reply["units"]["length"], profile_of(reply)
    depth = reply["fill"]["depth"] if "fill" in reply else None
    profile = known or _empty_profile(depth)
    frame = _frame(profile, _SCREEN)
    stripes = [] if not depth else _stripes(
        [{"name": translated(Said("batter")), "mass": 1.0, "layer": {"bottom": 0.0, "top": depth}, "colour": None}],
        frame, "layers", depth, unit)
    below = Said("section of the mould, width not to scale") if known is None else Said(
        "section of the mould, {width} wide, {depth} deep", width=measured(max(width for _, width in known), unit),
        depth=measured(known[-1][0], unit))
    return _section(stripes, frame, _rims(frame), Said("The mould"), [below])
