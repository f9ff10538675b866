"""Sourced tables and their loader. SOURCES.md lists where each figure comes from and how it is known."""

from kettlewright.reference.allergen_lists import AllergenEntry, allergen_named, allergen_of_cas, allergens, check_cas
from kettlewright.reference.constants import (
    M_GLYCEROL,
    M_KOH,
    M_NAOH,
    M_WATER,
    MG_KOH_PER_MOL,
    PROVENANCES,
)
from kettlewright.reference.densities import ASSUMED_FAT_DENSITY, Density, density_at_40, density_from_figure
from kettlewright.reference.density_of_water import water_density
from kettlewright.reference.fat_names import bare_name, fat, fats_called
from kettlewright.reference.fat_records import AcidShare, Alias, FatRecord, FattyAcid, Figure, LabelNames, OpenFigure
from kettlewright.reference.fats import fats, fatty_acid_constants
from kettlewright.reference.finding import FatFilter, find_fats
from kettlewright.reference.label_names import ColourantRecord, acid_label_names, colour_index_number, colourants
from kettlewright.reference.net_contents import ToleranceRow, net_content_tolerances
from kettlewright.reference.sources import SOURCES, Source, all_sources, fat_source
from kettlewright.reference.theory import (
    DISAGREE_PCT,
    iodine_value_of,
    saponification_value_by_acids,
    saponification_value_of,
)

DATA_VERSION = "2026.5"
"""Version of the tables: raise it with every changed figure, and list the figure before and after in the changelog."""

__all__ = [
    "ASSUMED_FAT_DENSITY",
    "DATA_VERSION",
    "DISAGREE_PCT",
    "MG_KOH_PER_MOL",
    "M_GLYCEROL",
    "M_KOH",
    "M_NAOH",
    "M_WATER",
    "PROVENANCES",
    "SOURCES",
    "AcidShare",
    "Alias",
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
    "all_sources",
    "allergen_named",
    "allergen_of_cas",
    "allergens",
    "bare_name",
    "check_cas",
    "colour_index_number",
    "colourants",
    "density_at_40",
    "density_from_figure",
    "fat",
    "fat_source",
    "fats",
    "fats_called",
    "fatty_acid_constants",
    "find_fats",
    "iodine_value_of",
    "net_content_tolerances",
    "saponification_value_by_acids",
    "saponification_value_of",
    "water_density",
]
