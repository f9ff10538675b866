"""Doses of a colourant that make the colour fade in given steps."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from scipy.optimize import brentq

from kettlewright.copies import replace
from kettlewright.errors import DomainError, OutOfRange, Unsolvable, gather
from kettlewright.names import slug
from kettlewright.pour.fade.colours import Colour, difference
from kettlewright.pour.fade.swatches import Band, Material
from kettlewright.said import Said

__all__ = ["STEPS", "Fade", "FadeStep", "fade"]

STEPS = ("ciede2000", "lightness")
PORTIONS_MIN, PORTIONS_MAX = 2, 40
_SCANNED = 16  # positions checked beyond a portion
_EVEN = 1.02  # of the largest step to the smallest
_ROUNDS = 1000  # of a root search: where a fade turns, the difference jumps
_ALIKE = 1.0  # CIEDE2000 that few people notice side by side: common practice, no source


@dataclass(frozen=True, slots=True)
class FadeStep:
    """One portion of the fade.

    Parameters
    ----------
    name : str
        Of the portion. [text]
    end : int
        0 for the first colourant, 1 for the second of a fade with two ends. [number]
    dose : float
        Colourant. [g per kg of batter]
    darker_dose : float, optional
        Dose of the next darker step of the same colourant; None for the darkest. [g/kg]
    colour : Colour
        Predicted. [1]
    band : Band, optional
        Likely range of the colour; None if the swatches give no error. [1]
    to_next : float, optional
        Difference to the next portion. [CIEDE2000]
    """

    name: str
    end: int
    dose: float
    darker_dose: float | None
    colour: Colour
    band: Band | None
    to_next: float | None

    @property
    def key(self) -> str:
        """A slug of the name. [key]"""
        return slug(self.name)


@dataclass(frozen=True, slots=True)
class Fade:
    """A fade.

    Parameters
    ----------
    steps : tuple of FadeStep
        In the order of the portions. [g/kg]
    notes : tuple of Said
        Notes about it. [text]
    """

    steps: tuple[FadeStep, ...]
    notes: tuple[Said, ...]


class _Path:
    """Colours along a fade: from the darkest of one material to its lightest, then to the darkest of the other."""

    def __init__(self, material: Material, darkest: float, lightest: float, other: Material | None,
                 other_darkest: float) -> None:
        self.material, self.darkest, self.lightest, self.other = material, darkest, lightest, other
        self.other_darkest = other_darkest
        self.end = 1.0 if other is None else 2.0

    def material_at(self, along: float) -> Material:
        return self.material if along <= 1 or self.other is None else self.other

    def dose(self, along: float) -> tuple[int, float]:
        if along <= 1 or self.other is None:
            return 0, self.darkest + (self.lightest - self.darkest) * min(along, 1.0)
        return 1, self.lightest + (self.other_darkest - self.lightest) * (along - 1)

    def colour(self, along: float) -> Colour:
        return self.material_at(along).colour(self.dose(along)[1])

    def scan(self, start: float) -> list[float]:
        """Positions beyond a start, close enough to miss no difference; they include the turn of the fade."""
        places = {start + (self.end - start) * part / _SCANNED for part in range(1, _SCANNED + 1)}
        return sorted(places | ({1.0} if start < 1.0 else set()))


def fade(material: Material, portions: Sequence[str], *, steps: str = "ciede2000",
         curve: Sequence[float] | None = None, doses: Sequence[float] | None = None, darkest_dose: float | None = None,
         lightest_dose: float | None = None, other: Material | None = None,
         other_darkest_dose: float | None = None) -> Fade:
    """Doses that make a colour fade in given steps.

    Parameters
    ----------
    material : Material
        Of the colourant. [g/kg]
    portions : sequence of str, length 2 to 40
        Their names, darkest first; for a fade with two ends, from one end to the other. [text]
    steps : str
        "lightness" (equal steps of L*) or "ciede2000" (equal differences). [key]
    curve : sequence of float, 0 to 1, optional
        Instead of equal steps: position of each portion between darkest (0) and lightest (1), by lightness. [1]
    doses : sequence of float, optional
        Instead of steps: given doses, whose colours are predicted. [g/kg]
    darkest_dose, lightest_dose : float, optional
        The ends; those of the swatches if not given. [g/kg]
    other : Material, optional
        The other colourant of a fade with two ends; its plain batter is the same. [g/kg]
    other_darkest_dose : float, optional
        Its end. [g/kg]

    Returns
    -------
    Fade : [g/kg]

    Raises
    ------
    DomainErrors, DomainError, OutOfRange, Unsolvable : too few or too many portions, ends beyond the swatches or
        in the wrong order, a curve that does not run from 0 to 1, two ends without a plain swatch each.

    Notes
    -----
    For lightness, the dose of each L* is a root of the prediction between the ends; for CIEDE2000, the steps between
    neighbours are made equal by a root search on the step.
    """
    if not PORTIONS_MIN <= len(portions) <= PORTIONS_MAX:
        raise OutOfRange(f"A fade has {PORTIONS_MIN} to {PORTIONS_MAX} portions, not {len(portions)}.",
                         field=("portions",), value=len(portions), allowed=f"{PORTIONS_MIN} to {PORTIONS_MAX}")
    darkest = material.doses[1] if darkest_dose is None else darkest_dose
    lightest = material.doses[0] if lightest_dose is None else lightest_dose
    if other is not None:
        _check_through_plain(material, other, lightest, doses)
    with gather() as checks:
        for field, dose in (("darkest_dose", darkest), ("lightest_dose", lightest)):
            with checks.at(field):
                material.colour(dose)
        with checks.at():
            if lightest >= darkest:
                raise Unsolvable(f"The lightest dose ({lightest:.4g}) is not below the darkest ({darkest:.4g}).",
                                 field=("lightest_dose",))
        with checks.at("other_darkest_dose"):
            if other is not None and other_darkest_dose is not None:
                other.colour(other_darkest_dose)
    path = _Path(material, darkest, lightest, other,
                 0.0 if other is None else other.doses[1] if other_darkest_dose is None else other_darkest_dose)
    if doses is not None:
        return _of_doses(material, portions, doses)
    if curve is not None or steps == "lightness":
        if other is not None:
            raise Unsolvable('A fade with two ends turns at its lightest point, so its steps must be "ciede2000".',
                             field=("steps",))
        places = _by_lightness(path, _shape(curve, len(portions)))
    elif steps == "ciede2000":
        found = _fade_of(portions, _rows(path, _by_difference(path, len(portions))))
        return replace(found, notes=(*found.notes, *_uneven(found.steps)))
    else:
        raise OutOfRange(f'"{steps}" is not a known kind of step; use one of {", ".join(STEPS)}.', field=("steps",),
                         value=steps, allowed=", ".join(STEPS))
    return _fade_of(portions, _rows(path, places))


def _uneven(steps: Sequence[FadeStep]) -> Iterator[Said]:
    """If the colour turns back on its way, equal steps are not possible."""
    apart = [step.to_next for step in steps if step.to_next is not None]
    if max(apart) > _EVEN * min(apart):
        yield Said("The steps could not be made equal: they run from CIEDE2000 {low:.1f} to {high:.1f}. Check the "
                   "swatches, or change the number of portions.", low=min(apart), high=max(apart))


def _check_through_plain(material: Material, other: Material, lightest: float, doses: Sequence[float] | None) -> None:
    with gather() as checks:
        with checks.at("doses"):
            if doses is not None:
                raise Unsolvable("Doses are for one colourant only; leave out either the other end or the doses.")
        for place, one in (((), material), (("other",), other)):
            with checks.at(*place, "swatches"):
                if one.doses[0] > 0:
                    raise Unsolvable("A fade from one colour through plain to another needs a swatch of the plain "
                                     "batter (dose 0) on each side.")
        with checks.at("lightest_dose"):
            if lightest > 0 and material.doses[0] == 0:
                raise Unsolvable("A fade with two ends goes through plain, so its lightest dose is 0; leave it out.",
                                 value=lightest, allowed="0")


def _shape(curve: Sequence[float] | None, count: int) -> list[float]:
    if curve is None:
        return [number / (count - 1) for number in range(count)]
    if len(curve) != count or curve[0] != 0 or curve[-1] != 1 or any(
            later <= earlier for earlier, later in itertools.pairwise(curve)):
        raise OutOfRange(f"A curve has one number for each of the {count} portions, rising from 0 (darkest) to 1 "
                         "(lightest).", field=("curve",))
    return list(curve)


def _by_lightness(path: _Path, shape: Sequence[float]) -> list[float]:
    dark, light = path.colour(0.0).lab[0], path.colour(1.0).lab[0]
    places = [0.0]
    for part in shape[1:-1]:
        wanted = dark + (light - dark) * part
        places.append(float(brentq(lambda place, wanted=wanted: path.colour(place).lab[0] - wanted, places[-1], 1.0,
                                   xtol=1e-13, maxiter=_ROUNDS)))
    return [*places, 1.0]


def _by_difference(path: _Path, count: int) -> list[float]:
    def walk(step: float) -> tuple[list[float], float]:
        """Positions of equal steps from the start, and the distance missing (-) or left (+) at the end."""
        places = [0.0]
        for left in range(count - 1, 0, -1):
            place = _reached(path, places[-1], step)
            if place is None:
                return places, difference(path.colour(places[-1]), path.colour(path.end)) - step * left
            places.append(place)
        return places, path.end - places[-1]

    start = path.colour(0.0)
    most = max(difference(start, path.colour(place)) for place in path.scan(0.0))
    step = float(brentq(lambda step: walk(step)[1], 1e-9, most + 1e-6, xtol=1e-12, rtol=1e-14, maxiter=_ROUNDS))
    places, _ = walk(step)
    while len(places) < count:
        places.append(path.end)
    return [*places[:-1], path.end]


def _reached(path: _Path, start: float, step: float) -> float | None:
    """The first position one step away from the start: beyond the turn of a fade the difference decreases again."""
    here, left = path.colour(start), start

    def beyond(place: float) -> float:
        return difference(here, path.colour(place)) - step

    for right in path.scan(start):
        if beyond(right) >= 0:
            return float(brentq(beyond, left, right, xtol=1e-14, maxiter=_ROUNDS))
        left = right
    return None


def _of_doses(material: Material, portions: Sequence[str], doses: Sequence[float]) -> Fade:
    if len(doses) != len(portions):
        raise DomainError(f"There are {len(portions)} portions and {len(doses)} doses.", field=("doses",))
    rows = []
    with gather() as checks:
        for index, dose in enumerate(doses):
            with checks.at("doses", index):
                material.colour(dose)
                rows.append(_Row(0, dose, material))
    return _fade_of(portions, rows)


@dataclass(frozen=True, slots=True)
class _Row:
    """One dose of a colourant."""

    end: int
    dose: float
    material: Material


def _rows(path: _Path, places: Sequence[float]) -> list[_Row]:
    return [_Row(*path.dose(place), path.material_at(place)) for place in places]


def _fade_of(portions: Sequence[str], rows: Sequence[_Row]) -> Fade:
    colours = [row.material.colour(row.dose) for row in rows]
    steps: list[FadeStep] = []
    notes: list[Said] = []
    for index, (name, row) in enumerate(zip(portions, rows, strict=True)):
        to_next = difference(colours[index], colours[index + 1]) if index + 1 < len(rows) else None
        steps.append(FadeStep(name, row.end, row.dose, _darker(rows, index), colours[index],
                              row.material.band(row.dose), to_next))
        if to_next is not None and to_next < _ALIKE:
            notes.append(Said("Portions {one} and {next} will look almost alike (CIEDE2000 {apart:.1f}).",
                              one=index + 1, next=index + 2, apart=to_next))
        if row.dose == 0 and 0 < index < len(rows) - 1 and rows[index - 1].end == rows[index + 1].end:
            notes.append(Said('"{portion}" has no colourant, but portions on both sides of it have: a plain stripe in '
                              'the fade.',
                              portion=name))
    return Fade(tuple(steps), tuple(notes))


def _darker(rows: Sequence[_Row], index: int) -> float | None:
    """Dose of the darker neighbour."""
    row = rows[index]
    neighbour = index + 1 if row.end else index - 1
    if not 0 <= neighbour < len(rows) or rows[neighbour].end != row.end or rows[neighbour].dose <= row.dose:
        return None
    return rows[neighbour].dose
