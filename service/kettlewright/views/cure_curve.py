"""The drying curve (SVG): weighings, the curve through them, its band, and the mass it ends at."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from kettlewright.digits import nine_digits
from kettlewright.errors import Unsolvable
from kettlewright.languages import in_language_of_response, translated
from kettlewright.said import Said
from kettlewright.views.figures import plain, sign
from kettlewright.views.templating import template

__all__ = ["Mark", "cure_curve"]

_LEFT, _TOP, _WIDE, _TALL = 70.0, 30.0, 520.0, 260.0
_STEPS_WANTED = 6


@dataclass(frozen=True, slots=True)
class Mark:
    """A step of an axis, or a labelled point.

    Parameters
    ----------
    at, beside : float
        Position along the axis, and across it. [picture units]
    words : str
        Label. [text]
    """

    at: float
    beside: float
    words: str


@in_language_of_response
def cure_curve(reply: Mapping[str, Any]) -> str:
    """The drying curve with its weighings, readable without colour.

    Parameters
    ----------
    reply : mapping
        JSON reply of /v1/cure. [as in JSON]

    Returns
    -------
    str : SVG with title and description, without scripts, styles or external resources

    Raises
    ------
    Unsolvable : there are no weighings to draw.
    """
    curve = reply["curve"]
    if curve is None:
        raise Unsolvable('A curve needs "weighings": three or more.', field=("weighings",))
    unit = sign(reply["units"]["mass"])
    course = curve["course"]
    masses = [curve["equilibrium_mass"], *(point["mass"] for point in course),
              *(point["mass"] for point in curve["weighings"])]
    lowest, highest = min(masses), max(masses)
    bands = [point["band"] for point in course if point["band"] is not None]
    beyond_low = max((lowest - band["min"] for band in bands), default=0.0)
    beyond_high = max((band["max"] - highest for band in bands), default=0.0)
    drop = highest - lowest
    low, high = (lowest - min(max(1.1 * beyond_low, 0.08 * drop), 0.6 * drop),
                 highest + min(max(1.1 * beyond_high, 0.08 * drop), 0.6 * drop))
    last = course[-1]["day"]

    def x(day: float) -> float:
        return nine_digits(_LEFT + _WIDE * day / last)

    def y(mass: float) -> float:
        # a band of few weighings may be wider than the picture: it is cut at the edge, and the text says so
        return nine_digits(_TOP + _TALL * (high - min(max(mass, low), high)) / (high - low))

    def line(points: Sequence[tuple[float, float]]) -> str:
        return " ".join(f"{x(day)},{y(mass)}" for day, mass in points)

    banded = course[0]["band"] is not None
    band = [(point["day"], point["band"]["max"]) for point in course] + [
        (point["day"], point["band"]["min"]) for point in reversed(course)] if banded else []
    weighed = curve["weighings"][-1]["day"]
    before = [point for point in course if point["day"] <= weighed + 1e-9]
    after = course[max(len(before) - 1, 0):]
    return str(template("cure_curve.svg.j2").render(
        left=_LEFT, top=_TOP, wide=_WIDE, tall=_TALL, unit=unit, band=line(band),
        curve=line([(point["day"], point["mass"]) for point in before]),
        carried=line([(point["day"], point["mass"]) for point in after]) if len(after) > 1 else "",
        points=[Mark(x(point["day"]), y(point["mass"]), translated(Said(
            "day {day}: {mass} {unit}", day=plain(point["day"], 4), mass=plain(point["mass"], 6), unit=unit)))
                for point in curve["weighings"]],
        requested=[Mark(x(row["day"]), y(row["mass"]), translated(Said(
            "day {day}: {mass} {unit}, {lost:.1f} % lost", day=plain(row["day"], 4), mass=plain(row["mass"], 5),
            unit=unit, lost=row["loss_pct"]))) for row in reply["on"]],
        end=Mark(_LEFT, y(curve["equilibrium_mass"]), translated(Said(
            "ends at {mass} {unit}", mass=plain(curve["equilibrium_mass"], 5), unit=unit))),
        across=[Mark(x(step), _TOP + _TALL, plain(step, 4)) for step in _ticks(0, last)],
        upward=[Mark(_LEFT, y(step), plain(step, 6)) for step in _ticks(low, high)],
        words=translated(Said("{count} weighings; the remaining loss halves every {days} days.",
                          count=len(curve["weighings"]), days=plain(curve["half_life_days"], 3))),
        ends=translated(Said("From {start} {unit} on day 0 towards {end} {unit}.", start=plain(curve["start_mass"], 5),
                         end=plain(curve["equilibrium_mass"], 5), unit=unit)),
        sure=_sure(banded, wider=max(beyond_low, beyond_high) > 0.6 * drop)))


def _sure(banded: bool, *, wider: bool) -> str:
    if not banded:
        return translated(Said("Three weighings determine the curve exactly: no error can be estimated."))
    return translated(Said("Grey band: where a weighing is expected (95 %). It is wider than the picture.")
                  if wider else Said("Grey band: where a weighing is expected (95 %)."))


def _ticks(low: float, high: float) -> list[float]:
    """Round steps, about half a dozen (`low`, `high`)."""
    rough = (high - low) / _STEPS_WANTED
    power = 10.0 ** math.floor(math.log10(rough))
    step = next(one * power for one in (1, 2, 5, 10) if one * power >= rough)
    first = math.ceil(low / step - 1e-9)
    return [nine_digits(number * step) for number in range(first, math.floor(high / step + 1e-9) + 1)]
