"""The bounds of every number, in one place: their values and how a sentence words them.

The maths checks its inputs with them (grams, millimetres, millilitres, degrees Celsius), problems quote them, and the
contract lists them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from kettlewright.amounts import Amount, at_most, bare, length, mass, temperature, volume
from kettlewright.errors import OutOfRange, gather
from kettlewright.said import EnglishText

_HAIR = 1e-12

__all__ = [
    "ACID_VALUE",
    "ADDITIONS_MAX",
    "ADDITIONS_PER_BATCH_MAX",
    "ADDITION_DENSITY",
    "ANY_VALUE",
    "BARS_COUNT",
    "BARS_MADE",
    "BARS_PER_ORDER",
    "BAR_KINDS_MAX",
    "BATCHES_COUNT",
    "BORROWED_PCT",
    "BORROWINGS_PER_BATCH_MAX",
    "BROKEN_PCT",
    "CAVITIES_COUNT",
    "COVERAGE",
    "CURE_DAYS",
    "DEPTH_OFF",
    "DISPERSION_PCT",
    "DOSE",
    "DRYING_DAY",
    "FACTOR",
    "FATS_MAX",
    "FAT_DENSITY",
    "FEE_PCT",
    "ICE_PCT",
    "KEEPS_BACK",
    "KEPT_BACK_COUNT",
    "KERF",
    "LAB_AXIS",
    "LENGTH",
    "LIGHTNESS",
    "LIMIT_PCT",
    "LOSS_PCT",
    "LYE_CONCENTRATION_PCT",
    "MARGIN_PCT",
    "MARKUP_PCT",
    "MASS",
    "MIX",
    "MONTHS",
    "MOST_MASS",
    "NAME_LENGTH_MAX",
    "NEAR_END_PCT",
    "OFFCUTS_MAX",
    "OVERHEAD_PCT",
    "PACKING_DAYS",
    "PACKS_COUNT",
    "PART_PCT",
    "PCT_OF_FATS",
    "PIECES_COUNT",
    "PIECES_MAX",
    "PIECES_PER_BAR",
    "PIECES_THERE",
    "PORTIONS_MAX",
    "POURS_COUNT",
    "PROPERTY",
    "PURITY_PCT",
    "READABILITY",
    "SALES_TAX_PCT",
    "SAPONIFICATION_VALUE",
    "SHARE_PCT",
    "SIDES",
    "STOCK_CONCENTRATION_PCT",
    "STRENGTH_PCT",
    "SUPERFAT_PCT",
    "SWATCH_DOSE",
    "TEMPERATURE",
    "TIMES_MADE",
    "TOLERANCE_PCT",
    "UNIT",
    "UNMOULD_DAYS",
    "USES",
    "VALUE_TOLERANCE",
    "VOLUME",
    "WATER_PCT_OF_FATS",
    "WATER_TO_ALKALI",
    "WEIGHED",
    "WORK_HOURS",
    "YEARS",
    "Bounds",
    "below",
    "check_each",
    "up_to",
]


@dataclass(frozen=True, slots=True)
class Bounds:
    """The range allowed for a quantity.

    Parameters
    ----------
    name : str
        Name of the quantity, as the start of a sentence. [text]
    low, high : float
        The bounds, both allowed, in the unit the maths works in. [that unit]
    words : str
        The range in words, units included. [text]
    kind : str
        Kind of quantity, one of `amounts.KINDS`; empty for a plain number. [key]
    unit : str
        Unit of a plain number, written after it. [text]
    """

    name: str
    low: float
    high: float
    words: str
    kind: str = ""
    unit: str = ""

    def check(self, value: float, *field: str | int, shown: str | None = None) -> float:
        """Return `value`, or raise an error that states what is allowed.

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
        if self.low <= value <= self.high:
            return value
        inside = min(max(value, self.low), self.high)
        # a bound that is met exactly in another unit counts as met, whatever the binary rounding
        if not math.isclose(value, inside, rel_tol=_HAIR):
            given = shown if shown is not None else Amount(value, self.kind, 9) if self.kind else f"{value:.9g}"
            if self.unit:
                given = f"{given} {self.unit}"
            raise OutOfRange(EnglishText("{name} of {given} is not possible here; it must be {words}.", name=self.name,
                                         given=given, words=self.words), field=field, value=value, allowed=self.words)
        return inside


def check_each(of: object, checks: gather, **bounds: Bounds) -> None:
    """Check numbers of an object independently, except those that are None.

    Parameters
    ----------
    of : object
        Whose attributes they are. [as their bounds]
    checks : gather
        Collects the errors. [errors]
    bounds : Bounds
        Of each, by its name; the field of an error is that name without the unit of a quantity. [bounds]
    """
    for name, one in bounds.items():
        value = getattr(of, name)
        if value is not None and not one.low <= value <= one.high:
            with checks.at():
                one.check(value, name.removesuffix("_g").removesuffix("_mm").removesuffix("_c"))


def up_to(most: Amount) -> EnglishText:
    """The words for "this or less" (`most`). [text]"""
    return EnglishText("at most {most}", most=at_most(most))


def below(most: Amount) -> EnglishText:
    """The words for "less than this" (`most`). [text]"""
    return EnglishText("below {most}", most=at_most(most))


def _above_zero(low: Amount, high: Amount) -> EnglishText:
    return EnglishText("above 0 (from {low}) and at most {high}", low=low, high=at_most(high))


def _from_zero(high: Amount) -> EnglishText:
    return EnglishText("from 0 to {high}", high=at_most(high))


def _percent(name: str, low: float, high: float, words: str, unit: str = "%") -> Bounds:
    return Bounds(name, low, high, words, unit=unit)


MOST_MASS = at_most(mass(1e6, large=True, groups=True))
"""The largest batch. [g]"""


MASS = Bounds("A mass", 1e-6, 1e6, _above_zero(mass(1e-6, digits=1), MOST_MASS), "mass")
WEIGHED = Bounds("A weighing", 0, 1e6, "0 or more, in the unit of its row; 0 means that it was forgotten")
MIX = Bounds("The number of a mix", 1, 20, "from 1 to 20")
KEEPS_BACK = Bounds("A mass", 0, 1e6, _from_zero(MOST_MASS), "mass")
LENGTH = Bounds("A length", 0.001, 10_000, _above_zero(length(0.001, digits=1), length(10_000, large=True)), "length")
DEPTH_OFF = Bounds("A liner, headspace or trim", 0, 10_000, _from_zero(length(10_000, large=True)), "length")
KERF = Bounds("A length", 0, 100, _from_zero(length(100)), "length")
VOLUME = Bounds("A volume", 1e-6, 1e9, _above_zero(volume(1e-6, digits=1),
                                                      volume(1e9, large=True, groups=True)), "volume")
TEMPERATURE = Bounds("A temperature", 0, 100, EnglishText("from {low} to {high}", low=bare(temperature(0)),
                                                                 high=temperature(100)), "temperature")
READABILITY = Bounds("A step of the scale", 1e-9, 10_000, _above_zero(mass(1e-9, digits=1), mass(10_000, large=True)),
                     "mass")
SUPERFAT_PCT = _percent("A superfat", 0, 50, "from 0 to 50 %")
PURITY_PCT = _percent("A purity", 50, 100, "from 50 to 100 %")
STOCK_CONCENTRATION_PCT = _percent("A stock strength", 1, 50, "from 1 to 50 %")
TOLERANCE_PCT = _percent("A tolerance", 0, 20, "from 0 to 20 %")
SHARE_PCT = _percent("A share", 1e-6, 100, "above 0 (from 0.000001) and at most 100 %")
PART_PCT = _percent("A share", 0, 100, "from 0 to 100 %")
ACID_VALUE = Bounds("An acid value", 0, 400, "from 0 to the saponification value it is a part of")
VALUE_TOLERANCE = Bounds("The tolerance of a saponification value", 0, 50, "from 0 to 50 mg KOH per g of fat")
PROPERTY = Bounds("A constraint on a blend", 0, 1000, "from 0 to 1,000")
ICE_PCT = _percent("A share of ice", 0, 100, "from 0 to 100 %: there cannot be more ice than water")
STRENGTH_PCT = _percent("A strength", 0.01, 100, "from 0.01 to 100 %")
BORROWED_PCT = _percent("A borrowed share", 1e-6, 99.9, "above 0 (from 0.000001) and at most 99.9 %")
DISPERSION_PCT = _percent("A dispersion strength", 0.1, 99, "from 0.1 to 99 %")
PCT_OF_FATS = _percent("An amount", 1e-6, 100, "above 0 (from 0.000001) and at most 100 %", "% of the fats")
LYE_CONCENTRATION_PCT = _percent("A lye concentration", 5, 60, "from 5 to 60 %")
WATER_TO_ALKALI = Bounds("A ratio of water to alkali", 0.6, 20, "from 0.6 to 20")
WATER_PCT_OF_FATS = _percent("An amount of water", 1, 300, "from 1 to 300 %", "% of the fats")
SAPONIFICATION_VALUE = Bounds("A saponification value", 60, 400,
                              "from 60 to 400 mg KOH per g of fat (real fats and waxes; 170 to 270 for most oils)")
FAT_DENSITY = Bounds("The density of a fat", 0.7, 1.2, "from 0.7 to 1.2 g/mL")
ADDITION_DENSITY = Bounds("A density", 0.05, 10, "from 0.05 to 10 g/mL")
DOSE = Bounds("A dose", 1e-6, 1e6, "above 0 (from 0.000001), and no more than the batter it goes into")
COVERAGE = Bounds("A coverage", 0.001, 5_000, "above 0 (from 0.001) and at most 5,000 g/m2")
LIMIT_PCT = _percent("A limit", 1e-6, 100, "above 0 (from 0.000001) and at most 100 %", "% of the cured bar")
LOSS_PCT = _percent("A loss in cure", 0, 60, "from 0 to 60 %")
MONTHS = Bounds("A period after opening", 1, 120, "from 1 to 120 months")
ANY_VALUE = Bounds("A value of an earlier plan", -1e12, 1e12, "from -1e12 to 1e12")
FACTOR = Bounds("A factor", 1e-6, 10_000, "above 0 (from 0.000001) and at most 10,000")
BARS_COUNT = Bounds("A number of bars", 1, 100_000, "from 1 to 100,000")
BARS_MADE = Bounds("A number of finished bars", 0, 100_000, "from 0 to 100,000")
SIDES = Bounds("A number of sides", 3, 100, "from 3 to 100")
SWATCH_DOSE = Bounds("A dose of colourant", 0, 500, "from 0 to 500 g per kg of batter")
LIGHTNESS = Bounds("A lightness L*", 0, 100, "from 0 to 100")
LAB_AXIS = Bounds("A coordinate a* or b*", -200, 200, "from -200 to 200")
UNIT = Bounds("A lightness of a portion", 0, 1, "from 0 to 1")
USES = Bounds("A number of fillings", 1, 200, "from 1 to 200")
CAVITIES_COUNT = Bounds("A number of moulds or cavities", 1, 500, "from 1 to 500")
WORK_HOURS = Bounds("A number of hours", 0, 10_000, "from 0 to 10,000")
OVERHEAD_PCT = _percent("An overhead", 0, 1_000, "from 0 to 1,000 %")
BROKEN_PCT = _percent("A share of broken bars", 0, 99, "from 0 to 99 %")
KEPT_BACK_COUNT = Bounds("A number of bars kept back", 0, 100_000, "from 0 to 100,000")
MARGIN_PCT = _percent("A margin", 0, 99.9,
                      "from 0 to 99.9 %: a margin of 100 % would leave nothing for the cost. A markup on the cost may "
                      "be 100 % and more", "% of the net price")
MARKUP_PCT = _percent("A markup", 0, 100_000, "from 0 to 100,000 %", "% of the cost")
SALES_TAX_PCT = _percent("A sales tax", 0, 100, "from 0 to 100 %")
FEE_PCT = _percent("A fee", 0, 90, "from 0 to 90 %", "% of the gross price")
BARS_PER_ORDER = Bounds("A number of bars in an order", 1, 10_000, "from 1 to 10,000")
TIMES_MADE = Bounds("A number of batches", 1, 10_000, "from 1 to 10,000")
PIECES_COUNT = Bounds("A number of pieces", 1, 1_000_000, "from 1 to 1,000,000")
PIECES_PER_BAR = Bounds("A number of pieces", 0.01, 100, "from 0.01 to 100")
PIECES_THERE = Bounds("A number of pieces", 0, 1_000_000, "from 0 to 1,000,000")
PACKS_COUNT = Bounds("A number of packs", 1, 100_000, "from 1 to 100,000")

UNMOULD_DAYS = Bounds("A number of days in the mould", 0, 60, "from 0 to 60")
CURE_DAYS = Bounds("A number of curing days", 0, 1_500, "from 0 to 1,500")
PACKING_DAYS = Bounds("A number of packing days", 0, 60, "from 0 to 60")
DRYING_DAY = Bounds("A day of the cure", 0, 1_500, "from 0 to 1,500, counted from day 0")
NEAR_END_PCT = _percent("A distance from the final mass", 0.001, 50, "from 0.001 to 50 %")
BATCHES_COUNT = Bounds("A number of batches", 1, 200, "from 1 to 200")
POURS_COUNT = Bounds("A number of pours a day", 1, 100, "from 1 to 100")

YEARS = (2000, 2199)
"""First and last year of the calendar; a date outside them is a typing error."""

PIECES_MAX = 5_000
"""Bars and offcuts of one cutting plan; more of them means a wrong unit, since no workshop has such a slab."""

BAR_KINDS_MAX = 400
"""Different kinds of bar in one cutting plan: in a slanted mould the bars along the walls differ."""

FATS_MAX = 60
"""Fats of a recipe or a blend."""

PORTIONS_MAX = 60
"""Portions of a batch."""

ADDITIONS_MAX = 40
"""Additions of a pot or of one bucket."""

ADDITIONS_PER_BATCH_MAX = 240
"""Additions to the pot and to the portions together."""

BORROWINGS_PER_BATCH_MAX = 80
"""Borrowings of all portions of a batch together."""

OFFCUTS_MAX = 6  # batches whose offcuts are melted together: each is planned in full
NOTES_MAX = 12  # lines: about a third of a page
NAME_LENGTH_MAX = 200
"""Characters in a name that the maker gives."""
