"""Next actions once the batch is poured or cut, and batches that must not be sold."""

from __future__ import annotations

from kettlewright import amounts
from kettlewright.actuals.bars_made import BarsMade
from kettlewright.actuals.poured import ActualPour
from kettlewright.actuals.steps import NO_SOAP_PCT, Step
from kettlewright.actuals.words import BY_SCALE, GUARDED, amount_of, superfat_of
from kettlewright.copies import replace
from kettlewright.recipe import Lye
from kettlewright.recipe.weighing import round_nearest, round_up
from kettlewright.said import NO_TEXT, Said, sentences

__all__ = ["in_mould"]


def in_mould(stage: str, lye: Lye, step: Step, pour: ActualPour, bars: BarsMade | None) -> Step:
    """Next action when the batch is poured or cut.

    Parameters
    ----------
    stage : str
        "poured" or "cut". [key]
    lye : Lye
        As weighed. [lye]
    step : Step
        The action that would have corrected it in the pot. [g]
    pour : ActualPour
        The replanned buckets. [g, mm]
    bars : BarsMade, optional
        Bars that were cut. [bars]

    Returns
    -------
    Step : "rebatch_or_discard" if it is lye-heavy, "hold_back" if it may be, else "weigh" (the next bucket) or
        "go_on". [g]
    """
    if lye.superfat.achieved_pct < 0:
        remedy = Said("Discard it as local rules say.") if step.weigh_g is None or step.key is None else Said(
            "Discard it as local rules say, or rebatch it; by calculation the whole batch takes {mass} of "
            "{fat}.", mass=amount_of(step.weigh_g),
            fat=next((one.name for one in lye.fats if one.key == step.key), step.key))
        return replace(step, what="rebatch_or_discard", text=sentences(Said(
            "Not for skin and not for sale: the superfat is {superfat}.", superfat=superfat_of(lye)), remedy, GUARDED,
            BY_SCALE))
    if lye.superfat.achieved_pct > NO_SOAP_PCT:
        return replace(step, what="rebatch_or_discard", text=sentences(Said(
            "Not for skin and not for sale: at a superfat of {superfat} it is not soap. Rebatch it with the missing "
            "alkali, or discard it as local rules say.", superfat=superfat_of(lye)), GUARDED))
    if lye.superfat.likely_pct.min <= 0:
        return Step("hold_back", sentences(Said(
            "Hold the batch back until a titration (ISO 456) shows no free alkali; pH paper proves nothing. It may be "
            "lye-heavy: the superfat is {superfat}.", superfat=superfat_of(lye)), GUARDED), lye)
    if stage == "cut":
        made = NO_TEXT if bars is None else Said("{count} bars cut, {planned} planned.", count=bars.count,
                                                planned=bars.planned_count)
        return Step("go_on", sentences(made, Said(
            "Cure the bars in a well-ventilated place and weigh one once a week. The superfat is {superfat}.",
            superfat=superfat_of(lye))), lye)
    if pour.reason:
        superfat = Said("The superfat is {superfat}.", superfat=superfat_of(lye))
        return Step("go_on", sentences(pour.reason, superfat), lye)
    return _next_bucket(lye, pour)


def _next_bucket(lye: Lye, pour: ActualPour) -> Step:
    left = [one for one in pour.portions if not one.was_weighed]
    step_g = lye.scale.readability_g
    over = NO_TEXT if pour.over_g < step_g else Said("Have another mould ready: {mass} of batter will not fit.",
                                                    mass=amount_of(round_up(pour.over_g, step_g)))
    if not left:
        remains = amount_of(round_nearest(pour.remains_g, step_g))
        return Step("go_on", sentences(Said("All buckets are weighed. Left in the pot: {remains}.", remains=remains),
                                       over), lye)
    one = left[0]
    if one.weigh_g <= 0:
        return Step("go_on", sentences(Said('Leave out "{portion}": no batter is left for '
                                            'it.', portion=one.name), over),
                    lye)
    mass, planned = amount_of(one.weigh_g), amount_of(one.planned_weigh_g)
    gets = Said('Weigh {mass} of batter for "{portion}" next (planned {planned}).', portion=one.name, mass=mass,
                planned=planned) if one.layer is None else Said(
        'Weigh {mass} of batter for "{portion}" next (planned {planned}). Its layer goes from {bottom} to {top}.',
        portion=one.name, mass=mass, planned=planned,
        bottom=amounts.bare(amounts.length(one.layer.bottom_mm, places=1)),
        top=amounts.length(one.layer.top_mm, places=1))
    return Step("weigh", sentences(gets, Said("The masses for the other buckets are in "
                                              "\"pour\"."), over), lye, key=one.key,
                weigh_g=one.weigh_g)
