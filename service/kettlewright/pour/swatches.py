"""How a batter takes a colourant (Kubelka-Munk), from the maker's own swatches."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

from scipy.optimize import brentq

from kettlewright import limits
from kettlewright.errors import OutOfRange, Unsolvable, gather
from kettlewright.pour.colours import Colour, difference, from_linear

__all__ = ["CAVEATS", "Material", "MoreColour", "Swatch", "fit_swatches", "more_colour"]

_ROOM = 1e-9

CAVEATS = {
    "mineral": "Mineral pigments keep their colour; gel phase darkens them all the same.",
    "plant": "Natural dyes shift with the alkali, with light and in cure: make the swatch as the batch is made, and "
             "cure it.",
    "white": "Titanium dioxide scatters light: the model, in which the colourant only absorbs, does not hold for it.",
    "mica": "Mica glitters and is no diffuse colour: a swatch says little of it.",
    "other": "How this colourant ages is not known here.",
}
"""What to keep in mind of each kind of colourant; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Swatch:
    """Soap of a known dose and its measured colour.

    Parameters
    ----------
    dose : float
        Colourant. [g per kg of batter]
    colour : Colour
        Measured. [1]
    """

    dose: float
    colour: Colour

    def __post_init__(self) -> None:
        limits.SWATCH_DOSE.check(self.dose, "dose")


@dataclass(frozen=True, slots=True)
class Material:
    """How a batter takes a colourant: K/S of each channel grows in a straight line with the dose.

    Parameters
    ----------
    plain, slope : tuple of three floats
        K/S without colourant, and what a gram per kilogram adds, in linear red, green and blue. [1, kg/g]
    doses : tuple (lowest, highest)
        Where the swatches lie; beyond them nothing is said. [g/kg]
    error : float, optional
        Root mean square of the differences between swatches and fit; none where the fit has no swatch to spare.
        [CIEDE2000]
    """

    plain: tuple[float, float, float]
    slope: tuple[float, float, float]
    doses: tuple[float, float]
    error: float | None

    def colour(self, dose: float) -> Colour:
        """Colour of a dose, inside what the swatches reach.

        Parameters
        ----------
        dose : float
            Colourant. [g per kg of batter]

        Returns
        -------
        Colour : [1]

        Raises
        ------
        OutOfRange : beyond the swatches.

        References
        ----------
        .. [1] Kubelka-Munk for an opaque layer, K/S = (1 - R)^2 / (2 R), single-constant form. Read.
        """
        low, high = self.doses
        if not low - _ROOM * high <= dose <= high * (1 + _ROOM):
            raise OutOfRange(f"A dose of {dose:.4g} g/kg lies beyond the swatches, which reach from {low:.4g} to "
                             f"{high:.4g}: nothing is said there. Make a swatch of it.", value=dose,
                             allowed=f"from {low:.6g} to {high:.6g} g/kg")
        red, green, blue = (_reflectance(plain + slope * dose)
                            for plain, slope in zip(self.plain, self.slope, strict=True))
        return from_linear(red, green, blue)


def _absorbs(reflectance: float) -> float:
    """K/S of a reflectance."""
    return (1 - reflectance) ** 2 / (2 * reflectance)


def _reflectance(absorbs: float) -> float:
    """1 + x - sqrt(x^2 + 2 x), in the form that keeps its digits for large x."""
    return 1 / (1 + absorbs + math.sqrt(absorbs * (absorbs + 2)))


def fit_swatches(swatches: Sequence[Swatch]) -> Material:
    """How a batter takes a colourant, from swatches.

    Parameters
    ----------
    swatches : sequence of Swatch, length n >= 2
        Of one colourant, one of them plain or two of different doses. [g/kg]

    Returns
    -------
    Material : exact through two swatches; least squares in K/S, weighted by 1 / (1 + K/S)^2, through more.

    Raises
    ------
    Unsolvable : fewer than two doses, swatches of one colour, more colourant and a lighter colour.
    """
    ordered = sorted(swatches, key=lambda swatch: swatch.dose)
    if len({swatch.dose for swatch in ordered}) < 2:
        raise Unsolvable("One swatch alone tells no fade: add one of the plain batter (dose 0), or of another dose.")
    for less, more in itertools.pairwise(ordered):
        if more.dose == less.dose:
            continue
        if more.colour.lab[0] >= less.colour.lab[0]:
            word = "the same as" if difference(less.colour, more.colour) < 1e-6 else "lighter than"
            raise Unsolvable(f"The swatch of {more.dose:.4g} g/kg is {word} the one of {less.dose:.4g}: more colourant "
                             "cannot do that. Are two swatches mixed up, or wet and cured ones together?")
    plains, slopes = [], []
    for channel in range(3):
        points = [(swatch.dose, _absorbs(swatch.colour.linear[channel])) for swatch in ordered]
        plain, slope = _line(points)
        plains.append(max(plain, 0.0))
        slopes.append(max(slope, 0.0))
    material = Material((plains[0], plains[1], plains[2]), (slopes[0], slopes[1], slopes[2]),
                        (ordered[0].dose, ordered[-1].dose), None)
    if len(ordered) == 2:
        return material
    squares = [difference(material.colour(swatch.dose), swatch.colour) ** 2 for swatch in ordered]
    return Material(material.plain, material.slope, material.doses, math.sqrt(math.fsum(squares) / len(squares)))


def _line(points: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """Weighted line: a step of K/S means less to the eye the darker it is."""
    weights = [1 / (1 + absorbs) ** 2 for _, absorbs in points]
    total = math.fsum(weights)
    mean_dose = math.fsum(w * dose for w, (dose, _) in zip(weights, points, strict=True)) / total
    mean = math.fsum(w * absorbs for w, (_, absorbs) in zip(weights, points, strict=True)) / total
    above = math.fsum(w * (dose - mean_dose) * (absorbs - mean)
                      for w, (dose, absorbs) in zip(weights, points, strict=True))
    below = math.fsum(w * (dose - mean_dose) ** 2 for w, (dose, _) in zip(weights, points, strict=True))
    slope = above / below
    return mean - slope * mean_dose, slope


@dataclass(frozen=True, slots=True)
class MoreColour:
    """What brings a bucket from one dose to another.

    Parameters
    ----------
    now_dose, wanted_dose : float
        As told, or read off the colours. [g/kg]
    colourant_g, plain_g : float
        To add: colourant for a darker colour, plain batter for a lighter one. [g]
    """

    now_dose: float
    wanted_dose: float
    colourant_g: float
    plain_g: float


def more_colour(material: Material, mass_g: float, now: Colour | float, wanted: Colour | float) -> MoreColour:
    """How much more colourant, or plain batter, a bucket needs.

    Parameters
    ----------
    material : Material
        Of the colourant. [g/kg]
    mass_g : float
        Batter in the bucket. [g]
    now, wanted : Colour or float
        As it looks and as it shall look, or as doses. [g/kg]

    Returns
    -------
    MoreColour : [g]

    Raises
    ------
    OutOfRange : beyond the swatches.
    """
    limits.MASS.check(mass_g, "mass")
    with gather() as checks:
        with checks.at("now"):
            is_now = _dose_of(material, now)
        with checks.at("wanted"):
            is_wanted = _dose_of(material, wanted)
    if is_wanted >= is_now:
        return MoreColour(is_now, is_wanted, (is_wanted - is_now) * mass_g / 1000, 0.0)
    if is_wanted <= 0:
        raise Unsolvable("Colour does not come out again: no amount of plain batter makes this plain.",
                         field=("wanted",))
    return MoreColour(is_now, is_wanted, 0.0, mass_g * (is_now / is_wanted - 1))


def _dose_of(material: Material, told: Colour | float) -> float:
    """A dose, or the one of the lightness of a colour."""
    if not isinstance(told, Colour):
        material.colour(told)
        return told
    low, high = material.doses
    light, dark = material.colour(low).lab[0], material.colour(high).lab[0]
    wanted = told.lab[0]
    if not dark - 0.5 <= wanted <= light + 0.5:
        raise OutOfRange(f"L* {wanted:.1f} lies beyond the swatches, which reach from {dark:.1f} to {light:.1f}.",
                         value=wanted, allowed=f"L* from {dark:.1f} to {light:.1f}")
    wanted = min(max(wanted, dark), light)
    return float(brentq(lambda dose: material.colour(dose).lab[0] - wanted, low, high, xtol=1e-12))
