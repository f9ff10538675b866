"""The lye of a recipe, at its own size or at another."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from kettlewright import cautions as caution_texts
from kettlewright import limits
from kettlewright.cautions import Caution
from kettlewright.curing import check_loss
from kettlewright.errors import DomainError, Unsolvable, gather, one_of
from kettlewright.pour import (
    Addition,
    Batter,
    Mould,
    Residue,
    Vessels,
    WeighedAddition,
    batter_of,
    factor_to_fill,
    factor_to_use_up,
    vessels_for,
    whole_batch,
)
from kettlewright.recipe import (
    SILENT,
    BarsWanted,
    Book,
    DispersedFat,
    Limiting,
    Lye,
    Recipe,
    Scale,
    WorkingLine,
    make_lye,
)
from kettlewright.recipe.fats import fat_kind
from kettlewright.recipe.scaling import bars_batter, factor_for_fats, limiting_factor, scaled, with_masses
from kettlewright.recipe.weighing import EXACT, round_nearest
from kettlewright.said import EnglishText, Said
from kettlewright.weigh_list import WeighRow, weigh_list

__all__ = ["LyePlan", "MouldTarget", "Scaled", "Target", "dispersed_oil", "plan_lye", "scale_recipe"]

_STEPS_MAX = 60


@dataclass(frozen=True, slots=True)
class MouldTarget:
    """A mould to fill to its headspace.

    Parameters
    ----------
    mould : Mould
        The mould. [mould]
    residue : Residue
        What stays behind. [g]
    """

    mould: Mould
    residue: Residue


@dataclass(frozen=True, slots=True)
class Target:
    """A size, given in exactly one way.

    Parameters
    ----------
    factor : float, optional
        Times the recipe. [1]
    fats_mass_g, batter_mass_g : float, optional
        All fats; all batter before additions. [g]
    mould : MouldTarget, optional
        A mould filled to its headspace. [mould]
    bars : BarsWanted, optional
        Bars of a cured mass. [bars]
    limiting : Limiting, optional
        All that is left of something. [g]

    Raises
    ------
    DomainError : none or several given.
    """

    factor: float | None = None
    fats_mass_g: float | None = None
    batter_mass_g: float | None = None
    mould: MouldTarget | None = None
    bars: BarsWanted | None = None
    limiting: Limiting | None = None

    def __post_init__(self) -> None:
        names = ("factor", "fats_mass_g", "batter_mass_g", "mould", "bars", "limiting")
        given = [name for name in names if getattr(self, name) is not None]
        if len(given) != 1:
            raise one_of(given or None)('A target is exactly one of "factor", "fats_mass", "batter_mass", "mould" '
                                        '(with or '
                                        f'without "residue"), "bars" or "limiting"; {len(given) or "none"} given.')
        with gather() as checks:
            for name, bounds in (("factor", limits.FACTOR), ("fats_mass_g", limits.MASS),
                                 ("batter_mass_g", limits.MASS)):
                with checks.at():
                    if getattr(self, name) is not None:
                        bounds.check(getattr(self, name), name.removesuffix("_g"))


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


def dispersed_oil(recipe: Recipe, scale: Scale, additions: Sequence[Addition], *,
               sized_here: bool = False) -> tuple[DispersedFat, ...]:
    """Oil that the batch's additions bring into the pot; a dose on the batter grows with the alkali for that oil.

    Parameters
    ----------
    recipe, scale, additions, sized_here
        As for `plan_lye`. [recipe, g]

    Returns
    -------
    tuple of DispersedFat : of what is weighed, each to the nearest step. [g]
    """
    oily = [(addition, contents, contents.fat_value) for addition in additions
            if addition.in_batter and (contents := addition.contents) is not None and contents.fat_value is not None]
    if not oily:
        return ()
    found: tuple[DispersedFat, ...] = ()
    for _ in range(_STEPS_MAX):
        lye = make_lye(recipe, scale, sized_here=sized_here, dispersed=found)
        batter = batter_of(lye)
        masses = [addition.mass_in(batter_g=batter.mass_g, fats_g=batter.fats_mass_g) for addition, _, _ in oily]
        before, found = found, tuple(
            DispersedFat(addition.name, contents.fat_pct / 100 * round_nearest(mass, scale.dose_readability_g), value,
                         contents.fat_pct / 100 * mass, fat_kind(contents.fat))
            for mass, (addition, contents, value) in zip(masses, oily, strict=True))
        if before and all(abs(now.mass_g - then.mass_g) <= 1e-9 * now.mass_g
                          for now, then in zip(found, before, strict=True)):
            break
    return found


def as_weighed_in(dispersed: Sequence[DispersedFat], weighed: Sequence[WeighedAddition]) -> tuple[DispersedFat, ...]:
    """The oil of additions as they are weighed in a batch.

    Parameters
    ----------
    dispersed : sequence of DispersedFat
        As of `dispersed_oil`. [g]
    weighed : sequence of WeighedAddition
        The batch's own additions. [g]

    Returns
    -------
    tuple of DispersedFat : [g]
    """
    oily = [one for one in weighed
            if one.addition.in_batter and (contents := one.addition.contents) is not None
            and contents.fat_value is not None]
    return tuple(replace(fat, mass_g=one.oil_g) for fat, one in zip(dispersed, oily, strict=True))


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
        factor = _factor(base, lye, batter, target, additions)
        sized = scaled(base, factor)
    with gather() as checks, checks.at("recipe"):
        plan = _lye_plan(sized, scale, batter_density=batter_density, sized_here=True, additions=additions,
                         expected_loss_pct=expected_loss_pct, workings=workings, at="/recipe")
    _check_loss(expected_loss_pct, plan.batter, additions)
    return Scaled(None if recipe.by_share else factor, sized, plan)


def _factor(base: Recipe, lye: Lye, batter: Batter, target: Target, additions: Sequence[Addition]) -> float:
    if target.factor is not None:
        return target.factor
    if target.fats_mass_g is not None:
        return factor_for_fats(base, target.fats_mass_g)
    if target.batter_mass_g is not None:
        return target.batter_mass_g / batter.mass_g
    if target.bars is not None:
        return bars_batter(target.bars) / batter.mass_g
    if target.mould is not None:
        return factor_to_fill(batter, target.mould.mould.volume_ml, whole_batch(), additions,
                              residue=target.mould.residue)
    assert target.limiting is not None
    with gather() as checks, checks.at("limiting"):
        if target.limiting.kind == "addition":
            return factor_to_use_up(batter, additions, target.limiting.key, target.limiting.mass_g)
        return limiting_factor(lye, target.limiting)
    raise AssertionError("unreachable: gather raises")
