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
            "A superfat of {superfat:.2f} % is more alkali than the fats can take: not for skin.",
            superfat=found.achieved_pct), pointer)
        yield triggered("rebatch-or-discard", NO_TEXT, pointer)
    elif found.likely_pct.min <= 0:
        luck = found.achieved_pct - found.asked_pct  # what rounding down left here may be gone at another figure
        enough = math.ceil(2 * (found.asked_pct - found.likely_pct.min + luck + 0.25)) / 2
        yield triggered("superfat-may-be-negative", sentences(Said(
            "The superfat likely lies between {low:.1f} and {high:.1f} %, so this batch may be lye-heavy. Ask for "
            "{enough:.9g} % or more.", low=found.likely_pct.min, high=found.likely_pct.max, enough=enough), remedy),
            pointer)
    elif found.worst_case_pct.min <= 0:
        yield triggered("superfat-margin-thin", Said(
            "Only if every fat, weight and purity errs the same way is the batch lye-heavy ({worst:.1f} %).",
            worst=found.worst_case_pct.min), pointer)
    over = found.achieved_pct - found.asked_pct
    if over >= _COARSE_POINTS and not floor and lye.superfat.achieved_pct < 100:  # without any alkali no scale helps
        yield triggered("scale-too-coarse", Said(
            "Rounding the alkali down leaves {over:.1f} points more superfat than asked: use a scale with a step of "
            "{step} for the alkali, or make at least {fats} of fats.", over=over,
            step=scale_step(mass(lye.scale.alkali_readability_g * _COARSE_POINTS / _most_over(lye))),
            fats=at_least(mass(lye.fats_mass_g * _most_over(lye) / _COARSE_POINTS, places=0, groups=True))),
            f"{at}/alkalis")


def _most_over(lye: Lye) -> float:
    """Superfat that rounding every alkali down by a whole step leaves: what this batch lost is luck. [points]"""
    step = lye.scale.alkali_readability_g
    mol = math.fsum(alkali.portion.strength / MOLAR_MASS[alkali.key] for alkali in lye.alkalis)
    return 100 * step * mol / lye.superfat.demand_mol
