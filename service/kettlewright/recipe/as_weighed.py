"""The batch that really is in jug and pot: a recipe of the masses that were weighed."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from kettlewright.recipe.acids import acid
from kettlewright.recipe.outcome import PutIn, in_pot_of, lye_of
from kettlewright.recipe.weighed import Lye, Weighing

__all__ = ["OnScale", "jug_mass", "lye_as_weighed", "planned_masses"]


@dataclass(frozen=True, slots=True)
class OnScale:
    """What a scale showed for every part of a recipe.

    Parameters
    ----------
    put_in : PutIn
        Fats, acids, liquids. [g]
    alkalis_g, dispersed_g : tuple of float
        Alkalis in the order of the recipe; oil that additions brought. [g]
    water_g, ice_g : float
        Water without ice, and ice. [g]
    lye_part : float, 0 < x <= 1
        Of all that is in the jug, the part that goes into the pot. [fraction]
    lye_step_g : float
        Step of the scale that part was weighed on; 0 where the jug is emptied. [g]
    """

    put_in: PutIn
    alkalis_g: tuple[float, ...]
    dispersed_g: tuple[float, ...]
    water_g: float
    ice_g: float
    lye_part: float = 1.0
    lye_step_g: float = 0.0


def planned_masses(planned: Lye) -> OnScale:
    """What the scale was to show (`planned`: the weighed recipe). [g]"""
    ice_g = 0.0 if planned.ice is None else planned.ice.weigh_g
    return OnScale(PutIn(tuple(one.weigh_g for one in planned.fats), tuple(one.weigh_g for one in planned.acids),
                         tuple(one.weigh_g for one in planned.liquids)),
                   tuple(one.weigh_g for one in planned.alkalis), tuple(one.mass_g for one in planned.dispersed),
                   planned.water.weigh_g - ice_g, ice_g)


def jug_mass(planned: Lye, on_scale: OnScale) -> float:
    """All that is in the jug (`planned`: the weighed recipe, `on_scale`: what was weighed). [g]"""
    acids = (mass for mass, one in zip(on_scale.put_in.acids, planned.acids, strict=True) if not one.acid.fatty)
    return math.fsum((*on_scale.alkalis_g, *on_scale.put_in.liquids, *acids, on_scale.water_g, on_scale.ice_g))


def lye_as_weighed(planned: Lye, on_scale: OnScale, *, expected_loss_pct: float | None = None) -> Lye:
    """The batch that really is in jug and pot, in place of the one that was planned.

    Parameters
    ----------
    planned : Lye
        The weighed recipe of the plan: its exact masses stay as they are. [lye]
    on_scale : OnScale
        What was weighed. [g]
    expected_loss_pct : float, optional
        Loss in cure. [% of a bar as cut]

    Returns
    -------
    Lye : nothing is refused here, since it has happened: the superfat may be below 0 and the lye beyond what water
        dissolves. [g and the units of each part]

    Notes
    -----
    A part of the lye brings that part of its alkali, water, acids and liquids. Weighing it adds to the error of the
    alkalis, by the step of that scale as a part of the lye, and counts for the largest of them.
    """
    recipe, part = planned.recipe, on_scale.lye_part
    fats = [weighed.fat for weighed in planned.fats]
    dispersed = tuple(replace(one, mass_g=mass)
                      for one, mass in zip(planned.dispersed, on_scale.dispersed_g, strict=True))
    put_in = PutIn(on_scale.put_in.fats,
                   tuple(mass * (1.0 if acid(one.acid).fatty else part)
                         for mass, one in zip(on_scale.put_in.acids, recipe.acids, strict=True)),
                   tuple(mass * part for mass in on_scale.put_in.liquids))
    weighed = in_pot_of(recipe, fats, put_in, tuple(mass * part for mass in on_scale.alkalis_g),
                        water_added=(on_scale.water_g + on_scale.ice_g) * part, dispersed=dispersed)
    exact = in_pot_of(recipe, fats, PutIn(tuple(one.mass_g for one in planned.fats),
                                          tuple(one.mass_g for one in planned.acids),
                                          tuple(one.mass_g for one in planned.liquids)),
                      tuple(one.mass_g for one in planned.alkalis), water_added=planned.water.mass_g,
                      dispersed=[one.exactly for one in planned.dispersed])
    errors = planned.scale
    if on_scale.lye_step_g:
        step = errors.alkali_readability_g * part + (
            max(on_scale.alkalis_g) * on_scale.lye_step_g / jug_mass(planned, on_scale))
        errors = replace(errors, alkali_readability_g=step)
    return lye_of(recipe, planned.scale, fats=fats, exact=exact, weighed=weighed, dispersed=dispersed,
                  ice=None if planned.ice is None else Weighing(planned.ice.mass_g, on_scale.ice_g * part),
                  expected_loss_pct=expected_loss_pct, errors=errors)
