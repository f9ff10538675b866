"""From pot to cut bar: batter, moulds, portions and their layers, doses, cuts."""

from kettlewright.pour.additions import BASES, KINDS, Addition
from kettlewright.pour.bar_limits import BarMix, LimitCheck, bars_of, check_loss_of_pieces, judge_limits
from kettlewright.pour.batter import POT_FULL, Batter, Vessels, batter_of, vessels_for
from kettlewright.pour.carriers import CARRIERS, Contains, Dispersion
from kettlewright.pour.constituents import Constituent
from kettlewright.pour.cut.cut_inputs import BarCut, Block, Finish, LoafCut, Tolerance, Trim
from kettlewright.pour.cut.cut_pieces import BarKind, BarMass, Bars, Cuts, Loaves, Offcut
from kettlewright.pour.cut.cuts import cut_block
from kettlewright.pour.dilution import Dilution
from kettlewright.pour.dispersions import MadeDispersion, check_dispersions, dispersions_of
from kettlewright.pour.division import Column, Division, FreeFat, Layer, Overflow, WeighedDusting, WeighedPortion
from kettlewright.pour.free_fat import with_superfats
from kettlewright.pour.largest_doses import Replanned, with_doses, with_largest_doses
from kettlewright.pour.mixing_order import MixingStep, bucket_order, mixing_order
from kettlewright.pour.mould.filling import FILLING_OBJECTIVES, Filling, MouldAtHand, best_filling
from kettlewright.pour.mould.in_words import mould_in_words
from kettlewright.pour.mould.moulds import Fill, Mould, fill_by_depth, fill_by_mass, fill_by_volume, fill_mould
from kettlewright.pour.mould.shapes import (
    SHAPES,
    Bowl,
    Box,
    ConeFrustum,
    Cylinder,
    EllipticCylinder,
    HalfRound,
    LyingCylinder,
    Measured,
    Prism,
    Shape,
    TaperedBox,
    Trough,
)
from kettlewright.pour.mould.solids import solid_of
from kettlewright.pour.portions import ARRANGEMENTS, check_fits, divide
from kettlewright.pour.requested_portions import Borrowing, Dusting, Portion, Residue, whole_batch
from kettlewright.pour.sizing import factor_to_fill, factor_to_use_up, shares_of_layers, shares_of_pour
from kettlewright.pour.weighed_additions import WeighedAddition

__all__ = [
    "ARRANGEMENTS",
    "BASES",
    "CARRIERS",
    "FILLING_OBJECTIVES",
    "KINDS",
    "POT_FULL",
    "SHAPES",
    "Addition",
    "BarCut",
    "BarKind",
    "BarMass",
    "BarMix",
    "Bars",
    "Batter",
    "Block",
    "Borrowing",
    "Bowl",
    "Box",
    "Column",
    "ConeFrustum",
    "Constituent",
    "Contains",
    "Cuts",
    "Cylinder",
    "Dilution",
    "Dispersion",
    "Division",
    "Dusting",
    "EllipticCylinder",
    "Fill",
    "Filling",
    "Finish",
    "FreeFat",
    "HalfRound",
    "Layer",
    "LimitCheck",
    "LoafCut",
    "Loaves",
    "LyingCylinder",
    "MadeDispersion",
    "Measured",
    "MixingStep",
    "Mould",
    "MouldAtHand",
    "Offcut",
    "Overflow",
    "Portion",
    "Prism",
    "Replanned",
    "Residue",
    "Shape",
    "TaperedBox",
    "Tolerance",
    "Trim",
    "Trough",
    "Vessels",
    "WeighedAddition",
    "WeighedDusting",
    "WeighedPortion",
    "bars_of",
    "batter_of",
    "best_filling",
    "bucket_order",
    "check_dispersions",
    "check_fits",
    "check_loss_of_pieces",
    "cut_block",
    "dispersions_of",
    "divide",
    "factor_to_fill",
    "factor_to_use_up",
    "fill_by_depth",
    "fill_by_mass",
    "fill_by_volume",
    "fill_mould",
    "judge_limits",
    "mixing_order",
    "mould_in_words",
    "shares_of_layers",
    "shares_of_pour",
    "solid_of",
    "vessels_for",
    "whole_batch",
    "with_doses",
    "with_largest_doses",
    "with_superfats",
]
