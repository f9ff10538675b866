"""The alkali that fats and acids in the pot need, as it is bought and as the scale shows it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kettlewright import amounts
from kettlewright.errors import Unsolvable
from kettlewright.recipe.acids import acid
from kettlewright.recipe.alkalis import AlkaliPortion
from kettlewright.recipe.in_pot import RecipeMasses
from kettlewright.recipe.ingredients import Recipe
from kettlewright.recipe.outcome import MOLAR_MASS
from kettlewright.recipe.superfat import FatInPot
from kettlewright.recipe.weighing import Scale
from kettlewright.recipe.workings import Book, Formula
from kettlewright.reference import MG_KOH_PER_MOL
from kettlewright.said import EnglishText

__all__ = ["AlkaliToWeigh", "alkali_to_weigh"]

_TAKES = Formula("mass * part * SV / mg_per_mol")
_LEAST = Formula("max(mass - step / 2, 0) * part * SV / mg_per_mol")
_DEMAND = Formula("sum(takes)")
_EATEN = Formula("mass * strength * mol_per_g")
_NEEDED = Formula("(1 - superfat / 100) * fats + acids")
_PURE = Formula("share * needed * M")
_BOUGHT = Formula("pure / strength")
_BOUGHT_FLOOR = Formula("pure / strength - step / 2")
_DOWN = Formula("down_to(mass, step)")

_ISO_3657 = "ISO 3657: mg of pure KOH per g of fat, from memory"
_EQUIVALENTS = "equivalents; molar masses computed"
_AS_BOUGHT = "pure alkali divided by purity"
_SCALE = "step of the scale; alkali rounded down, so that rounding only leaves more free fat"


@dataclass(frozen=True, slots=True)
class AlkaliToWeigh:
    """Alkali for what is in the pot.

    Parameters
    ----------
    demand_mol, acids_mol : float
        Full demand of the fats; alkali that acids neutralise. [mol]
    pure_g, bought_g : tuple of float
        Of each alkali of the recipe: pure; as bought, or the solution of a stock. [g]
    """

    demand_mol: float
    acids_mol: float
    pure_g: tuple[float, ...]
    bought_g: tuple[float, ...]


def alkali_to_weigh(recipe: Recipe, in_pot: Sequence[FatInPot], masses: RecipeMasses, scale: Scale | None,
                    book: Book) -> AlkaliToWeigh:
    """Alkali for these fats and acids; with a scale, rounded down to its step.

    Parameters
    ----------
    recipe : Recipe
        Superfat, acids and alkalis. [recipe]
    in_pot : sequence of FatInPot
        Every fat that takes alkali. [g]
    masses : RecipeMasses
        The acids. [g]
    scale : Scale, optional
        Steps of the scales; None for exact masses. [g]
    book : Book
        Records every line. [lines]

    Returns
    -------
    AlkaliToWeigh : [mol, g]

    Raises
    ------
    Unsolvable : a mass rounds to zero on this scale.

    References
    ----------
    .. [1] Saponification value: mg of pure KOH per g of fat, ISO 3657. From memory.
    """
    demand = book.work("full demand of the fats", _DEMAND, "mol", _ISO_3657, takes=[
        book.work(f"{one.name} takes", _TAKES, "mol", _ISO_3657, mass=one.mass_g, part=one.part, SV=one.value.mid,
                  mg_per_mol=MG_KOH_PER_MOL) for one in in_pot])
    eaten = [book.work(f"{acid(portion.acid).name} neutralises", _EATEN, "mol", "acid hydrogens; molar masses computed",
                       mass=mass, strength=portion.strength_pct / 100, mol_per_g=acid(portion.acid).mol_per_g)
             for mass, portion in zip(masses.acids, recipe.acids, strict=True)]
    acids_mol = math.fsum(eaten)
    at_least = recipe.superfat_at_least_pct is not None
    # the superfat leaves fat over; an acid takes all of its alkali, so the superfat must not apply to it
    needed = book.work("alkali needed", _NEEDED, "mol", _EQUIVALENTS, superfat=recipe.asked_pct,
                       fats=_least_demand(in_pot, scale, book) if at_least else demand,
                       acids=_least_eaten(recipe, masses, scale) if at_least else acids_mol)
    # shares may add up to 100.009: each is divided by their sum, so that the parts add up to the need
    shares = [100.0 if portion.share_pct is None else portion.share_pct for portion in recipe.alkalis]
    bought = tuple(_bought(portion, needed, share / math.fsum(shares), scale, at_least, index, book)
                   for index, (portion, share) in enumerate(zip(recipe.alkalis, shares, strict=True)))
    pure = tuple(mass * portion.strength for mass, portion in zip(bought, recipe.alkalis, strict=True))
    return AlkaliToWeigh(demand, acids_mol, pure, bought)


def _least_demand(in_pot: Sequence[FatInPot], scale: Scale | None, book: Book) -> float:
    """Demand with every fat at the lower end of its published ranges and of its weighing error. [mol]"""
    step = 0.0 if scale is None else scale.readability_g
    return book.work("lowest demand of the fats", _DEMAND, "mol", _ISO_3657, takes=[
        book.work(f"{one.name} takes at least", _LEAST, "mol", _ISO_3657, mass=one.mass_g, step=step, part=one.part,
                  SV=one.value.widest.min, mg_per_mol=MG_KOH_PER_MOL) for one in in_pot])


def _least_eaten(recipe: Recipe, masses: RecipeMasses, scale: Scale | None) -> float:
    error = 0.0 if scale is None else scale.dose_readability_g / 2
    return math.fsum(max(mass - error, 0.0) * portion.strength_pct / 100 * acid(portion.acid).mol_per_g
                     for mass, portion in zip(masses.acids, recipe.acids, strict=True))


def _bought(portion: AlkaliPortion, needed_mol: float, share: float, scale: Scale | None, at_least: bool, index: int,
            book: Book) -> float:
    """One alkali as bought: exact, or down to the step of the scale. [g]"""
    name = portion.alkali
    pure = book.work(f"pure {name}", _PURE, "g", _EQUIVALENTS, needed=needed_mol, M=MOLAR_MASS[name],
                     share=share)
    if not at_least:
        bought = book.work(f"{name} as bought", _BOUGHT, "g", _AS_BOUGHT, pure=pure, strength=portion.strength)
    else:
        # over the whole range: use the strongest alkali it can be, and half a step less, since the scale may show half
        # a step too little
        bought = book.work(f"{name} as bought", _BOUGHT_FLOOR, "g", _AS_BOUGHT, pure=pure,
                           strength=portion.strength_range.max,
                           step=0.0 if scale is None else scale.alkali_readability_g)
    if scale is None:
        return max(bought, 0.0)
    step = scale.alkali_readability_g
    mass = book.work(f"{name} on the scale", _DOWN, "g", _SCALE, mass=bought, step=step)
    if mass <= 0:
        raise Unsolvable(EnglishText("{mass} of {name} rounds to zero on a scale that reads in {step} steps; use a "
                                     "finer scale or make a larger batch.",
                                     mass=amounts.mass(max(bought, 0.0), digits=3), name=name,
                                     step=amounts.mass(step, digits=9)), field=("alkalis", index))
    return mass
