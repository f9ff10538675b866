"""The bounds every number is checked against, once: their values, and the words a maker reads.

The same bounds guard the maths (grams, millimetres, millilitres, degrees Celsius), name themselves in problems and
stand in the contract; none is written a second time.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from kettlewright.errors import OutOfRange

__all__ = [
    "ADDITION_DENSITY",
    "BARS_COUNT",
    "CAVITIES_COUNT",
    "COVERAGE",
    "DEPTH_OFF",
    "DOSE_PER_KG",
    "FACTOR",
    "FAT_DENSITY",
    "KEEPS_BACK",
    "KERF",
    "LENGTH",
    "LIMIT_PCT",
    "LOSS_PCT",
    "LYE_CONCENTRATION_PCT",
    "MASS",
    "NAME_LENGTH_MAX",
    "PCT_OF_FATS",
    "PIECES_MAX",
    "PURITY_PCT",
    "READABILITY",
    "SAPONIFICATION_VALUE",
    "SHARE_PCT",
    "STOCK_CONCENTRATION_PCT",
    "STRENGTH_PCT",
    "SUPERFAT_PCT",
    "TEMPERATURE",
    "TOLERANCE_PCT",
    "VOLUME",
    "WATER_PCT_OF_FATS",
    "WATER_TO_ALKALI",
    "Bounds",
]


@dataclass(frozen=True, slots=True)
class Bounds:
    """What a quantity may be.

    Parameters
    ----------
    name : str
        What the quantity is called in a sentence. [text]
    low, high : float
        The bounds, in the unit the maths works in. [that unit]
    words : str
        What is allowed, as a maker reads it, units included. [text]
    low_open : bool
        Whether `low` itself is refused. [yes or no]
    """

    name: str
    low: float
    high: float
    words: str
    low_open: bool = False

    def check(self, value: float, *field: str | int, shown: str | None = None) -> float:
        """Return `value`, or say what is allowed.

        Parameters
        ----------
        value : float
            The quantity. [the unit of the bounds]
        field : str or int, any number
            Its path. [path]
        shown : str, optional
            The value as the maker wrote it, unit included. [text]

        Raises
        ------
        OutOfRange : `value` lies outside the bounds, or is not finite.
        """
        inside = self.low < value if self.low_open else self.low <= value
        if not (math.isfinite(value) and inside and value <= self.high):
            given = shown if shown is not None else f"{value:.9g}"
            raise OutOfRange(f"{self.name} of {given} is not possible here; it must be {self.words}.",
                             field=field, value=value, allowed=self.words)
        return value


MASS = Bounds("A mass", 0, 1e6, "above 0 and at most 1,000 kg", low_open=True)
KEEPS_BACK = Bounds("A mass that stays behind", 0, 1e6, "from 0 to 1,000 kg")
LENGTH = Bounds("A length", 0, 10_000, "above 0 and at most 10 m", low_open=True)
DEPTH_OFF = Bounds("A liner, headspace or trim", 0, 10_000, "from 0 to 10 m")
KERF = Bounds("A kerf or cutting tolerance", 0, 100, "from 0 to 100 mm")
VOLUME = Bounds("A volume", 0, 1e9, "above 0 and at most 1,000,000 L", low_open=True)
TEMPERATURE = Bounds("A temperature", 0, 100, "from 0 to 100 degC")
READABILITY = Bounds("A step of the scale", 0, 10_000, "above 0 and at most 10 kg", low_open=True)
SUPERFAT_PCT = Bounds("A superfat in percent", 0, 50, "from 0 to 50")
PURITY_PCT = Bounds("A purity in percent", 50, 100, "from 50 to 100")
STOCK_CONCENTRATION_PCT = Bounds("The strength of a stock solution in percent", 1, 50, "from 1 to 50")
TOLERANCE_PCT = Bounds("A tolerance in percent", 0, 20, "from 0 to 20")
SHARE_PCT = Bounds("A share in percent", 0, 100, "above 0 and at most 100", low_open=True)
STRENGTH_PCT = Bounds("A strength in percent", 0, 100, "above 0 and at most 100", low_open=True)
PCT_OF_FATS = Bounds("An amount in percent of the fats", 0, 100, "above 0 and at most 100", low_open=True)
LYE_CONCENTRATION_PCT = Bounds("A lye concentration in percent", 5, 60, "from 5 to 60")
WATER_TO_ALKALI = Bounds("A ratio of water to alkali", 0.6, 20, "from 0.6 to 20")
WATER_PCT_OF_FATS = Bounds("Water in percent of the fats", 1, 300, "from 1 to 300")
SAPONIFICATION_VALUE = Bounds("A saponification value", 60, 400,
                              "from 60 to 400 mg KOH per g of fat (real fats and waxes; 170 to 270 for most oils)")
FAT_DENSITY = Bounds("The density of a fat", 0.7, 1.2, "from 0.7 to 1.2 g/mL")
ADDITION_DENSITY = Bounds("The density of an addition", 0.05, 10, "from 0.05 to 10 g/mL")
DOSE_PER_KG = Bounds("A dose", 0, 1e6, "above 0, and no more than the batter it goes into", low_open=True)
COVERAGE = Bounds("The coverage of a dusting", 0, 5_000, "above 0 and at most 5,000 g/m2", low_open=True)
LIMIT_PCT = Bounds("A limit in percent of the cured bar", 0, 100, "above 0 and at most 100", low_open=True)
LOSS_PCT = Bounds("A loss in cure in percent", 0, 60, "from 0 to 60")
FACTOR = Bounds("A factor", 0, 10_000, "above 0 and at most 10,000", low_open=True)
BARS_COUNT = Bounds("A number of bars", 1, 100_000, "from 1 to 100,000")
CAVITIES_COUNT = Bounds("A number of moulds or cavities", 1, 500, "from 1 to 500")

PIECES_MAX = 5_000
"""Pieces one answer of the cutting plan may list; more is no workshop's slab but a typing mistake."""

NAME_LENGTH_MAX = 200
"""Characters a name of the maker's may have."""
