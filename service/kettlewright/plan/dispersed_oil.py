"""Oil that additions are dispersed in, as fat of the pot."""

from __future__ import annotations

from collections.abc import Sequence

from kettlewright.copies import replace
from kettlewright.pour import (
    Addition,
    WeighedAddition,
    batter_of,
)
from kettlewright.recipe import (
    DispersedFat,
    Recipe,
    Scale,
    make_lye,
)
from kettlewright.recipe.fats import fat_kind
from kettlewright.recipe.weighing import round_nearest
from kettlewright.settling import settle

__all__ = ["dispersed_oil"]




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

    def brought(before: tuple[DispersedFat, ...]) -> tuple[DispersedFat, ...]:
        lye = make_lye(recipe, scale, sized_here=sized_here, dispersed=before)
        batter = batter_of(lye)
        masses = [addition.mass_in(batter_g=batter.mass_g, fats_g=batter.fats_mass_g) for addition, _, _ in oily]
        return tuple(
            DispersedFat(addition.name, contents.fat_pct / 100 * round_nearest(mass, scale.dose_readability_g), value,
                         contents.fat_pct / 100 * mass, fat_kind(contents.fat))
            for mass, (addition, contents, value) in zip(masses, oily, strict=True))

    found = brought(())

    def again(_: Sequence[float]) -> list[float]:
        nonlocal found
        found = brought(found)
        return [one.mass_g for one in found]

    settle(again, [one.mass_g for one in found], close=1e-9, what="The oil that additions are dispersed in")
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
