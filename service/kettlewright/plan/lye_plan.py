"""The lye of a recipe, at its own size or at another."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kettlewright import cautions as caution_texts
from kettlewright.cautions import Caution
from kettlewright.curing import check_loss
from kettlewright.errors import DomainError, Unsolvable, gather
from kettlewright.plan.dispersed_oil import dispersed_oil
from kettlewright.plan.target import Target, factor_to_target
from kettlewright.pour import (
    Addition,
    Batter,
    Vessels,
    batter_of,
    vessels_for,
)
from kettlewright.recipe import (
    SILENT,
    Book,
    Lye,
    Recipe,
    Scale,
    WorkingLine,
    make_lye,
)
from kettlewright.recipe.scaling import scaled, with_masses
from kettlewright.recipe.weighing import EXACT
from kettlewright.said import EnglishText, Said
from kettlewright.weigh_list import WeighRow, weigh_list

__all__ = ["LyePlan", "Scaled", "plan_lye", "scale_recipe"]


@dataclass(frozen=True, slots=True)
class LyePlan:
    """A recipe, weighed, with its batter and vessels.

    Parameters
    ----------
    lye, batter, vessels : results
        Of the recipe. [g, mL]
    weigh_list : tuple of WeighRow
        In bench order. [g]
    cautions : tuple of Caution
        What the recipe triggers. [cautions]
    workings : tuple of WorkingLine
        The calculation line by line, if requested. [g]
    """

    lye: Lye
    batter: Batter
    vessels: Vessels
    weigh_list: tuple[WeighRow, ...]
    cautions: tuple[Caution, ...]
    workings: tuple[WorkingLine, ...] = ()


@dataclass(frozen=True, slots=True)
class Scaled:
    """A recipe at a new size.

    Parameters
    ----------
    factor : float, optional
        How much larger; none for a recipe by shares. [1]
    recipe : Recipe
        Unrounded. [recipe]
    lye : LyePlan
        Computed for that size. [g]
    """

    factor: float | None
    recipe: Recipe
    lye: LyePlan


def plan_lye(recipe: Recipe, scale: Scale, *, batter_density: float | None = None, sized_here: bool = False,
             additions: Sequence[Addition] = (), expected_loss_pct: float | None = None, workings: bool = False,
             at: str = "") -> LyePlan:
    """What to weigh for a recipe by masses.

    Parameters
    ----------
    recipe : Recipe
        Fats by mass. [recipe]
    scale : Scale
        Steps of the scales. [g]
    batter_density : float, optional
        Measured by the maker. [g/mL]
    sized_here : bool
        The service chose the size: fats are weighed down. [yes or no]
    additions : sequence of Addition
        The batch's own: the oil they are dispersed in counts as fat. [additions]
    expected_loss_pct : float, optional
        Loss in cure. [% of a bar as cut]
    workings : bool
        Keep the calculation line by line. [yes or no]
    at : str
        Place of the recipe in the request, as a JSON Pointer. [text]

    Returns
    -------
    LyePlan : [g, mL]

    Raises
    ------
    DomainErrors, DomainError : shares instead of masses, and whatever `make_lye` refuses.
    """
    found = _lye_plan(recipe, scale, batter_density=batter_density, sized_here=sized_here, additions=additions,
                      expected_loss_pct=expected_loss_pct, workings=workings, at=at)
    _check_loss(expected_loss_pct, found.batter, additions)
    return found


def _lye_plan(recipe: Recipe, scale: Scale, *, batter_density: float | None, sized_here: bool,
              additions: Sequence[Addition], expected_loss_pct: float | None, workings: bool, at: str) -> LyePlan:
    if recipe.by_share:
        raise Unsolvable("Shares of fats have no size: give masses, or request a size at /v1/scaling or with a mould "
                         "at /v1/batches.", field=("fats", 0, "share_pct"))
    book = Book() if workings else SILENT
    dispersed = dispersed_oil(recipe, scale, additions, sized_here=sized_here)
    lye = make_lye(recipe, scale, sized_here=sized_here, dispersed=dispersed, expected_loss_pct=expected_loss_pct,
                   book=book)
    batter = batter_of(lye, measured_density=batter_density, book=book)
    return LyePlan(lye, batter, vessels_for(lye, batter.volume_ml, book), weigh_list(lye, scale),
                   caution_texts.of_lye(lye, at=at), tuple(book.lines or ()))


def _check_loss(loss_pct: float | None, batter: Batter, additions: Sequence[Addition],
                what: Said | None = None) -> None:
    """Refuse a loss larger than the water of batter and additions together."""
    if loss_pct is None:
        return
    added = [(addition, addition.mass_in(batter_g=batter.mass_g, fats_g=batter.fats_mass_g)) for addition in additions
             if addition.in_batter]
    check_loss(loss_pct, mass_g=batter.mass_g + math.fsum(mass for _, mass in added),
               what=what or EnglishText("the batter"),
               water_g=batter.water_at_most_g + math.fsum(mass * addition.water_part for addition, mass in added))


def scale_recipe(recipe: Recipe, target: Target, scale: Scale, *, additions: Sequence[Addition] = (),
                 batter_density: float | None = None, expected_loss_pct: float | None = None,
                 workings: bool = False) -> Scaled:
    """A recipe scaled to a target, with new alkali and water.

    Parameters
    ----------
    recipe : Recipe
        By mass or by share. [recipe]
    target : Target
        The size. [target]
    scale : Scale
        Steps of the scales. [g]
    additions : sequence of Addition
        Additions to the batch: they take room in a mould, and one of them may be the limiting ingredient. [additions]
    batter_density : float, optional
        Measured by the maker. [g/mL]
    expected_loss_pct : float, optional
        Loss in cure. [% of a bar as cut]
    workings : bool
        Keep the calculation line by line. [yes or no]

    Returns
    -------
    Scaled : [g]

    Raises
    ------
    DomainError, DomainErrors : a factor on shares, a target that no size meets, and whatever `make_lye` refuses.
    """
    if recipe.by_share and target.factor is not None:
        raise DomainError("A recipe by shares has no size to multiply: give another target.",
                          field=("target", "factor"))
    base = with_masses(recipe)
    with gather() as checks, checks.at("recipe"):
        lye = make_lye(base, EXACT, dispersed=dispersed_oil(base, EXACT, additions))
        batter = batter_of(lye, measured_density=batter_density)
    with gather() as checks, checks.at("target"):
        if target.bars is not None:
            with checks.at("target", "bars"):
                _check_loss(target.bars.expected_loss_pct, batter, additions, EnglishText("a bar"))
        factor = factor_to_target(base, lye, batter, target, additions)
        sized = scaled(base, factor)
    with gather() as checks, checks.at("recipe"):
        plan = _lye_plan(sized, scale, batter_density=batter_density, sized_here=True, additions=additions,
                         expected_loss_pct=expected_loss_pct, workings=workings, at="/recipe")
    _check_loss(expected_loss_pct, plan.batter, additions)
    return Scaled(None if recipe.by_share else factor, sized, plan)
