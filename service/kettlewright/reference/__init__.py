"""Sourced tables and their loader. Where each figure comes from, and how it was read: SOURCES.md beside this file."""

from kettlewright.reference.allergens import AllergenEntry, allergen_named, allergen_of_cas, allergens, check_cas
from kettlewright.reference.constants import M_GLYCEROL, M_KOH, M_NAOH, M_WATER, MG_KOH_PER_MOL
from kettlewright.reference.densities import ASSUMED_FAT_DENSITY, Density, density_at_40, density_from_figure
from kettlewright.reference.fats import (
    AcidShare,
    FatRecord,
    FattyAcid,
    Figure,
    LabelNames,
    OpenFigure,
    fat,
    fats,
    fatty_acid_constants,
)
from kettlewright.reference.finding import FatFilter, find_fats
from kettlewright.reference.label_names import ColourantRecord, acid_label_names, colour_index_number, colourants
from kettlewright.reference.net_contents import ToleranceRow, net_content_tolerances
from kettlewright.reference.sources import SOURCES, Source, fat_source
from kettlewright.reference.water import water_density

DATA_VERSION = "2026.3"
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
    "AllergenEntry",
    "ColourantRecord",
    "Density",
    "FatFilter",
    "FatRecord",
    "FattyAcid",
    "Figure",
    "LabelNames",
    "OpenFigure",
    "Source",
    "ToleranceRow",
    "acid_label_names",
    "allergen_named",
    "allergen_of_cas",
    "allergens",
    "check_cas",
    "colour_index_number",
    "colourants",
    "density_at_40",
    "density_from_figure",
    "fat",
    "fat_source",
    "fats",
    "fatty_acid_constants",
    "find_fats",
    "net_content_tolerances",
    "water_density",
]
