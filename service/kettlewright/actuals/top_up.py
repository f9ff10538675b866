"""What was forgotten or weighed short, and what the batch is once the missing masses are put in."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from kettlewright.actuals.rows import Row, Weighings
from kettlewright.actuals.words import amount_of, on_its_scale
from kettlewright.plan.batch import Plan
from kettlewright.recipe import OnScale, planned_masses
from kettlewright.recipe.weighing import round_up
from kettlewright.said import Said, sentences

__all__ = ["Missing", "how_to_put_in", "missing_of", "put_in_missing", "water_for_alkali"]

_IN_JUG = ("water", "ice", "liquid")
_WATER_FOR_ALKALI = 2.0  # cold water to dissolve alkali in that was forgotten: 33 % lye, own decision


@dataclass(frozen=True, slots=True)
class Missing:
    """A row that was forgotten or weighed short.

    Parameters
    ----------
    row : Row
        Of the weigh list. [g]
    mass_g : float
        What is missing of it. [g]
    forgotten : bool
        Nothing of it was weighed. [yes or no]
    """

    row: Row
    mass_g: float
    forgotten: bool


def missing_of(plan: Plan, told: Weighings) -> tuple[Missing, ...]:
    """What is missing of fats, lye and the oil of additions.

    Parameters
    ----------
    plan, told : Plan, Weighings
        As planned, and as weighed. [g]

    Returns
    -------
    tuple of Missing : in bench order; where only a part of the lye went in, what is missing of the pot alone, since
        nothing in the jug can be made good any more. [g]
    """
    short = {id(one.row): one for one in told.differences if one.state == "off" and (one.off_g or 0.0) < 0}
    oily = {one.key for one in plan.lye.dispersed}
    found = []
    for row in told.rows:
        one = short.get(id(row.row))
        if one is None or (told.lye_g is not None and row.row.where == "jug"):
            continue
        if row.kind in (*_IN_JUG, "acid", "alkali", "fat") or (
                row.kind == "addition" and row.portion is None and row.row.key in oily):
            found.append(Missing(row, -(one.off_g or 0.0), not one.weighed_g))
    return tuple(found)


def put_in_missing(plan: Plan, on_scale: OnScale, missing: Sequence[Missing], *, more_water_g: float = 0.0) -> OnScale:
    """The batch with the missing masses in it.

    Parameters
    ----------
    plan, on_scale : Plan, OnScale
        As planned, and as weighed. [g]
    missing : sequence of Missing
        What is put in. [g]
    more_water_g : float
        Water that is put in with it, beyond the plan. [g]

    Returns
    -------
    OnScale : [g]
    """
    planned = planned_masses(plan.lye)
    gone = {(one.row.kind, one.row.index) for one in missing}
    oily = {one.row.row.key for one in missing if one.row.kind == "addition"}

    def filled(kind: str, weighed: Sequence[float], as_planned: Sequence[float]) -> tuple[float, ...]:
        return tuple(then if (kind, index) in gone else now
                     for index, (now, then) in enumerate(zip(weighed, as_planned, strict=True)))

    recipe_masses, then = on_scale.recipe_masses, planned.recipe_masses
    return replace(
        on_scale,
        recipe_masses=replace(recipe_masses, fats=filled("fat", recipe_masses.fats, then.fats),
                       acids=filled("acid", recipe_masses.acids, then.acids),
                       liquids=filled("liquid", recipe_masses.liquids, then.liquids)),
        alkalis_g=filled("alkali", on_scale.alkalis_g, planned.alkalis_g),
        dispersed_g=tuple(as_planned if one.key in oily else now for one, now, as_planned in zip(
            plan.lye.dispersed, on_scale.dispersed_g, planned.dispersed_g, strict=True)),
        water_g=(planned.water_g if ("water", 0) in gone else on_scale.water_g) + more_water_g,
        ice_g=planned.ice_g if ("ice", 0) in gone else on_scale.ice_g)


def water_for_alkali(plan: Plan, missing: Sequence[Missing]) -> float:
    """Cold water that dry alkali is dissolved in before it goes into the pot (`plan`, `missing`). [g]"""
    dry = math.fsum(one.mass_g for one in missing if _is_dry_alkali(plan, one))
    return round_up(_WATER_FOR_ALKALI * dry, plan.lye.scale.readability_g) if dry else 0.0


def _is_dry_alkali(plan: Plan, one: Missing) -> bool:
    return one.row.kind == "alkali" and plan.lye.alkalis[one.row.index].stock is None


def how_to_put_in(plan: Plan, missing: Sequence[Missing], *, in_pot: bool) -> Said:
    """How to put in what is missing, safely.

    Parameters
    ----------
    plan : Plan
        As planned. [plan]
    missing : sequence of Missing
        What is put in. [g]
    in_pot : bool
        Fats and lye are together already. [yes or no]

    Returns
    -------
    Said : one sentence for each way of putting it in. [text]
    """
    def listed(rows: Sequence[Missing]) -> tuple[Said, ...]:
        return tuple(Said("{mass} of {name}", mass=on_its_scale(one.row.row, one.mass_g), name=one.row.row.name)
                     for one in rows)

    into_fats = [one for one in missing if one.row.kind in ("fat", "addition") or one.row.row.where == "pot"]
    watery = [one for one in missing if one.row.kind in _IN_JUG]
    acids = [one for one in missing if one.row.kind == "acid" and one not in into_fats]
    alkalis = [one for one in missing if one.row.kind == "alkali"]
    text = []
    if into_fats:
        text.append(Said("Put the missing {masses:, } into the pot and stir.", masses=listed(into_fats)))
    if in_pot:
        if watery:
            text.append(Said("Stir the missing {masses:, } in, cold and slowly.", masses=listed(watery)))
        if acids:
            text.append(Said("Stir the missing {masses:, } in, a little at a time: it heats the batter.",
                             masses=listed(acids)))
        water = water_for_alkali(plan, missing)
        if water:
            text.append(Said(
                "Dissolve the missing {masses:, } in {water} of cold water, the alkali into the water; let it cool, "
                "then stir it in slowly while the batter is fluid.", masses=listed(alkalis), water=amount_of(water)))
        elif alkalis:
            text.append(Said("Stir the missing {masses:, } in slowly while the batter is fluid.",
                             masses=listed(alkalis)))
        return sentences(*text)
    if watery:
        text.append(Said(
            "Weigh the missing {masses:, }, cold, into a second, larger jug and pour what is in the first jug into it "
            "slowly and stirring, never the other way round.", masses=listed(watery)))
    if acids:
        text.append(Said("Put the missing {masses:, } into the jug, a little at a time: it heats up.",
                         masses=listed(acids)))
    if alkalis:
        text.append(Said("Put the missing {masses:, } into the jug, slowly and stirring: it heats up again.",
                         masses=listed(alkalis)))
    return sentences(*text)
