"""Quantities inside texts, written in the reader's units.

The maths writes `Said("Make at least {fats} of fats.", fats=at_least(mass(430.2)))`. In English and grams that is "Make
at least 431 g of fats."; the units and language of the request are applied when the text leaves the service.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Decimal
from types import MappingProxyType

from kettlewright.copies import replace

__all__ = ["KINDS", "LARGER", "SYMBOLS", "UNITS", "Amount", "at_least", "at_most", "bare", "dose", "length", "mass",
           "scale_step", "temperature", "volume"]

UNITS: Mapping[str, Mapping[str, tuple[float, float]]] = MappingProxyType({
    # unit: (factor, offset) of base = value * factor + offset; the first is the base; the factors are exact
    "mass": {"g": (1.0, 0.0), "kg": (1000.0, 0.0), "oz": (28.349523125, 0.0), "lb": (453.59237, 0.0)},
    "dose": {"g": (1.0, 0.0), "oz": (28.349523125, 0.0)},
    "length": {"mm": (1.0, 0.0), "cm": (10.0, 0.0), "in": (25.4, 0.0)},
    "volume": {"mL": (1.0, 0.0), "L": (1000.0, 0.0), "us_fl_oz": (29.5735295625, 0.0)},
    "temperature": {"degC": (1.0, 0.0), "degF": (5 / 9, -160 / 9)},
})
KINDS = tuple(UNITS)
SYMBOLS: Mapping[str, str] = MappingProxyType({"us_fl_oz": "US fl oz", "degC": "°C", "degF": "°F"})
"""How a text writes a unit whose key is not its symbol. [text]"""
LARGER: Mapping[str, tuple[str, float]] = MappingProxyType({
    # the larger unit for `large` amounts, and how much of the base unit it is
    "g": ("kg", 1000.0), "oz": ("lb", 453.59237), "mm": ("m", 1000.0), "cm": ("m", 1000.0), "mL": ("L", 1000.0)})
_GUARD = 1e-9


@dataclass(frozen=True, slots=True)
class Amount:
    """A quantity in a text; made by `mass`, `dose`, `length`, `volume` and `temperature`.

    Parameters
    ----------
    value : float
        The quantity. [g, mm, mL or degC]
    kind : str
        One of `KINDS`: selects which of the request's units is used. [key]
    digits : int
        Significant digits, trailing zeros removed. [count]
    places : int, optional
        Decimals in the unit of the maths, instead of `digits`; another unit gets a similar resolution. [count]
    rounding : str
        "nearest", "down", "up", or "step": down to 1, 2 or 5 times a power of ten, like the steps of scales. [key]
    large : bool
        Use kilograms, pounds, metres or litres if the request has a smaller unit. [yes or no]
    groups : bool
        Put a comma between thousands. [yes or no]
    bare : bool
        Leave the unit out, as at the lower end of a range. [yes or no]
    """

    value: float
    kind: str
    digits: int = 6
    places: int | None = None
    rounding: str = "nearest"
    large: bool = False
    groups: bool = False
    bare: bool = False

    def written(self, unit: str) -> tuple[str, str]:
        """The number's digits and the symbol of its unit.

        Parameters
        ----------
        unit : str
            A unit of the amount's kind. [key]

        Returns
        -------
        tuple of (str, str) : such as ("0.5", "oz"). [text]
        """
        factor, offset = UNITS[self.kind][unit]
        symbol = SYMBOLS.get(unit, unit)
        if self.large and unit in LARGER:
            symbol, factor = LARGER[unit]
        return self._digits((self.value - offset) / factor if factor != 1.0 else self.value, factor), symbol

    def _digits(self, value: float, factor: float) -> str:
        if not math.isfinite(value):
            return str(value)
        if self.rounding == "step":
            number = _step_below(value)
        else:
            lowest = -round(self.places + math.log10(factor)) if self.places is not None else \
                _magnitude(value) - self.digits + 1
            if self.rounding == "nearest" and lowest <= 0:  # as `_rounded` has it, in a fifth of the time
                text = f"{value:{',' if self.groups else ''}.{-lowest}f}"
                text = text.rstrip("0").rstrip(".") if self.places is None and lowest < 0 else text
                return text[1:] if text[0] == "-" and not text.strip("-0.") else text
            number = _rounded(value, lowest, self.rounding)
        if self.places is None:
            number = number.normalize()
        return f"{abs(number) if number == 0 else number:{',' if self.groups else ''}f}"

    def __str__(self) -> str:
        digits, symbol = self.written(next(iter(UNITS[self.kind])))
        return digits if self.bare else f"{digits} {symbol}"


def _magnitude(value: float) -> int:
    return math.floor(math.log10(abs(value))) if value else 0


def _rounded(value: float, lowest: int, rounding: str) -> Decimal:
    """Round to a power of ten; a tiny binary error must not push a number to the next step."""
    quantum = Decimal(1).scaleb(lowest)
    if rounding == "down":
        return Decimal(value + abs(value) * _GUARD).quantize(quantum, ROUND_FLOOR)
    if rounding == "up":
        return Decimal(value - abs(value) * _GUARD).quantize(quantum, ROUND_CEILING)
    return Decimal(value).quantize(quantum, ROUND_HALF_EVEN)


def _step_below(value: float) -> Decimal:
    if value <= 0:
        return Decimal(0)
    power = Decimal(1).scaleb(_magnitude(value))
    return max((part * power for part in (1, 2, 5) if float(part * power) <= value * (1 + _GUARD)),
               default=Decimal(1).scaleb(_magnitude(value) - 1) * 5)


def mass(value_g: float, *, digits: int = 6, places: int | None = None, large: bool = False,
         groups: bool = False) -> Amount:
    """A mass in the unit of `units.mass` (`value_g` [g]; `digits`, `places`, `large`, `groups` as for `Amount`)."""
    return Amount(value_g, "mass", digits, places, large=large, groups=groups)


def dose(value_g: float, *, digits: int = 6, places: int | None = None) -> Amount:
    """A mass on the fine scale, in the unit of `units.dose` (`value_g` [g]; `digits`, `places` as for `Amount`)."""
    return Amount(value_g, "dose", digits, places)


def length(value_mm: float, *, digits: int = 6, places: int | None = None, large: bool = False) -> Amount:
    """A length in the unit of `units.length` (`value_mm` [mm]; `digits`, `places`, `large` as for `Amount`)."""
    return Amount(value_mm, "length", digits, places, large=large)


def volume(value_ml: float, *, digits: int = 6, places: int | None = None, large: bool = False,
           groups: bool = False) -> Amount:
    """A volume in the unit of `units.volume` (`value_ml` [mL]; the rest as for `Amount`)."""
    return Amount(value_ml, "volume", digits, places, large=large, groups=groups)


def temperature(value_c: float, *, places: int = 0) -> Amount:
    """A temperature in the unit of `units.temperature` (`value_c` [degC]; `places` as for `Amount`)."""
    return Amount(value_c, "temperature", places=places)


def at_most(amount: Amount) -> Amount:
    """The amount rounded down, so that rounding never raises a maximum (`amount`). [its unit]"""
    return replace(amount, rounding="down")


def at_least(amount: Amount) -> Amount:
    """The amount rounded up, so that rounding never lowers a minimum (`amount`). [its unit]"""
    return replace(amount, rounding="up")


def bare(amount: Amount) -> Amount:
    """The amount without its unit, for the lower end of a range (`amount`). [its unit]"""
    return replace(amount, bare=True)


def scale_step(amount: Amount) -> Amount:
    """The amount rounded down to a step that scales have: 1, 2 or 5 times a power of ten (`amount`). [its unit]"""
    return replace(amount, rounding="step")
