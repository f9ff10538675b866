"""A fade as it is requested: swatches fitted, doses found."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kettlewright.copies import replace
from kettlewright.errors import Unsolvable, gather
from kettlewright.pour.fade.colours import difference, mean_colour
from kettlewright.pour.fade.fades import Fade, fade
from kettlewright.pour.fade.swatch_fit import fit_swatches
from kettlewright.pour.fade.swatch_residuals import Fitted, fitted
from kettlewright.pour.fade.swatches import Swatch

__all__ = ["FadeOptions", "MadeSwatch", "OtherEnd", "find_fade", "fit_fade_swatches"]

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
class FadeOptions:
    """A fade as it is requested, whatever it is poured into.

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


def fit_fade_swatches(options: FadeOptions) -> tuple[Fitted, Fitted | None, str, str]:
    """Fit the swatches of a fade.

    Parameters
    ----------
    options : FadeOptions
        The request. [g/kg]

    Returns
    -------
    (Fitted, Fitted or none, state, gelled) : both colourants, and how the swatches were made. [g/kg]

    Raises
    ------
    DomainErrors : swatches made unlike, too few or contradicting, two plain batters that are not one.
    """
    second = None
    with gather() as checks:
        with checks.at("swatches"):
            other = () if options.other is None else options.other.swatches
            state, gelled = _made_alike([*options.swatches, *other])
        one = [made.swatch for made in options.swatches]
        with checks.at("swatches"):
            first = fit_swatches(one)
        if options.other is not None:
            two = [made.swatch for made in options.other.swatches]
            with checks.at("other", "swatches"):
                second = fit_swatches(two)
    if second is None:
        return fitted(first, one), None, state, gelled
    if first.doses[0] == 0 == second.doses[0]:
        first, second = (fit_swatches(swatches) for swatches in _of_one_batter(one, two))
    return fitted(first, one), fitted(second, two), state, gelled


def _of_one_batter(one: Sequence[Swatch], two: Sequence[Swatch]) -> tuple[list[Swatch], list[Swatch]]:
    """Swatches of both ends, the plain ones in the middle between both, so that a fade has no jump there."""
    plains = [mean_colour([swatch.colour for swatch in swatches if swatch.dose == 0]) for swatches in (one, two)]
    apart = difference(*plains)
    if apart > _PLAINS_ALIKE:
        raise Unsolvable(f"The plain batters of the two ends differ by CIEDE2000 {apart:.1f}. Make the swatches of one "
                         "fade from the same batter.", field=("other", "swatches"), value=apart,
                         allowed=f"at most {_PLAINS_ALIKE:.0f}")
    plain = mean_colour(plains)
    first, second = ([replace(swatch, colour=plain) if swatch.dose == 0 else swatch for swatch in swatches]
                     for swatches in (one, two))
    return first, second


def find_fade(options: FadeOptions, names: Sequence[str], fit: Fitted, other_fit: Fitted | None) -> Fade:
    """Doses and colours of a fade.

    Parameters
    ----------
    options : FadeOptions
        The request. [g/kg]
    names : sequence of str
        Of the portions, the darkest first. [text]
    fit, other_fit : Fitted
        Its swatches, fitted. [g/kg]

    Returns
    -------
    Fade : [g/kg]

    Raises
    ------
    DomainErrors, DomainError : whatever `fade` refuses.
    """
    return fade(fit.material, names, steps=options.steps, curve=options.curve, doses=options.doses,
                darkest_dose=options.darkest_dose, lightest_dose=options.lightest_dose,
                other=None if other_fit is None else other_fit.material,
                other_darkest_dose=None if options.other is None else options.other.darkest_dose)


def _made_alike(swatches: Sequence[MadeSwatch]) -> tuple[str, str]:
    states, gels = {made.state for made in swatches}, {made.gelled for made in swatches} - {"unknown"}
    if len(states) > 1:
        raise Unsolvable("Wet batter and cured soap differ in colour: use swatches that are all wet or all cured.")
    if len(gels) > 1:
        raise Unsolvable("Gelled soap is darker than soap that did not gel: use swatches that are all gelled or all "
                         "not.")
    return states.pop(), gels.pop() if gels else "unknown"
