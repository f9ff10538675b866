"""Swatches compared with their fit."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kettlewright.pour.fade.colours import Colour, difference
from kettlewright.pour.fade.swatches import MISSED, Material, Swatch

__all__ = ["Fitted", "FittedSwatch", "fitted"]


@dataclass(frozen=True, slots=True)
class FittedSwatch:
    """A swatch compared with the fit.

    Parameters
    ----------
    dose : float
        Colourant. [g/kg]
    colour, predicted : Colour
        Measured, and predicted by the fit. [1]
    off : float
        Difference between the two. [CIEDE2000]
    index : int
        Its index in the request, from 0. [number]
    """

    dose: float
    colour: Colour
    predicted: Colour
    off: float
    index: int

    @property
    def missed(self) -> bool:
        """Whether the fit misses it by more than the usual measurement error. [yes or no]"""
        return self.off > MISSED


@dataclass(frozen=True, slots=True)
class Fitted:
    """The fit of the swatches of one colourant.

    Parameters
    ----------
    material : Material
        The fit. [g/kg]
    swatches : tuple of FittedSwatch
        In ascending order of dose. [g/kg]
    """

    material: Material
    swatches: tuple[FittedSwatch, ...]

    @property
    def model(self) -> str:
        """A key of `MODELS`. [key]"""
        return self.material.model

    @property
    def error(self) -> float | None:
        """Root mean square between swatches and fit; None with two swatches. [CIEDE2000]"""
        if self.material.error is None:
            return None
        return math.sqrt(math.fsum(swatch.off ** 2 for swatch in self.swatches) / len(self.swatches))

    @property
    def left_out_error(self) -> float | None:
        """Root mean square between swatches and the fit of the others; None with fewer than four doses. [CIEDE2000]"""
        return None if self.material.left_out is None else self.material.left_out.error

    @property
    def dose_min(self) -> float:
        """Lowest dose of the swatches. [g/kg]"""
        return self.material.doses[0]

    @property
    def dose_max(self) -> float:
        """Highest dose of the swatches. [g/kg]"""
        return self.material.doses[1]


def fitted(material: Material, swatches: Sequence[Swatch]) -> Fitted:
    """Compare swatches with their fit.

    Parameters
    ----------
    material : Material
        The fit. [g/kg]
    swatches : sequence of Swatch
        In the order of the request. [g/kg]

    Returns
    -------
    Fitted : [CIEDE2000]
    """
    found = []
    for index, swatch in sorted(enumerate(swatches), key=lambda row: row[1].dose):
        predicted = material.colour(swatch.dose)
        found.append(FittedSwatch(swatch.dose, swatch.colour, predicted, difference(swatch.colour, predicted), index))
    return Fitted(material, tuple(found))
