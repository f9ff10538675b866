"""A fade: swatches fitted, doses found, and what follows from them for the hands."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from kettlewright.errors import DomainError, Unsolvable, gather
from kettlewright.pour.buckets import check_distinct
from kettlewright.pour.carry_over import CarryOver, carry_over
from kettlewright.pour.colours import Colour, difference
from kettlewright.pour.fades import Fade, FadeStep, fade
from kettlewright.pour.swatches import CAVEATS, Material, MoreColour, Swatch, fit_swatches, more_colour
from kettlewright.prices import Price
from kettlewright.said import Said

__all__ = ["FadeLine", "FadePlan", "FadeWish", "Fitted", "FittedSwatch", "MadeSwatch", "OtherEnd", "bucket_lines",
           "check_carried", "find_fade", "fit_wish", "notes_of", "plan_fade"]

_SWATCHES_ENOUGH = 6  # 95 % of Student's distribution with four degrees of freedom is 2.8 standard errors
_PLAINS_ALIKE = 3.0  # CIEDE2000 between two swatches of one plain batter: an own decision


@dataclass(frozen=True, slots=True)
class MadeSwatch:
    """A swatch, and how it was made.

    Parameters
    ----------
    swatch : Swatch
        Dose and colour. [g/kg]
    state : str
        "cured" soap or "wet" batter. [key]
    gelled : str
        "yes", "no" or "unknown". [key]
    """

    swatch: Swatch
    state: str = "cured"
    gelled: str = "unknown"


@dataclass(frozen=True, slots=True)
class OtherEnd:
    """The other colourant of a fade from one colour through plain to another.

    Parameters
    ----------
    swatches : tuple of MadeSwatch
        Of it, one of them plain. [g/kg]
    darkest_dose : float, optional
        Where it ends; its darkest swatch where not given. [g/kg]
    """

    swatches: tuple[MadeSwatch, ...]
    darkest_dose: float | None = None


@dataclass(frozen=True, slots=True)
class FadeWish:
    """A fade as it is asked, whatever it is poured into.

    Parameters
    ----------
    swatches : tuple of MadeSwatch
        Of one colourant, made alike. [g/kg]
    kind : str
        Of the colourant: a key of `CAVEATS`. [key]
    steps, curve, doses, darkest_dose, lightest_dose
        As for `fade`. [g/kg]
    other : OtherEnd, optional
        Of a fade through plain. [g/kg]
    carry_over : bool
        Each portion is coloured with what is kept of the one before. [yes or no]
    """

    swatches: tuple[MadeSwatch, ...]
    kind: str = "other"
    steps: str = "ciede2000"
    curve: tuple[float, ...] | None = None
    doses: tuple[float, ...] | None = None
    darkest_dose: float | None = None
    lightest_dose: float | None = None
    other: OtherEnd | None = None
    carry_over: bool = False


@dataclass(frozen=True, slots=True)
class FittedSwatch:
    """A swatch beside what the fit makes of it.

    Parameters
    ----------
    dose : float
        Colourant. [g/kg]
    colour, predicted : Colour
        Measured, and of the fit. [1]
    off : float
        Between the two. [CIEDE2000]
    """

    dose: float
    colour: Colour
    predicted: Colour
    off: float


@dataclass(frozen=True, slots=True)
class Fitted:
    """How the swatches of one colourant were fitted.

    Parameters
    ----------
    material : Material
        The fit. [g/kg]
    swatches : tuple of FittedSwatch
        Lightest first. [g/kg]
    """

    material: Material
    swatches: tuple[FittedSwatch, ...]

    @property
    def error(self) -> float | None:
        """Root mean square between swatches and fit. [CIEDE2000]"""
        return self.material.error

    @property
    def dose_min(self) -> float:
        """Where the swatches begin. [g/kg]"""
        return self.material.doses[0]

    @property
    def dose_max(self) -> float:
        """Where they end. [g/kg]"""
        return self.material.doses[1]


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
        To the next darker step, as dispersion where that is told. [g]
    """

    step: FadeStep
    colourant_g: float | None = None
    dispersion_g: float | None = None
    darker_by_g: float | None = None


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
    """A fade, and what follows from it.

    Parameters
    ----------
    lines : tuple of FadeLine
        In the order asked. [g/kg]
    fit, other_fit : Fitted
        How the swatches were fitted. [g/kg]
    state, gelled : str
        Of the swatches, and so of what is predicted. [key]
    notes : tuple of Said
        What to know of it. [text]
    colourant_g, equal_doses_g : float, optional
        In all portions, and what steps of equal dose between the same ends would take. [g]
    cost : FadeCost, optional
        Of both, where a price is told. [currency]
    carry_over : tuple of CarriedPortion, optional
        Where it was asked. [g]
    more : MoreColour, optional
        Where it was asked. [g]
    """

    lines: tuple[FadeLine, ...]
    fit: Fitted
    other_fit: Fitted | None
    state: str
    gelled: str
    notes: tuple[Said, ...]
    colourant_g: float | None = None
    equal_doses_g: float | None = None
    cost: FadeCost | None = None
    carry_over: tuple[CarriedPortion, ...] | None = None
    more: MoreColour | None = None


def fit_wish(wish: FadeWish) -> tuple[Fitted, Fitted | None, str, str]:
    """Fit the swatches of a wish.

    Parameters
    ----------
    wish : FadeWish
        As asked. [g/kg]

    Returns
    -------
    (Fitted, Fitted or none, state, gelled) : both colourants, and how the swatches were made. [g/kg]

    Raises
    ------
    Faults : swatches made unlike, too few or contradicting, two plain batters that are not one.
    """
    second = None
    with gather() as checks:
        with checks.at("swatches"):
            state, gelled = _made_alike([*wish.swatches, *(wish.other.swatches if wish.other is not None else ())])
        with checks.at("swatches"):
            first = fit_swatches([made.swatch for made in wish.swatches])
        if wish.other is not None:
            with checks.at("other", "swatches"):
                second = fit_swatches([made.swatch for made in wish.other.swatches])
    if second is not None and first.doses[0] == 0 == second.doses[0]:
        first, second = _of_one_batter(first, second)
    return (_fitted(first, wish.swatches), None if second is None or wish.other is None else
            _fitted(second, wish.other.swatches), state, gelled)


def _of_one_batter(first: Material, second: Material) -> tuple[Material, Material]:
    """Both colourants in the middle of their plain batters, so that a fade has no jump there."""
    apart = difference(first.colour(0.0), second.colour(0.0))
    if apart > _PLAINS_ALIKE:
        raise Unsolvable(f"The plain batters of the two ends differ by CIEDE2000 {apart:.1f}: swatches of one fade are "
                         "made of one batter.", field=("other", "swatches"), value=apart,
                         allowed=f"at most {_PLAINS_ALIKE:.0f}")
    red, green, blue = ((one + two) / 2 for one, two in zip(first.plain, second.plain, strict=True))
    return replace(first, plain=(red, green, blue)), replace(second, plain=(red, green, blue))


def _fitted(material: Material, swatches: Sequence[MadeSwatch]) -> Fitted:
    ordered = sorted((made.swatch for made in swatches), key=lambda swatch: swatch.dose)
    return Fitted(material, tuple(
        FittedSwatch(swatch.dose, swatch.colour, predicted, difference(swatch.colour, predicted))
        for swatch in ordered for predicted in (material.colour(swatch.dose),)))


def find_fade(wish: FadeWish, names: Sequence[str], fit: Fitted, other_fit: Fitted | None) -> Fade:
    """Doses and colours of a wish.

    Parameters
    ----------
    wish : FadeWish
        As asked. [g/kg]
    names : sequence of str
        Of the portions, the darkest first. [text]
    fit, other_fit : Fitted
        Its swatches, fitted. [g/kg]

    Returns
    -------
    Fade : [g/kg]

    Raises
    ------
    Faults, DomainError : whatever `fade` refuses.
    """
    return fade(fit.material, names, steps=wish.steps, curve=wish.curve, doses=wish.doses,
                darkest_dose=wish.darkest_dose, lightest_dose=wish.lightest_dose,
                other=None if other_fit is None else other_fit.material,
                other_darkest_dose=None if wish.other is None else wish.other.darkest_dose)


def bucket_lines(steps: Sequence[FadeStep], masses_g: Sequence[float | None],
                 pure_parts: Sequence[float | None] = (None, None)) -> tuple[FadeLine, ...]:
    """What is weighed for the steps of a fade.

    Parameters
    ----------
    steps : sequence of FadeStep
        The fade. [g/kg]
    masses_g : sequence of float, same length
        Batter in each bucket; none where it is not known. [g]
    pure_parts : sequence of two floats
        Colourant in the dispersion, of either end; none where it is weighed dry. [g/g]

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
        found.append(FadeLine(step, colourant, None if part is None else colourant / part, by))
    return tuple(found)


def plan_fade(wish: FadeWish, portions: Sequence[tuple[str, float | None]], *, dispersion_pct: float | None = None,
              price: Price | None = None, more: tuple[float, Colour | float, Colour | float] | None = None) -> FadePlan:
    """A fade, and what follows from it for the hands.

    Parameters
    ----------
    wish : FadeWish
        As asked. [g/kg]
    portions : sequence of (name, mass)
        The darkest first; the mass where it is known. [g]
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
    Faults, DomainError : swatches made unlike, and whatever fit, fade and carry-over refuse.
    """
    names = [name for name, _ in portions]
    masses = [mass for _, mass in portions]
    with gather() as checks:
        with checks.at():
            fit, other_fit, state, gelled = fit_wish(wish)
        with checks.at("portions"):
            check_distinct(names, "portion")
        with checks.at("price"):
            if price is not None and wish.other is not None:
                raise Unsolvable("One price is told and there are two colourants: leave it out.")
    found = find_fade(wish, names, fit, other_fit)
    with gather() as checks:
        carried = wanted = None
        with checks.at():
            carried = _carried(found.steps, masses) if wish.carry_over else None
        with checks.at("more"):
            wanted = None if more is None else more_colour(fit.material, *more)
    part = None if dispersion_pct is None else dispersion_pct / 100
    lines = bucket_lines(found.steps, masses, (part, part))
    known = [(line.colourant_g, mass) for line, mass in zip(lines, masses, strict=True)
             if line.colourant_g is not None and mass is not None]
    all_known = len(known) == len(lines)
    colourant = math.fsum(mass for mass, _ in known) if all_known else None
    equal = _equal_doses(found.steps, [mass for _, mass in known]) if all_known and other_fit is None else None
    return FadePlan(lines, fit, other_fit, state, gelled,
                    (*found.notes, *notes_of(wish, found.steps, fit, state=state, gelled=gelled)),
                    colourant, equal, None if price is None or colourant is None or equal is None else
                    FadeCost(_cost(price, colourant), _cost(price, equal), price.currency), carried, wanted)


def _cost(price: Price, mass_g: float) -> str:
    return str((price.per_g * Decimal(f"{mass_g:.9g}")).quantize(Decimal("0.01")))


def _made_alike(swatches: Sequence[MadeSwatch]) -> tuple[str, str]:
    states, gels = {made.state for made in swatches}, {made.gelled for made in swatches} - {"unknown"}
    if len(states) > 1:
        raise Unsolvable("Wet batter and cured soap have other colours: the swatches of one fit are all wet or all "
                         "cured.")
    if len(gels) > 1:
        raise Unsolvable("Gelled soap is darker than soap that did not gel: the swatches of one fit are all of one "
                         "kind.")
    return states.pop(), gels.pop() if gels else "unknown"


def _carried(steps: Sequence[FadeStep], masses_g: Sequence[float | None]) -> tuple[CarriedPortion, ...]:
    if any(mass is None for mass in masses_g):
        raise DomainError("How much to keep follows from what is poured: give the mass of every portion.",
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
        raise Unsolvable("A fade with two ends changes its colourant: carry each half over by itself.",
                         field=("carry_over",))
    if sum(step.dose > 0 for step in steps) < 2:
        raise Unsolvable("With fewer than two dyed portions there is nothing to carry over.",
                         field=("carry_over",))


def _equal_doses(steps: Sequence[FadeStep], masses_g: Sequence[float]) -> float:
    first, last = steps[0].dose, steps[-1].dose
    count = len(steps)
    return math.fsum((first + (last - first) * index / (count - 1)) * mass / 1000
                     for index, mass in enumerate(masses_g))


def notes_of(wish: FadeWish, steps: Sequence[FadeStep], fit: Fitted, *, state: str, gelled: str) -> tuple[Said, ...]:
    """What to know of a prediction.

    Parameters
    ----------
    wish : FadeWish
        As asked. [g/kg]
    steps : sequence of FadeStep
        What was found. [g/kg]
    fit : Fitted
        Of its first colourant. [g/kg]
    state, gelled : str
        Of the swatches. [key]

    Returns
    -------
    tuple of Said : in words. [text]
    """
    notes = [CAVEATS[wish.kind]]
    if state == "wet":
        notes.append(Said("Predicted of wet batter, since the swatches are wet: nothing is said of the cured colour."))
    notes.append({"yes": Said("Predicted of gelled soap; without gel phase it stays lighter."),
                  "no": Said("Predicted of soap that did not gel; gel phase makes it darker."),
                  "unknown": Said("Whether the swatches gelled is not told; gel phase makes soap darker.")}[gelled])
    smallest = min((step.to_next for step in steps if step.to_next is not None), default=None)
    if fit.error is None:
        notes.append(Said("Two swatches are fitted exactly: no error can be given. A third one would tell."))
    else:
        notes.append(Said("The fit misses its swatches by CIEDE2000 {error:.1f} (root mean square).", error=fit.error))
        if len(fit.swatches) < _SWATCHES_ENOUGH:
            notes.append(Said("So few swatches tell little of how far the next one may be off: the band is wide, and "
                              "one or two more would narrow it a good deal."))
        if smallest is not None and fit.error > smallest:
            notes.append(Said("That is more than the smallest step of this fade: its steps cannot be promised. More "
                              "swatches, or fewer portions."))
    if wish.carry_over:
        notes.append(Said("Carrying over takes as much colourant as dyeing each bucket by itself; it saves weighings."))
        notes += [Said('"{portion}" is plain: nothing carried over goes into it, it gets plain batter of its own.',
                       portion=step.name) for step in steps if step.dose == 0]
    return (*notes, Said("Screens are not swatches: hold the strip beside a cured bar before you trust it."))
