"""A fade: swatches fitted, doses found, and what follows from them for the hands."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kettlewright.errors import DomainError, Unsolvable, gather
from kettlewright.pour.buckets import check_distinct
from kettlewright.pour.carry_over import CarryOver, carry_over
from kettlewright.pour.colours import Colour
from kettlewright.pour.fades import FadePortion, FadeStep, fade
from kettlewright.pour.swatches import CAVEATS, Material, MoreColour, Swatch, fit_swatches, more_colour

__all__ = ["FadeLine", "FadePlan", "plan_fade"]

Made = tuple[Swatch, str, str]
"""A swatch, "cured" or "wet", and whether it gelled."""


@dataclass(frozen=True, slots=True)
class FadeLine:
    """A portion of the fade with what is weighed for it.

    Parameters
    ----------
    step : FadeStep
        Dose and colour. [g/kg]
    dispersion_g : float, optional
        Its colourant, as dispersion. [g]
    darker_by_g : float, optional
        To the next darker step, as dispersion where that is told. [g]
    """

    step: FadeStep
    dispersion_g: float | None
    darker_by_g: float | None


@dataclass(frozen=True, slots=True)
class FadePlan:
    """A fade, and what follows from it.

    Parameters
    ----------
    lines : tuple of FadeLine
        In the order asked. [g/kg]
    material, other : Material
        How the swatches were fitted. [g/kg]
    state, gelled : str
        Of the swatches, and so of what is predicted. [key]
    colourant_g, equal_doses_g : float, optional
        In all portions, and what steps of equal dose between the same ends would take. [g]
    notes : tuple of str
        What to know of it. [text]
    carry_over : tuple of (key, CarryOver), optional
        Where it was asked. [g]
    more : MoreColour, optional
        Where it was asked. [g]
    """

    lines: tuple[FadeLine, ...]
    material: Material
    other: Material | None
    state: str
    gelled: str
    colourant_g: float | None
    equal_doses_g: float | None
    notes: tuple[str, ...]
    carry_over: tuple[tuple[str, CarryOver], ...] | None
    more: MoreColour | None


def plan_fade(swatches: Sequence[Made], portions: Sequence[FadePortion], *, kind: str = "other",
              steps: str = "ciede2000", curve: Sequence[float] | None = None, doses: Sequence[float] | None = None,
              darkest_dose: float | None = None, lightest_dose: float | None = None,
              other: tuple[Sequence[Made], float | None] | None = None, carry: bool = False,
              dispersion_pct: float | None = None,
              more: tuple[float, Colour | float, Colour | float] | None = None) -> FadePlan:
    """A fade, and what follows from it for the hands.

    Parameters
    ----------
    swatches : sequence of (Swatch, state, gelled)
        Of one colourant, made alike. [g/kg]
    portions : sequence of FadePortion
        The darkest first. [g]
    kind : str
        Of the colourant: a key of `CAVEATS`. [key]
    steps, curve, doses, darkest_dose, lightest_dose
        As for `fade`. [g/kg]
    other : (swatches, darkest dose), optional
        The other end of a fade through plain. [g/kg]
    carry : bool
        Also colour each portion with what is kept of the one before. [yes or no]
    dispersion_pct : float, optional
        Colourant in the dispersion. [% by mass]
    more : (mass, now, wanted), optional
        A bucket that needs more. [g, g/kg]

    Returns
    -------
    FadePlan : [g/kg, g]

    Raises
    ------
    Faults, DomainError : swatches made unlike, and whatever fit, fade and carry-over refuse.
    """
    both = [*swatches, *(other[0] if other is not None else ())]
    second = None
    with gather() as checks:
        with checks.at("swatches"):
            state, gelled = _made_alike(both)
        with checks.at("swatches"):
            material = fit_swatches([swatch for swatch, *_ in swatches])
        if other is not None:
            with checks.at("other", "swatches"):
                second = fit_swatches([swatch for swatch, *_ in other[0]])
        with checks.at("portions"):
            check_distinct([portion.name for portion in portions], "portion")
    found = fade(material, portions, steps=steps, curve=curve, doses=doses, darkest_dose=darkest_dose,
                 lightest_dose=lightest_dose, other=second, other_darkest_dose=None if other is None else other[1])
    with gather() as checks:
        carried = wanted = None
        with checks.at():
            carried = _carried(found.steps, portions) if carry else None
        with checks.at("more"):
            wanted = None if more is None else more_colour(material, *more)
    part = None if dispersion_pct is None else dispersion_pct / 100
    lines = tuple(FadeLine(step, None if part is None or step.colourant_g is None else step.colourant_g / part,
                           step.darker_by_g if part is None or step.darker_by_g is None else step.darker_by_g / part)
                  for step in found.steps)
    masses = [step.colourant_g for step in found.steps]
    known = all(mass is not None for mass in masses)
    return FadePlan(lines, material, second, state, gelled,
                    math.fsum(mass or 0.0 for mass in masses) if known else None,
                    _equal_doses(found.steps, portions) if known and second is None else None,
                    (*found.notes, *_notes(kind, state, gelled, material, carry)), carried, wanted)


def _made_alike(swatches: Sequence[Made]) -> tuple[str, str]:
    states, gels = {state for _, state, _ in swatches}, {gelled for _, _, gelled in swatches} - {"unknown"}
    if len(states) > 1:
        raise Unsolvable("Wet batter and cured soap have other colours: the swatches of one fit are all wet or all "
                         "cured.")
    if len(gels) > 1:
        raise Unsolvable("Gelled soap is darker than soap that did not gel: the swatches of one fit are all of one "
                         "kind.")
    return states.pop(), gels.pop() if gels else "unknown"


def _carried(steps: Sequence[FadeStep], portions: Sequence[FadePortion]) -> tuple[tuple[str, CarryOver], ...]:
    if any(portion.mass_g is None for portion in portions):
        raise DomainError("How much to keep follows from what is poured: give the mass of every portion.",
                          field=("carry_over",))
    if any(step.end for step in steps):
        raise Unsolvable("A fade with two ends changes its colourant: carry each half over by itself.",
                         field=("carry_over",))
    # a plain portion at the end gets plain batter of its own
    dyed = [(step, portion) for step, portion in zip(steps, portions, strict=True) if step.dose > 0]
    if len(dyed) < 2:
        raise Unsolvable("With fewer than two dyed portions there is nothing to carry over.",
                         field=("carry_over",))
    found = carry_over([portion.mass_g or 0.0 for _, portion in dyed], [step.dose for step, _ in dyed])
    return tuple((step.key, one) for (step, _), one in zip(dyed, found, strict=True))


def _equal_doses(steps: Sequence[FadeStep], portions: Sequence[FadePortion]) -> float:
    first, last = steps[0].dose, steps[-1].dose
    count = len(steps)
    return math.fsum((first + (last - first) * index / (count - 1)) * (portion.mass_g or 0.0) / 1000
                     for index, portion in enumerate(portions))


def _notes(kind: str, state: str, gelled: str, material: Material, carry: bool) -> list[str]:
    notes = [CAVEATS[kind]]
    if state == "wet":
        notes.append("Predicted of wet batter, since the swatches are wet: nothing is said of the cured colour.")
    notes.append({"yes": "Predicted of gelled soap; without gel phase it stays lighter.",
                  "no": "Predicted of soap that did not gel; gel phase makes it darker.",
                  "unknown": "Whether the swatches gelled is not told; gel phase makes soap darker."}[gelled])
    if material.error is None:
        notes.append("Two swatches are fitted exactly: no error can be given. A third one would tell.")
    else:
        notes.append(f"The fit misses its swatches by CIEDE2000 {material.error:.1f} (root mean square).")
    if carry:
        notes.append("Carrying over takes as much colourant as dyeing each bucket by itself; it saves weighings.")
    return [*notes, "Screens are not swatches: hold the strip beside a cured bar before you trust it."]
