"""Replans a batch from what was really weighed and finds the next action.

A lye-heavy batch is never poured, whatever else is off. Rows that were not reported count as planned.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kettlewright import amounts, limits
from kettlewright import cautions as caution_texts
from kettlewright.actuals.bars_made import BarsMade, ReportedBars, compare_bars
from kettlewright.actuals.lye_steps import at_fats, at_lye
from kettlewright.actuals.mould_steps import in_mould
from kettlewright.actuals.pot_steps import in_pot, with_more_fat_of
from kettlewright.actuals.poured import ActualPour, PourSettings, pour_as_weighed
from kettlewright.actuals.readings import check_cut, masses_on_scale, plan_of_mix, rescue_fat
from kettlewright.actuals.remedies import Remedy, remedies_for
from kettlewright.actuals.rows import STAGES, Difference, ReportedWeighing, Weighings, rows_of, sort_weighings
from kettlewright.actuals.steps import SLIGHT_POINTS, Step
from kettlewright.actuals.words import amount_of, question_in_words
from kettlewright.cautions import Caution
from kettlewright.copies import replace
from kettlewright.errors import OutOfRange, gather
from kettlewright.plan.batch import Plan
from kettlewright.pour import Batter, Residue, batter_of
from kettlewright.recipe import Lye, OnScale, is_kept, lye_as_weighed
from kettlewright.recipe.weighing import round_up
from kettlewright.release import Cured, cure
from kettlewright.release.days.cure_days import Weighed
from kettlewright.said import EnglishText, Said, sentences
from kettlewright.weigh_list import WeighRow, weigh_list

__all__ = ["Actuals", "plan_actuals"]

_IN_POT = ("in_pot", "poured", "cut")
_GOES_ON = ("go_on", "pour")


@dataclass(frozen=True, slots=True)
class Actuals:
    """A batch as it was really made.

    Parameters
    ----------
    stage : str
        One of `STAGES`. [key]
    lye, batter : Lye, Batter
        As weighed. [g]
    step : Step
        The next action. [g]
    differences : tuple of Difference
        Rows so far, compared with the plan. [g]
    assumed : tuple of WeighRow
        Rows so far that were not reported and count as planned. [g]
    still_to_weigh : tuple of WeighRow
        Rows still to come, replanned. [g]
    pour : ActualPour
        Buckets and mould after the next action. [g, mm]
    bars : BarsMade, optional
        At stage "cut", if reported. [bars, g]
    cured : Cured, optional
        Drying curve, if bars were weighed in cure. [g]
    cautions : tuple of Caution
        Cautions for this batch. [cautions]
    remedies : tuple of Remedy
        Every remedy that would do, the best first. [g]
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
    remedies: tuple[Remedy, ...] = ()


def plan_actuals(plan: Plan, stage: str, weighed: Sequence[ReportedWeighing] = (), *, settings: PourSettings,
                 rescue_with: str | None = None, bars: ReportedBars | None = None,
                 weighings: Sequence[Weighed] = (), mix: int | None = None) -> Actuals:
    """Replan a batch from what was weighed and find the next action.

    Parameters
    ----------
    plan : Plan
        The batch as planned. [plan]
    stage : str
        How far the batch has come, one of `STAGES`. [key]
    weighed : sequence of ReportedWeighing
        Rows of the weigh list as they were weighed, and the lye that went into the pot. [g]
    settings : PourSettings
        The parts of the request that the pour needs again. [g]
    rescue_with : str, optional
        Key of the fat to add if one is needed; by default the recipe's first. [key]
    bars : ReportedBars, optional
        Bars as they were cut. [bars]
    weighings : sequence of Weighed
        Weighings of a bar in cure. [g]
    mix : int, optional
        Which of several mixes was weighed, from 1; required until they are poured, since each mix is judged separately.
        [number]

    Returns
    -------
    Actuals : [g, mm, bars]

    Raises
    ------
    DomainErrors, DomainError : rows that the plan does not have or that belong to a later stage, bars before the cut or
        without a cut, a fat that is not in the recipe, weighings that no curve fits.
    """
    if stage not in STAGES:
        raise OutOfRange(f'"{stage}" is not a stage. The stages are {", ".join(STAGES)}.', field=("stage",),
                         value=stage, allowed=", ".join(STAGES))
    made: BarsMade | None = None
    whole, plan = plan, plan_of_mix(plan, stage, mix)
    if plan is not whole:
        settings = PourSettings(Residue(), None, settings.batter_density)
    with gather() as checks:
        with checks.at():
            reported = sort_weighings(plan, stage, weighed)
        with checks.at("rescue_with"):
            rescue = rescue_fat(plan, rescue_with)
        with checks.at():
            check_cut(plan, stage, bars=bars is not None, weighings=bool(weighings))
        with checks.at():
            made = None if bars is None or plan.cuts is None else compare_bars(plan.cuts, bars)
    with gather() as checks, checks.at("weighed"):
        on_scale = masses_on_scale(plan, stage, reported)
        lye = lye_as_weighed(plan.lye, on_scale, expected_loss_pct=plan.expected_loss_pct)
        if lye.mass_g > limits.MASS.high:
            raise OutOfRange(EnglishText("The weighings add up to {mass}; a batch is at most {most}. Is each row in "
                                         "its own unit?",
                                         mass=amounts.mass(lye.mass_g, places=-3, large=True, groups=True),
                                         most=limits.MOST_MASS),
                             value=lye.mass_g, allowed=limits.MASS.words)
    with gather() as checks, checks.at("plan", "recipe"):
        step = _step(plan, stage, reported, on_scale, lye, rescue)
        if rescue_with is not None and step.otherwise is not None and not any(one.forgotten for one in step.missing):
            step = step.otherwise  # the maker chose the fat to add
        remedies = remedies_for(plan, stage, reported, on_scale, lye, step)
        now = step.lye
        batter = batter_of(now, measured_density=settings.batter_density)
        settled = stage in ("poured", "cut")  # a poured batch can no longer be changed
        later = now if step.after is None or settled else step.after
        pour = pour_as_weighed(plan, batter_of(later, measured_density=settings.batter_density),
                               reported.with_planned(one.row for one in step.missing), settings, stage=stage)
    cured = None if not weighings else cure(weighings, batter_g=now.mass_g, water_g=now.water_mass_g)
    over = round_up(pour.over_g, plan.lye.scale.readability_g)
    if settled:
        step = in_mould(stage, now, step, pour, made)
    elif pour.reason:
        step = replace(step, text=sentences(step.text, pour.reason))
    elif pour.over_g > plan.lye.scale.readability_g:
        step = replace(step, text=sentences(step.text, Said(
            "Have another mould ready: {mass} of batter will not fit.", mass=amount_of(over))))
    to_come = _still_to_weigh(plan, stage, reported, step, later, pour)
    if plan is not whole:  # buckets and jars belong to all mixes together
        to_come = tuple(row for row in to_come if row.where in ("jug", "pot"))
    awaited = {row.identity for row in to_come}
    assumed = tuple(row for row in reported.assumed if row.row.identity not in awaited)
    in_doubt = tuple(row for row in assumed if row.row.weigh_g and row.stage != "poured")
    return Actuals(
        stage, now, batter, _with_question(step, question_in_words(in_doubt), first=not settled), reported.differences,
        tuple(row.row for row in assumed), to_come, pour, made,
        cured, caution_texts.of_actuals(
            now, in_jug=stage in ("fats", "lye_made"), kept=_about_kept(now),
            rescued=step.what in ("add_fat", "do_not_pour", "rebatch_or_discard"),
            left_over=step.what in ("use_part_of_lye", "make_lye_anew") or (
                stage == "in_pot" and on_scale.lye_part < 1),
            not_reported=tuple(row.row.name for row in in_doubt), with_lye_of_plan_pct=step.with_lye_of_plan_pct,
            division=pour.division, limits=pour.limits,
            sized_to_mould=not reported.off_at(STAGES)), remedies)


def _with_question(step: Step, question: Said, *, first: bool) -> Step:
    """Ask for rows that were not reported: first, where the text says to go on and it can still be changed."""
    if not question:
        return step
    return replace(step, text=Said("{question} Only if you weighed everything: "
                                   "{action}", question=question, action=step.text)
                   if first and step.what in _GOES_ON else sentences(step.text, question))


def _about_kept(lye: Lye) -> bool:
    """Whether the superfat is kept: a requested one within `SLIGHT_POINTS`, a minimum exactly."""
    found, least = lye.superfat, lye.recipe.superfat_at_least_pct is not None
    return is_kept(found, found.asked_pct - (0.0 if least else SLIGHT_POINTS), at_least=least)


def _step(plan: Plan, stage: str, reported: Weighings, on_scale: OnScale, lye: Lye, rescue: int) -> Step:
    if stage == "fats":
        return at_fats(plan, reported, on_scale, lye)
    if stage == "lye_made":
        return at_lye(plan, reported, on_scale, lye)
    if stage == "in_pot":
        return in_pot(plan, reported, on_scale, lye, rescue)
    return with_more_fat_of(plan, on_scale, lye, rescue)  # poured: nothing can be put in any more


def _still_to_weigh(plan: Plan, stage: str, reported: Weighings, step: Step, later: Lye,
                    pour: ActualPour) -> tuple[WeighRow, ...]:
    """Rows of later stages, and buckets that were not weighed yet."""
    if step.stops or stage == "cut":
        return ()
    anew = step.what == "make_lye_anew"
    if pour.division is None:
        rows = weigh_list(later, plan.lye.scale)
        return tuple(row for row in rows if row.where == "jug") if stage == "fats" or anew else ()
    now = replace(plan, lye=later, division=pour.division,
                  bench=replace(plan.bench, dispersions=pour.dispersions),
                  weigh_list=weigh_list(later, plan.lye.scale, pour.division, pour.dispersions))
    filled = {one.key for one in pour.portions if one.was_weighed}
    done = {reported.rows[place].row.identity for place in reported.weighed_g}
    place = STAGES.index(stage)
    return tuple(row.row for row in rows_of(now) if (
        STAGES.index(row.stage) > place or (anew and row.stage == "lye_made")
        or (stage == "poured" and row.stage == "poured" and row.row.identity not in done
            and row.row.portion not in filled)))
