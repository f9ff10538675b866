"""How a batter takes a colourant (Kubelka-Munk), from your own swatches."""

from __future__ import annotations

import bisect
from collections.abc import Callable
from dataclasses import dataclass

from kettlewright import limits
from kettlewright.errors import OutOfRange
from kettlewright.pour.absorption import Curve, reflectance
from kettlewright.pour.colours import Colour, from_linear
from kettlewright.said import Said

__all__ = ["CAVEATS", "MISSED", "MODELS", "Band", "LeftOut", "Material", "Swatch"]

MODELS = ("straight", "power", "interpolated")
_ROOM = 1e-9
MISSED = 3.0  # CIEDE2000 between a swatch and its fit that no measurement explains; an own decision
_SAME_PLACE = 1.4 / 116  # of R^(1/3): L* 1.4, two standard deviations of a usual measurement

CAVEATS = {
    "mineral": Said("Mineral pigments keep their colour; gel phase darkens them all the same."),
    "plant": Said("Natural dyes shift with the alkali, with light and in cure: make the swatch as the batch is made, "
                  "and cure it."),
    "white": Said("Titanium dioxide scatters light; the model expects a colourant that only absorbs. Make swatches "
                  "close together, of the batter you pour."),
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
        at = self.colour(dose).cube_roots
        ends = [self.colour(one).cube_roots for one in self._between(dose)]
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
