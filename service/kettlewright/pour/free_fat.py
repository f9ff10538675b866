"""Oil of additions that gets no alkali: free fat in a bucket, on top of the superfat."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from kettlewright.copies import replace
from kettlewright.pour.buckets import lenders_first
from kettlewright.pour.division import Division, FreeFat, WeighedPortion
from kettlewright.pour.weighed_additions import WeighedAddition
from kettlewright.recipe.outcome import MOLAR_MASS
from kettlewright.recipe.superfat_result import Superfat

__all__ = ["oil_demand_mol", "with_free_fat", "with_superfats"]


def with_free_fat(portions: Sequence[WeighedPortion], pot_g: float) -> tuple[WeighedPortion, ...]:
    """The buckets, each with the oil that its additions and its lenders bring.

    Parameters
    ----------
    portions : sequence of WeighedPortion
        In pour order. [g]
    pot_g : float
        All in the pot. [g]

    Returns
    -------
    tuple of WeighedPortion : `free_fat` is None where there is no such oil. [g]
    """
    if not any(one.oil_g for portion in portions for one in portion.additions):
        return tuple(portions)
    places = {portion.key: index for index, portion in enumerate(portions)}
    found: dict[int, FreeFat] = {}
    for index in lenders_first([portion.portion for portion in portions]):
        portion = portions[index]
        parts = [(FreeFat(0.0, 0.0, portion.batter_mass_g / pot_g), 1.0), *((one, 1.0) for one in _own(portion))]
        for borrowed in portion.borrowed:
            lender = places[borrowed.key]
            parts.append((found[lender], borrowed.mass_g / portions[lender].mass_g))
        found[index] = FreeFat(*(math.fsum(getattr(one, name) * part for one, part in parts)
                                 for name in ("mass_g", "demand_mol", "of_pot")))
    return tuple(replace(portion, free_fat=found[index]) if found[index].mass_g else portion
                 for index, portion in enumerate(portions))


def _own(portion: WeighedPortion) -> Iterator[FreeFat]:
    for one in portion.additions:
        if one.oil_g:
            yield FreeFat(one.oil_g, oil_demand_mol(one), 0.0)


def oil_demand_mol(weighed: WeighedAddition) -> float:
    """Alkali that would turn the oil of an addition into soap, 0 if it has none (`weighed` [g]). [mol]"""
    contents = weighed.addition.contents
    value = None if contents is None else contents.fat_value
    return 0.0 if value is None else weighed.oil_g * value.mid / 1000 / MOLAR_MASS["KOH"]


def with_superfats(division: Division, superfat: Superfat) -> Division:
    """The superfat of each bucket that holds oil without alkali.

    Parameters
    ----------
    division : Division
        The buckets. [g]
    superfat : Superfat
        Of the pot. [%]

    Returns
    -------
    Division : its portions with `superfat_pct`, the part of all fats in the bucket that finds no alkali. [g]

    Notes
    -----
    With d the demand of the fats in the bucket and e that of the oil: 100 - (100 - superfat of the pot) d / (d + e).
    """
    def of(free: FreeFat) -> float:
        fats_mol = superfat.demand_mol * free.of_pot
        return 100 - (100 - superfat.achieved_pct) * fats_mol / (fats_mol + free.demand_mol)

    return replace(division, portions=tuple(
        one if one.free_fat is None else replace(one, superfat_pct=of(one.free_fat)) for one in division.portions))
