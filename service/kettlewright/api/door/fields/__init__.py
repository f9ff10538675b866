"""Fields of the contract: strict for requests, nine significant digits in responses.

A schema names an attribute as the maths does and shows it as the maker knows it::

    class Box(Strict):
        builds = pour.Box
        length_mm = Length(bounds=limits.LENGTH, required=True, about="Inside length")

is `length` in JSON, in the unit of `units.length`, and millimetres in the loaded `pour.Box`. Fields that hold others
(`Part`, `ListOf`, `Union`) and the schema `Strict` are in `strict.py`.
"""

from kettlewright.api.door.fields.days import Day, Weekday, read_day
from kettlewright.api.door.fields.numbers import Number, QueryNumber, Whole, metadata_of
from kettlewright.api.door.fields.quantities import Dose, Length, Mass, Quantity, Temperature, Volume
from kettlewright.api.door.fields.texts import AsGiven, Choice, Flag, Text

__all__ = ["AsGiven", "Choice", "Day", "Dose", "Flag", "Length", "Mass", "Number", "Quantity", "QueryNumber",
           "Temperature", "Text", "Volume", "Weekday", "Whole", "metadata_of", "read_day"]
