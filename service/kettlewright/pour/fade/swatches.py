"""The colour of a batter against the dose of a colourant (Kubelka-Munk), from your own swatches."""

from __future__ import annotations

import bisect
from collections.abc import Callable
from dataclasses import dataclass

from kettlewright import limits
from kettlewright.errors import OutOfRange
from kettlewright.pour.fade.absorption import AbsorptionCurve, reflectance
from kettlewright.pour.fade.colours import Colour, from_linear
from kettlewright.said import Said

__all__ = ["CAVEATS", "MISSED", "MODELS", "Band", "LeftOutSwatches", "Material", "Swatch"]

MODELS = ("straight", "power", "interpolated")
_ROOM = 1e-9
MISSED = 3.0  # CIEDE2000 between a swatch and its fit beyond any measurement error; an own decision
_SAME_PLACE = 1.4 / 116  # of R^(1/3): L* 1.4, two standard deviations of a usual measurement

CAVEATS = {
    "mineral": Said("Mineral pigments keep their colour, but gel phase darkens them."),
    "plant": Said("Natural dyes change with alkali, with light and in the cure: make the swatch like the batch, "
                  "and cure it."),
    "white": Said("Titanium dioxide scatters light, but the model is for colourants that only absorb it. Make swatches "
                  "of similar doses, from the batter you pour."),
    "mica": Said("Mica glitters and has no diffuse colour: a swatch shows little of it."),
    "other": Said("How this colourant ages is not known."),
}
"""Notes on each kind of colourant; common practice, no source."""


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
class LeftOutSwatches:
    """Leave-one-out error of the swatches.

    Parameters
    ----------
    error : float
        Root mean square. [CIEDE2000]
    half_width : float
        Half of the likely band of a new swatch (95 %), on the cube root of the reflectance: 0.01 is about
        1.2 of L*. [1]
    count : int
        Swatches left out in turn. [number]
    """

    error: float
    half_width: float
    count: int


@dataclass(frozen=True, slots=True)
class Band:
    """Likely range (95 %) of a swatch's colour at a dose.

    Parameters
    ----------
    darkest, lightest : Colour
        All channels off in the same direction, the widest case. [1]
    """

    darkest: Colour
    lightest: Colour


@dataclass(frozen=True, slots=True)
class Material:
    """The fit of a colourant: K/S of each channel against the dose.

    Parameters
    ----------
    curves : tuple of three AbsorptionCurve
        In linear red, green and blue. [1]
    swatch_doses : tuple of float, length n >= 2
        Doses with a swatch, ascending; beyond the ends nothing is predicted. [g/kg]
    model : str
        One of `MODELS`. [key]
    error : float, optional
        Root mean square of the differences between swatches and fit; None with two swatches. [CIEDE2000]
    left_out : LeftOutSwatches, optional
        Leave-one-out error; None with fewer than four doses. [CIEDE2000]
    """

    curves: tuple[AbsorptionCurve, AbsorptionCurve, AbsorptionCurve]
    swatch_doses: tuple[float, ...]
    model: str
    error: float | None = None
    left_out: LeftOutSwatches | None = None

    @property
    def doses(self) -> tuple[float, float]:
        """Lowest and highest dose of the swatches. [g/kg]"""
        return self.swatch_doses[0], self.swatch_doses[-1]

    def colour(self, dose: float) -> Colour:
        """Colour at a dose within the range of the swatches.

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
            raise OutOfRange(f"A dose of {dose:.4g} g/kg is outside the swatches, from {low:.4g} to {high:.4g} g/kg: "
                             "nothing is predicted there. Make a swatch with it.", value=dose,
                             allowed=f"from {low:.6g} to {high:.6g} g/kg")
        return from_linear(*_three(lambda channel: reflectance(self.curves[channel].at(dose))))

    def band(self, dose: float) -> Band | None:
        """Likely range of the colour of one more swatch at a dose.

        Parameters
        ----------
        dose : float
            Colourant. [g per kg of batter]

        Returns
        -------
        Band, optional : None if no error can be given. [1]

        Notes
        -----
        As wide to either side as the leave-one-out error of the swatches (Student's distribution),
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
        """Doses of the neighbouring swatches."""
        above = min(bisect.bisect_left(self.swatch_doses, dose), len(self.swatch_doses) - 1)
        below = above if self.swatch_doses[above] <= dose or above == 0 else above - 1
        return self.swatch_doses[below], self.swatch_doses[above]


def _three(of_channel: Callable[[int], float]) -> tuple[float, float, float]:
    return of_channel(0), of_channel(1), of_channel(2)
