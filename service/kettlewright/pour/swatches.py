"""How a batter takes a colourant (Kubelka-Munk), from the maker's own swatches."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from scipy.optimize import brentq
from scipy.special import stdtrit

from kettlewright import limits
from kettlewright.errors import OutOfRange, Unsolvable, gather
from kettlewright.pour.colours import Colour, difference, from_linear
from kettlewright.said import Said

__all__ = ["CAVEATS", "Band", "Material", "MoreColour", "Scatter", "Swatch", "fit_swatches", "more_colour"]

_ROOM = 1e-9
_SCATTERS = 1.0  # L*: neighbours of several swatches may be this much the wrong way round; an own decision
_LIGHTEST = 1e-4  # K/S of a reflectance of 0.986: above that a step of K/S would mean ever more
_LIKELY = 0.975  # of Student's distribution: 95 % lie between both ends

CAVEATS = {
    "mineral": Said("Mineral pigments keep their colour; gel phase darkens them all the same."),
    "plant": Said("Natural dyes shift with the alkali, with light and in cure: make the swatch as the batch is made, "
                  "and cure it."),
    "white": Said("Titanium dioxide scatters light: the model, in which the colourant only absorbs, does not hold for "
                  "it, nor in a batter that has some in it already."),
    "mica": Said("Mica glitters and is no diffuse colour: a swatch says little of it."),
    "other": Said("How this colourant ages is not known here."),
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
class Scatter:
    """How far the swatches lie about their line, in each channel.

    Parameters
    ----------
    variance : tuple of three floats
        Of K/S, of unit weight. [1]
    weight, mean_dose, spread : tuples of three floats
        Sum of weights, mean dose, weighted sum of squares about it. [1, g/kg, (g/kg)^2]
    freedom : int
        Swatches beyond the two that a line takes. [number]
    """

    variance: tuple[float, float, float]
    weight: tuple[float, float, float]
    mean_dose: tuple[float, float, float]
    spread: tuple[float, float, float]
    freedom: int

    def half_width(self, channel: int, dose: float, absorbs: float) -> float:
        """How far one more swatch of a dose may lie from the line, 95 % (`channel`, `dose` [g/kg], `absorbs` [K/S])."""
        own = 1 / _weight(absorbs)
        mean = 1 / self.weight[channel] + (dose - self.mean_dose[channel]) ** 2 / self.spread[channel]
        return float(stdtrit(self.freedom, _LIKELY)) * math.sqrt(self.variance[channel] * (own + mean))


@dataclass(frozen=True, slots=True)
class Band:
    """Between which colours a swatch of a dose is likely to lie (95 %).

    Parameters
    ----------
    darkest, lightest : Colour
        All channels erring the same way, which is the widest. [1]
    """

    darkest: Colour
    lightest: Colour


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
    scatter : Scatter, optional
        How far the swatches lie about the line; none where the fit has no swatch to spare. [1]
    """

    plain: tuple[float, float, float]
    slope: tuple[float, float, float]
    doses: tuple[float, float]
    error: float | None = None
    scatter: Scatter | None = None

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
        red, green, blue = (_reflectance(absorbs) for absorbs in self._absorbing(dose))
        return from_linear(red, green, blue)

    def _absorbing(self, dose: float) -> tuple[float, float, float]:
        red, green, blue = (plain + slope * dose for plain, slope in zip(self.plain, self.slope, strict=True))
        return red, green, blue

    def band(self, dose: float) -> Band | None:
        """Between which colours one more swatch of a dose is likely to lie.

        Parameters
        ----------
        dose : float
            Colourant. [g per kg of batter]

        Returns
        -------
        Band, optional : none where the fit has no swatch to spare. [1]

        Notes
        -----
        Prediction interval of a weighted straight line by Student's distribution, channel by channel in K/S.
        """
        if self.scatter is None:
            return None
        middle = self._absorbing(dose)
        half = [self.scatter.half_width(channel, dose, middle[channel]) for channel in range(3)]
        darkest, lightest = (tuple(_reflectance(max(absorbs + side * width, 0.0))
                                   for absorbs, width in zip(middle, half, strict=True)) for side in (1, -1))
        return Band(from_linear(*darkest), from_linear(*lightest))


def _absorbs(reflectance: float) -> float:
    """K/S of a reflectance."""
    return (1 - reflectance) ** 2 / (2 * reflectance)


def _reflectance(absorbs: float) -> float:
    """1 + x - sqrt(x^2 + 2 x), in the form that keeps its digits for large x."""
    return 1 / (1 + absorbs + math.sqrt(absorbs * (absorbs + 2)))


def _weight(absorbs: float) -> float:
    """What a step of K/S means to the eye, squared: (d R^(1/3) / dx)^2, since lightness goes with the cube root of R.

    Swatches scatter about alike in lightness; in K/S a dark one scatters far more than a light one.
    """
    absorbs = max(absorbs, _LIGHTEST)
    return float(_reflectance(absorbs) ** (2 / 3) / (absorbs * (absorbs + 2)))


def fit_swatches(swatches: Sequence[Swatch]) -> Material:
    """How a batter takes a colourant, from swatches.

    Parameters
    ----------
    swatches : sequence of Swatch, length n >= 2
        Of one colourant, one of them plain or two of different doses. [g/kg]

    Returns
    -------
    Material : exact through two swatches; least squares in K/S, weighted by what a step of it means to
        the eye, through more.

    Raises
    ------
    Unsolvable : fewer than two doses, swatches of one colour, more colourant and a lighter colour.
    """
    ordered = sorted(swatches, key=lambda swatch: swatch.dose)
    if len({swatch.dose for swatch in ordered}) < 2:
        raise Unsolvable("One swatch alone tells no fade: add one of the plain batter (dose 0), or of another dose.")
    for less, more in itertools.pairwise(ordered):
        if more.dose > less.dose:
            _check_darker(less, more, room=_SCATTERS if len(ordered) > 2 else 0.0)
    _check_darker(ordered[0], ordered[-1])
    lines = [_line([(swatch.dose, _absorbs(swatch.colour.linear[channel])) for swatch in ordered])
             for channel in range(3)]
    material = Material(_three(max(line.plain, 0.0) for line in lines), _three(max(line.slope, 0.0) for line in lines),
                        (ordered[0].dose, ordered[-1].dose))
    if len(ordered) == 2:
        return material
    squares = [difference(material.colour(swatch.dose), swatch.colour) ** 2 for swatch in ordered]
    freedom = len(ordered) - 2
    return replace(material, error=math.sqrt(math.fsum(squares) / len(squares)), scatter=Scatter(
        _three(line.squares / freedom for line in lines), _three(line.weight for line in lines),
        _three(line.mean_dose for line in lines), _three(line.spread for line in lines), freedom))


def _check_darker(less: Swatch, more: Swatch, *, room: float = 0.0) -> None:
    lighter_by = more.colour.lab.lightness - less.colour.lab.lightness
    alike = difference(less.colour, more.colour) < 1e-6
    if lighter_by >= room or alike:
        word = "the same as" if alike else "lighter than"
        raise Unsolvable(f"The swatch of {more.dose:.4g} g/kg is {word} the one of {less.dose:.4g}: more colourant "
                         "cannot do that. Are two swatches mixed up, or wet and cured ones together?")


def _three(values: Iterable[float]) -> tuple[float, float, float]:
    red, green, blue = values
    return red, green, blue


@dataclass(frozen=True, slots=True)
class _Line:
    """A weighted straight line through K/S."""

    plain: float
    slope: float
    squares: float
    weight: float
    mean_dose: float
    spread: float


def _line(points: Sequence[tuple[float, float]]) -> _Line:
    weights = [_weight(absorbs) for _, absorbs in points]
    total = math.fsum(weights)
    mean_dose = math.fsum(w * dose for w, (dose, _) in zip(weights, points, strict=True)) / total
    mean = math.fsum(w * absorbs for w, (_, absorbs) in zip(weights, points, strict=True)) / total
    above = math.fsum(w * (dose - mean_dose) * (absorbs - mean)
                      for w, (dose, absorbs) in zip(weights, points, strict=True))
    below = math.fsum(w * (dose - mean_dose) ** 2 for w, (dose, _) in zip(weights, points, strict=True))
    slope = above / below
    plain = mean - slope * mean_dose
    squares = math.fsum(w * (absorbs - plain - slope * dose) ** 2
                        for w, (dose, absorbs) in zip(weights, points, strict=True))
    return _Line(plain, slope, squares, total, mean_dose, below)


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
