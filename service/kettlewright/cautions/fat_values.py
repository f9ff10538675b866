"""Cautions about how well the values of a fat are known."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from kettlewright.amounts import temperature
from kettlewright.cautions.triggered import Caution, triggered
from kettlewright.recipe import Fat, Lye
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
    yield from _of_several(lye, at)


def _of_several(lye: Lye, at: str) -> Iterator[Caution]:
    """One sentence for all the fats that it is true of."""
    def those(true_of: Callable[[Fat], bool]) -> tuple[str, tuple[str, ...]]:
        found = {one.fat.name: f"{at}/fats/{index}" for index, one in reversed(list(enumerate(lye.fats)))
                 if true_of(one.fat)}
        return (next(reversed(found.values())), tuple(reversed(found))) if found else ("", ())

    pointer, fats = those(lambda fat: fat.lot_value_needed)
    if fats:
        yield triggered("lot-value-needed", Said(
            'The saponification value varies too much for a table: give the "certificate" of your lot of {fats:, }.',
            fats=fats), pointer)
    pointer, fats = those(lambda fat: fat.own and fat.saponification_value.half_width == 0)
    if fats:
        yield triggered("value-taken-as-exact", Said(
            "A saponification value without a range is treated as exact: {fats:, }. Give the tolerance on the "
            "certificate for a realistic superfat range.", fats=fats), pointer)
    ranges = {one.fat.name: Said("{fat} {low:.1f} to {high:.1f}", fat=one.fat.name,
                                 low=one.fat.saponification_value.min, high=one.fat.saponification_value.max)
              for one in lye.fats if one.fat.range_widened}
    pointer, _ = those(lambda fat: fat.range_widened)
    if ranges:
        yield triggered("range-widened", Said(
            "A range in the table that is narrower than 1 % either way was widened; in mg KOH/g: {fats:, }.",
            fats=tuple(ranges.values())), pointer)
    pointer, fats = those(lambda fat: fat.value_from_memory)
    if fats:
        yield triggered("figure-from-memory", Said(
            "The saponification value in the table is from memory: {fats:, }.", fats=fats), pointer)
    pointer, fats = those(lambda fat: fat.density_from_memory)
    if fats:
        yield triggered("figure-from-memory", Said("The density in the table is from memory: {fats:, }.", fats=fats),
                        pointer)
    assumed = {one.fat.density for one in lye.fats if one.fat.density_assumed}
    pointer, fats = those(lambda fat: fat.density_assumed)
    for density in assumed:  # one constant for all
        yield triggered("density-assumed", Said(
            "Density unknown, so {density:.3f} g/mL at {reference} was assumed: {fats:, }. This affects the pour "
            "height, not the lye.", fats=fats, density=density, reference=temperature(40)), pointer)
