"""Cautions of a batch as it was weighed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from kettlewright.cautions.lye import of_lye
from kettlewright.cautions.pour import of_division
from kettlewright.cautions.triggered import Caution, triggered, without_repeats
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
    """What a batch brings on as it was weighed; words of planning, such as what to ask for, are left out.

    Parameters
    ----------
    lye : Lye
        Of what was weighed. [lye]
    in_jug : bool
        The lye is not in the pot yet: its heat and strength still matter. [yes or no]
    kept : bool
        It keeps the superfat asked. [yes or no]
    rescued, left_over : bool
        Fat is to be added; a part of the lye is left over. [yes or no]
    not_reported : sequence of str
        Names of what is in the pot by the plan alone, since it was not reported. [text]
    with_lye_of_plan_pct : float, optional
        The superfat that the alkali of the plan would give, where it does not fit. [% of full demand]
    division, limits : Division, sequence of LimitCheck
        The buckets as they are, and ingredients held to their limits. [g, % of cured bar]
    sized_to_mould : bool
        It fills the mould as it was meant to. [yes or no]
    plan_at : str
        Where the plan stands in the request, as a JSON Pointer. [text]

    Returns
    -------
    tuple of Caution : [cautions]
    """
    found = lye.superfat
    past = _OF_PLANNING if in_jug else _OF_PLANNING | _OF_THE_JUG
    told = [caution for caution in of_lye(lye, at=f"{plan_at}/recipe") if caution.key not in past]
    if in_jug and lye.solution.concentration_pure_pct > _DISSOLVES_PCT:
        told.append(triggered("lye-not-dissolved", NO_TEXT, "/weighed"))
    if not_reported:
        told.append(triggered("rows-not-reported", Said(
            "Not reported, so that it counts as planned: {names:, }. Report 0 for what you forgot: the superfat may be "
            "another one.", names=tuple(not_reported)), "/weighed"))
    if with_lye_of_plan_pct is not None:
        told.append(triggered("lye-of-plan-outdated", Said(
            "With the alkali of the plan the superfat would be {superfat:.2f} %: weigh what is told here in its place.",
            superfat=with_lye_of_plan_pct), "/weighed",
                             "danger" if with_lye_of_plan_pct < 0 else
                             None if with_lye_of_plan_pct < found.asked_pct else "info"))
    if found.achieved_pct < 0:
        told.append(triggered("superfat-negative", Said(
            "As weighed the superfat is {superfat:.2f} %, more alkali than the fats can take: not for skin.",
            superfat=found.achieved_pct), "/weighed"))
        told.append(triggered("rebatch-or-discard", NO_TEXT, "/weighed"))
    elif found.likely_pct.min <= 0:
        told.append(triggered("superfat-may-be-negative", Said(
            "As weighed the superfat likely lies between {low:.1f} and {high:.1f} %, so this batch may be lye-heavy.",
            low=found.likely_pct.min, high=found.likely_pct.max), "/weighed"))
    elif found.worst_case_pct.min <= 0:
        told.append(triggered("superfat-margin-thin", Said(
            "Only if every fat, weight and purity errs the same way is the batch lye-heavy ({worst:.1f} %).",
            worst=found.worst_case_pct.min), "/weighed"))
    if rescued and found.achieved_pct >= 0:
        told.append(triggered("rebatch-or-discard", NO_TEXT, "/weighed", "warning"))
    if not kept and found.achieved_pct >= 0:
        least = lye.recipe.superfat_at_least_pct is not None
        figures = {"asked": found.asked_pct, "superfat": found.achieved_pct, "worst": found.worst_case_pct.min}
        told.append(triggered("superfat-not-kept", Said(
            "Asked was at least {asked:.9g} %; as weighed it is {superfat:.2f} %, and {worst:.2f} % if every input "
            "errs the harmful way.", **figures) if least else Said(
            "Asked was {asked:.9g} %; as weighed it is {superfat:.2f} %, and {worst:.2f} % if every input errs the "
            "harmful way.", **figures), "/weighed", None if least else "info"))
    if left_over:
        told.append(triggered("lye-left-over", NO_TEXT, "/weighed"))
    if division is not None:
        told += [replace(caution, pointer=plan_at + caution.pointer)
                 for caution in of_division(division, limits, sized_to_mould=sized_to_mould)]
    return tuple(without_repeats(told))
