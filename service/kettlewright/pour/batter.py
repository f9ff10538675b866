"""The batter in the pot: mass, density, volume, and the vessels for it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from kettlewright import amounts, limits
from kettlewright.errors import OutOfRange
from kettlewright.recipe import SILENT, Book, Lye, Potful
from kettlewright.recipe.workings import Formula
from kettlewright.reference import ASSUMED_FAT_DENSITY
from kettlewright.said import EnglishText

__all__ = ["POT_FULL", "Batter", "Vessels", "batter_of", "vessels_for"]

_VESSEL_STEP_ML = 250
POT_FULL = 2 / 3
_HOT_LYE_C = 90.0
_MIXING = "ideal mixing, own decision"

_PART = Formula("mass / density")
_SUM = Formula("sum(volumes)")
_DENSITY = Formula("(fats + lye) / volume")
_VESSEL = Formula("up_to(volume / full, step)")


@dataclass(frozen=True, slots=True)
class Batter:
    """Batter before any addition.

    Parameters
    ----------
    mass_g : float
        Mass. [g]
    density : float
        At 40 degC, without air. [g/mL]
    fats_mass_g : float, optional
        Fats in it; needed for doses on fats. [g]
    water_mass_g : float, optional
        Water in it, if the recipe is known. [g]

    Raises
    ------
    OutOfRange : mass or density outside their bounds, more fats than batter.
    """

    mass_g: float
    density: float
    fats_mass_g: float | None = None
    water_mass_g: float | None = None

    def __post_init__(self) -> None:
        limits.MASS.check(self.mass_g, "mass")
        limits.ADDITION_DENSITY.check(self.density, "density")
        if self.fats_mass_g is not None:
            limits.MASS.check(self.fats_mass_g, "fats_mass")
            if self.fats_mass_g > self.mass_g:
                raise OutOfRange("The fats weigh more than the batter that contains them.", field=("fats_mass",),
                                 value=self.fats_mass_g, allowed="at most the batter's mass")

    @property
    def water_at_most_g(self) -> float:
        """Its water; if not known, everything that is not fat. [g]"""
        return self.mass_g - (self.fats_mass_g or 0.0) if self.water_mass_g is None else self.water_mass_g

    @property
    def volume_ml(self) -> float:
        """At 40 degC. [mL]"""
        return self.mass_g / self.density


def batter_of(lye: Lye | Potful, *, measured_density: float | None = None, book: Book = SILENT) -> Batter:
    """The batter of a recipe, from the weighed masses.

    Parameters
    ----------
    lye : Lye or Potful
        The weighed recipe. [lye]
    measured_density : float, optional
        Measured by the maker (a known volume weighed); overrides the estimate. [g/mL]
    book : Book
        Records the lines. [lines]

    Returns
    -------
    Batter : at 40 degC. [g, g/mL]

    Raises
    ------
    OutOfRange : fats, alkali and water together weigh more than the largest batch.

    Notes
    -----
    V = sum(fat / density) + lye / density: volumes add. Air stirred in lowers the density and setting contracts the
    batter slightly; neither is counted. Acids and the solids of liquids take the density of the rest.

    References
    ----------
    .. [1] Ideal mixing: own decision. Densities of the fats: see reference/SOURCES.md.
    """
    fats = math.fsum(fat.weigh_g for fat in lye.fats)
    if lye.mass_g > limits.MASS.high:
        raise OutOfRange(EnglishText("The batter of these fats would weigh {mass}; at most {most} are planned as "
                                     "one batch.",
                                     mass=amounts.mass(lye.mass_g, places=-3, large=True, groups=True),
                                     most=limits.MOST_MASS),
                         field=("fats",), value=lye.mass_g, allowed=limits.MASS.words)
    if measured_density is not None:
        return Batter(lye.mass_g, measured_density, fats, lye.water_mass_g)
    in_liquids = math.fsum(liquid.fat_mass_g for liquid in lye.liquids)
    volumes = [book.work(f"volume of {fat.name}", _PART, "mL", "density at 40 degC of SOURCES.md", mass=fat.weigh_g,
                         density=fat.fat.density) for fat in lye.fats]
    volumes += [in_liquids / ASSUMED_FAT_DENSITY, lye.solution.volume_ml]
    volume = book.work("volume of fats and lye", _SUM, "mL", _MIXING, volumes=volumes)
    density = book.work("density of the batter", _DENSITY, "g/mL", _MIXING, fats=fats + in_liquids,
                        lye=lye.solution.mass_g, volume=volume)
    batter = Batter(lye.mass_g, density, fats, lye.water_mass_g)
    book.work("volume of the batter", _PART, "mL", _MIXING, mass=lye.mass_g, density=density)
    return batter


@dataclass(frozen=True, slots=True)
class Vessels:
    """The smallest vessels with room to spare.

    Parameters
    ----------
    pot_ml, jug_ml : float
        For the batter and for the lye, in whole steps of 250 mL. [mL]
    """

    pot_ml: float
    jug_ml: float


def vessels_for(lye: Lye, batter_volume_ml: float, book: Book = SILENT) -> Vessels:
    """The smallest pot (two thirds full) and jug (half full if the lye may exceed 90 degC or is not known).

    Parameters
    ----------
    lye : Lye
        The lye in the jug. [lye]
    batter_volume_ml : float
        Largest volume in the pot. [mL]
    book : Book
        Keeps the lines. [lines]

    Returns
    -------
    Vessels : own decision, no source. [mL]
    """
    peak = lye.solution.peak_temperature
    jug_full = 1 / 2 if peak is None or peak.range.max > _HOT_LYE_C else POT_FULL
    # the whole liquid goes through the jug, not only its water
    in_jug = lye.solution.volume_ml + math.fsum(liquid.weigh_g - liquid.water_mass_g for liquid in lye.liquids)
    return Vessels(
        pot_ml=book.work("the pot", _VESSEL, "mL", "own decision, no source", volume=batter_volume_ml, full=POT_FULL,
                         step=_VESSEL_STEP_ML),
        jug_ml=book.work("the jug", _VESSEL, "mL", "own decision, no source", volume=in_jug, full=jug_full,
                         step=_VESSEL_STEP_ML))
