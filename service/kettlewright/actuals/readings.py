"""Checks a report against the plan and replaces planned masses by weighed ones."""

from __future__ import annotations

import math
from collections.abc import Sequence

from kettlewright import amounts, limits
from kettlewright.actuals.rows import Weighings
from kettlewright.copies import replace
from kettlewright.errors import UnknownIngredient, Unsolvable, gather
from kettlewright.names import or_nearest
from kettlewright.plan.batch import Plan
from kettlewright.recipe import OnScale, jug_mass, planned_masses
from kettlewright.recipe.in_pot import RecipeMasses
from kettlewright.said import EnglishText

__all__ = ["check_cut", "masses_on_scale", "plan_of_mix", "rescue_fat"]


def plan_of_mix(plan: Plan, stage: str, mix: int | None) -> Plan:
    """The plan of one mix until the mixes are poured; the sum of all mixes would hide an error in one.

    Parameters
    ----------
    plan : Plan
        Of the whole batch. [plan]
    stage : str
        One of `STAGES`. [key]
    mix : int, optional
        Number of the mix, from 1. [number]

    Returns
    -------
    Plan : of the mix; the same object if the batch is one mix or is poured. [plan]

    Raises
    ------
    Unsolvable : no such mix, a mix after the pour, or none given before it.
    """
    count = 1 if plan.mixes is None else plan.mixes.count
    if mix is not None and mix > count:
        raise Unsolvable(f"This batch is made in {count} {'mix' if count == 1 else 'mixes'}; there is no mix {mix}.",
                         field=("mix",), value=mix, allowed=f"1 to {count}")
    if plan.mixes is None or count == 1:
        return plan
    if stage in ("poured", "cut"):
        if mix is not None:
            raise Unsolvable('From stage "poured" on the mixes are one batch: leave out "mix" and add up the weighings '
                             "of each row.", field=("mix",), value=mix)
        return plan
    if mix is None:
        raise Unsolvable(f'This batch is made in {count} mixes, and each is weighed separately: give the "mix" of these'
                         " rows.", field=("mix",), allowed=f"1 to {count}")
    one = plan.mixes
    return replace(plan, recipe=one.recipe, lye=one.lye, batter=one.batter, division=one.division, cuts=None,
                   weigh_list=one.weigh_list, bench=replace(plan.bench, dispersions=(), mixing_order=(), limits=()),
                   mixes=None, arrangement="layers")


def rescue_fat(plan: Plan, key: str | None) -> int:
    """Index of the fat to add (`plan`), by `key`; the first if none is given. Raises `UnknownIngredient`. [place]"""
    keys = [fat.key for fat in plan.lye.fats]
    if key is None:
        return 0
    if key not in keys:
        raise UnknownIngredient(f'This recipe has no fat "{key}" to add.{or_nearest(key, keys)} Its fats are '
                                f'{", ".join(keys)}.',
                                value=key, allowed=", ".join(keys))
    return keys.index(key)


def check_cut(plan: Plan, stage: str, *, bars: bool, weighings: bool) -> None:
    """Refuse stage "cut" without a planned cut, and bars or weighings before it.

    Parameters
    ----------
    plan : Plan
        The batch. [plan]
    stage : str
        One of `STAGES`. [key]
    bars, weighings : bool
        Whether they were reported. [yes or no]

    Raises
    ------
    DomainErrors : [text]
    """
    with gather() as checks:
        with checks.at():
            if stage == "cut" and plan.cuts is None:
                raise Unsolvable('The plan has no cut: plan the batch with a "cut", or stay at stage "poured".',
                                 field=("stage",), value=stage)
        for name, given in (("bars", bars), ("weighings", weighings)):
            with checks.at(name):
                if given and stage != "cut":
                    raise Unsolvable(f'There are no bars before they are cut: "{name}" belongs to stage "cut", and '
                                     f'you gave stage "{stage}".', value=stage, allowed='stage "cut"')


def masses_on_scale(plan: Plan, stage: str, reported: Weighings) -> OnScale:
    """Masses of the batch: as reported, else as planned.

    Parameters
    ----------
    plan : Plan
        The batch. [plan]
    stage : str
        One of `STAGES`. [key]
    reported : Weighings
        As weighed. [g]

    Returns
    -------
    OnScale : [g]

    Raises
    ------
    Unsolvable : no fat, no lye, or more lye in the pot than was in the jug.
    """
    planned, lye = planned_masses(plan.lye), plan.lye

    def weighed(kind: str, masses: Sequence[float]) -> tuple[float, ...]:
        return tuple(mass if (found := reported.mass_of(kind, index)) is None else found
                     for index, mass in enumerate(masses))

    oil = {}
    for index, one in enumerate(plan.division.additions):
        mass = reported.mass_of("addition", index)
        if mass is not None and one.weigh_g:
            oil[one.key] = mass / one.weigh_g
    water, ice = reported.mass_of("water", 0), reported.mass_of("ice", 0)
    found = OnScale(
        RecipeMasses(weighed("fat", planned.recipe_masses.fats), weighed("acid", planned.recipe_masses.acids),
              weighed("liquid", planned.recipe_masses.liquids)),
        weighed("alkali", planned.alkalis_g),
        tuple(mass * oil.get(one.key, 1.0) for one, mass in zip(lye.dispersed, planned.dispersed_g, strict=True)),
        planned.water_g if water is None else water, planned.ice_g if ice is None else ice)
    half_step = lye.scale.readability_g / 2  # a fat of this mass may be nothing at all
    if all(mass <= half_step * (1 + 1e-9) for mass in found.recipe_masses.fats):
        raise Unsolvable("All fats are reported as 0 or as less than the scale can show, so there is no batch yet. "
                         "Leave out rows that you have not weighed yet.",
                         allowed="at least one fat above half a step of the scale")
    if stage != "fats" and not _water_and_alkali(plan, found):
        raise Unsolvable('Neither water nor alkali is in the jug, so there is no lye yet: give stage "fats".',
                         value=0.0, allowed="water or alkali above 0")
    if reported.lye_g is None:
        return found
    if not reported.lye_g:
        raise Unsolvable('No lye went into the pot: give stage "lye_made".', value=0.0, allowed="above 0")
    jug, step = jug_mass(lye, found), lye.scale.readability_g
    in_jug = sum(row.row.where == "jug" for row in reported.rows)
    if reported.lye_g > jug + step * (in_jug + 1):
        raise Unsolvable(EnglishText("{lye} of lye went into the pot, but only {jug} were in the jug. Did you weigh "
                                     "the jug with it, or leave something in it unreported?",
                                     lye=amounts.mass(reported.lye_g), jug=amounts.mass(jug)), value=reported.lye_g,
                         allowed=limits.up_to(amounts.mass(jug)))
    return replace(found, lye_part=min(reported.lye_g / jug, 1.0), lye_step_g=step)


def _water_and_alkali(plan: Plan, found: OnScale) -> float:
    recipe = plan.lye.recipe
    return math.fsum((*found.alkalis_g, found.water_g, found.ice_g,
                      *(mass * one.water_pct
                        for mass, one in zip(found.recipe_masses.liquids, recipe.liquids, strict=True)),
                      *(mass * (100 - one.strength_pct)
                        for mass, one in zip(found.recipe_masses.acids, recipe.acids, strict=True))))
