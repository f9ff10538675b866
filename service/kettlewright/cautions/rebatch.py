"""Cautions of soap that is melted down again."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from kettlewright.amounts import mass
from kettlewright.cautions.triggered import Caution, triggered
from kettlewright.pour import Addition
from kettlewright.said import NO_TEXT, Said, sentences

__all__ = ["LimitOfMixture", "LyeHeavySoap", "of_rebatch"]


@dataclass(frozen=True, slots=True)
class LyeHeavySoap:
    """Offcuts that are, or may be, lye-heavy.

    Parameters
    ----------
    index : int
        Their place in the request. [number]
    certain : bool
        By calculation they are lye-heavy; else they may be. [yes or no]
    achieved_pct, low_pct, high_pct : float
        Their superfat, and its likely range. [% of full demand]
    fat : str
        A fat of their recipe. [text]
    fat_g : float
        How much of it would bring them to the superfat of their recipe. [g]
    """

    index: int
    certain: bool
    achieved_pct: float
    low_pct: float
    high_pct: float
    fat: str | Said
    fat_g: float


@dataclass(frozen=True, slots=True)
class LimitOfMixture:
    """Something that offcuts bring with them, compared with its limit.

    Parameters
    ----------
    name : str
        What it is. [text]
    limit_pct, part_pct : float
        Its lowest limit, and how much of it the cured bars contain. [% of cured bar]
    pointer : str
        Its place in the request. [pointer]
    """

    name: str
    limit_pct: float
    part_pct: float
    pointer: str


def of_rebatch(soaps: Sequence[LyeHeavySoap], limits: Sequence[LimitOfMixture], additions: Sequence[Addition],
               estimated: Sequence[int]) -> Iterator[Caution]:
    """Cautions of a rebatch.

    Parameters
    ----------
    soaps : sequence of LyeHeavySoap
        Offcuts that are, or may be, lye-heavy. [% of full demand]
    limits : sequence of LimitOfMixture
        What is above its limit. [% of cured bar]
    additions : sequence of Addition
        Stirred into the melted soap. [additions]
    estimated : sequence of int
        Places of the offcuts whose water is estimated by days. [number]

    Returns
    -------
    iterator of Caution : [cautions]
    """
    for one in soaps:
        at = f"/offcuts/{one.index}"
        if one.certain:
            yield triggered("superfat-negative", sentences(Said(
                "Do not use these offcuts on skin, and do not mix them with others: a superfat of {superfat:.2f} % "
                "means more alkali than their fats can react with. Other soap in the pot does not reliably use it up.",
                superfat=one.achieved_pct), Said(
                "By calculation they need {mass} of {fat}; a titration must then show that no free alkali is left.",
                mass=mass(one.fat_g, places=0), fat=one.fat)), at)
            yield triggered("rebatch-or-discard", NO_TEXT, at)
        else:
            yield triggered("superfat-may-be-negative", Said(
                "These offcuts may be lye-heavy (contain excess alkali): their superfat is likely between {low:.1f} "
                "and {high:.1f} %. Keep them out until a titration shows that no free alkali is left.",
                low=one.low_pct, high=one.high_pct), at)
    for limit in limits:
        yield triggered("fragrance-limit-exceeded", Said(
            "{addition}: together with what is in the offcuts, the bars contain {part:.4g} %, above the limit of "
            "{limit:.9g} % of the cured bar.", addition=limit.name, part=limit.part_pct, limit=limit.limit_pct),
            limit.pointer)
    scent = next((index for index, one in enumerate(additions) if one.kind == "fragrance"), None)
    if scent is not None:
        yield triggered("scent-in-hot-soap", NO_TEXT, f"/additions/{scent}")
    if estimated:
        yield triggered("water-left-estimated", NO_TEXT, f"/offcuts/{estimated[0]}/days")
