"""All masses of a batch that are in the pot: of the recipe, the alkali, the water; and every fat that takes alkali."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kettlewright.recipe.acids import acid
from kettlewright.recipe.fats import Fat
from kettlewright.recipe.ingredients import Recipe
from kettlewright.recipe.superfat import FatInPot
from kettlewright.recipe.weighed import DispersedFat
from kettlewright.said import Said

__all__ = ["InPot", "RecipeMasses", "fats_in_pot", "in_pot_of"]


@dataclass(frozen=True, slots=True)
class RecipeMasses:
    """The masses that the recipe sets, exact or as weighed.

    Parameters
    ----------
    fats, acids, liquids : tuple of float
        Each in the order of the recipe. [g]
    """

    fats: tuple[float, ...]
    acids: tuple[float, ...]
    liquids: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class InPot:
    """All masses of a batch, exact or as weighed.

    Parameters
    ----------
    recipe_masses : RecipeMasses
        Fats, acids, liquids. [g]
    pure, alkalis : tuple of float
        Pure alkali; alkali as bought, or the solution of a stock. [g]
    counted : float
        Alkali as the water rule counts it. [g]
    water_all, water_added : float
        All water of the lye; the part that is added as water, including ice. [g]
    demand_mol, acids_mol : float
        Full demand of the fats; alkali that acids neutralise. [mol]
    """

    recipe_masses: RecipeMasses
    pure: tuple[float, ...]
    alkalis: tuple[float, ...]
    counted: float
    water_all: float
    water_added: float
    demand_mol: float
    acids_mol: float

    @property
    def total(self) -> float:
        """Total mass. [g]"""
        given = self.recipe_masses
        return math.fsum((*given.fats, *given.acids, *given.liquids, *self.alkalis, self.water_added))


def in_pot_of(recipe: Recipe, fats: Sequence[Fat], recipe_masses: RecipeMasses, alkalis: tuple[float, ...], *,
              water_added: float, dispersed: Sequence[DispersedFat]) -> InPot:
    """All masses of a batch, once alkali and water are known.

    Parameters
    ----------
    recipe, fats : Recipe, sequence of Fat
        As requested, and the figures of its fats. [recipe]
    recipe_masses, alkalis, water_added
        As for `InPot`. [g]
    dispersed : sequence of DispersedFat
        Oil in additions. [g]

    Returns
    -------
    InPot : [g]
    """
    pure = tuple(mass * portion.strength for mass, portion in zip(alkalis, recipe.alkalis, strict=True))
    brings = [portion.brings_water for portion in recipe.alkalis]
    water_all = water_added + math.fsum((
        *(mass - pure[i] for i, mass in enumerate(alkalis) if brings[i]),
        *(mass * (1 - one.strength_pct / 100) for mass, one in zip(recipe_masses.acids, recipe.acids, strict=True)),
        *(mass * one.water_pct / 100 for mass, one in zip(recipe_masses.liquids, recipe.liquids, strict=True))))
    takers = fats_in_pot(recipe, fats, recipe_masses, dispersed)
    return InPot(recipe_masses, pure, alkalis,
                 math.fsum(pure[i] if brings[i] else mass for i, mass in enumerate(alkalis)),
                 water_all, water_added, math.fsum(one.mol(one.mass_g, one.value.mid) for one in takers),
                 math.fsum(mass * one.strength_pct / 100 * acid(one.acid).mol_per_g
                           for mass, one in zip(recipe_masses.acids, recipe.acids, strict=True)))


def fats_in_pot(recipe: Recipe, fats: Sequence[Fat], masses: RecipeMasses,
                dispersed: Sequence[DispersedFat]) -> list[FatInPot]:
    """Every fat that the alkali can saponify: in the recipe, in liquids and in additions.

    Parameters
    ----------
    recipe, fats : Recipe, sequence of Fat
        As requested, and the figures of its fats. [recipe]
    masses : RecipeMasses
        Fats and liquids. [g]
    dispersed : sequence of DispersedFat
        Oil in additions. [g]

    Returns
    -------
    list of FatInPot : [g]
    """
    found = [FatInPot(fat.key, fat.name, mass, fat.saponification_value)
             for mass, fat in zip(masses.fats, fats, strict=True)]
    for mass, portion in zip(masses.liquids, recipe.liquids, strict=True):
        if portion.fat_value is not None:
            found.append(FatInPot(portion.key, Said("the fat in {liquid}", liquid=portion.name), mass,
                                  portion.fat_value, portion.fat_pct / 100))
    return found + [FatInPot(one.key, Said("the oil in {addition}", addition=one.name), one.mass_g, one.value)
                    for one in dispersed]
