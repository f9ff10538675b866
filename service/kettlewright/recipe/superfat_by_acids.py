"""The superfat if the table's fatty acids are right and the middles of its saponification ranges are wrong."""

from __future__ import annotations

import math

from kettlewright.recipe.lye_result import Lye

__all__ = ["superfat_by_acids"]


def superfat_by_acids(lye: Lye) -> float | None:
    """Superfat of the weighed batch, computed with the values that follow from the table's fatty acids.

    Parameters
    ----------
    lye : Lye
        The weighed recipe. [g]

    Returns
    -------
    float or None : None if no fat of the recipe has a row that contradicts itself. [% of full demand]

    Notes
    -----
    s' = 1 - (1 - s) E / E', where E is the full demand of the fats as computed, and E' the same with the fatty acids of
    the rows that contradict themselves.
    """
    if all(one.fat.value_by_acids is None for one in lye.fats):
        return None
    demand = math.fsum(one.weigh_g * one.fat.saponification_value.mid for one in lye.fats)
    by_acids = math.fsum(one.weigh_g * (one.fat.value_by_acids or one.fat.saponification_value.mid)
                         for one in lye.fats)
    return 100 - (100 - lye.superfat.achieved_pct) * demand / by_acids
