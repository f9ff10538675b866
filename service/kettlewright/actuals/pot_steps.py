"""Next actions once fats and lye are in the pot: pour, put in what is missing, or add fat."""

from __future__ import annotations

from kettlewright.actuals.rows import Weighings
from kettlewright.actuals.steps import NO_SOAP_PCT, Step, is_safe, keeps_superfat
from kettlewright.actuals.top_up import top_up_first
from kettlewright.actuals.words import BY_SCALE, GUARDED, amount_of, superfat_of
from kettlewright.plan.batch import Plan
from kettlewright.recipe import Lye, OnScale, fat_to_add, lye_as_weighed, with_more_fat
from kettlewright.said import Said, sentences

__all__ = ["in_pot", "with_more_fat_of"]


def in_pot(plan: Plan, reported: Weighings, on_scale: OnScale, lye: Lye, rescue: int) -> Step:
    """Next action when everything is in the pot: pour, put in what was forgotten, or add fat.

    Parameters
    ----------
    plan, reported, on_scale : Plan, Weighings, OnScale
        As planned and as weighed. [g]
    lye : Lye
        As weighed. [lye]
    rescue : int
        Index of the recipe's fat to add. [place]

    Returns
    -------
    Step : "pour", "put_in_missing", "add_fat" or, if it is lye-heavy, "do_not_pour"; all but the first with the
        remedy. [g]
    """
    return top_up_first(plan, reported, on_scale, with_more_fat_of(plan, on_scale, lye, rescue), "in_pot")


def with_more_fat_of(plan: Plan, on_scale: OnScale, lye: Lye, rescue: int) -> Step:
    """Next action without putting in missing masses: pour, or raise the low end of the likely superfat with fat.

    Parameters
    ----------
    plan, on_scale, lye, rescue
        As for `in_pot`. [g]

    Returns
    -------
    Step : "pour", "add_fat" or "do_not_pour". [g]
    """
    found, least = lye.superfat, plan.lye.recipe.superfat_at_least_pct
    if found.achieved_pct > NO_SOAP_PCT:
        return Step("do_not_pour", sentences(Said(
            "Do not pour: the superfat is {superfat}, which does not make soap. Put in the missing alkali, or discard "
            "the batch as local rules say.", superfat=superfat_of(lye)), GUARDED), lye)
    if is_safe(plan, lye):
        text = Said("Pour. The superfat is {superfat}.", superfat=superfat_of(lye))
        if least is not None and not keeps_superfat(lye):
            text = sentences(text, Said("The minimum is no longer certain: if all errors lower the superfat, it is "
                                        "{worst:.2f} %.", worst=found.worst_case_pct.min))
        return Step("pour", text, lye)
    heavy = found.achieved_pct < 0
    what = "do_not_pour" if heavy else "add_fat"
    said = Said("Do not pour: it is lye-heavy.") if heavy else Said("Do not pour yet: it may be lye-heavy.") \
        if found.likely_pct.min <= 0 else Said("Do not pour yet: the superfat may be below its minimum.")
    fat = plan.lye.fats[rescue]
    mass = fat_to_add(plan.lye, on_scale, rescue)
    if mass is None:
        return Step("do_not_pour", sentences(said, Said(
            "Discard the batch as local rules say: no practical mass of {fat} can correct it. The superfat is "
            "{superfat}.", superfat=superfat_of(lye), fat=fat.name), GUARDED), lye)
    after = lye_as_weighed(plan.lye, with_more_fat(on_scale, rescue, mass), expected_loss_pct=plan.expected_loss_pct)
    goal = Said("above 0") if least is None or least == 0 else Said("{least:.9g} % or more", least=least)
    rescue_by = Said(
        "Stir in {mass} of {fat} while the batter is fluid. The superfat rises from {superfat} to {after}, the low end "
        "of its likely range to {goal}. Once the batter has set, you can only rebatch it with that fat or discard it.",
        superfat=superfat_of(lye), mass=amount_of(mass), fat=fat.name, goal=goal, after=superfat_of(after))
    return Step(what, sentences(said, rescue_by, GUARDED, BY_SCALE), lye, key=fat.key, weigh_g=mass, after=after)
