"""The batch that is actually in jug and pot: the recipe computed from the masses that were weighed."""

from __future__ import annotations

import math
from dataclasses import dataclass

from kettlewright.copies import replace
from kettlewright.recipe.acids import acid
from kettlewright.recipe.in_pot import RecipeMasses, in_pot_of
from kettlewright.recipe.lye_result import Lye
from kettlewright.recipe.outcome import lye_of
from kettlewright.recipe.weighed import MassToWeigh

__all__ = ["OnScale", "jug_mass", "lye_as_weighed", "planned_masses"]


@dataclass(frozen=True, slots=True)
class OnScale:
    """The masses that the scale showed for every part of a recipe.

    Parameters
    ----------
    recipe_masses : RecipeMasses
        Fats, acids, liquids. [g]
    alkalis_g, dispersed_g : tuple of float
        Alkalis in the order of the recipe; oil that came with additions. [g]
    water_g, ice_g : float
        Water without ice, and ice. [g]
    lye_part : float, 0 < x <= 1
        Fraction of the jug's contents that goes into the pot. [fraction]
    lye_step_g : float
        Step of the scale on which that part was weighed; 0 if the whole jug is used. [g]
    alkali_weighings : int
        In how many weighings each alkali was weighed; each adds a step of its scale to the error. [weighings]
    """

    recipe_masses: RecipeMasses
    alkalis_g: tuple[float, ...]
    dispersed_g: tuple[float, ...]
    water_g: float
    ice_g: float
    lye_part: float = 1.0
    lye_step_g: float = 0.0
    alkali_weighings: int = 1


def planned_masses(planned: Lye) -> OnScale:
    """The masses planned for the scale (`planned`: the weighed recipe). [g]"""
    ice_g = 0.0 if planned.ice is None else planned.ice.weigh_g
    return OnScale(RecipeMasses(tuple(one.weigh_g for one in planned.fats), tuple(one.weigh_g for one in planned.acids),
                         tuple(one.weigh_g for one in planned.liquids)),
                   tuple(one.weigh_g for one in planned.alkalis), tuple(one.mass_g for one in planned.dispersed),
                   planned.water.weigh_g - ice_g, ice_g)


def jug_mass(planned: Lye, on_scale: OnScale) -> float:
    """Mass of the jug's contents (`planned`: the weighed recipe, `on_scale`: the masses weighed). [g]"""
    acids = (mass for mass, one in zip(on_scale.recipe_masses.acids, planned.acids, strict=True) if not one.acid.fatty)
    return math.fsum((*on_scale.alkalis_g, *on_scale.recipe_masses.liquids, *acids, on_scale.water_g, on_scale.ice_g))


def lye_as_weighed(planned: Lye, on_scale: OnScale, *, expected_loss_pct: float | None = None) -> Lye:
    """The batch that is actually in jug and pot, instead of the planned one.

    Parameters
    ----------
    planned : Lye
        The weighed recipe of the plan; its exact masses are kept. [lye]
    on_scale : OnScale
        The masses weighed. [g]
    expected_loss_pct : float, optional
        Loss in cure. [% of a bar as cut]

    Returns
    -------
    Lye : never rejected, since it has already happened: the superfat may be below 0, and the lye may be stronger than
        water can dissolve. [g and the units of each part]

    Notes
    -----
    A part of the lye carries the same part of its alkali, water, acids and liquids. Weighing it adds to the error of
    the alkalis: the step of that scale as a fraction of the lye, assigned to the largest of them.
    """
    recipe, part = planned.recipe, on_scale.lye_part
    fats = [weighed.fat for weighed in planned.fats]
    dispersed = tuple(replace(one, mass_g=mass)
                      for one, mass in zip(planned.dispersed, on_scale.dispersed_g, strict=True))
    recipe_masses = RecipeMasses(on_scale.recipe_masses.fats,
                   tuple(mass * (1.0 if acid(one.acid).fatty else part)
                         for mass, one in zip(on_scale.recipe_masses.acids, recipe.acids, strict=True)),
                   tuple(mass * part for mass in on_scale.recipe_masses.liquids))
    weighed = in_pot_of(recipe, fats, recipe_masses, tuple(mass * part for mass in on_scale.alkalis_g),
                        water_added=(on_scale.water_g + on_scale.ice_g) * part, dispersed=dispersed)
    exact = in_pot_of(recipe, fats, RecipeMasses(tuple(one.mass_g for one in planned.fats),
                                          tuple(one.mass_g for one in planned.acids),
                                          tuple(one.mass_g for one in planned.liquids)),
                      tuple(one.mass_g for one in planned.alkalis), water_added=planned.water.mass_g,
                      dispersed=[one.exactly for one in planned.dispersed])
    errors = replace(planned.scale,
                     alkali_readability_g=planned.scale.alkali_readability_g * on_scale.alkali_weighings)
    if on_scale.lye_step_g:
        step = errors.alkali_readability_g * part + (
            max(on_scale.alkalis_g) * on_scale.lye_step_g / jug_mass(planned, on_scale))
        errors = replace(errors, alkali_readability_g=step)
    return lye_of(recipe, planned.scale, fats=fats, exact=exact, weighed=weighed, dispersed=dispersed,
                  ice=None if planned.ice is None else MassToWeigh(planned.ice.mass_g, on_scale.ice_g * part),
                  expected_loss_pct=expected_loss_pct, errors=errors)
