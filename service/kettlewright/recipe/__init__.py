"""What goes into the pot: fats, lye, superfat range, lye solution, soap made, scaling."""

from kettlewright.recipe.acids import ACIDS, Acid, AcidPortion
from kettlewright.recipe.alkalis import AlkaliPortion, Stock
from kettlewright.recipe.fats import Fat, FatPortion
from kettlewright.recipe.ingredients import Recipe, Temperatures
from kettlewright.recipe.lye import Lye, make_lye
from kettlewright.recipe.scaling import BarsWanted, Limiting
from kettlewright.recipe.water import WaterRule
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
