"""A blend, and the lye of the recipe made of it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kettlewright.copies import replace
from kettlewright.errors import DomainError, DomainErrors, gather
from kettlewright.plan.lye_plan import LyePlan, plan_lye
from kettlewright.recipe import (
    Recipe,
    Scale,
)
from kettlewright.recipe.blend_constraints import FatAtHand, Objective, PropertyLimits
from kettlewright.recipe.blends import Blend, blend_fats

__all__ = ["Blended", "plan_blend"]


@dataclass(frozen=True, slots=True)
class Blended:
    """A blend, and the recipe made of it.

    Parameters
    ----------
    blend : Blend
        Shares. [% of fats]
    fats_g : float, optional
        All fats, where the size is known. [g]
    recipe : Recipe, optional
        With the blend for its fats, where one was given. [recipe]
    lye : LyePlan, optional
        Its lye, if its size is known. [g]
    """

    blend: Blend
    fats_g: float | None
    recipe: Recipe | None
    lye: LyePlan | None


def plan_blend(at_hand: Sequence[FatAtHand], objective: Objective, scale: Scale, *,
               wishes: Sequence[PropertyLimits] = (), recipe: Recipe | None = None,
               fats_mass_g: float | None = None) -> Blended:
    """The best blend of the fats at hand, and its lye.

    Parameters
    ----------
    at_hand, objective, wishes
        As for `recipe.blends.blend_fats`, whose `constraints` are the wishes of the request. [% of fats]
    scale : Scale
        Steps of the scales. [g]
    recipe : Recipe, optional
        What the blend comes near to, and what is made with it. [recipe]
    fats_mass_g : float, optional
        All fats; those of a recipe by mass where not given. [g]

    Returns
    -------
    Blended : [% of fats, g]

    Raises
    ------
    DomainErrors, DomainError : whatever `blend_fats` and `make_lye` refuse.
    """
    size = fats_mass_g
    if size is None and recipe is not None and not recipe.by_share:
        size = math.fsum(portion.mass_g or 0.0 for portion in recipe.fats)
    blend = blend_fats(at_hand, wishes, objective, reference=() if recipe is None else recipe.fats, fats_g=size)
    if recipe is None:
        return Blended(blend, size, None, None)
    fats = tuple(replace(share.fat, mass_g=None if size is None else size * share.share_pct / 100,
                         share_pct=share.share_pct if size is None else None) for share in blend.shares)
    try:
        with gather() as checks, checks.at("recipe"):
            made = replace(recipe, fats=fats)
            lye = None if size is None else plan_lye(made, scale, at="/recipe")
    except DomainErrors as error:
        raise DomainErrors([_as_requested(fault, blend) for fault in error.errors]) from None
    return Blended(blend, size, made, lye)


def _as_requested(fault: DomainError, blend: Blend) -> DomainError:
    """A fault of a fat of the blend, at the place where the request names that fat."""
    match fault.field:
        case ("recipe", "fats", int() as index, *more):
            found = blend.shares[index].place
            # what the blend gives a fat, its mass or share, is no field of a fat at hand
            return fault.at_field((*found, *more) if found[0] == "recipe" else found)
    return fault
