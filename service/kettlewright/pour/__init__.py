"""From the pot to the cut bar: batter, moulds, portions and their layers, doses, cuts."""

from kettlewright.pour.additions import BASES, KINDS, Addition, WeighedAddition
from kettlewright.pour.batter import Batter, Vessels, batter_of, vessels_for
from kettlewright.pour.cuts import BarCut, Bars, Block, Cuts, LoafCut, Loaves, Offcut, Tolerance, Trim, cut_block
from kettlewright.pour.moulds import Box, Cylinder, Fill, Measured, Mould, fill_by_depth, fill_by_mass, fill_by_volume
from kettlewright.pour.portions import (
    ARRANGEMENTS,
    Division,
    Dusting,
    Layer,
    Portion,
    Residue,
    WeighedDusting,
    WeighedPortion,
    check_fits,
    divide,
    whole_batch,
)
from kettlewright.pour.sizing import factor_to_fill, factor_to_use_up

__all__ = [
    "ARRANGEMENTS",
    "BASES",
    "KINDS",
    "Addition",
    "BarCut",
    "Bars",
    "Batter",
    "Block",
    "Box",
    "Cuts",
    "Cylinder",
    "Division",
    "Dusting",
    "Fill",
    "Layer",
    "LoafCut",
    "Loaves",
    "Measured",
    "Mould",
    "Offcut",
    "Portion",
    "Residue",
    "Tolerance",
    "Trim",
    "Vessels",
    "WeighedAddition",
    "WeighedDusting",
    "WeighedPortion",
    "batter_of",
    "check_fits",
    "cut_block",
    "divide",
    "factor_to_fill",
    "factor_to_use_up",
    "fill_by_depth",
    "fill_by_mass",
    "fill_by_volume",
    "vessels_for",
    "whole_batch",
]
