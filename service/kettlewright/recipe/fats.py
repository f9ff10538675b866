"""A fat of the recipe with everything the maths needs, and how well each figure is known."""

from __future__ import annotations

from dataclasses import dataclass

from kettlewright.ranges import Range
from kettlewright.recipe.ingredients import FatPortion
from kettlewright.reference import Source, density_at_40, fat, fat_source

__all__ = ["ASSUMED_FAT_DENSITY", "Fat", "known_fat"]

ASSUMED_FAT_DENSITY = 0.905  # g/mL at 40 degC, the middle of common vegetable oils; own decision
_NARROWEST = 0.01
_RANGE_SAYS_LITTLE = frozenset({"shea"})  # 1 to 19 % unsaponifiable matter: see SOURCES.md


@dataclass(frozen=True, slots=True)
class Fat:
    """A fat as computed with.

    Parameters
    ----------
    key, name, kind : str
        Key, name, and "triglyceride", "wax_ester" or "fatty_acid" (own fats count as triglycerides). [text]
    saponification_value : Range
        Range computed with. [mg KOH per g fat]
    density : float
        At 40 degC. [g/mL]
    own : bool
        The maker's own figure, not the table's. [yes or no]
    range_widened : bool
        The table's range was narrower than 1 % either way and was widened to that. [yes or no]
    value_from_memory, density_from_memory, density_assumed, lot_value_needed : bool
        How well the figures are known. [yes or no]
    sources : tuple of Source
        What the figures rest on; none for an own fat. [sources]
    """

    key: str
    name: str
    kind: str
    saponification_value: Range
    density: float
    own: bool
    range_widened: bool = False
    value_from_memory: bool = False
    density_from_memory: bool = False
    density_assumed: bool = False
    lot_value_needed: bool = False
    sources: tuple[Source, ...] = ()


def known_fat(portion: FatPortion) -> Fat:
    """What is known of a fat of the recipe.

    Parameters
    ----------
    portion : FatPortion
        As asked. [fat]

    Returns
    -------
    Fat : from the table, or the maker's own figures as they stand. [mg KOH per g, g/mL]
    """
    if portion.fat is None:
        assert portion.saponification_value is not None
        return Fat(key=portion.key, name=portion.name or "", kind="triglyceride", own=True,
                   saponification_value=portion.saponification_value,
                   density=portion.density or ASSUMED_FAT_DENSITY, density_assumed=portion.density is None)
    record = fat(portion.fat)
    table = Range(record.saponification_value.min, record.saponification_value.max)
    narrow = table.half_width < _NARROWEST * table.mid
    density = density_at_40(record)
    given = portion.density is not None
    return Fat(
        key=record.key, name=record.name, kind=record.kind, own=False,
        saponification_value=Range(table.mid * (1 - _NARROWEST), table.mid * (1 + _NARROWEST)) if narrow else table,
        density=density.value_g_per_ml if portion.density is None else portion.density,
        range_widened=narrow, value_from_memory=record.saponification_value.verified == "memory",
        density_from_memory=density.from_memory and not given, density_assumed=density.assumed and not given,
        lot_value_needed=record.kind == "wax_ester" or record.key in _RANGE_SAYS_LITTLE,
        sources=(fat_source(record),))
