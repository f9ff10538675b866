"""A fade with its weighings and pour."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from kettlewright.cautions import Caution, of_fade
from kettlewright.errors import Missing, Unsolvable, check_distinct, gather
from kettlewright.plan.fade_notes import notes_of
from kettlewright.plan.fade_options import FadeOptions, find_fade, fit_fade_swatches
from kettlewright.pour.fade.carry_over import CarryOver, carry_over
from kettlewright.pour.fade.colours import Colour
from kettlewright.pour.fade.fades import FadeStep
from kettlewright.pour.fade.more_colour import MoreColour, more_colour
from kettlewright.pour.fade.swatch_residuals import Fitted
from kettlewright.prices import Price
from kettlewright.said import Said

__all__ = ["FadeLine", "FadePlan", "bucket_lines", "check_carried", "plan_fade"]


@dataclass(frozen=True, slots=True)
class FadeLine:
    """A portion of the fade with what is weighed for it.

    Parameters
    ----------
    step : FadeStep
        Dose and colour. [g/kg]
    colourant_g : float, optional
        In this bucket; none without its mass. [g]
    dispersion_g : float, optional
        The same as dispersion. [g]
    darker_by_g : float, optional
        To the next darker step, as dispersion where that is given. [g]
    darker_by_of : Said, optional
        What that is grams of, in words. [text]
    """

    step: FadeStep
    colourant_g: float | None = None
    dispersion_g: float | None = None
    darker_by_g: float | None = None
    darker_by_of: Said | None = None


@dataclass(frozen=True, slots=True)
class CarriedPortion:
    """A step of the carry-over, and whose it is.

    Parameters
    ----------
    key : str
        Of the portion. [key]
    step : CarryOver
        What to keep and to add. [g]
    """

    key: str
    step: CarryOver


@dataclass(frozen=True, slots=True)
class FadeCost:
    """What the colourant of a fade costs.

    Parameters
    ----------
    amount, equal_doses_amount : str
        Of the fade, and of steps of equal dose between the same ends: decimal text, half to even. [currency]
    currency : str
        ISO 4217. [key]
    """

    amount: str
    equal_doses_amount: str
    currency: str


@dataclass(frozen=True, slots=True)
class FadePlan:
    """A fade with its doses, dispersions and notes.

    Parameters
    ----------
    lines : tuple of FadeLine
        In the order of the request. [g/kg]
    fit, other_fit : Fitted
        How the swatches were fitted. [g/kg]
    state, gelled : str
        Of the swatches, and so of what is predicted. [key]
    notes : tuple of Said
        Notes. [text]
    cautions : tuple of Caution
        Swatches that the fit misses. [cautions]
    colourant_g, equal_doses_g : float, optional
        In all portions, and what steps of equal dose between the same ends would take. [g]
    cost : FadeCost, optional
        Of both, where a price is given. [currency]
    carry_over : tuple of CarriedPortion, optional
        Where it was requested. [g]
    more : MoreColour, optional
        Where it was requested. [g]
    """

    lines: tuple[FadeLine, ...]
    fit: Fitted
    other_fit: Fitted | None
    state: str
    gelled: str
    notes: tuple[Said, ...]
    cautions: tuple[Caution, ...] = ()
    colourant_g: float | None = None
    equal_doses_g: float | None = None
    cost: FadeCost | None = None
    carry_over: tuple[CarriedPortion, ...] | None = None
    more: MoreColour | None = None


def bucket_lines(steps: Sequence[FadeStep], masses_g: Sequence[float | None],
                 pure_parts: Sequence[float | None] = (None, None),
                 names: Sequence[str | None] = (None, None)) -> tuple[FadeLine, ...]:
    """What is weighed for the steps of a fade.

    Parameters
    ----------
    steps : sequence of FadeStep
        The fade. [g/kg]
    masses_g : sequence of float, same length
        Batter in each bucket; None if not known. [g]
    pure_parts : sequence of two floats
        Colourant in the dispersion of either end; None if weighed dry. [g/g]
    names : sequence of two texts
        Of the colourants, where they are known. [text]

    Returns
    -------
    tuple of FadeLine : [g]
    """
    found = []
    for step, mass in zip(steps, masses_g, strict=True):
        if mass is None:
            found.append(FadeLine(step))
            continue
        part = pure_parts[step.end]
        colourant = step.dose * mass / 1000
        by = None if step.darker_dose is None else (step.darker_dose - step.dose) * mass / 1000 / (part or 1.0)
        found.append(FadeLine(step, colourant, None if part is None else colourant / part, by,
                              None if by is None else _what_is_weighed(names[step.end], part)))
    return tuple(found)


def _what_is_weighed(name: str | None, part: float | None) -> Said:
    colourant = Said("colourant") if name is None else name
    if part is None:
        return Said("dry {colourant}", colourant=colourant)
    return Said("{colourant} dispersion, {strength:.6g} %", colourant=colourant, strength=100 * part)


def plan_fade(options: FadeOptions, portions: Sequence[tuple[str, float | None]], *,
              dispersion_pct: float | None = None, price: Price | None = None,
              more: tuple[float, Colour | float, Colour | float] | None = None) -> FadePlan:
    """A fade with its doses, dispersions and notes.

    Parameters
    ----------
    options : FadeOptions
        The request. [g/kg]
    portions : sequence of (name, mass)
        Darkest first; with the mass if known. [g]
    dispersion_pct : float, optional
        Colourant in the dispersion. [% by mass]
    price : Price, optional
        Of the colourant. [currency]
    more : (mass, now, wanted), optional
        A bucket that needs more. [g, g/kg]

    Returns
    -------
    FadePlan : [g/kg, g]

    Raises
    ------
    DomainErrors, DomainError : swatches made unlike, and whatever fit, fade and carry-over refuse.
    """
    names = [name for name, _ in portions]
    masses = [mass for _, mass in portions]
    with gather() as checks:
        with checks.at():
            fit, other_fit, state, gelled = fit_fade_swatches(options)
        with checks.at("portions"):
            check_distinct(names, "portion")
        with checks.at("price"):
            if price is not None and options.other is not None:
                raise Unsolvable("One price is given for two colourants: leave out the price.")
    found = find_fade(options, names, fit, other_fit)
    with gather() as checks:
        carried = wanted = None
        with checks.at():
            carried = _carried(found.steps, masses) if options.carry_over else None
        with checks.at("more"):
            wanted = None if more is None else more_colour(fit.material, *more)
    part = None if dispersion_pct is None else dispersion_pct / 100
    lines = bucket_lines(found.steps, masses, (part, part))
    known = [(line.colourant_g, mass) for line, mass in zip(lines, masses, strict=True)
             if line.colourant_g is not None and mass is not None]
    all_known = len(known) == len(lines)
    colourant = math.fsum(mass for mass, _ in known) if all_known else None
    equal = _equal_doses(found.steps, [mass for _, mass in known]) if all_known and other_fit is None else None
    cost = None
    if price is not None and colourant is not None and equal is not None:
        cost = FadeCost(_cost(price, colourant), _cost(price, equal), price.currency)
    notes = notes_of(options, found.steps, fit, other_fit, state=state, gelled=gelled)
    return FadePlan(lines, fit, other_fit, state, gelled, (*found.notes, *notes),
                    cautions=of_fade(fit, other_fit), colourant_g=colourant, equal_doses_g=equal, cost=cost,
                    carry_over=carried, more=wanted)


def _cost(price: Price, mass_g: float) -> str:
    return str((price.per_g * Decimal(f"{mass_g:.9g}")).quantize(Decimal("0.01")))


def _carried(steps: Sequence[FadeStep], masses_g: Sequence[float | None]) -> tuple[CarriedPortion, ...]:
    if any(mass is None for mass in masses_g):
        raise Missing("The mass to keep depends on the mass that is poured: give the mass of every portion.",
                      field=("carry_over",))
    check_carried(steps)
    # a plain portion gets plain batter of its own, and a note says so
    dyed = [(step, mass or 0.0) for step, mass in zip(steps, masses_g, strict=True) if step.dose > 0]
    found = carry_over([mass for _, mass in dyed], [step.dose for step, _ in dyed])
    return tuple(CarriedPortion(step.key, one) for (step, _), one in zip(dyed, found, strict=True))


def check_carried(steps: Sequence[FadeStep]) -> None:
    """Refuse a fade in which nothing can be carried over (`steps`, as found). [g/kg]

    Raises
    ------
    Unsolvable : two ends, fewer than two dyed portions.
    """
    if any(step.end for step in steps):
        raise Unsolvable("A fade between two colourants changes its colourant on the way: carry each half over "
                         "separately.",
                         field=("carry_over",))
    if sum(step.dose > 0 for step in steps) < 2:
        raise Unsolvable("With fewer than two dyed portions there is nothing to carry over.",
                         field=("carry_over",))


def _equal_doses(steps: Sequence[FadeStep], masses_g: Sequence[float]) -> float:
    first, last = steps[0].dose, steps[-1].dose
    count = len(steps)
    return math.fsum((first + (last - first) * index / (count - 1)) * mass / 1000
                     for index, mass in enumerate(masses_g))
