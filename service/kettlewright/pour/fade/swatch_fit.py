"""The model of a colourant that fits its swatches: straight, a power of the dose, or interpolated."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from types import MappingProxyType

from scipy.special import stdtrit

from kettlewright.copies import replace
from kettlewright.errors import Unsolvable
from kettlewright.pour.fade.absorption import (
    AbsorptionCurve,
    Point,
    absorption,
    fit_interpolated,
    fit_power,
    fit_straight,
)
from kettlewright.pour.fade.colours import difference, mean_colour
from kettlewright.pour.fade.swatches import MISSED, MODELS, LeftOutSwatches, Material, Swatch

__all__ = ["fit_swatches"]

_SCATTERS = 2.0  # L*: neighbouring swatches may be in the wrong order by this much; 95 % of a scatter of 0.7
_LIKELY = 0.975  # of Student's distribution: 95 % lie between both ends
_DOSES_TO_CHOOSE = 4  # distinct; with fewer, leaving one out leaves too few to fit
_AS_GOOD = 1.15  # a simpler model may have a leave-one-out error this much larger; an own decision
_SCATTER = 1.5  # CIEDE2000: two standard deviations of a usual measurement; an own decision
_NOT_SEEN = 0.1  # CIEDE2000: models with smaller errors count as exact

_FITS: Mapping[str, Callable[[Sequence[Point]], AbsorptionCurve]] = MappingProxyType({
    "straight": fit_straight, "power": fit_power, "interpolated": fit_interpolated})


def fit_swatches(swatches: Sequence[Swatch]) -> Material:
    """Fit the colour of a batter against the dose of a colourant.

    Parameters
    ----------
    swatches : sequence of Swatch, length n >= 2
        Of one colourant, one of them plain or two of different doses. [g/kg]

    Returns
    -------
    Material : straight between two doses; for three, a curve through all; from four on, the model with the smallest
        leave-one-out error.

    Raises
    ------
    Unsolvable : fewer than two doses, swatches of one colour, more colourant and a lighter colour.

    Notes
    -----
    K/S of each channel may rise or fall with the dose: a blue absorbs less blue light than a yellow batter.
    """
    ordered = sorted(swatches, key=lambda swatch: swatch.dose)
    doses = _doses(ordered)
    if len(doses) < 2:
        raise Unsolvable("One swatch is not enough for a fade: add one of plain batter (dose 0) or another dose.")
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
    """Fit a model, or the next simpler one if there are too few doses for it."""
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
    """The model with the smallest leave-one-out error; a simpler one if it is about as good.

    For three doses a power and the interpolation are the same curve, so with four doses leaving one out
    cannot distinguish them; then the simpler one must fit the swatches within the measurement error.
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


def _left_out(ordered: Sequence[Swatch], model: str) -> LeftOutSwatches:
    """Leave out each swatch between others in turn."""
    errors, squares = [], []
    for index, swatch in enumerate(ordered):
        rest = [*ordered[:index], *ordered[index + 1:]]
        if not rest[0].dose <= swatch.dose <= rest[-1].dose:
            continue
        predicted = _fit(rest, model).colour(swatch.dose)
        errors.append(difference(predicted, swatch.colour) ** 2)
        squares += [(one - other) ** 2
                    for one, other in zip(predicted.cube_roots, swatch.colour.cube_roots, strict=True)]
    count = len(errors)
    scatter = math.sqrt(math.fsum(squares) / len(squares))
    return LeftOutSwatches(math.sqrt(math.fsum(errors) / count), float(stdtrit(count, _LIKELY)) * scatter, count)


def _check_darker(less: Swatch, more: Swatch, *, room: float = 0.0) -> None:
    lighter_by = more.colour.lab.lightness - less.colour.lab.lightness
    alike = difference(less.colour, more.colour) < 1e-6
    if lighter_by >= room or alike:
        word = "the same as" if alike else "lighter than"
        raise Unsolvable(f"The swatch of {more.dose:.4g} g/kg is {word} the one of {less.dose:.4g}: more colourant "
                         "cannot do that. Check whether swatches are mixed up, or wet and cured ones combined.")
