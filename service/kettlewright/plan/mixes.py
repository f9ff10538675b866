"""A batch that the pot at hand does not hold at once: equal mixes, each a batch of its own in jug and pot."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kettlewright import amounts, limits
from kettlewright.copies import replace
from kettlewright.errors import Unsolvable, gather
from kettlewright.plan.dispersed_oil import dispersed_oil
from kettlewright.pour import POT_FULL, Addition, Batter, Division, Vessels, batter_of, divide, vessels_for, whole_batch
from kettlewright.recipe import Lye, Recipe, Scale, make_lye
from kettlewright.recipe.scaling import scaled
from kettlewright.said import EnglishText
from kettlewright.weigh_list import WeighRow, weigh_list

__all__ = ["MIXES_MAX", "Mixes", "mixes_needed", "one_of_mixes", "steps_of"]

MIXES_MAX = 20


@dataclass(frozen=True, slots=True)
class Mixes:
    """A batch mixed in equal mixes.

    Parameters
    ----------
    count : int
        How many. [mixes]
    recipe : Recipe
        Of one, at its size. [recipe]
    lye, batter, vessels : Lye, Batter, Vessels
        Of one; the alkali is computed for the fats of one. [g, mL]
    division : Division
        What goes into the pot of one, with its part of the batch's additions. [g]
    weigh_list : tuple of WeighRow
        Of one: jug and pot only. [g]
    """

    count: int
    recipe: Recipe
    lye: Lye
    batter: Batter
    vessels: Vessels
    division: Division
    weigh_list: tuple[WeighRow, ...]

    @property
    def pot_mass_g(self) -> float:
        """All that is in the pot of one mix. [g]"""
        return self.division.pot_mass_g


def mixes_needed(needed_ml: float, pot_ml: float | None) -> int:
    """How many mixes a pot takes, filled to two thirds.

    Parameters
    ----------
    needed_ml : float
        Of the whole batch in the pot. [mL]
    pot_ml : float, optional
        Volume of the pot to its brim; one mix if not given. [mL]

    Returns
    -------
    int : [mixes]

    Raises
    ------
    Unsolvable : more than `MIXES_MAX`.
    """
    if pot_ml is None:
        return 1
    count = max(math.ceil(needed_ml / (pot_ml * POT_FULL) - 1e-9), 1)
    if count > MIXES_MAX:
        raise Unsolvable(EnglishText(
            "A pot of {pot} would be filled {count} times; a batch takes at most {most} mixes. Is the unit right?",
            pot=amounts.volume(pot_ml), count=count, most=MIXES_MAX), field=("pot_volume",), value=pot_ml)
    return count


def steps_of(scale: Scale, count: int) -> Scale:
    """Steps in which a whole batch is weighed where each mix is weighed on its own.

    Parameters
    ----------
    scale : Scale
        Steps of the scales. [g]
    count : int
        Mixes. [mixes]

    Returns
    -------
    Scale : each step times the mixes, so that equal mixes on the scale add up to the batch exactly. [g]
    """
    if count == 1:
        return scale
    return Scale(*(min(step * count, limits.READABILITY.high) for step in (
        scale.readability_g, scale.alkali_readability_g, scale.dose_readability_g)))


def one_of_mixes(recipe: Recipe, scale: Scale, count: int, *, sized_here: bool, additions: Sequence[Addition] = (),
                 batter_density: float | None = None, loss_pct: float | None = None) -> Mixes:
    """One of several equal mixes.

    Parameters
    ----------
    recipe : Recipe
        Of the whole batch, at its size. [recipe]
    scale : Scale
        Steps of the scales. [g]
    count : int
        Mixes. [mixes]
    sized_here : bool
        The service chose the size: fats are weighed down. [yes or no]
    additions : sequence of Addition
        The batch's own: each mix gets its part. [additions]
    batter_density : float, optional
        Measured by the maker. [g/mL]
    loss_pct : float, optional
        Loss in cure. [% of the whole piece]

    Returns
    -------
    Mixes : [g, mL]

    Raises
    ------
    DomainErrors, DomainError : whatever a batch of that size is refused for, at its place in the request.
    """
    part = scaled(recipe, 1 / count)
    with gather() as checks, checks.at("additions"):
        shares = tuple(replace(one, dose=one.dose / count) if one.basis == "mass" else one for one in additions)
    with gather() as checks, checks.at("recipe"):
        lye = make_lye(part, scale, sized_here=sized_here,
                       dispersed=dispersed_oil(part, scale, shares, sized_here=sized_here))
        batter = batter_of(lye, measured_density=batter_density)
    division = divide(batter, whole_batch(), [one for one in shares if one.in_batter], scale=scale, loss_pct=loss_pct)
    rows = weigh_list(lye, scale, replace(division, portions=()))
    return Mixes(count, part, lye, batter, vessels_for(lye, division.pot_volume_ml), division, rows)
