"""What was really weighed so far: what the batch really is, and the next thing to do.

Safety comes first: what is lye-heavy is never to be poured, whatever else is off. What was not told counts as planned.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from kettlewright import amounts, limits
from kettlewright import cautions as caution_texts
from kettlewright.actuals.bars import BarsMade, ReportedBars, compare_bars
from kettlewright.actuals.pour import ActualPour, PourSettings, pour_as_weighed
from kettlewright.actuals.rows import (
    STAGES,
    Difference,
    ReportedWeighing,
    Weighings,
    rows_of,
    sort_weighings,
)
from kettlewright.actuals.steps import SLIGHT_POINTS, Step, at_fats, at_lye, in_mould, in_pot, with_more_fat_of
from kettlewright.actuals.words import amount_of, question_in_words
from kettlewright.cautions import Caution
from kettlewright.errors import OutOfRange, UnknownIngredient, Unsolvable, gather
from kettlewright.names import nearest
from kettlewright.plan.batch import Plan
from kettlewright.pour import Batter, Residue, batter_of
from kettlewright.recipe import Lye, OnScale, is_kept, jug_mass, lye_as_weighed, planned_masses
from kettlewright.recipe.outcome import RecipeMasses
from kettlewright.recipe.weighing import round_up
from kettlewright.release import Cured, cure
from kettlewright.release.cure import Weighed
from kettlewright.said import EnglishText, Said, sentences
from kettlewright.weigh_list import WeighRow, weigh_list

__all__ = ["Actuals", "plan_actuals"]

_IN_POT = ("in_pot", "poured", "cut")


@dataclass(frozen=True, slots=True)
class Actuals:
    """A batch as it really is.

    Parameters
    ----------
    stage : str
        How far it has come. [key]
    lye, batter : Lye, Batter
        Of what was weighed. [g]
    step : Step
        What to do next, and the lye after it. [g]
    differences : tuple of Difference
        Rows so far, beside the plan. [g]
    assumed : tuple of WeighRow
        Rows so far that were not reported and count as planned. [g]
    still_to_weigh : tuple of WeighRow
        Rows to come, as they are now. [g]
    pour : ActualPour
        How it fills buckets and mould once the next thing is done. [g, mm]
    bars : BarsMade, optional
        At stage "cut", where they were told. [bars, g]
    cured : Cured, optional
        Of weighings in cure. [g]
    cautions : tuple of Caution
        What it brings on. [cautions]
    """

    stage: str
    lye: Lye
    batter: Batter
    step: Step
    differences: tuple[Difference, ...]
    assumed: tuple[WeighRow, ...]
    still_to_weigh: tuple[WeighRow, ...]
    pour: ActualPour
    bars: BarsMade | None
    cured: Cured | None
    cautions: tuple[Caution, ...]


def plan_actuals(plan: Plan, stage: str, weighed: Sequence[ReportedWeighing] = (), *, settings: PourSettings,
                 rescue_with: str | None = None, bars: ReportedBars | None = None,
                 weighings: Sequence[Weighed] = (), mix: int | None = None) -> Actuals:
    """What a batch really is, and the next thing to do.

    Parameters
    ----------
    plan : Plan
        The batch as planned. [plan]
    stage : str
        How far it has come, one of `STAGES`. [key]
    weighed : sequence of ReportedWeighing
        Rows of the weigh list as they were really weighed, and the lye that went into the pot. [g]
    settings : PourSettings
        What of the request the pour needs again. [g]
    rescue_with : str, optional
        Key of the fat to add if one is needed; the recipe's first where not told. [key]
    bars : ReportedBars, optional
        As cut. [bars]
    weighings : sequence of Weighed
        Of a bar in cure. [g]
    mix : int, optional
        Which of several mixes was weighed, from 1; needed until they are poured, since each is soap by itself. [number]

    Returns
    -------
    Actuals : [g, mm, bars]

    Raises
    ------
    DomainErrors, DomainError : rows the plan does not have or that belong to a later stage, bars before the cut or
        without one, a fat that is not in the recipe, weighings that no curve fits.
    """
    if stage not in STAGES:
        raise OutOfRange(f'"{stage}" is no stage known here; it is one of {", ".join(STAGES)}.', field=("stage",),
                         value=stage, allowed=", ".join(STAGES))
    made: BarsMade | None = None
    whole, plan = plan, _of_mix(plan, stage, mix)
    if plan is not whole:
        settings = PourSettings(Residue(), None, settings.batter_density)
    with gather() as checks:
        with checks.at():
            told = sort_weighings(plan, stage, weighed)
        with checks.at("rescue_with"):
            rescue = _rescue_fat(plan, rescue_with)
        with checks.at():
            _check_cut(plan, stage, bars=bars is not None, weighings=bool(weighings))
        with checks.at():
            made = None if bars is None or plan.cuts is None else compare_bars(plan.cuts, bars)
    with gather() as checks, checks.at("weighed"):
        on_scale = _on_scale(plan, stage, told)
        lye = lye_as_weighed(plan.lye, on_scale, expected_loss_pct=plan.expected_loss_pct)
        if lye.mass_g > limits.MASS.high:
            raise OutOfRange(EnglishText("What was weighed adds up to {mass}; at most {most} are one batch. Is each"
                                         " row in its own unit?",
                                         mass=amounts.mass(lye.mass_g, places=-3, large=True, groups=True),
                                         most=limits.MOST_MASS),
                             value=lye.mass_g, allowed=limits.MASS.words)
    with gather() as checks, checks.at("plan", "recipe"):
        step = _step(plan, stage, told, on_scale, lye, rescue)
        if rescue_with is not None and step.otherwise is not None and not any(one.forgotten for one in step.missing):
            step = step.otherwise  # the maker chose the fat that sets it right
        now = step.lye
        batter = batter_of(now, measured_density=settings.batter_density)
        settled = stage in ("poured", "cut")  # what is in the mould is no longer changed
        later = now if step.after is None or settled else step.after
        pour = pour_as_weighed(plan, batter_of(later, measured_density=settings.batter_density),
                               told.with_planned(one.row for one in step.missing), settings, stage=stage)
    cured = None if not weighings else cure(weighings, batter_g=now.mass_g, water_g=now.water_mass_g)
    over = round_up(pour.over_g, plan.lye.scale.readability_g)
    if settled:
        step = in_mould(stage, now, step, pour, made)
    elif pour.reason:
        step = replace(step, text=sentences(step.text, pour.reason))
    elif pour.over_g > plan.lye.scale.readability_g:
        step = replace(step, text=sentences(step.text, Said(
            "Of the batter {mass} have no room in the mould: have another one ready.", mass=amount_of(over))))
    to_come = _still_to_weigh(plan, stage, told, step, later, pour)
    if plan is not whole:  # the buckets and jars are those of all mixes
        to_come = tuple(row for row in to_come if row.where in ("jug", "pot"))
    awaited = {row.identity for row in to_come}
    assumed = tuple(row for row in told.assumed if row.row.identity not in awaited)
    in_doubt = tuple(row for row in assumed if row.row.weigh_g and row.stage != "poured") if stage in _IN_POT else ()
    return Actuals(
        stage, now, batter, _with_question(step, question_in_words(in_doubt)), told.differences,
        tuple(row.row for row in assumed), to_come, pour, made,
        cured, caution_texts.of_actuals(
            now, in_jug=stage in ("fats", "lye_made"), kept=_about_kept(now),
            rescued=step.what in ("add_fat", "do_not_pour", "rebatch_or_discard"),
            left_over=step.what in ("use_part_of_lye", "make_lye_anew") or (
                stage == "in_pot" and on_scale.lye_part < 1),
            not_reported=tuple(row.row.name for row in in_doubt), with_lye_of_plan_pct=step.with_lye_of_plan_pct,
            division=pour.division, limits=pour.limits,
            sized_to_mould=not told.off_at(STAGES)))


def _with_question(step: Step, question: Said) -> Step:
    """A forgotten ingredient must not read as a plain "Pour"."""
    if not question:
        return step
    return replace(step, text=Said("{question} Only if you did: {action}", question=question, action=step.text)
                   if step.what == "pour" else sentences(step.text, question))


def _about_kept(lye: Lye) -> bool:
    """A superfat aimed at is kept about as well as a scale can; one at the least is kept to the letter."""
    found, least = lye.superfat, lye.recipe.superfat_at_least_pct is not None
    return is_kept(found, found.asked_pct - (0.0 if least else SLIGHT_POINTS), at_least=least)


def _step(plan: Plan, stage: str, told: Weighings, on_scale: OnScale, lye: Lye, rescue: int) -> Step:
    if stage == "fats":
        return at_fats(plan, told, on_scale, lye)
    if stage == "lye_made":
        return at_lye(plan, told, on_scale, lye)
    if stage == "in_pot":
        return in_pot(plan, told, on_scale, lye, rescue)
    return with_more_fat_of(plan, on_scale, lye, rescue)  # set: nothing can be put in any more


def _of_mix(plan: Plan, stage: str, mix: int | None) -> Plan:
    """The plan of one mix until the mixes are poured: a sum would hide what one of them lacks."""
    count = 1 if plan.mixes is None else plan.mixes.count
    if mix is not None and mix > count:
        raise Unsolvable(f"This batch is made in {count} {'mix' if count == 1 else 'mixes'}; there is no mix {mix}.",
                         field=("mix",), value=mix, allowed=f"1 to {count}")
    if plan.mixes is None or count == 1:
        return plan
    if stage in ("poured", "cut"):
        if mix is not None:
            raise Unsolvable('From stage "poured" on the mixes are one batch: leave "mix" out and add up what was '
                             "weighed of each row.", field=("mix",), value=mix)
        return plan
    if mix is None:
        raise Unsolvable(f'This batch is made in {count} mixes, and each is weighed separately: say by "mix" which one '
                         "these rows are of.", field=("mix",), allowed=f"1 to {count}")
    one = plan.mixes
    return replace(plan, recipe=one.recipe, lye=one.lye, batter=one.batter, division=one.division, cuts=None,
                   weigh_list=one.weigh_list, bench=replace(plan.bench, dispersions=(), mixing_order=(), limits=()),
                   mixes=None, arrangement="layers")


def _rescue_fat(plan: Plan, key: str | None) -> int:
    keys = [fat.key for fat in plan.lye.fats]
    if key is None:
        return 0
    if key not in keys:
        near = nearest(key.casefold(), keys)
        meant = f' Did you mean "{near[0]}"?' if near else ""
        raise UnknownIngredient(f'There is no "{key}" in this recipe to add.{meant} Its fats are {", ".join(keys)}.',
                                value=key, allowed=", ".join(keys))
    return keys.index(key)


def _check_cut(plan: Plan, stage: str, *, bars: bool, weighings: bool) -> None:
    with gather() as checks:
        with checks.at():
            if stage == "cut" and plan.cuts is None:
                raise Unsolvable('The plan has no cut: plan the batch with a "cut", or stay at stage "poured".',
                                 field=("stage",), value=stage)
        for name, given in (("bars", bars), ("weighings", weighings)):
            with checks.at(name):
                if given and stage != "cut":
                    raise Unsolvable(f'There are no bars before they are cut: "{name}" belongs to stage "cut", and '
                                     f'this is stage "{stage}".', value=stage, allowed='stage "cut"')


def _on_scale(plan: Plan, stage: str, told: Weighings) -> OnScale:
    planned, lye = planned_masses(plan.lye), plan.lye

    def weighed(kind: str, masses: Sequence[float]) -> tuple[float, ...]:
        return tuple(mass if (found := told.told(kind, index)) is None else found
                     for index, mass in enumerate(masses))

    oil = {}
    for index, one in enumerate(plan.division.additions):
        mass = told.told("addition", index)
        if mass is not None and one.weigh_g:
            oil[one.key] = mass / one.weigh_g
    water, ice = told.told("water", 0), told.told("ice", 0)
    found = OnScale(
        RecipeMasses(weighed("fat", planned.recipe_masses.fats), weighed("acid", planned.recipe_masses.acids),
              weighed("liquid", planned.recipe_masses.liquids)),
        weighed("alkali", planned.alkalis_g),
        tuple(mass * oil.get(one.key, 1.0) for one, mass in zip(lye.dispersed, planned.dispersed_g, strict=True)),
        planned.water_g if water is None else water, planned.ice_g if ice is None else ice)
    if not math.fsum(found.recipe_masses.fats):
        raise Unsolvable("All fats are reported as 0, so there is no batch yet. Weigh the fats and report them then; "
                         "leave out what is not weighed yet.", value=0.0, allowed="at least one fat above 0")
    if stage != "fats" and not _water_and_alkali(plan, found):
        raise Unsolvable('Neither water nor alkali is in the jug, so there is no lye yet: this is stage "fats".',
                         value=0.0, allowed="water or alkali above 0")
    if told.lye_g is None:
        return found
    if not told.lye_g:
        raise Unsolvable('No lye went into the pot: this is stage "lye_made".', value=0.0, allowed="above 0")
    jug, step = jug_mass(lye, found), lye.scale.readability_g
    in_jug = sum(row.row.where == "jug" for row in told.rows)
    if told.lye_g > jug + step * (in_jug + 1):
        raise Unsolvable(EnglishText("{lye} of lye went into the pot, and there are only {jug} in the jug: was the "
                                     "jug weighed with it, or something in it not reported?",
                                     lye=amounts.mass(told.lye_g), jug=amounts.mass(jug)), value=told.lye_g,
                         allowed=limits.up_to(amounts.mass(jug)))
    return replace(found, lye_part=min(told.lye_g / jug, 1.0), lye_step_g=step)


def _water_and_alkali(plan: Plan, found: OnScale) -> float:
    recipe = plan.lye.recipe
    return math.fsum((*found.alkalis_g, found.water_g, found.ice_g,
                      *(mass * one.water_pct
                        for mass, one in zip(found.recipe_masses.liquids, recipe.liquids, strict=True)),
                      *(mass * (100 - one.strength_pct)
                        for mass, one in zip(found.recipe_masses.acids, recipe.acids, strict=True))))


def _still_to_weigh(plan: Plan, stage: str, told: Weighings, step: Step, later: Lye,
                    pour: ActualPour) -> tuple[WeighRow, ...]:
    """Rows of the stages to come; of buckets those that were not weighed."""
    if step.stops or stage == "cut":
        return ()
    anew = step.what == "make_lye_anew"
    if pour.division is None:
        rows = weigh_list(later, plan.lye.scale)
        return tuple(row for row in rows if row.where == "jug") if stage == "fats" or anew else ()
    now = replace(plan, lye=later, division=pour.division,
                  bench=replace(plan.bench, dispersions=pour.dispersions),
                  weigh_list=weigh_list(later, plan.lye.scale, pour.division, pour.dispersions))
    filled = {one.key for one in pour.portions if one.told}
    done = {told.rows[place].row.identity for place in told.weighed_g}
    place = STAGES.index(stage)
    return tuple(row.row for row in rows_of(now) if (
        STAGES.index(row.stage) > place or (anew and row.stage == "lye_made")
        or (stage == "poured" and row.stage == "poured" and row.row.identity not in done
            and row.row.portion not in filled)))
