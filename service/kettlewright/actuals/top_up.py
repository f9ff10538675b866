"""Ingredients that were forgotten or weighed short: how to put them in, and the batch once they are in."""

from __future__ import annotations

import math
from collections.abc import Sequence

from kettlewright.actuals.rows import Weighings
from kettlewright.actuals.steps import SLIGHT_POINTS, MissingRow, Step, costs_little, is_safe, keeps_superfat
from kettlewright.actuals.words import GUARDED, amount_of, on_its_scale, superfat_of
from kettlewright.copies import replace
from kettlewright.plan.batch import Plan
from kettlewright.recipe import Lye, OnScale, lye_as_weighed, planned_masses
from kettlewright.recipe.weighing import round_up
from kettlewright.said import NO_TEXT, Said, sentences

__all__ = ["DISSOLVES_PCT", "WATER_FOR_ALKALI", "how_to_put_in", "missing_of", "put_in_missing", "top_up_first",
           "water_for_alkali", "with_missing"]

DISSOLVES_PCT = 50.0 + 1e-6

_IN_JUG = ("water", "ice", "liquid")
WATER_FOR_ALKALI = 2.0  # times the mass of forgotten alkali, to dissolve it in: 33 % lye, own decision


def missing_of(plan: Plan, reported: Weighings) -> tuple[MissingRow, ...]:
    """Missing masses of fats, lye and the oil of additions.

    Parameters
    ----------
    plan, reported : Plan, Weighings
        As planned, and as weighed. [g]

    Returns
    -------
    tuple of MissingRow : in the order you weigh them. If only a part of the lye went into the pot, rows of the jug are
        left out: they can no longer be corrected. [g]
    """
    short = {id(one.row): one for one in reported.differences if one.state == "off" and (one.off_g or 0.0) < 0}
    oily = {one.key for one in plan.lye.dispersed}
    found = []
    for row in reported.rows:
        one = short.get(id(row.row))
        if one is None or (reported.lye_g is not None and row.row.where == "jug"):
            continue
        if row.kind in (*_IN_JUG, "acid", "alkali", "fat") or (
                row.kind == "addition" and row.portion is None and row.row.key in oily):
            found.append(MissingRow(row, -(one.off_g or 0.0), not one.weighed_g))
    return tuple(found)


def put_in_missing(plan: Plan, on_scale: OnScale, missing: Sequence[MissingRow], *,
                   more_water_g: float = 0.0) -> OnScale:
    """The batch after the missing masses are put in.

    Parameters
    ----------
    plan, on_scale : Plan, OnScale
        As planned, and as weighed. [g]
    missing : sequence of MissingRow
        Masses to put in. [g]
    more_water_g : float
        Water put in with them, beyond the plan. [g]

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


def water_for_alkali(plan: Plan, missing: Sequence[MissingRow]) -> float:
    """Cold water to dissolve missing dry alkali in before it goes into the pot (`plan`, `missing`). [g]"""
    dry = math.fsum(one.mass_g for one in missing if _is_dry_alkali(plan, one))
    return round_up(WATER_FOR_ALKALI * dry, plan.lye.scale.readability_g) if dry else 0.0


def _is_dry_alkali(plan: Plan, one: MissingRow) -> bool:
    return one.row.kind == "alkali" and plan.lye.alkalis[one.row.index].stock is None


def with_missing(plan: Plan, on_scale: OnScale, missing: Sequence[MissingRow], *, in_pot: bool) -> Lye:
    """The batch once the missing masses are in.

    Parameters
    ----------
    plan, on_scale, missing : Plan, OnScale, sequence of MissingRow
        As for `put_in_missing`. [g]
    in_pot : bool
        Whether fats and lye are already together, so that alkali needs water of its own. [yes or no]

    Returns
    -------
    Lye : [g]
    """
    more_water = water_for_alkali(plan, missing) if in_pot else 0.0
    return lye_as_weighed(plan.lye, put_in_missing(plan, on_scale, missing, more_water_g=more_water),
                          expected_loss_pct=plan.expected_loss_pct)


def how_to_put_in(plan: Plan, missing: Sequence[MissingRow], *, in_pot: bool) -> Said:
    """How to put in the missing masses safely.

    Parameters
    ----------
    plan : Plan
        As planned. [plan]
    missing : sequence of MissingRow
        Masses to put in. [g]
    in_pot : bool
        Whether fats and lye are already together. [yes or no]

    Returns
    -------
    Said : one sentence for each way to put them in. [text]
    """
    def listed(rows: Sequence[MissingRow]) -> tuple[Said, ...]:
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
            text.append(Said("Slowly stir in the missing {masses:, }, cold.", masses=listed(watery)))
        if acids:
            text.append(Said("Stir in the missing {masses:, } a little at a time: it heats the batter.",
                             masses=listed(acids)))
        water = water_for_alkali(plan, missing)
        if water:
            text.append(Said(
                "Dissolve the missing {masses:, } in {water} of cold water: add the alkali to the water, never water "
                "to the alkali. Let it cool, then stir it in slowly while the batter is "
                "fluid.", masses=listed(alkalis), water=amount_of(water)))
        elif alkalis:
            text.append(Said("Slowly stir in the missing {masses:, } while the batter is fluid.",
                             masses=listed(alkalis)))
        return sentences(*text)
    if watery:
        text.append(Said(
            "Weigh the missing {masses:, }, cold, into a second, larger jug. Slowly pour the first jug into it while "
            "you stir, never the other way round.", masses=listed(watery)))
    if acids:
        text.append(Said("Put the missing {masses:, } into the jug a little at a time: the lye heats up.",
                         masses=listed(acids)))
    if alkalis:
        text.append(Said("Slowly put the missing {masses:, } into the jug while you stir: the lye heats up again.",
                         masses=listed(alkalis)))
    return sentences(*text)


def _settles(plan: Plan, reported: Weighings, otherwise: Step, missing: Sequence[MissingRow]) -> bool:
    """Whether the batch is fine without the missing masses, and nothing was simply forgotten."""
    # before the lye is made, alkali for the fats in the pot is as good as the missing fats
    if otherwise.what not in ("go_on", "pour", "weigh"):
        return False
    made_for_it = any(row.kind == "alkali" for row in reported.rows_off) and abs(
        otherwise.lye.superfat.achieved_pct - plan.lye.superfat.achieved_pct) <= SLIGHT_POINTS
    return made_for_it or not any(one.forgotten for one in missing)


def _is_right(plan: Plan, reported: Weighings, missing: Sequence[MissingRow], after: Lye, stage: str) -> bool:
    """Whether the batch needs nothing else once the missing masses are in."""
    if stage == "in_pot":
        return is_safe(plan, after)
    filled = {id(one.row.row) for one in missing}
    nothing_else_off = all(id(one.row) in filled for one in reported.differences if one.state == "off")
    if stage == "fats":
        return nothing_else_off
    return after.solution.concentration_pure_pct <= DISSOLVES_PCT and (
        keeps_superfat(after) or (nothing_else_off and costs_little(plan, after)))


def top_up_first(plan: Plan, reported: Weighings, on_scale: OnScale, otherwise: Step, stage: str) -> Step:
    """Put in what is missing, if that alone makes the batch right.

    Parameters
    ----------
    plan, reported, on_scale : Plan, Weighings, OnScale
        As planned and as weighed. [g]
    otherwise : Step
        What to do without the missing masses. [step]
    stage : str
        "fats", "lye_made" or "in_pot". [key]

    Returns
    -------
    Step : "put_in_missing" or, if the pot is lye-heavy, "do_not_pour"; else `otherwise` unchanged. [step]
    """
    missing, in_pot = missing_of(plan, reported), stage == "in_pot"
    if not missing or _settles(plan, reported, otherwise, missing):
        return otherwise
    after = with_missing(plan, on_scale, missing, in_pot=in_pot)
    if not _is_right(plan, reported, missing, after, stage):
        return otherwise
    heavy = otherwise.lye.superfat.achieved_pct < 0
    if in_pot:
        stop = Said("Do not pour: it is lye-heavy.") if heavy else Said("Do not pour yet.")
    else:
        stop = Said("Do not pour the lye into the fats yet: that would be lye-heavy.") if heavy else NO_TEXT
    gives = Said("The superfat is then {superfat}.", superfat=superfat_of(after))
    cannot = Said("If you cannot do that, follow \"otherwise\".")  # there in full; here it would bury what to do
    return Step("do_not_pour" if heavy and in_pot else "put_in_missing",
                sentences(stop, how_to_put_in(plan, missing, in_pot=in_pot), gives, GUARDED, cannot),
                otherwise.lye, key=missing[0].row.row.key, weigh_g=missing[0].mass_g, after=after, missing=missing,
                otherwise=otherwise)
