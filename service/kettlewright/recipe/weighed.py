"""Each part of a recipe as it is weighed: exact, and as the scale shows it."""

from __future__ import annotations

from dataclasses import dataclass

from kettlewright.names import slug
from kettlewright.ranges import Range
from kettlewright.recipe.acids import Acid
from kettlewright.recipe.alkalis import AlkaliPortion
from kettlewright.recipe.fats import Fat
from kettlewright.recipe.liquids import LiquidPortion

__all__ = ["DispersedFat", "MassToWeigh", "WeighedAcid", "WeighedAlkali", "WeighedFat", "WeighedLiquid", "WeighedStock"]


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
