"""Cautions of the superfat: too much alkali, a range that reaches zero, a scale too coarse."""

from __future__ import annotations

import math
from collections.abc import Iterator

from kettlewright.amounts import at_least, mass, scale_step
from kettlewright.cautions.triggered import Caution, triggered
from kettlewright.recipe import Lye
from kettlewright.recipe.outcome import MOLAR_MASS
from kettlewright.said import NO_TEXT, Said, sentences

__all__ = ["of_superfat"]

_COARSE_POINTS = 0.5


def of_superfat(lye: Lye, at: str) -> Iterator[Caution]:
    """Cautions of the superfat of a recipe.

    Parameters
    ----------
    lye : Lye
        The weighed recipe. [lye]
    at : str
        JSON Pointer to the recipe in the request. [text]

    Returns
    -------
    iterator of Caution : [cautions]
    """
    found = lye.superfat
    floor = lye.recipe.superfat_at_least_pct is not None
    pointer = f"{at}/superfat_at_least_pct" if floor else f"{at}/superfat_pct"
    remedy = NO_TEXT if found.dominant is None else found.dominant.text
    if found.achieved_pct < 0:
        yield triggered("superfat-negative", Said(
            "Do not use this soap on skin: a superfat of {superfat:.2f} % means more alkali than the fats can react "
            "with.", superfat=found.achieved_pct), pointer)
        yield triggered("rebatch-or-discard", NO_TEXT, pointer)
    elif found.likely_pct.min <= 0:
        by_rounding = found.achieved_pct - found.asked_pct  # at another superfat rounding may leave nothing
        enough = math.ceil(2 * (found.asked_pct - found.likely_pct.min + by_rounding + 0.25)) / 2
        yield triggered("superfat-may-be-negative", sentences(Said(
            "This batch may be lye-heavy (contain excess alkali): its superfat is likely between {low:.1f} and "
            "{high:.1f} %. Request {enough:.9g} % or more.",
            low=found.likely_pct.min, high=found.likely_pct.max, enough=enough), remedy),
            pointer)
    elif found.worst_case_pct.min <= 0:
        yield triggered("superfat-margin-thin", Said(
            "This batch is lye-heavy only if the errors of every fat, weight and purity go in the same direction "
            "(its superfat is then {worst:.1f} %).", worst=found.worst_case_pct.min), pointer)
    over = found.achieved_pct - found.asked_pct
    if over >= _COARSE_POINTS and not floor and lye.superfat.achieved_pct < 100:  # without any alkali no scale helps
        yield triggered("scale-too-coarse", Said(
            "Use a scale that reads in steps of {step} for the alkali, or make at least {fats} of fats: rounding the "
            "alkali down leaves {over:.1f} percentage points more superfat than requested.", over=over,
            step=scale_step(mass(lye.scale.alkali_readability_g * _COARSE_POINTS / _most_over(lye))),
            fats=at_least(mass(lye.fats_mass_g * _most_over(lye) / _COARSE_POINTS, places=0, groups=True))),
            f"{at}/alkalis")


def _most_over(lye: Lye) -> float:
    """Superfat from rounding every alkali down by a whole step; what this batch lost depends on chance. [points]"""
    step = lye.scale.alkali_readability_g
    mol = math.fsum(alkali.portion.strength / MOLAR_MASS[alkali.key] for alkali in lye.alkalis)
    return 100 * step * mol / lye.superfat.demand_mol
