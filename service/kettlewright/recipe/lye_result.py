"""The result of `make_lye`: everything to weigh, the lye in the jug, and the batch that results."""

from __future__ import annotations

import math
from dataclasses import dataclass

from kettlewright.ranges import Range
from kettlewright.recipe.heat import PeakTemperature
from kettlewright.recipe.ingredients import Recipe
from kettlewright.recipe.meeting import Meeting
from kettlewright.recipe.soap import Soap
from kettlewright.recipe.superfat_result import Superfat
from kettlewright.recipe.weighed import DispersedFat, MassToWeigh, WeighedAcid, WeighedAlkali, WeighedFat, WeighedLiquid
from kettlewright.recipe.weighing import Scale
from kettlewright.reference import Source

__all__ = ["Lye", "LyeAt", "LyeSolution", "LyeVolume", "Potful"]


@dataclass(frozen=True, slots=True)
class LyeAt:
    """The lye at one temperature.

    Parameters
    ----------
    temperature_c, density, volume_ml : float
        [degC, g/mL, mL]
    within_validity : bool
        Within the range that the density's source covers (15 to 60 degC). [yes or no]
    """

    temperature_c: float
    density: float
    volume_ml: float
    within_validity: bool


@dataclass(frozen=True, slots=True)
class LyeSolution:
    """The lye in the jug, from the weighed masses.

    Parameters
    ----------
    mass_g, water_mass_g : float
        Alkali as weighed plus all water; all water, whatever its origin. [g]
    concentration_pct : float
        Alkali as weighed (pure, for stocks) in it. [% by mass]
    concentration_pure_pct : float
        Pure alkali in it. [% by mass]
    water_to_alkali : float, optional
        Water per part of alkali as weighed; None if the alkali was forgotten. [g/g]
    density, volume_ml : float
        At 40 degC. [g/mL, mL]
    peak_temperature : PeakTemperature, optional
        If the water's temperature is given and the heat is known (not for a potassium hydroxide stock). [degC]
    at_temperature : LyeAt, optional
        The same lye at the temperature given for it. [g/mL, mL]
    heat_capacity : float
        Near 60 degC. [kJ/(kg K)]
    """

    mass_g: float
    water_mass_g: float
    concentration_pct: float
    concentration_pure_pct: float
    water_to_alkali: float | None
    density: float
    volume_ml: float
    peak_temperature: PeakTemperature | None
    at_temperature: LyeAt | None
    heat_capacity: float

    @property
    def peak_range(self) -> Range | None:
        """Range of the peak temperature. [degC]"""
        return None if self.peak_temperature is None else self.peak_temperature.range


@dataclass(frozen=True, slots=True)
class LyeVolume:
    """Mass and volume of a lye (`mass_g` [g], `volume_ml` at 40 degC [mL])."""

    mass_g: float
    volume_ml: float


@dataclass(frozen=True, slots=True)
class Potful:
    """What is in a pot, for its size alone: as the fields of the same names of `Lye`.

    Parameters
    ----------
    fats, liquids : weighings
        In the order of the request. [g]
    solution : LyeVolume
        The lye. [g, mL]
    mass_g, water_mass_g : float
        Fresh batter, and the water in it. [g]
    """

    fats: tuple[WeighedFat, ...]
    liquids: tuple[WeighedLiquid, ...]
    solution: LyeVolume
    mass_g: float
    water_mass_g: float


@dataclass(frozen=True, slots=True)
class Lye:
    """The whole result for a recipe: what to weigh, how far off it can be, what the batch becomes.

    Parameters
    ----------
    recipe, scale : Recipe, Scale
        As requested. [recipe, scale]
    fats, acids, liquids, alkalis, water, ice : weighings
        In the order of the request; ice is part of the water. [g]
    solution : LyeSolution
        The lye in the jug. [lye]
    superfat : Superfat
        Of the weighed masses. [% of full demand]
    saponification_value : Range
        Of the weighed blend. [mg KOH per g fat]
    soap : Soap
        Soap in the fresh batter. [g]
    dispersed : tuple of DispersedFat
        Oil in the batch's additions, included in the alkali. [g]
    mass_g : float
        Fresh batter, from the weighed masses. [g]
    exact_mass_g : float
        Fresh batter, from the exact masses. [g]
    meeting : Meeting, optional
        Temperatures when fats and lye meet, if the fats' temperature is given. [degC]
    """

    recipe: Recipe
    scale: Scale
    fats: tuple[WeighedFat, ...]
    acids: tuple[WeighedAcid, ...]
    liquids: tuple[WeighedLiquid, ...]
    dispersed: tuple[DispersedFat, ...]
    alkalis: tuple[WeighedAlkali, ...]
    water: MassToWeigh
    ice: MassToWeigh | None
    solution: LyeSolution
    superfat: Superfat
    saponification_value: Range
    soap: Soap
    mass_g: float
    exact_mass_g: float
    meeting: Meeting | None = None

    @property
    def fats_mass_g(self) -> float:
        """All fats as weighed. [g]"""
        return math.fsum(fat.weigh_g for fat in self.fats)

    @property
    def water_mass_g(self) -> float:
        """All water in the lye, whatever its origin. [g]"""
        return self.solution.water_mass_g

    @property
    def sources(self) -> tuple[Source, ...]:
        """Sources of the fats' figures, without duplicates. [sources]"""
        return tuple(dict.fromkeys(source for fat in self.fats for source in fat.fat.sources))
