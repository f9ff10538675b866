"""Numbers: no text, no yes or no, within bounds."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from typing import Any

from marshmallow import fields

from kettlewright import limits
from kettlewright.api.door.field_errors import NEEDED, checked, field_error, shown
from kettlewright.digits import nine_digits

__all__ = ["Number", "QueryNumber", "Whole", "check_bounds", "metadata_of"]


def metadata_of(about: str, example: object = None, unit: str = "") -> dict[str, Any]:
    """What the contract says of a field (`about`, `example`, `unit`)."""
    found: dict[str, Any] = {"description": about + (f" [{unit}]" if unit else "")} if about else {}
    return found if example is None else {**found, "example": example}


class Number(fields.Field[float]):
    """A number: no text, no yes or no."""

    default_error_messages = NEEDED

    def __init__(self, *, bounds: limits.Bounds | None = None, about: str = "", unit: str = "", example: object = None,
                 signed: bool = False, check: Callable[[float], object] | None = None, **more: Any) -> None:
        super().__init__(**more)
        self.bounds = bounds
        self.check = check  # of the maths, in place of the bounds' own words
        self.signed = signed  # of a reply: may be below 0
        self.unit = unit
        self.metadata = metadata_of(about, example, unit)

    def _number(self, value: object) -> float:
        if isinstance(value, bool) or not isinstance(value, (int, float)):
            raise field_error("wrong_type", f"{shown(value)} is not a number{_hint(value)}")
        try:
            number = float(value)
        except OverflowError:
            number = math.inf
        if not math.isfinite(number):
            raise field_error("out_of_range", "is too large to compute with.")
        return number

    def _deserialize(self, value: object, attr: str | None, data: object, **_: Any) -> float:
        number = self._number(value)
        if self.check is not None:
            checked(self.check, number)
            return number
        return number if self.bounds is None else check_bounds(self.bounds, number, shown(value))

    def _serialize(self, value: Any, attr: str | None, obj: Any, **_: Any) -> float | None:
        return None if value is None else nine_digits(value)


class QueryNumber(Number):
    """A number in an address, where everything is text."""

    def _number(self, value: object) -> float:
        if not isinstance(value, str) or not re.fullmatch(r"-?[0-9]{1,12}(\.[0-9]{1,12})?", value):
            raise field_error("wrong_type", f"{shown(value)} is not a number; write it with a point for decimals, "
                                            "such as 12.5.")
        return float(value)


def _hint(value: object) -> str:
    if isinstance(value, str):
        plain = value.strip().replace(",", ".")
        if re.fullmatch(r"-?\d+(\.\d+)?", plain):
            return f"; write it without quotes, with a point for decimals: {plain}"
    return "."


def check_bounds(bounds: limits.Bounds, number: float, shown: str) -> float:
    """A number within its bounds (`bounds`, `number`; `shown` is the number as the request has it). [as given]"""
    return checked(lambda given: bounds.check(given, shown=shown), number)


class Whole(Number):
    """A whole number."""

    def _deserialize(self, value: object, attr: str | None, data: object, **_: Any) -> int:
        number = super()._deserialize(value, attr, data)
        if number != math.floor(number):
            raise field_error("wrong_type", f"{shown(value)} is not a whole number.")
        return int(number)

    def _serialize(self, value: Any, attr: str | None, obj: Any, **_: Any) -> int | None:
        return value if value is None else int(value)
