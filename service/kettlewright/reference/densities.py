"""Density of a fat at 40 degC, from the table's figure at its own temperature."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache

from kettlewright.reference.density_of_water import water_density
from kettlewright.reference.fat_records import FatRecord, Figure

__all__ = ["ASSUMED_FAT_DENSITY", "Density", "density_at_40", "density_from_figure"]

ASSUMED_FAT_DENSITY = 0.905  # g/mL at 40 degC, the middle of common vegetable oils; own decision
_SLOPE_PER_K = 0.00066  # g/mL per K, from memory: 0.00064 to 0.00068 for vegetable oils
_AT_C = 40.0
_WITH_WATER = re.compile(r"(?:about, )?([\d.]+) degC / water ([\d.]+) degC")
_ALONE = re.compile(r"(?:about, )?([\d.]+) degC(?: \(.*\))?")


@dataclass(frozen=True, slots=True)
class Density:
    """Density at 40 degC.

    Parameters
    ----------
    value_g_per_ml : float
        Density. [g/mL]
    assumed, from_memory : bool
        It is assumed; the table's figure is from memory. [yes or no]
    """

    value_g_per_ml: float
    assumed: bool
    from_memory: bool


def density_from_figure(figure: Figure | None) -> Density:
    """Convert a density of the table to 40 degC.

    Parameters
    ----------
    figure : Figure, optional
        With its condition. [relative to water at the second temperature, else g/mL]

    Returns
    -------
    Density : middle of the range, times the density of the reference water, converted to 40 degC; 0.905 if
        nothing or no temperature is stated. [g/mL]

    Raises
    ------
    ValueError : an unreadable condition.
    """
    if figure is None or figure.condition == "temperature not stated":
        return Density(ASSUMED_FAT_DENSITY, assumed=True, from_memory=False)
    middle = (figure.min + figure.max) / 2
    if match := _WITH_WATER.fullmatch(figure.condition):
        value = middle * water_density(float(match[2]))
    elif match := _ALONE.fullmatch(figure.condition):
        value = middle
    else:
        raise ValueError(f"fats table: the condition {figure.condition!r} cannot be read")
    return Density(value - _SLOPE_PER_K * (_AT_C - float(match[1])), assumed=False,
                   from_memory=figure.verified == "memory")


@cache
def _density(record: FatRecord) -> Density:
    return density_from_figure(record.relative_density)


def density_at_40(record: FatRecord) -> Density:
    """Density of a fat in the table at 40 degC (`record`: its row). [g/mL]"""
    return _density(record)
