"""A recipe at another size. Alkali and water are never scaled: they are computed again for the new fats."""

from __future__ import annotations

import math
from dataclasses import dataclass

from kettlewright import limits
from kettlewright.copies import replace
from kettlewright.curing import fresh_mass
from kettlewright.errors import UnknownIngredient, Unsolvable
from kettlewright.recipe.ingredients import Recipe
from kettlewright.recipe.lye_result import Lye

__all__ = ["BarsWanted", "Limiting", "bars_batter", "factor_for_fats", "limiting_factor", "scaled", "with_masses"]

_NOMINAL_FATS_G = 1000.0


@dataclass(frozen=True, slots=True)
class BarsWanted:
    """A number of bars with a given cured mass.

    Parameters
    ----------
    count : int
        Bars. [bars]
    mass_g : float
        Mass of one cured bar. [g]
    expected_loss_pct : float
        Loss in cure. [% of a bar as cut]
    """

    count: int
    mass_g: float
    expected_loss_pct: float

    def __post_init__(self) -> None:
        limits.BARS_COUNT.check(self.count, "count")
        limits.MASS.check(self.mass_g, "mass")
        limits.LOSS_PCT.check(self.expected_loss_pct, "expected_loss_pct")


@dataclass(frozen=True, slots=True)
class Limiting:
    """The rest of an ingredient, all of which is to be used.

    Parameters
    ----------
    kind : str
        "fat", "alkali" or "addition". [key]
    key : str
        Its key. [key]
    mass_g : float
        The mass that is left, as bought. [g]
    """

    kind: str
    key: str
    mass_g: float

    def __post_init__(self) -> None:
        limits.MASS.check(self.mass_g, "mass")


def with_masses(recipe: Recipe) -> Recipe:
    """The recipe with masses instead of shares, for 1 kg of fats; one by mass is unchanged (`recipe`) [recipe]."""
    if not recipe.by_share:
        return recipe
    return replace(recipe, fats=tuple(
        replace(fat, share_pct=None, mass_g=_NOMINAL_FATS_G * (fat.share_pct or 0.0) / 100) for fat in recipe.fats))


def scaled(recipe: Recipe, factor: float) -> Recipe:
    """Multiply every mass of the recipe by a factor.

    Parameters
    ----------
    recipe : Recipe
        Fats by mass. [recipe]
    factor : float
        The factor. [1]

    Returns
    -------
    Recipe : unrounded. [recipe]

    Raises
    ------
    OutOfRange : a mass would leave its bounds.
    """
    limits.FACTOR.check(factor, "factor")
    try:
        return replace(
            recipe,
            fats=tuple(replace(fat, mass_g=(fat.mass_g or 0.0) * factor) for fat in recipe.fats),
            acids=tuple(portion if portion.mass_g is None else replace(portion, mass_g=portion.mass_g * factor)
                        for portion in recipe.acids),
            liquids=tuple(portion if portion.mass_g is None else replace(portion, mass_g=portion.mass_g * factor)
                          for portion in recipe.liquids))
    except ValueError as error:
        raise Unsolvable(f"The recipe times {factor:.6g} has masses outside the limits: {error}") from None


def factor_for_fats(recipe: Recipe, fats_mass_g: float) -> float:
    """Factor that makes the fats of a recipe by mass weigh `fats_mass_g` [g]. [1]"""
    return fats_mass_g / math.fsum(fat.mass_g or 0.0 for fat in recipe.fats)


def bars_batter(bars: BarsWanted) -> float:
    """Mass of fresh batter for these bars (`bars`). [g]"""
    return bars.count * fresh_mass(bars.mass_g, bars.expected_loss_pct)


def limiting_factor(lye: Lye, limiting: Limiting) -> float:
    """Factor at which the rest of a fat or alkali is used up.

    Parameters
    ----------
    lye : Lye
        The recipe at its own size. [lye]
    limiting : Limiting
        A fat or an alkali. [g]

    Returns
    -------
    float : [1]

    Raises
    ------
    DomainError : it is not in the recipe.
    """
    have = {"fat": [(fat.key, fat.mass_g) for fat in lye.fats],
            "alkali": [(alkali.key, alkali.mass_g) for alkali in lye.alkalis]}[limiting.kind]
    used = math.fsum(mass for key, mass in have if key == limiting.key)
    if used == 0:
        raise UnknownIngredient(
            f'The recipe has no {limiting.kind} "{limiting.key}". It has '
            f'{", ".join(dict.fromkeys(key for key, _ in have))}.', field=("key",), value=limiting.key)
    return limiting.mass_g / used
