"""Cautions of a batch as it was weighed."""

from __future__ import annotations

from collections.abc import Sequence

from kettlewright.cautions.lye import of_lye
from kettlewright.cautions.pour import of_division
from kettlewright.cautions.triggered import Caution, triggered, without_repeats
from kettlewright.copies import replace
from kettlewright.pour import Division, LimitCheck
from kettlewright.recipe import Lye
from kettlewright.said import NO_TEXT, Said

__all__ = ["of_actuals"]

_DISSOLVES_PCT = 50.0 + 1e-6
_OF_THE_JUG = frozenset({"lye-hot", "lye-strong", "store-lye", "stock-may-crystallise", "mixing-out-of-reach"})
_OF_PLANNING = frozenset({"superfat-negative", "superfat-may-be-negative", "superfat-margin-thin",
                          "rebatch-or-discard", "scale-too-coarse"})


def of_actuals(lye: Lye, *, in_jug: bool = True, kept: bool = True, rescued: bool = False, left_over: bool = False,
               not_reported: Sequence[str] = (), with_lye_of_plan_pct: float | None = None,
               division: Division | None = None, limits: Sequence[LimitCheck] = (), sized_to_mould: bool = True,
               plan_at: str = "/plan") -> tuple[Caution, ...]:
    """Cautions of a batch as it was weighed, without those that only help to plan it.

    Parameters
    ----------
    lye : Lye
        The recipe as weighed. [lye]
    in_jug : bool
        The lye is not in the pot yet, so its heat and strength still matter. [yes or no]
    kept : bool
        The batch has the requested superfat. [yes or no]
    rescued, left_over : bool
        Fat must be added; part of the lye is left over. [yes or no]
    not_reported : sequence of str
        Names of rows that were not reported, so that the planned amounts are assumed. [text]
    with_lye_of_plan_pct : float, optional
        Superfat with the planned alkali, where that no longer fits. [% of full demand]
    division, limits : Division, sequence of LimitCheck
        The buckets as they are; their ingredients compared with their limits. [g, % of cured bar]
    sized_to_mould : bool
        The batch was sized to the mould. [yes or no]
    plan_at : str
        JSON Pointer to the plan in the request. [text]

    Returns
    -------
    tuple of Caution : [cautions]
    """
    superfat = lye.superfat
    left_out = _OF_PLANNING if in_jug else _OF_PLANNING | _OF_THE_JUG
    found = [caution for caution in of_lye(lye, at=f"{plan_at}/recipe") if caution.key not in left_out]
    if in_jug and lye.solution.concentration_pure_pct > _DISSOLVES_PCT:
        found.append(triggered("lye-not-dissolved", NO_TEXT, "/weighed"))
    if not_reported:
        found.append(triggered("rows-not-reported", Said(
            "Not reported: {names:, }. The planned amounts are assumed. Report 0 for anything you forgot: it may "
            "change the superfat.", names=tuple(not_reported)), "/weighed"))
    if with_lye_of_plan_pct is not None:
        found.append(triggered("lye-of-plan-outdated", Said(
            "Weigh the amount of alkali given here, not the planned one: with the planned amount the superfat would be "
            "{superfat:.2f} %.",
            superfat=with_lye_of_plan_pct), "/weighed",
                             "danger" if with_lye_of_plan_pct < 0 else
                             None if with_lye_of_plan_pct < superfat.asked_pct else "info"))
    if superfat.achieved_pct < 0:
        found.append(triggered("superfat-negative", Said(
            "Do not use this soap on skin: as weighed, the superfat is {superfat:.2f} %, which means more alkali than "
            "the fats can react with.",
            superfat=superfat.achieved_pct), "/weighed"))
        found.append(triggered("rebatch-or-discard", NO_TEXT, "/weighed"))
    elif superfat.likely_pct.min <= 0:
        found.append(triggered("superfat-may-be-negative", Said(
            "This batch may be lye-heavy (contain excess alkali): as weighed, its superfat is likely between {low:.1f} "
            "and {high:.1f} %.",
            low=superfat.likely_pct.min, high=superfat.likely_pct.max), "/weighed"))
    elif superfat.worst_case_pct.min <= 0:
        found.append(triggered("superfat-margin-thin", Said(
            "This batch is lye-heavy only if the errors of every fat, weight and purity go in the same direction "
            "(its superfat is then {worst:.1f} %).",
            worst=superfat.worst_case_pct.min), "/weighed"))
    if rescued and superfat.achieved_pct >= 0:
        found.append(triggered("rebatch-or-discard", NO_TEXT, "/weighed", "warning"))
    if not kept and superfat.achieved_pct >= 0:
        least = lye.recipe.superfat_at_least_pct is not None
        figures = {"requested": superfat.asked_pct, "superfat": superfat.achieved_pct,
                   "worst": superfat.worst_case_pct.min}
        found.append(triggered("superfat-not-kept", Said(
            "As weighed, the superfat is {superfat:.2f} %; you requested at least {requested:.9g} %. If all errors "
            "lower it, it is {worst:.2f} %.", **figures) if least else Said(
            "As weighed, the superfat is {superfat:.2f} %; you requested {requested:.9g} %. If all errors lower it, it "
            "is {worst:.2f} %.", **figures), "/weighed", None if least else "info"))
    if left_over:
        found.append(triggered("lye-left-over", NO_TEXT, "/weighed"))
    if division is not None:
        found += [replace(caution, pointer=plan_at + caution.pointer)
                 for caution in of_division(division, limits, sized_to_mould=sized_to_mould)]
    return tuple(without_repeats(found))
