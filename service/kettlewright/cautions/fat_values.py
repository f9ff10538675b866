"""Cautions about how well the values of a fat are known."""

from __future__ import annotations

from collections.abc import Iterator

from kettlewright.amounts import temperature
from kettlewright.cautions.triggered import Caution, triggered
from kettlewright.recipe import Lye
from kettlewright.recipe.superfat_by_acids import superfat_by_acids
from kettlewright.said import Said, sentences

__all__ = ["of_fat_values"]

_NO_ALKALI_PCT = 100.0 - 1e-9


def of_fat_values(lye: Lye, at: str) -> Iterator[Caution]:
    """Cautions of values that are assumed, from memory or too wide for a table.

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
    by_acids = superfat_by_acids(lye)
    if by_acids is not None and lye.superfat.achieved_pct < _NO_ALKALI_PCT:
        doubtful = [(index, one.fat) for index, one in enumerate(lye.fats) if one.fat.value_by_acids is not None]
        each = [Said("{fat}: {middle:.1f} mg KOH/g at the middle of its range, {acids:.1f} from its fatty acids.",
                     fat=fat.name, middle=fat.saponification_value.mid, acids=fat.value_by_acids or 0.0)
                for _, fat in {fat.key: (index, fat) for index, fat in reversed(doubtful)}.values()]
        yield triggered("value-and-acids-disagree", sentences(*reversed(each), Said(
            "If the fatty acids are right, the superfat is {superfat:.1f} % instead of {computed:.1f} %. The "
            "certificate of your lot decides.", superfat=by_acids + 0.0, computed=lye.superfat.achieved_pct)),
            f"{at}/fats/{doubtful[0][0]}")
    for index, weighed in enumerate(lye.fats):
        fat, pointer = weighed.fat, f"{at}/fats/{index}"
        if fat.lot_value_needed:
            yield triggered("lot-value-needed", Said(
                'The saponification value of {fat} varies too much for a table: give the "certificate" of your lot.',
                fat=fat.name), pointer)
        if fat.own and fat.saponification_value.half_width == 0:
            yield triggered("value-taken-as-exact", Said(
                "The saponification value of {fat} has no range and is treated as exact. Give the tolerance on the "
                "certificate for a realistic superfat range.", fat=fat.name), pointer)
        if fat.range_widened:
            yield triggered("range-widened", Said(
                "The range for {fat} in the table is narrower than 1 % either way. It was widened to {low:.1f} to "
                "{high:.1f} mg KOH/g.", fat=fat.name, low=fat.saponification_value.min,
                high=fat.saponification_value.max), pointer)
        if fat.value_from_memory and fat.density_from_memory:
            yield triggered("figure-from-memory", Said(
                "{fat}: the saponification value and the density in the table are from memory.", fat=fat.name), pointer)
        elif fat.value_from_memory:
            yield triggered("figure-from-memory", Said(
                "{fat}: the saponification value in the table is from memory.", fat=fat.name), pointer)
        elif fat.density_from_memory:
            yield triggered("figure-from-memory", Said("{fat}: the density in the table is from memory.", fat=fat.name),
                            pointer)
        if fat.density_assumed:
            yield triggered("density-assumed", Said(
                "The density of {fat} is unknown; {density:.3f} g/mL at {reference} was assumed. This affects the pour "
                "height, not the lye.", fat=fat.name, density=fat.density, reference=temperature(40)), pointer)
