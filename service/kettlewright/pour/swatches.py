"""How a batter takes a colourant (Kubelka-Munk), from your own swatches."""

from __future__ import annotations

import bisect
import itertools
import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from scipy.special import stdtrit

from kettlewright import limits
from kettlewright.errors import OutOfRange, Unsolvable
from kettlewright.pour.absorption import (
    Curve,
    Point,
    absorption,
    fit_interpolated,
    fit_power,
    fit_straight,
    reflectance,
)
from kettlewright.pour.colours import Colour, difference, from_linear, mean_colour
from kettlewright.said import Said

__all__ = ["CAVEATS", "MISSED", "MODELS", "Band", "LeftOut", "Material", "Swatch", "fit_swatches"]

MODELS = ("straight", "power", "interpolated")
_ROOM = 1e-9
_SCATTERS = 2.0  # L*: neighbours of several swatches may be this much the wrong way round; 95 % of a scatter of 0.7
_LIKELY = 0.975  # of Student's distribution: 95 % lie between both ends
_DOSES_TO_CHOOSE = 4  # distinct; with fewer, no model is left when a swatch is left out
_AS_GOOD = 1.15  # a simpler model may miss what is left out by this much more; an own decision
MISSED = 3.0  # CIEDE2000: a simpler model that misses a swatch by more is not taken; an own decision
_SCATTER = 1.5  # CIEDE2000: two standard deviations of a usual measurement; an own decision
_NOT_SEEN = 0.1  # CIEDE2000: models that miss by less are all exact
_SAME_PLACE = 1.4 / 116  # of R^(1/3): L* 1.4, two standard deviations of a usual measurement

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
class LeftOut:
    """How far each swatch lies from the model of the other swatches.

    Parameters
    ----------
    error : float
        Root mean square. [CIEDE2000]
    half_width : float
        Half of the band a new swatch is likely to lie in (95 %), on the cube root of the reflectance: 0.01 is about
        1.2 of L*. [1]
    count : int
        Swatches left out in turn. [number]
    """

    error: float
    half_width: float
    count: int


@dataclass(frozen=True, slots=True)
class Band:
    """Between which colours a swatch of a dose is likely to lie (95 %).

    Parameters
    ----------
    darkest, lightest : Colour
        All channels off in the same direction, which is the widest. [1]
    """

    darkest: Colour
    lightest: Colour


@dataclass(frozen=True, slots=True)
class Material:
    """How a batter takes a colourant: K/S of each channel against the dose.

    Parameters
    ----------
    curves : tuple of three Curve
        In linear red, green and blue. [1]
    swatch_doses : tuple of float, length n >= 2
        Doses with a swatch, rising; beyond the ends nothing is predicted. [g/kg]
    model : str
        One of `MODELS`. [key]
    error : float, optional
        Root mean square of the differences between swatches and fit; none with two swatches. [CIEDE2000]
    left_out : LeftOut, optional
        How far swatches lie from the model of the others; none with fewer than four doses. [CIEDE2000]
    """

    curves: tuple[Curve, Curve, Curve]
    swatch_doses: tuple[float, ...]
    model: str
    error: float | None = None
    left_out: LeftOut | None = None

    @property
    def doses(self) -> tuple[float, float]:
        """Lowest and highest dose of the swatches. [g/kg]"""
        return self.swatch_doses[0], self.swatch_doses[-1]

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
        return from_linear(*_three(lambda channel: reflectance(self.curves[channel].at(dose))))

    def band(self, dose: float) -> Band | None:
        """Between which colours one more swatch of a dose is likely to lie.

        Parameters
        ----------
        dose : float
            Colourant. [g per kg of batter]

        Returns
        -------
        Band, optional : none where no error can be given. [1]

        Notes
        -----
        As wide to either side as the swatches lie from the model of the others (leave-one-out, Student's distribution),
        but not far beyond the colours of the two swatches it lies between, since the curve is monotone.
        """
        if self.left_out is None:
            return None
        half = self.left_out.half_width
        beyond = max(half / 2, min(half, _SAME_PLACE))
        at = _seen(self.colour(dose))
        ends = [_seen(self.colour(one)) for one in self._between(dose)]
        darkest = _three(lambda c: max(at[c] - half, min(end[c] for end in ends) - beyond, 0.0) ** 3)
        lightest = _three(lambda c: min(at[c] + half, max(end[c] for end in ends) + beyond, 1.0) ** 3)
        return Band(from_linear(*darkest), from_linear(*lightest))

    def _between(self, dose: float) -> tuple[float, float]:
        """The doses of the swatches on either side."""
        above = min(bisect.bisect_left(self.swatch_doses, dose), len(self.swatch_doses) - 1)
        below = above if self.swatch_doses[above] <= dose or above == 0 else above - 1
        return self.swatch_doses[below], self.swatch_doses[above]


def _three(of_channel: Callable[[int], float]) -> tuple[float, float, float]:
    return of_channel(0), of_channel(1), of_channel(2)


def _seen(colour: Colour) -> tuple[float, float, float]:
    """Cube roots of the reflectances, in which lightness goes."""
    return _three(lambda channel: math.cbrt(colour.linear[channel]))


_FITS: Mapping[str, Callable[[Sequence[Point]], Curve]] = MappingProxyType({
    "straight": fit_straight, "power": fit_power, "interpolated": fit_interpolated})


def fit_swatches(swatches: Sequence[Swatch]) -> Material:
    """How a batter takes a colourant, from swatches.

    Parameters
    ----------
    swatches : sequence of Swatch, length n >= 2
        Of one colourant, one of them plain or two of different doses. [g/kg]

    Returns
    -------
    Material : straight between two doses; through three a curve that meets all; from four on the model that misses
        swatches left out by the least.

    Raises
    ------
    Unsolvable : fewer than two doses, swatches of one colour, more colourant and a lighter colour.

    Notes
    -----
    K/S of each channel may rise or fall with the dose: a blue takes up less blue light than a yellow batter.
    """
    ordered = sorted(swatches, key=lambda swatch: swatch.dose)
    doses = _doses(ordered)
    if len(doses) < 2:
        raise Unsolvable("One swatch alone tells no fade: add one of the plain batter (dose 0), or of another dose.")
    for less, more in itertools.pairwise(ordered):
        if more.dose > less.dose:
            _check_darker(less, more, room=_SCATTERS if len(ordered) > 2 else 0.0)
    _check_darker(ordered[0], ordered[-1])
    if len(doses) == 2:
        straight = _fit(ordered, "straight")
        return straight if len(ordered) == 2 else _with_error(straight, ordered)
    if len(doses) < _DOSES_TO_CHOOSE:
        return _with_error(_fit(ordered, "interpolated"), ordered)
    return _best(ordered)


def _doses(swatches: Iterable[Swatch]) -> tuple[float, ...]:
    return tuple(sorted({swatch.dose for swatch in swatches}))


def _fit(ordered: Sequence[Swatch], model: str) -> Material:
    """Fitted as asked, or by the next simpler model where there are too few doses for it."""
    doses = _doses(ordered)
    if model == "power" and len(doses) < (3 if doses[0] == 0 else 4):
        model = "interpolated"
    if model == "interpolated" and len(doses) < 3:
        model = "straight"
    red, green, blue = (_FITS[model](_points(ordered, channel)) for channel in range(3))
    return Material((red, green, blue), doses, model)


def _points(ordered: Sequence[Swatch], channel: int) -> list[Point]:
    """One for each dose: the mean of its swatches."""
    points = []
    for dose, group in itertools.groupby(ordered, key=lambda swatch: swatch.dose):
        colours = [swatch.colour for swatch in group]
        points.append(Point(dose, absorption(mean_colour(colours).linear[channel]), len(colours)))
    return points


def _with_error(material: Material, ordered: Sequence[Swatch]) -> Material:
    squares = [difference(material.colour(swatch.dose), swatch.colour) ** 2 for swatch in ordered]
    return replace(material, error=math.sqrt(math.fsum(squares) / len(squares)))


def _best(ordered: Sequence[Swatch]) -> Material:
    """The model that misses swatches left out by the least; a simpler one where it is about as good.

    Through three doses a power and the interpolation are the same curve, so that with four doses no swatch left out
    can tell them apart; then the simpler one must meet the swatches as well as they can be measured.
    """
    left_out = {model: _left_out(ordered, model) for model in MODELS}
    most = max(_AS_GOOD * min(found.error for found in left_out.values()), _NOT_SEEN)
    chosen = _with_error(_fit(ordered, "interpolated"), ordered)
    chosen = replace(chosen, left_out=left_out["interpolated"])
    room = max(_worst(chosen, ordered), MISSED if len(chosen.swatch_doses) > _DOSES_TO_CHOOSE else _SCATTER)
    for model in ("straight", "power"):
        simpler = _with_error(_fit(ordered, model), ordered)
        if left_out[model].error <= most and _worst(simpler, ordered) <= room:
            return replace(simpler, left_out=left_out[model])
    return chosen


def _worst(material: Material, ordered: Sequence[Swatch]) -> float:
    return max(difference(material.colour(swatch.dose), swatch.colour) for swatch in ordered)


def _left_out(ordered: Sequence[Swatch], model: str) -> LeftOut:
    """Each swatch that lies within the others left out in turn."""
    errors, squares = [], []
    for index, swatch in enumerate(ordered):
        rest = [*ordered[:index], *ordered[index + 1:]]
        if not rest[0].dose <= swatch.dose <= rest[-1].dose:
            continue
        predicted = _fit(rest, model).colour(swatch.dose)
        errors.append(difference(predicted, swatch.colour) ** 2)
        squares += [(one - other) ** 2 for one, other in zip(_seen(predicted), _seen(swatch.colour), strict=True)]
    count = len(errors)
    scatter = math.sqrt(math.fsum(squares) / len(squares))
    return LeftOut(math.sqrt(math.fsum(errors) / count), float(stdtrit(count, _LIKELY)) * scatter, count)


def _check_darker(less: Swatch, more: Swatch, *, room: float = 0.0) -> None:
    lighter_by = more.colour.lab.lightness - less.colour.lab.lightness
    alike = difference(less.colour, more.colour) < 1e-6
    if lighter_by >= room or alike:
        word = "the same as" if alike else "lighter than"
        raise Unsolvable(f"The swatch of {more.dose:.4g} g/kg is {word} the one of {less.dose:.4g}: more colourant "
                         "cannot do that. Are two swatches mixed up, or wet and cured ones together?")
