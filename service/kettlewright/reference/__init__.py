"""Sourced tables and their loader. Where each figure comes from, and how it was read: SOURCES.md beside this file."""

from kettlewright.reference.constants import M_GLYCEROL, M_KOH, M_NAOH, M_WATER, MG_KOH_PER_MOL
from kettlewright.reference.densities import ASSUMED_FAT_DENSITY, Density, density_at_40, density_from_figure
from kettlewright.reference.fats import (
    AcidShare,
    FatRecord,
    FattyAcid,
    Figure,
    OpenFigure,
    fat,
    fats,
    fatty_acid_constants,
)
from kettlewright.reference.finding import FatFilter, find_fats
from kettlewright.reference.sources import SOURCES, Source, fat_source
from kettlewright.reference.water import water_density

DATA_VERSION = "2026.2"
"""Version of the tables; a changed figure changes it, and the changelog lists before and after."""

__all__ = [
    "ASSUMED_FAT_DENSITY",
    "DATA_VERSION",
    "MG_KOH_PER_MOL",
    "M_GLYCEROL",
    "M_KOH",
    "M_NAOH",
    "M_WATER",
    "SOURCES",
    "AcidShare",
    "Density",
    "FatFilter",
    "FatRecord",
    "FattyAcid",
    "Figure",
    "OpenFigure",
    "Source",
    "density_at_40",
    "density_from_figure",
    "fat",
    "fat_source",
    "fats",
    "fatty_acid_constants",
    "find_fats",
    "water_density",
]
