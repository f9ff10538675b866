"""The next thing to do with a batch that was weighed otherwise, stage by stage; what is lye-heavy is never poured."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from kettlewright import amounts, limits
from kettlewright.actuals.bars import BarsMade
from kettlewright.actuals.pour import ActualPour
from kettlewright.actuals.rows import Weighings
from kettlewright.actuals.top_up import Missing, how_to_put_in, missing_of, put_in_missing, water_for_alkali
from kettlewright.actuals.words import BY_SCALE, GUARDED, amount_of, off_in_words, superfat_of
from kettlewright.plan.batch import Plan
from kettlewright.recipe import (
    Lye,
    OnScale,
    fat_to_add,
    is_kept,
    jug_mass,
    lye_as_weighed,
    make_lye_for,
    part_of_lye,
    with_more_fat,
)
from kettlewright.recipe.weighed import WeighedAlkali
from kettlewright.recipe.weighing import round_nearest, round_up
from kettlewright.said import NO_TEXT, Said, sentences

__all__ = ["ACTIONS", "SLIGHT_POINTS", "Step", "at_fats", "at_lye", "in_mould", "in_pot", "with_more_fat_of"]

ACTIONS = ("go_on", "weigh", "put_in_missing", "use_part_of_lye", "make_lye_anew", "add_fat", "pour", "do_not_pour",
           "hold_back", "rebatch_or_discard")
SLIGHT_POINTS = 0.5  # what the rounding of a scale may cost before it is called too coarse
_DISSOLVES_PCT = 50.0 + 1e-6
_NO_SOAP_PCT = limits.SUPERFAT_PCT.high  # more fat without alkali than anybody may ask for


@dataclass(frozen=True, slots=True)
class Step:
    """What to do next.

    Parameters
    ----------
    what : str
        One of `ACTIONS`. [key]
    text : Said
        The same in words. [text]
    lye : Lye
        The batch as it is. [lye]
    key : str, optional
        What is weighed for it, where something is. [key]
    weigh_g : float, optional
        How much of it. [g]
    after : Lye, optional
        The batch once it is done, where it changes it. [lye]
    with_lye_of_plan_pct : float, optional
        The superfat that the alkali of the plan would give, where it does not fit. [% of full demand]
    missing : tuple of Missing
        What is put in, where something was forgotten or weighed short. [g]
    otherwise : Step, optional
        What to do where it cannot be put in. [step]
    """

    what: str
    text: Said
    lye: Lye
    key: str | None = None
    weigh_g: float | None = None
    after: Lye | None = None
    with_lye_of_plan_pct: float | None = None
    missing: tuple[Missing, ...] = ()
    otherwise: Step | None = None

    @property
    def stops(self) -> bool:
        """Nothing else is weighed before this is settled. [yes or no]"""
        return self.what in ("do_not_pour", "rebatch_or_discard")


def _kept(lye: Lye) -> bool:
    recipe = lye.recipe
    return is_kept(lye.superfat, recipe.asked_pct, at_least=recipe.superfat_at_least_pct is not None)


def _slight(plan: Plan, told: Weighings, stages: Sequence[str], lye: Lye) -> bool:
    """Nothing is off by more than a step, and a step matters little here; a floor is kept to the letter."""
    return not told.off_at(stages) and _costs_little(plan, lye)


def _costs_little(plan: Plan, lye: Lye) -> bool:
    return (plan.lye.recipe.superfat_at_least_pct is None
            and lye.superfat.achieved_pct >= max(lye.superfat.asked_pct - SLIGHT_POINTS, 0.0))


def _is_safe(plan: Plan, lye: Lye) -> bool:
    """The lower likely edge is above 0, and at or above a superfat to be kept."""
    least, low = plan.lye.recipe.superfat_at_least_pct, lye.superfat.likely_pct.min
    return low > 0 and (least is None or low >= least - 1e-9)


def at_fats(plan: Plan, told: Weighings, on_scale: OnScale, lye: Lye) -> Step:
    """The fats are weighed and the lye is not made: it is computed anew for what lies in the pot.

    Parameters
    ----------
    plan, told, on_scale : Plan, Weighings, OnScale
        As planned, and as weighed. [g]
    lye : Lye
        With the fats as weighed and the alkali of the plan. [lye]

    Returns
    -------
    Step : "go_on", "put_in_missing" (a fat was forgotten) or "weigh"; its lye is the one to make. [g]

    Raises
    ------
    Unsolvable : alkali that the scale does not show, a lye that cannot be.
    """
    return _filled_up(plan, told, on_scale, _for_these_fats(plan, told, on_scale, lye), "fats")


def _for_these_fats(plan: Plan, told: Weighings, on_scale: OnScale, lye: Lye) -> Step:
    if (_kept(lye) and not told.off_at(("fats",))) or _slight(plan, told, ("fats",), lye):
        return Step("go_on", Said("The fats are as planned: make the lye as planned. The superfat is {superfat}.",
                                  superfat=superfat_of(lye)), lye)
    new = _lye_for(plan, on_scale)
    parts = [(_as_bought(alkali), alkali.weigh_g, was.weigh_g)
             for alkali, was in zip(new.alkalis, plan.lye.alkalis, strict=True)]
    parts.append((Said("water"), new.water.weigh_g, plan.lye.water.weigh_g))
    weighed = tuple(Said("{mass} of {name} (planned {planned})", mass=amount_of(mass), name=name,
                         planned=amount_of(was))
                    for name, mass, was in parts)
    off = off_in_words(told, ("fats",)) or (Said("the superfat asked is not kept"),)
    text = [Said("Do not weigh the alkali of the plan ({off:, }). For what lies in the pot weigh {weighed:, }; alkali "
                 "is rounded down. The superfat is then {superfat}.", off=off, weighed=weighed,
                 superfat=superfat_of(new))]
    if plan.lye.acids or plan.lye.liquids:
        text.append(Said("Acids and liquids told in percent of the fats follow the fats; those told by mass stay."))
    added = [*plan.division.additions, *(one for portion in plan.division.portions for one in portion.additions)]
    oily = {one.key for one in plan.lye.dispersed}
    if any(one.addition.basis != "mass" and one.key not in oily for one in added):
        text.append(Said("Doses on fats or batter follow the batch."))
    return Step("weigh", sentences(*text), new, key=new.alkalis[0].key, weigh_g=new.alkalis[0].weigh_g,
                with_lye_of_plan_pct=lye.superfat.achieved_pct)


def _lye_for(plan: Plan, on_scale: OnScale) -> Lye:
    """A lye made for the fats that lie in the pot."""
    there = [(fat, mass) for fat, mass in zip(plan.lye.recipe.fats, on_scale.recipe_masses.fats, strict=True) if mass]
    recipe = replace(plan.lye.recipe, fats=tuple(replace(fat, mass_g=mass, share_pct=None) for fat, mass in there))
    scale = plan.lye.scale
    # the alkali is for this oil, so that its addition keeps its mass whatever its basis
    dispersed = tuple(replace(one, mass_g=mass)
                      for one, mass in zip(plan.lye.dispersed, on_scale.dispersed_g, strict=True))
    fatty = {index: mass for index, mass in enumerate(on_scale.recipe_masses.acids) if plan.lye.acids[index].acid.fatty}
    return make_lye_for(recipe, scale, [mass for _, mass in there], fatty_acids_g=fatty, dispersed=dispersed,
                        expected_loss_pct=plan.expected_loss_pct)


def _settles(plan: Plan, told: Weighings, otherwise: Step, missing: Sequence[Missing]) -> bool:
    """Whether the batch is sound without the missing masses, and nothing was simply forgotten."""
    # while the lye is not made, alkali for the fats that are there is as good as the fats that are not
    if otherwise.what not in ("go_on", "pour", "weigh"):
        return False
    made_for_it = any(row.kind == "alkali" for row in told.rows_off) and abs(
        otherwise.lye.superfat.achieved_pct - plan.lye.superfat.achieved_pct) <= SLIGHT_POINTS
    return made_for_it or not any(one.forgotten for one in missing)


def _is_right(plan: Plan, told: Weighings, missing: Sequence[Missing], after: Lye, stage: str) -> bool:
    """Whether nothing else is left to do once the missing masses are in."""
    if stage == "in_pot":
        return _is_safe(plan, after)
    filled = {id(one.row.row) for one in missing}
    nothing_else_off = all(id(one.row) in filled for one in told.differences if one.state == "off")
    if stage == "fats":
        return nothing_else_off
    return after.solution.concentration_pure_pct <= _DISSOLVES_PCT and (
        _kept(after) or (nothing_else_off and _costs_little(plan, after)))


def _filled_up(plan: Plan, told: Weighings, on_scale: OnScale, otherwise: Step, stage: str) -> Step:
    """What is missing put in, where that makes the batch what was planned; else what would be done without."""
    missing, in_pot = missing_of(plan, told), stage == "in_pot"
    if not missing or _settles(plan, told, otherwise, missing):
        return otherwise
    more_water = water_for_alkali(plan, missing) if in_pot else 0.0
    after = lye_as_weighed(plan.lye, put_in_missing(plan, on_scale, missing, more_water_g=more_water),
                           expected_loss_pct=plan.expected_loss_pct)
    if not _is_right(plan, told, missing, after, stage):
        return otherwise
    heavy = otherwise.lye.superfat.achieved_pct < 0
    if in_pot:
        stop = Said("Do not pour: it is lye-heavy.") if heavy else Said("Do not pour yet.")
    else:
        stop = Said("Do not pour the lye into the fats yet: that would be lye-heavy.") if heavy else NO_TEXT
    gives = Said("With all of it in, the superfat is {superfat}.", superfat=superfat_of(after))
    cannot = Said("If you cannot: {otherwise}", otherwise=otherwise.text)
    return Step("do_not_pour" if heavy and in_pot else "put_in_missing",
                sentences(stop, how_to_put_in(plan, missing, in_pot=in_pot), gives,
                          NO_TEXT if GUARDED in otherwise.text else GUARDED, cannot),
                otherwise.lye, key=missing[0].row.row.key, weigh_g=missing[0].mass_g, after=after, missing=missing,
                otherwise=otherwise)


def at_lye(plan: Plan, told: Weighings, on_scale: OnScale, lye: Lye) -> Step:
    """The lye is made: what is put in that was forgotten, or how much of the lye goes into the pot.

    Parameters
    ----------
    plan, told, on_scale : Plan, Weighings, OnScale
        As planned, and as weighed. [g]
    lye : Lye
        With all of the lye. [lye]

    Returns
    -------
    Step : "go_on", "put_in_missing", "use_part_of_lye" or "make_lye_anew". [g]
    """
    return _filled_up(plan, told, on_scale, _with_this_lye(plan, told, on_scale, lye), "lye_made")


def _with_this_lye(plan: Plan, told: Weighings, on_scale: OnScale, lye: Lye) -> Step:
    stages = ("fats", "lye_made")
    if lye.solution.concentration_pure_pct > _DISSOLVES_PCT:
        return _anew(plan, on_scale, lye, Said(
            "Do not use this lye: it holds {pure:.1f} % pure alkali, more than dissolves.",
            pure=lye.solution.concentration_pure_pct))
    if lye.superfat.achieved_pct > _NO_SOAP_PCT:
        return _anew(plan, on_scale, lye, Said(
            "Do not use this lye: with it the superfat would be {superfat:.0f} %, and that sets to no soap.",
            superfat=lye.superfat.achieved_pct))
    off = off_in_words(told, stages)
    if _kept(lye) or _slight(plan, told, stages, lye):
        superfat = superfat_of(lye)
        if not off:
            return Step("go_on", Said("Use all of the lye. The superfat is {superfat}.", superfat=superfat), lye)
        short = lye.superfat.achieved_pct - plan.lye.superfat.achieved_pct >= SLIGHT_POINTS
        return Step("go_on", Said(
            "Use all of the lye, although something is off ({off:, }). The superfat is {superfat}: too little alkali "
            "for the superfat planned, so more fat stays free.", off=off, superfat=superfat) if short else Said(
            "Use all of the lye, although something is off ({off:, }). The superfat is {superfat}.", off=off,
            superfat=superfat), lye)
    part = part_of_lye(plan.lye, on_scale)
    if part is None:
        return _anew(plan, on_scale, lye, Said(
            "Do not use this lye: not one step of the scale of it keeps the superfat asked."))
    after = lye_as_weighed(plan.lye, part, expected_loss_pct=plan.expected_loss_pct)
    jug = jug_mass(plan.lye, on_scale)
    use = part.lye_part * jug
    heavy = Said("Do not pour all of it into the fats: that would be lye-heavy.") if lye.superfat.achieved_pct < 0 \
        else NO_TEXT
    why = off or (Said("as weighed the superfat asked is not kept"),)
    part_of_it = Said(
        "Use {use} of the {jug} of lye and leave {left} ({off:, }). With all of it the superfat would be {all:.2f} %, "
        "with this part it is {superfat}. Stir the lye before you weigh it out.", use=amount_of(use),
        jug=amount_of(jug), left=amount_of(jug - use), off=why, all=lye.superfat.achieved_pct,
        superfat=superfat_of(after))
    return Step("use_part_of_lye", sentences(heavy, part_of_it, GUARDED, BY_SCALE), lye, key="lye", weigh_g=use,
                after=after)


def _as_bought(alkali: WeighedAlkali) -> str:
    """What is weighed: a stock by its own name, since so much dry alkali would be far too much."""
    return Said("{alkali} stock", alkali=alkali.name) if alkali.stock else alkali.name


def _anew(plan: Plan, on_scale: OnScale, lye: Lye, why: Said) -> Step:
    new = _lye_for(plan, on_scale)
    parts = [*((_as_bought(one), one.weigh_g) for one in new.alkalis), (Said("water"), new.water.weigh_g)]
    weighed = tuple(Said("{mass} of {name}", mass=amount_of(mass), name=name) for name, mass in parts)
    aside = Said("Set it aside, closed and labelled, and make lye anew for what lies in the pot: {weighed:, }.",
                 weighed=weighed)
    text = sentences(why, aside, GUARDED, Said(
        "What is set aside is disposed of as its safety data sheet and local rules say."))
    return Step("make_lye_anew", text, lye, key=new.alkalis[0].key, weigh_g=new.alkalis[0].weigh_g, after=new)


def in_pot(plan: Plan, told: Weighings, on_scale: OnScale, lye: Lye, rescue: int) -> Step:
    """Everything is in the pot: pour it, put in what was forgotten, or add fat.

    Parameters
    ----------
    plan, told, on_scale : Plan, Weighings, OnScale
        As planned, and as weighed. [g]
    lye : Lye
        As weighed. [lye]
    rescue : int
        Which fat of the recipe is added. [place]

    Returns
    -------
    Step : "pour", "put_in_missing", "add_fat" or, where it is lye-heavy, "do_not_pour"; all but the first with what
        sets it right. [g]
    """
    return _filled_up(plan, told, on_scale, with_more_fat_of(plan, on_scale, lye, rescue), "in_pot")


def with_more_fat_of(plan: Plan, on_scale: OnScale, lye: Lye, rescue: int) -> Step:
    """What is in the pot as it is: pour it, or bring the lower edge of the likely superfat back with fat.

    Parameters
    ----------
    plan, on_scale, lye, rescue
        As of `in_pot`. [g]

    Returns
    -------
    Step : "pour", "add_fat" or "do_not_pour". [g]
    """
    found, least = lye.superfat, plan.lye.recipe.superfat_at_least_pct
    if found.achieved_pct > _NO_SOAP_PCT:
        return Step("do_not_pour", sentences(Said(
            "Do not pour: the superfat is {superfat}, and that sets to no soap. Put in the alkali that is missing, or "
            "discard it as local rules say.", superfat=superfat_of(lye)), GUARDED), lye)
    if _is_safe(plan, lye):
        text = Said("Pour. The superfat is {superfat}.", superfat=superfat_of(lye))
        if least is not None and not _kept(lye):
            text = sentences(text, Said("Over the whole range it is no longer kept: {worst:.2f} % if every input errs "
                                        "the harmful way.", worst=found.worst_case_pct.min))
        return Step("pour", text, lye)
    heavy = found.achieved_pct < 0
    what = "do_not_pour" if heavy else "add_fat"
    said = Said("Do not pour: it is lye-heavy.") if heavy else Said("Do not pour yet: it may be lye-heavy.") \
        if found.likely_pct.min <= 0 else Said("Do not pour yet: the superfat that was to be kept is not.")
    fat = plan.lye.fats[rescue]
    mass = fat_to_add(plan.lye, on_scale, rescue)
    if mass is None:
        return Step("do_not_pour", sentences(said, Said(
            "The superfat is {superfat}. No mass of {fat} that a workshop holds sets it right: discard it as local "
            "rules say.", superfat=superfat_of(lye), fat=fat.name), GUARDED), lye)
    after = lye_as_weighed(plan.lye, with_more_fat(on_scale, rescue, mass), expected_loss_pct=plan.expected_loss_pct)
    goal = Said("above 0") if least is None or least == 0 else Said("at {least:.9g} % or above", least=least)
    rescue_by = Said(
        "The superfat is {superfat}. While it is fluid, stir in {mass} of {fat}; that brings the lower likely edge "
        "{goal}: {after}. Once it sets it can only be rebatched with that fat, or discarded.",
        superfat=superfat_of(lye), mass=amount_of(mass), fat=fat.name, goal=goal, after=superfat_of(after))
    return Step(what, sentences(said, rescue_by, GUARDED, BY_SCALE), lye, key=fat.key, weigh_g=mass, after=after)


def in_mould(stage: str, lye: Lye, step: Step, pour: ActualPour, bars: BarsMade | None) -> Step:
    """Poured or cut: what is left to do, and what must not be sold.

    Parameters
    ----------
    stage : str
        "poured" or "cut". [key]
    lye : Lye
        As weighed. [lye]
    step : Step
        What would have been done in the pot. [g]
    pour : ActualPour
        The buckets. [g, mm]
    bars : BarsMade, optional
        As cut. [bars]

    Returns
    -------
    Step : "rebatch_or_discard" where it is lye-heavy, "hold_back" where it may be, else "weigh" (the next bucket) or
        "go_on". [g]
    """
    if lye.superfat.achieved_pct < 0:
        fat = NO_TEXT if step.weigh_g is None or step.key is None else Said(
            "A rebatch by calculation takes {mass} of {fat} for the whole batch.", mass=amount_of(step.weigh_g),
            fat=next((one.name for one in lye.fats if one.key == step.key), step.key))
        return replace(step, what="rebatch_or_discard", text=sentences(Said(
            "Not for skin and not for sale: the superfat is {superfat}.", superfat=superfat_of(lye)), fat, GUARDED,
            BY_SCALE))
    if lye.superfat.achieved_pct > _NO_SOAP_PCT:
        return replace(step, what="rebatch_or_discard", text=sentences(Said(
            "Not soap and not for sale: the superfat is {superfat}. Rebatch it with the alkali that is missing, or "
            "discard it as local rules say.", superfat=superfat_of(lye)), GUARDED))
    if lye.superfat.likely_pct.min <= 0:
        return Step("hold_back", sentences(Said(
            "The superfat is {superfat}, so this batch may be lye-heavy: keep it back until a titration (ISO 456) "
            "shows no free alkali; pH paper proves nothing.", superfat=superfat_of(lye)), GUARDED), lye)
    if stage == "cut":
        made = NO_TEXT if bars is None else Said("{count} bars of {planned} planned.", count=bars.count,
                                                planned=bars.planned_count)
        return Step("go_on", sentences(made, Said(
            "The superfat is {superfat}. Cure the bars where air moves and weigh one once a week.",
            superfat=superfat_of(lye))), lye)
    if pour.reason:
        superfat = Said("The superfat is {superfat}.", superfat=superfat_of(lye))
        return Step("go_on", sentences(pour.reason, superfat), lye)
    return _next_bucket(lye, pour)


def _next_bucket(lye: Lye, pour: ActualPour) -> Step:
    left = [one for one in pour.portions if not one.told]
    step_g = lye.scale.readability_g
    over = NO_TEXT if pour.over_g < step_g else Said("{mass} have no room in the mould: have another one ready.",
                                                    mass=amount_of(round_up(pour.over_g, step_g)))
    if not left:
        remains = amount_of(round_nearest(pour.remains_g, step_g))
        return Step("go_on", sentences(Said("All buckets are weighed; {remains} remain in the pot.", remains=remains),
                                       over), lye)
    one = left[0]
    if one.weigh_g <= 0:
        return Step("go_on", sentences(Said('Nothing is left for "{portion}": leave it out.', portion=one.name), over),
                    lye)
    mass, planned = amount_of(one.weigh_g), amount_of(one.planned_weigh_g)
    gets = Said('Next is "{portion}": it gets {mass} (planned {planned}).', portion=one.name, mass=mass,
                planned=planned) if one.layer is None else Said(
        'Next is "{portion}": it gets {mass} (planned {planned}) and lies from {bottom} to {top}.',
        portion=one.name, mass=mass, planned=planned,
        bottom=amounts.bare(amounts.length(one.layer.bottom_mm, places=1)),
        top=amounts.length(one.layer.top_mm, places=1))
    return Step("weigh", sentences(gets, Said("What the other buckets get stands beside it."), over), lye, key=one.key,
                weigh_g=one.weigh_g)
