"""The size that a recipe is scaled to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kettlewright import limits
from kettlewright.errors import gather, one_of
from kettlewright.pour import (
    Addition,
    Batter,
    Mould,
    Residue,
    factor_to_fill,
    factor_to_use_up,
    whole_batch,
)
from kettlewright.recipe import (
    BarsWanted,
    Limiting,
    Lye,
    Recipe,
)
from kettlewright.recipe.scaling import bars_batter, factor_for_fats, limiting_factor

__all__ = ["MouldTarget", "Target", "factor_to_target"]


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
            limits.check_each(self, checks, factor=limits.FACTOR, fats_mass_g=limits.MASS, batter_mass_g=limits.MASS)


def factor_to_target(base: Recipe, lye: Lye, batter: Batter, target: Target, additions: Sequence[Addition]) -> float:
    """How many times a recipe its target is.

    Parameters
    ----------
    base : Recipe
        By mass. [g]
    lye, batter : results
        Of the recipe, unrounded. [g, g/mL]
    target : Target
        The size. [target]
    additions : sequence of Addition
        Of the batch. [additions]

    Returns
    -------
    float : [1]

    Raises
    ------
    DomainErrors, DomainError : a target that no size meets.
    """
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
