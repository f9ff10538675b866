"""Numbers and texts of the reply as they are printed, in the language of the request."""

from __future__ import annotations

import math
from decimal import Decimal
from functools import lru_cache

from kettlewright.amounts import SYMBOLS
from kettlewright.languages import figure, translated
from kettlewright.said import Said

__all__ = ["floored", "measured", "on_scale", "plain", "sign", "span"]


def plain(value: float | None, digits: int = 6) -> str:
    """A number without an exponent or trailing zeros (`value`, significant `digits`). [text]"""
    if value is None:
        return "–"
    places = max(digits - 1 - (math.floor(math.log10(abs(value))) if value else 0), 0)
    text = f"{value:.{places}f}"
    return figure(text.rstrip("0").rstrip(".") if "." in text else text)


def on_scale(value: float, step: float) -> str:
    """A mass with the decimals the scale shows, trailing zeros included (`value`, `step` [same unit]). [text]"""
    return figure(f"{value:.{_decimals(step)}f}")


@lru_cache(maxsize=64)  # a sheet has a dozen rows for each of its scales
def _decimals(step: float) -> int:
    return max(-int(Decimal(f"{step:.9g}").normalize().as_tuple().exponent), 0)


_LENGTH_DECIMALS = {"mm": 1, "cm": 2, "in": 2}


def measured(length: float, unit: str) -> str:
    """A length as a ruler shows it, its unit behind it (`length`, `unit` [key of the unit]). [text]"""
    return f"{_length(length, unit)} {unit}"


def _length(length: float, unit: str) -> str:
    return figure(f"{length:.{_LENGTH_DECIMALS[unit]}f}")


def span(low: float, high: float, unit: str) -> str:
    """A range of lengths with the unit once: "0.0 to 14.2 mm" (`low`, `high`, `unit` [key of the unit]).
    [text]
    """
    return translated(Said("{low} to {high}", low=_length(low, unit), high=measured(high, unit)))


def sign(unit: str) -> str:
    """A unit as people write it (`unit` [key]). [text]"""
    return SYMBOLS.get(unit, unit)


def floored(value: float) -> str:
    """A percentage rounded down to a tenth, so that paper never promises more than there is (`value` [%]). [text]"""
    return figure(f"{math.floor(value * 10 + 1e-9) / 10:.1f}")
