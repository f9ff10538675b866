"""The recipe: fats, lye, superfat range, lye solution, soap produced, scaling."""

from kettlewright.recipe.acids import ACIDS, Acid, AcidPortion
from kettlewright.recipe.alkalis import AlkaliPortion, Stock
from kettlewright.recipe.as_weighed import OnScale, jug_mass, lye_as_weighed, planned_masses
from kettlewright.recipe.certificates import Certificate, Profile
from kettlewright.recipe.fats import Fat, FatPortion
from kettlewright.recipe.ingredients import Recipe, Temperatures
from kettlewright.recipe.liquids import LiquidPortion
from kettlewright.recipe.lye import make_lye, make_lye_for, make_potful
from kettlewright.recipe.lye_result import Lye, Potful
from kettlewright.recipe.rescue import fat_to_add, is_kept, part_of_lye, with_more_fat
from kettlewright.recipe.scaling import BarsWanted, Limiting
from kettlewright.recipe.water import WaterRule
from kettlewright.recipe.weighed import DispersedFat
from kettlewright.recipe.weighing import Scale
from kettlewright.recipe.workings import SILENT, Book, WorkingLine

__all__ = [
    "ACIDS",
    "SILENT",
    "Acid",
    "AcidPortion",
    "AlkaliPortion",
    "BarsWanted",
    "Book",
    "Certificate",
    "DispersedFat",
    "Fat",
    "FatPortion",
    "Limiting",
    "LiquidPortion",
    "Lye",
    "OnScale",
    "Potful",
    "Profile",
    "Recipe",
    "Scale",
    "Stock",
    "Temperatures",
    "WaterRule",
    "WorkingLine",
    "fat_to_add",
    "is_kept",
    "jug_mass",
    "lye_as_weighed",
    "make_lye",
    "make_lye_for",
    "make_potful",
    "part_of_lye",
    "planned_masses",
    "with_more_fat",
]
