"""The batter in the pot: mass, density, volume, and the vessels that hold it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from kettlewright import limits
from kettlewright.errors import OutOfRange
from kettlewright.recipe import Lye

__all__ = ["Batter", "Vessels", "batter_of", "vessels_for"]

_VESSEL_STEP_ML = 250
_POT_FULL = 2 / 3
_HOT_LYE_C = 90.0


@dataclass(frozen=True, slots=True)
class Batter:
    """Batter before any addition.

    Parameters
    ----------
    mass_g : float
        All of it. [g]
    density : float
        At 40 degC, without air. [g/mL]
    fats_mass_g : float, optional
        Fats in it; a dose on fats needs it. [g]

    Raises
    ------
    OutOfRange : mass or density outside their bounds, more fats than batter.
    """

    mass_g: float
    density: float
    fats_mass_g: float | None = None

    def __post_init__(self) -> None:
        limits.MASS.check(self.mass_g, "mass")
        limits.ADDITION_DENSITY.check(self.density, "density")
        if self.fats_mass_g is not None:
            limits.MASS.check(self.fats_mass_g, "fats_mass")
            if self.fats_mass_g > self.mass_g:
                raise OutOfRange("The fats weigh more than the batter they are in.", field=("fats_mass",),
                                 value=self.fats_mass_g, allowed="at most the batter's mass")

    @property
    def volume_ml(self) -> float:
        """At 40 degC. [mL]"""
        return self.mass_g / self.density


def batter_of(lye: Lye, *, measured_density: float | None = None) -> Batter:
    """The batter of a recipe, from what is weighed.

    Parameters
    ----------
    lye : Lye
        The weighed recipe. [lye]
    measured_density : float, optional
        Measured by the maker (a known volume weighed); overrides the estimate. [g/mL]

    Returns
    -------
    Batter : at 40 degC. [g, g/mL]

    Raises
    ------
    OutOfRange : fats, alkali and water together weigh more than a workshop's batch can.

    Notes
    -----
    V = sum(fat / density) + lye / density: volumes add; stirred-in air lowers the density, setting contracts it
    slightly, neither is counted. Acids take the density of the rest.

    References
    ----------
    .. [1] Ideal mixing: own decision. Densities of the fats: see reference/SOURCES.md.
    """
    fats = math.fsum(fat.weigh_g for fat in lye.fats)
    if lye.mass_g > limits.MASS.high:
        raise OutOfRange(f"The batter of these fats would weigh {lye.mass_g / 1000:,.0f} kg; at most 1,000 kg are "
                         "planned as one batch.", field=("fats",), value=lye.mass_g, allowed=limits.MASS.words)
    if measured_density is not None:
        return Batter(mass_g=lye.mass_g, density=measured_density, fats_mass_g=fats)
    volume = math.fsum(fat.weigh_g / fat.fat.density for fat in lye.fats) + lye.solution.volume_ml
    known = fats + lye.solution.mass_g
    return Batter(mass_g=lye.mass_g, density=known / volume, fats_mass_g=fats)


@dataclass(frozen=True, slots=True)
class Vessels:
    """The smallest vessels that leave room.

    Parameters
    ----------
    pot_ml, jug_ml : float
        For the batter and for the lye, in whole steps of 250 mL. [mL]
    """

    pot_ml: float
    jug_ml: float


def vessels_for(lye: Lye, batter_volume_ml: float) -> Vessels:
    """The smallest pot (two thirds full) and jug (half full where the lye may pass 90 degC or is not known).

    Parameters
    ----------
    lye : Lye
        The lye that goes into the jug. [lye]
    batter_volume_ml : float
        What the pot holds at the most. [mL]

    Returns
    -------
    Vessels : own decision, no source. [mL]
    """
    peak = lye.solution.peak_temperature
    jug_full = 1 / 2 if peak is None or peak.range.max > _HOT_LYE_C else _POT_FULL

    def step_up(volume_ml: float) -> float:
        return math.ceil(volume_ml / _VESSEL_STEP_ML - 1e-9) * _VESSEL_STEP_ML

    return Vessels(pot_ml=step_up(batter_volume_ml / _POT_FULL), jug_ml=step_up(lye.solution.volume_ml / jug_full))
