"""The result of `make_lye`: everything to weigh, the lye, and the batch that results."""

from __future__ import annotations

import math
from dataclasses import dataclass

from kettlewright.names import slug
from kettlewright.ranges import Range
from kettlewright.recipe.acids import Acid
from kettlewright.recipe.alkalis import AlkaliPortion
from kettlewright.recipe.fats import Fat
from kettlewright.recipe.heat import Meeting, PeakTemperature
from kettlewright.recipe.ingredients import Recipe
from kettlewright.recipe.liquids import LiquidPortion
from kettlewright.recipe.soap import Soap
from kettlewright.recipe.superfat import Superfat
from kettlewright.recipe.weighing import Scale
from kettlewright.reference import Source

__all__ = [
    "DispersedFat",
    "Lye",
    "LyeAt",
    "LyeSolution",
    "MassToWeigh",
    "WeighedAcid",
    "WeighedAlkali",
    "WeighedFat",
    "WeighedLiquid",
    "WeighedStock",
]


@dataclass(frozen=True, slots=True)
class MassToWeigh:
    """One mass to weigh.

    Parameters
    ----------
    mass_g : float
        Exact, from the requested masses. [g]
    weigh_g : float
        What the scale must show. [g]
    """

    mass_g: float
    weigh_g: float


@dataclass(frozen=True, slots=True)
class WeighedFat:
    """A fat to weigh.

    Parameters
    ----------
    fat : Fat
        Its figures. [fat]
    mass_g, weigh_g, share_pct : float
        Exact, on the scale, and as a share of the weighed fats. [g, g, % of fats]
    lot : str, optional
        Lot number. [text]
    """

    fat: Fat
    mass_g: float
    weigh_g: float
    share_pct: float
    lot: str | None

    @property
    def key(self) -> str:
        """Key of the fat. [key]"""
        return self.fat.key

    @property
    def name(self) -> str:
        """Name of the fat. [text]"""
        return self.fat.name


@dataclass(frozen=True, slots=True)
class WeighedAcid:
    """An acid to weigh.

    Parameters
    ----------
    acid : Acid
        Its data. [acid]
    mass_g, weigh_g : float
        As bought: exact, and on the scale. [g]
    strength : float
        Acid in the product; the rest is water. [mass fraction]
    lot : str, optional
        Lot number. [text]
    """

    acid: Acid
    mass_g: float
    weigh_g: float
    strength: float
    lot: str | None

    @property
    def key(self) -> str:
        """Key of the acid. [key]"""
        return self.acid.key

    @property
    def name(self) -> str:
        """Name of the acid. [text]"""
        return self.acid.name


@dataclass(frozen=True, slots=True)
class WeighedLiquid:
    """A liquid to weigh, instead of part of the water.

    Parameters
    ----------
    portion : LiquidPortion
        As requested. [liquid]
    mass_g, weigh_g : float
        Exact, and on the scale. [g]
    """

    portion: LiquidPortion
    mass_g: float
    weigh_g: float

    @property
    def key(self) -> str:
        """Key of the liquid. [key]"""
        return self.portion.key

    @property
    def name(self) -> str:
        """Name of the liquid. [text]"""
        return self.portion.name

    @property
    def lot(self) -> str | None:
        """Lot number. [text]"""
        return self.portion.lot

    @property
    def water_mass_g(self) -> float:
        """Water in the weighed liquid. [g]"""
        return self.weigh_g * self.portion.water_pct / 100

    @property
    def fat_mass_g(self) -> float:
        """Fat in the weighed liquid. [g]"""
        return self.weigh_g * self.portion.fat_pct / 100


@dataclass(frozen=True, slots=True)
class DispersedFat:
    """Oil that an addition of the batch brings into the pot: it counts as fat.

    Parameters
    ----------
    name : str
        Of the addition. [text]
    mass_g : float
        Oil in the weighed mass of the addition. [g]
    value : Range
        Saponification value of that oil. [mg KOH per g fat]
    exact_g : float, optional
        Oil in the exact dose, if it differs. [g]
    kind : str
        "triglyceride", "wax_ester" or "fatty_acid": a wax yields no glycerol. [key]
    """

    name: str
    mass_g: float
    value: Range
    exact_g: float | None = None
    kind: str = "triglyceride"

    @property
    def exactly(self) -> DispersedFat:
        """The same before rounding to the scale. [g]"""
        return self if self.exact_g is None else DispersedFat(self.name, self.exact_g, self.value, kind=self.kind)

    @property
    def key(self) -> str:
        """Key derived from the name. [key]"""
        return slug(self.name)


@dataclass(frozen=True, slots=True)
class WeighedStock:
    """A stock solution to weigh.

    Parameters
    ----------
    mass_g, weigh_g, water_mass_g : float
        Solution: exact, and on the scale; and the water in it as weighed. [g]
    """

    mass_g: float
    weigh_g: float
    water_mass_g: float


@dataclass(frozen=True, slots=True)
class WeighedAlkali:
    """An alkali to weigh.

    Parameters
    ----------
    key, name : str
        "NaOH" or "KOH", and its name. [text]
    mass_pure_g : float
        Pure alkali, exact. [g]
    mass_g, weigh_g : float
        As bought (for a stock, the solution): exact, and on the scale. [g]
    weigh_pure_g : float
        Pure alkali in the weighed mass. [g]
    stock : WeighedStock, optional
        If it comes as a solution. [g]
    portion : AlkaliPortion
        As requested. [alkali]
    """

    key: str
    name: str
    mass_pure_g: float
    mass_g: float
    weigh_g: float
    weigh_pure_g: float
    stock: WeighedStock | None
    portion: AlkaliPortion

    @property
    def lot(self) -> str | None:
        """Lot number. [text]"""
        return self.portion.lot


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
