"""Next actions before fats and lye meet: make the lye for the fats in the pot, or use the part of it that fits."""

from __future__ import annotations

from kettlewright.actuals.rows import Weighings
from kettlewright.actuals.steps import NO_SOAP_PCT, SLIGHT_POINTS, Step, is_slight, keeps_superfat
from kettlewright.actuals.top_up import DISSOLVES_PCT, top_up_first
from kettlewright.actuals.words import BY_SCALE, GUARDED, amount_of, off_in_words, superfat_of
from kettlewright.copies import replace
from kettlewright.plan.batch import Plan
from kettlewright.recipe import Lye, OnScale, jug_mass, lye_as_weighed, make_lye_for, part_of_lye
from kettlewright.recipe.weighed import WeighedAlkali
from kettlewright.said import NO_TEXT, Said, sentences

__all__ = ["as_bought", "at_fats", "at_lye", "lye_for"]


def at_fats(plan: Plan, reported: Weighings, on_scale: OnScale, lye: Lye) -> Step:
    """Next action when the fats are weighed and the lye is not made yet.

    Parameters
    ----------
    plan, reported, on_scale : Plan, Weighings, OnScale
        As planned and as weighed. [g]
    lye : Lye
        With the fats as weighed and the alkali of the plan. [lye]

    Returns
    -------
    Step : "go_on", "put_in_missing" (a fat was forgotten) or "weigh"; its lye is computed for the fats in the pot. [g]

    Raises
    ------
    Unsolvable : less alkali than the scale shows, or a lye that cannot be made.
    """
    return top_up_first(plan, reported, on_scale, _for_these_fats(plan, reported, on_scale, lye), "fats")


def _for_these_fats(plan: Plan, reported: Weighings, on_scale: OnScale, lye: Lye) -> Step:
    if (keeps_superfat(lye) and not reported.off_at(("fats",))) or is_slight(plan, reported, ("fats",), lye):
        return Step("go_on", Said("Make the lye as planned: the fats are as planned. The superfat is {superfat}.",
                                  superfat=superfat_of(lye)), lye)
    new = lye_for(plan, on_scale)
    parts = [(as_bought(alkali), alkali.weigh_g, was.weigh_g)
             for alkali, was in zip(new.alkalis, plan.lye.alkalis, strict=True)]
    parts.append((Said("water"), new.water.weigh_g, plan.lye.water.weigh_g))
    weighed = tuple(Said("{mass} of {name} (planned {planned})", mass=amount_of(mass), name=name,
                         planned=amount_of(was))
                    for name, mass, was in parts)
    off = off_in_words(reported, ("fats",)) or (Said("it would not keep the requested superfat"),)
    text = [Said("Do not weigh the planned amount of alkali ({off:, }). Weigh {weighed:, } instead. The superfat is "
                 "then {superfat}.", off=off, weighed=weighed,
                 superfat=superfat_of(new))]
    if plan.lye.acids or plan.lye.liquids:
        text.append(Said("Acids and liquids given in percent of the fats change with the fats; those given by mass "
                         "stay the same."))
    added = [*plan.division.additions, *(one for portion in plan.division.portions for one in portion.additions)]
    oily = {one.key for one in plan.lye.dispersed}
    if any(one.addition.basis != "mass" and one.key not in oily for one in added):
        text.append(Said("Doses based on fats or batter change with the batch."))
    return Step("weigh", sentences(*text), new, key=new.alkalis[0].key, weigh_g=new.alkalis[0].weigh_g,
                with_lye_of_plan_pct=lye.superfat.achieved_pct)


def lye_for(plan: Plan, on_scale: OnScale) -> Lye:
    """The lye for the fats in the pot (`plan`; `on_scale`: the masses weighed). [g]"""
    there = [(fat, mass) for fat, mass in zip(plan.lye.recipe.fats, on_scale.recipe_masses.fats, strict=True) if mass]
    recipe = replace(plan.lye.recipe, fats=tuple(replace(fat, mass_g=mass, share_pct=None) for fat, mass in there))
    scale = plan.lye.scale
    # the alkali is computed for this oil, so its addition keeps its mass whatever its basis
    dispersed = tuple(replace(one, mass_g=mass)
                      for one, mass in zip(plan.lye.dispersed, on_scale.dispersed_g, strict=True))
    fatty = {index: mass for index, mass in enumerate(on_scale.recipe_masses.acids) if plan.lye.acids[index].acid.fatty}
    return make_lye_for(recipe, scale, [mass for _, mass in there], fatty_acids_g=fatty, dispersed=dispersed,
                        expected_loss_pct=plan.expected_loss_pct)


def at_lye(plan: Plan, reported: Weighings, on_scale: OnScale, lye: Lye) -> Step:
    """Next action when the lye is made: put in what was forgotten, or use the part of the lye that fits.

    Parameters
    ----------
    plan, reported, on_scale : Plan, Weighings, OnScale
        As planned and as weighed. [g]
    lye : Lye
        With all of the lye. [lye]

    Returns
    -------
    Step : "go_on", "put_in_missing", "use_part_of_lye" or "make_lye_anew". [g]
    """
    return top_up_first(plan, reported, on_scale, _with_this_lye(plan, reported, on_scale, lye), "lye_made")


def _with_this_lye(plan: Plan, reported: Weighings, on_scale: OnScale, lye: Lye) -> Step:
    stages = ("fats", "lye_made")
    if lye.solution.concentration_pure_pct > DISSOLVES_PCT:
        return _anew(plan, on_scale, lye, Said(
            "Do not use this lye: it contains {pure:.1f} % pure alkali, more than dissolves.",
            pure=lye.solution.concentration_pure_pct))
    if lye.superfat.achieved_pct > NO_SOAP_PCT:
        return _anew(plan, on_scale, lye, Said(
            "Do not use this lye: the superfat would be {superfat:.0f} %, which does not make soap.",
            superfat=lye.superfat.achieved_pct))
    off = off_in_words(reported, stages)
    if keeps_superfat(lye) or is_slight(plan, reported, stages, lye):
        superfat = superfat_of(lye)
        if not off:
            return Step("go_on", Said("Use all of the lye. The superfat is {superfat}.", superfat=superfat), lye)
        short = lye.superfat.achieved_pct - plan.lye.superfat.achieved_pct >= SLIGHT_POINTS
        return Step("go_on", Said(
            "Use all of the lye. Weighed differently from the plan: {off:, }. The superfat is {superfat}: with less "
            "alkali than planned, more fat stays free.", off=off, superfat=superfat) if short else Said(
            "Use all of the lye. Weighed differently from the plan: {off:, }. The superfat is {superfat}.", off=off,
            superfat=superfat), lye)
    part = part_of_lye(plan.lye, on_scale)
    if part is None:
        return _anew(plan, on_scale, lye, Said(
            "Do not use this lye: even the smallest amount that the scale shows is too much for these fats."))
    after = lye_as_weighed(plan.lye, part, expected_loss_pct=plan.expected_loss_pct)
    jug = jug_mass(plan.lye, on_scale)
    use = part.lye_part * jug
    heavy = Said("Do not pour all of the lye into the fats: that would be "
                 "lye-heavy.") if lye.superfat.achieved_pct < 0 \
        else NO_TEXT
    why = off or (Said("all of it would not keep the requested superfat"),)
    part_of_it = Said(
        "Stir the lye, then use {use} of the {jug} and leave {left} in the jug ({off:, }). The superfat is then "
        "{superfat}; with all of the lye it would be {all:.2f} %.", use=amount_of(use),
        jug=amount_of(jug), left=amount_of(jug - use), off=why, all=lye.superfat.achieved_pct,
        superfat=superfat_of(after))
    return Step("use_part_of_lye", sentences(heavy, part_of_it, GUARDED, BY_SCALE), lye, key="lye", weigh_g=use,
                after=after)


def as_bought(alkali: WeighedAlkali) -> str:
    """Name to weigh by (`alkali`): a stock is called a stock, as the same mass of dry alkali is far too much. [text]"""
    return Said("{alkali} stock", alkali=alkali.name) if alkali.stock else alkali.name


def _anew(plan: Plan, on_scale: OnScale, lye: Lye, why: Said) -> Step:
    new = lye_for(plan, on_scale)
    parts = [*((as_bought(one), one.weigh_g) for one in new.alkalis), (Said("water"), new.water.weigh_g)]
    weighed = tuple(Said("{mass} of {name}", mass=amount_of(mass), name=name) for name, mass in parts)
    aside = Said("Set it aside, closed and labelled. Make new lye for the fats in the pot: {weighed:, }.",
                 weighed=weighed)
    text = sentences(why, aside, GUARDED, Said(
        "Dispose of the old lye as its safety data sheet and local rules say."))
    return Step("make_lye_anew", text, lye, key=new.alkalis[0].key, weigh_g=new.alkalis[0].weigh_g, after=new)
