"""What make_lye answers: everything weighed, the lye, and what comes of it."""

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

__all__ = ["DispersedFat", "Lye", "LyeAt", "LyeSolution", "WeighedAcid", "WeighedAlkali", "WeighedFat",
           "WeighedLiquid", "WeighedStock", "Weighing"]


@dataclass(frozen=True, slots=True)
class Weighing:
    """One thing on the scale.

    Parameters
    ----------
    mass_g : float
        Exact, from the masses asked. [g]
    weigh_g : float
        What the scale shows. [g]
    """

    mass_g: float
    weigh_g: float


@dataclass(frozen=True, slots=True)
class WeighedFat:
    """A fat to weigh.

    Parameters
    ----------
    fat : Fat
        What is known of it. [fat]
    mass_g, weigh_g, share_pct : float
        Exact, on the scale, and its share of the weighed fats. [g, g, % of fats]
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
        What is known of it. [acid]
    mass_g, weigh_g : float
        As bought: exact, and on the scale. [g]
    strength : float
        Acid in it; the rest is water. [mass fraction]
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
    """A liquid to weigh, in place of part of the water.

    Parameters
    ----------
    portion : LiquidPortion
        As asked. [liquid]
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
        """Water in what is weighed. [g]"""
        return self.weigh_g * self.portion.water_pct / 100

    @property
    def fat_mass_g(self) -> float:
        """Fat in what is weighed. [g]"""
        return self.weigh_g * self.portion.fat_pct / 100


@dataclass(frozen=True, slots=True)
class DispersedFat:
    """Oil that an addition of the batch brings into the pot: it counts as fat.

    Parameters
    ----------
    name : str
        Of the addition. [text]
    mass_g : float
        Oil in what is weighed of it. [g]
    value : Range
        Saponification value of that oil. [mg KOH per g fat]
    exact_g : float, optional
        Oil in its exact dose, where that is another. [g]
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
        """The same before the scale. [g]"""
        return self if self.exact_g is None else DispersedFat(self.name, self.exact_g, self.value, kind=self.kind)

    @property
    def key(self) -> str:
        """A slug of the name. [key]"""
        return slug(self.name)


@dataclass(frozen=True, slots=True)
class WeighedStock:
    """A stock solution to weigh.

    Parameters
    ----------
    mass_g, weigh_g, water_mass_g : float
        Solution: exact, on the scale, and the water in what is weighed. [g]
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
        As bought (the solution, of a stock): exact, and on the scale. [g]
    weigh_pure_g : float
        Pure alkali in what is weighed. [g]
    stock : WeighedStock, optional
        Where it comes as a solution. [g]
    portion : AlkaliPortion
        As asked. [alkali]
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
    """A lye at one temperature.

    Parameters
    ----------
    temperature_c, density, volume_ml : float
        [degC, g/mL, mL]
    within_validity : bool
        Inside what the source of the density covers (15 to 60 degC). [yes or no]
    """

    temperature_c: float
    density: float
    volume_ml: float
    within_validity: bool


@dataclass(frozen=True, slots=True)
class LyeSolution:
    """The lye in the jug, from what is weighed.

    Parameters
    ----------
    mass_g, water_mass_g : float
        Alkali as weighed and all water; the water alone, wherever it came from. [g]
    concentration_pct : float
        Alkali as weighed (of stocks: pure) in it. [% by mass]
    concentration_pure_pct : float
        Pure alkali in it. [% by mass]
    water_to_alkali : float, optional
        Water for one part of alkali as weighed; none where the alkali was forgotten. [g/g]
    density, volume_ml : float
        At 40 degC. [g/mL, mL]
    peak_temperature : PeakTemperature, optional
        Where the water's temperature is told and a heat is known (not of a potassium hydroxide stock). [degC]
    at_temperature : LyeAt, optional
        The same lye at the temperature told for it. [g/mL, mL]
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
        """The peak temperature alone. [degC]"""
        return None if self.peak_temperature is None else self.peak_temperature.range


@dataclass(frozen=True, slots=True)
class Lye:
    """Everything of one recipe: what to weigh, how far it can be off, what comes out.

    Parameters
    ----------
    recipe, scale : Recipe, Scale
        As asked. [recipe, scale]
    fats, acids, liquids, alkalis, water, ice : weighings
        In the order asked; ice is a part of the water. [g]
    solution : LyeSolution
        The jug. [lye]
    superfat : Superfat
        Of what is weighed. [% of full demand]
    saponification_value : Range
        Of the weighed blend. [mg KOH per g fat]
    soap : Soap
        Of fresh batter. [g]
    dispersed : tuple of DispersedFat
        Oil of the batch's additions that the alkali was computed for. [g]
    mass_g : float
        Fresh batter, of what is weighed. [g]
    exact_mass_g : float
        Fresh batter, of the exact masses. [g]
    meeting : Meeting, optional
        Where fats and lye meet, where the fats' temperature is told. [degC]
    """

    recipe: Recipe
    scale: Scale
    fats: tuple[WeighedFat, ...]
    acids: tuple[WeighedAcid, ...]
    liquids: tuple[WeighedLiquid, ...]
    dispersed: tuple[DispersedFat, ...]
    alkalis: tuple[WeighedAlkali, ...]
    water: Weighing
    ice: Weighing | None
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
        """All water in the lye, wherever it came from. [g]"""
        return self.solution.water_mass_g

    @property
    def sources(self) -> tuple[Source, ...]:
        """What the figures of the fats rest on, each once. [sources]"""
        return tuple(dict.fromkeys(source for fat in self.fats for source in fat.fat.sources))
