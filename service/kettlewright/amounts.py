"""Quantities inside sentences: a number of the maths that is written in the units of whoever reads it.

The maths writes `Said("Make at least {fats} of fats.", fats=at_least(mass(430.2)))`. In English and grams that is "Make
at least 431 g of fats."; where a text leaves the service it is written in the units and the language of the request.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Decimal
from types import MappingProxyType

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
"""How a unit is written in a sentence, where that is not its key. [text]"""
LARGER: Mapping[str, tuple[str, float]] = MappingProxyType({
    # the unit for what is too large for the usual one, and how much of the base it is
    "g": ("kg", 1000.0), "oz": ("lb", 453.59237), "mm": ("m", 1000.0), "cm": ("m", 1000.0), "mL": ("L", 1000.0)})
_GUARD = 1e-9


@dataclass(frozen=True, slots=True)
class Amount:
    """A quantity in a sentence; `mass`, `dose`, `length`, `volume` and `temperature` make one.

    Parameters
    ----------
    value : float
        The quantity. [g, mm, mL or degC]
    kind : str
        One of `KINDS`: it decides which of the request's units is used. [key]
    digits : int
        Significant digits, without zeros at the end. [count]
    places : int, optional
        Decimals in the unit of the maths, in place of `digits`; another unit gets as many as are about as fine. [count]
    rounding : str
        "nearest", "down", "up", or "step": down to 1, 2 or 5 times a power of ten, as scales have them. [key]
    large : bool
        Written in kilograms, pounds, metres or litres where the request has a smaller unit. [yes or no]
    groups : bool
        With a comma between thousands. [yes or no]
    bare : bool
        Without its unit, such as the lower end of a range. [yes or no]
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
        """The digits of the number and the symbol of its unit.

        Parameters
        ----------
        unit : str
            Of the amount's kind. [key]

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
    """To a power of ten; a hair's breadth of binary error does not carry a number over to the next step."""
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
    """A mass in the unit of `units.mass` (`value_g` [g]; `digits`, `places`, `large`, `groups` as of `Amount`)."""
    return Amount(value_g, "mass", digits, places, large=large, groups=groups)


def dose(value_g: float, *, digits: int = 6, places: int | None = None) -> Amount:
    """A mass on the fine scale, in the unit of `units.dose` (`value_g` [g]; `digits`, `places` as of `Amount`)."""
    return Amount(value_g, "dose", digits, places)


def length(value_mm: float, *, digits: int = 6, places: int | None = None, large: bool = False) -> Amount:
    """A length in the unit of `units.length` (`value_mm` [mm]; `digits`, `places`, `large` as of `Amount`)."""
    return Amount(value_mm, "length", digits, places, large=large)


def volume(value_ml: float, *, digits: int = 6, places: int | None = None, large: bool = False,
           groups: bool = False) -> Amount:
    """A volume in the unit of `units.volume` (`value_ml` [mL]; the rest as of `Amount`)."""
    return Amount(value_ml, "volume", digits, places, large=large, groups=groups)


def temperature(value_c: float, *, places: int = 0) -> Amount:
    """A temperature in the unit of `units.temperature` (`value_c` [degC]; `places` as of `Amount`)."""
    return Amount(value_c, "temperature", places=places)


def at_most(amount: Amount) -> Amount:
    """The same, rounded down: what is allowed never grows by rounding (`amount`). [its unit]"""
    return replace(amount, rounding="down")


def at_least(amount: Amount) -> Amount:
    """The same, rounded up: what is needed never shrinks by rounding (`amount`). [its unit]"""
    return replace(amount, rounding="up")


def bare(amount: Amount) -> Amount:
    """The same without its unit, which stands behind the other end of a range (`amount`). [its unit]"""
    return replace(amount, bare=True)


def scale_step(amount: Amount) -> Amount:
    """The largest step not above it that a scale may have: 1, 2 or 5 times a power of ten (`amount`). [its unit]"""
    return replace(amount, rounding="step")
