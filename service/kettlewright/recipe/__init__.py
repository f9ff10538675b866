"""What goes into the pot: fats, lye, superfat range, lye solution, soap made, scaling."""

from kettlewright.recipe.acids import ACIDS, Acid
from kettlewright.recipe.fats import Fat
from kettlewright.recipe.ingredients import (
    AcidPortion,
    AlkaliPortion,
    FatPortion,
    Recipe,
    Stock,
    Temperatures,
    WaterRule,
)
from kettlewright.recipe.lye import Lye, make_lye
from kettlewright.recipe.scaling import BarsWanted, Limiting
from kettlewright.recipe.weighing import Scale

__all__ = [
    "ACIDS",
    "Acid",
    "AcidPortion",
    "AlkaliPortion",
    "BarsWanted",
    "Fat",
    "FatPortion",
    "Limiting",
    "Lye",
    "Recipe",
    "Scale",
    "Stock",
    "Temperatures",
    "WaterRule",
    "make_lye",
]
