"""Fields of the contract: strict for requests, nine significant digits in responses.

A schema names an attribute as the maths does and shows it as the maker knows it::

    class Box(Strict):
        builds = pour.Box
        length_mm = Length(bounds=limits.LENGTH, required=True, about="Inside length")

is `length` in JSON, in the unit of `units.length`, and millimetres in the loaded `pour.Box`. Fields that hold others
(`Part`, `ListOf`, `Union`) and the schema `Strict` are in `strict.py`.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Sequence
from datetime import date
from typing import Any, ClassVar

from marshmallow import ValidationError, fields

from kettlewright import limits
from kettlewright.api.door.checking import current_check
from kettlewright.api.door.field_errors import MESSAGES, field_error, from_maths, or_nearest, shown
from kettlewright.digits import nine_digits
from kettlewright.errors import DomainError
from kettlewright.languages import translated, weekday_name
from kettlewright.names import tidy
from kettlewright.units import OPTIONS, current_units, from_base, to_base

__all__ = ["Choice", "Day", "Dose", "Flag", "Length", "Mass", "Number", "Quantity", "QueryNumber", "Temperature",
           "Text", "Volume", "Weekday", "Whole", "metadata_of", "read_day"]

_SHORT = 12  # words that a problem repeats at every place; a longer list is given once
_SUFFIX = {"mass": "_g", "dose": "_g", "length": "_mm", "volume": "_ml", "temperature": "_c"}
_MESSAGES: dict[str, Any] = {name: MESSAGES[name] for name in ("required", "null")}


def metadata_of(about: str, example: object = None, unit: str = "") -> dict[str, Any]:
    """What the contract says of a field (`about`, `example`, `unit`)."""
    found: dict[str, Any] = {"description": about + (f" [{unit}]" if unit else "")} if about else {}
    return found if example is None else {**found, "example": example}


class Number(fields.Field[float]):
    """A number: no text, no yes or no."""

    default_error_messages = _MESSAGES

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
            try:
                self.check(number)
            except DomainError as error:
                raise ValidationError([from_maths(error)]) from None
            return number
        return number if self.bounds is None else _checked(self.bounds, number, shown(value))

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


def _checked(bounds: limits.Bounds, number: float, shown: str) -> float:
    try:
        return bounds.check(number, shown=shown)
    except DomainError as error:
        raise ValidationError([from_maths(error)]) from None


class Whole(Number):
    """A whole number."""

    def _deserialize(self, value: object, attr: str | None, data: object, **_: Any) -> int:
        number = super()._deserialize(value, attr, data)
        if number != math.floor(number):
            raise field_error("wrong_type", f"{shown(value)} is not a whole number.")
        return int(number)

    def _serialize(self, value: Any, attr: str | None, obj: Any, **_: Any) -> int | None:
        return value if value is None else int(value)


class Quantity(Number):
    """A number in one of the request's units. Loaded and dumped attributes bear the unit of the maths."""

    kind: ClassVar[str]

    def __init__(self, *, about: str = "", example: object = None, **more: Any) -> None:
        super().__init__(about=about, unit=f"units.{self.kind}", example=example, **more)

    @property
    def suffix(self) -> str:
        """What the attribute's name ends in. [text]"""
        return _SUFFIX[self.kind]

    def _deserialize(self, value: object, attr: str | None, data: object, **_: Any) -> float:
        number = to_base(self._number(value), self.kind)
        unit = getattr(current_units.get(), self.kind)
        return number if self.bounds is None else _checked(self.bounds, number, f"{shown(value)} {unit}")

    def _serialize(self, value: Any, attr: str | None, obj: Any, **_: Any) -> float | None:
        return None if value is None else nine_digits(from_base(value, self.kind))

    def bounds_over_units(self) -> tuple[float, float] | None:
        """The widest bounds over the units. [any of the units]"""
        if self.bounds is None:
            return None
        pairs = [((self.bounds.low - offset) / factor, (self.bounds.high - offset) / factor)
                 for factor, offset in OPTIONS[self.kind].values()]
        return min(low for low, _ in pairs), max(high for _, high in pairs)


class Mass(Quantity):
    """A mass. [g inside]"""

    kind = "mass"


class Dose(Quantity):
    """A mass on the fine scale. [g inside]"""

    kind = "dose"


class Length(Quantity):
    """A length. [mm inside]"""

    kind = "length"


class Volume(Quantity):
    """A volume. [mL inside]"""

    kind = "volume"


class Temperature(Quantity):
    """A temperature. [degC inside]"""

    kind = "temperature"


class Text(fields.Field[str]):
    """A text of the maker's: not empty, not endless, with something to read in it."""

    default_error_messages = _MESSAGES

    def __init__(self, *, about: str = "", example: object = None, pattern: str | None = None, like: str = "",
                 check: Callable[[str], object] | None = None, convert: Callable[[str], str] | None = None,
                 **more: Any) -> None:
        super().__init__(**more)
        self.pattern = pattern
        self.like = like
        self.check = check  # of the maths: raises what is wrong with a key
        self.convert = convert  # the same, and gives the text to go on with
        self.metadata = metadata_of(about, example)

    def _deserialize(self, value: object, attr: str | None, data: object, **_: Any) -> str:
        if not isinstance(value, str):
            raise field_error("wrong_type", f"{shown(value)} is not text; put it in quotes.")
        value = tidy(value)
        if not any(character.isalnum() for character in value):
            raise field_error("out_of_range", "needs at least one letter or digit.")
        if len(value) > limits.NAME_LENGTH_MAX:
            raise field_error("out_of_range", f"has {len(value)} characters; at most {limits.NAME_LENGTH_MAX} are "
                                              "allowed.")
        if not value.isprintable():
            raise field_error("out_of_range", "contains a character that cannot be printed (a line break or a control "
                                              "character).")
        if self.pattern is not None and not re.fullmatch(self.pattern, value):
            raise field_error("wrong_type", f"{shown(value)} is not {self.like}.")
        if self.check is not None:
            try:
                self.check(value)
            except DomainError as error:
                raise ValidationError([from_maths(error)]) from None
        if self.convert is not None:
            try:
                return self.convert(value)
            except DomainError as error:
                raise ValidationError([from_maths(error)]) from None
        return value

    def _serialize(self, value: Any, attr: str | None, obj: Any, **_: Any) -> str | None:
        return None if value is None else translated(value if isinstance(value, str) else str(value))


class Choice(fields.Field[str]):
    """One of a few words."""

    default_error_messages = _MESSAGES

    def __init__(self, choices: Sequence[str], *, about: str = "", example: object = None, **more: Any) -> None:
        super().__init__(**more)
        self.choices = tuple(choices)
        self.metadata = metadata_of(about, example if example is not None else self.choices[0])

    def _deserialize(self, value: object, attr: str | None, data: object, **_: Any) -> str:
        if value not in self.choices or not isinstance(value, str):
            near = or_nearest(value, self.choices) if isinstance(value, str) else ""
            if len(self.choices) > _SHORT and not current_check().first(self.choices):
                raise field_error("out_of_range", f"{shown(value)} is not known here; the known words are listed "
                                                  f"further up.{near}", named=False)
            raise field_error("out_of_range", f"{shown(value)} is not known here; it is one of "
                                              f"{', '.join(self.choices)}.{near}", allowed=", ".join(self.choices),
                              named=False)
        return value

    def _serialize(self, value: Any, attr: str | None, obj: Any, **_: Any) -> str | None:
        return None if value is None else str(value)


class Day(fields.Field[date]):
    """A day of the calendar, without a time of day."""

    default_error_messages = _MESSAGES

    def __init__(self, *, about: str = "", example: object = "2027-03-20", **more: Any) -> None:
        super().__init__(**more)
        self.metadata = metadata_of(about, example)

    def _deserialize(self, value: object, attr: str | None, data: object, **_: Any) -> date:
        if not isinstance(value, str):
            raise field_error("wrong_type", f'{shown(value)} is not a date; write it in quotes, such as "2027-03-20".')
        return read_day(value)

    def _serialize(self, value: Any, attr: str | None, obj: Any, **_: Any) -> str | None:
        return None if value is None else str(value.isoformat())


class Weekday(Text):
    """The weekday of a day in a reply, in the language of the request."""

    def __init__(self, of: str, **more: Any) -> None:
        super().__init__(about=f'Weekday of "{of}", in words', example="Tuesday", **more)
        self.of = of

    def get_value(self, obj: Any, attr: str, accessor: Any = None, default: Any = None) -> Any:
        """The day itself (`obj`, `attr`, `accessor`, `default`): two fields cannot name one attribute. [day]"""
        return super().get_value(obj, self.of, accessor=accessor, default=default)

    def _serialize(self, value: Any, attr: str | None, obj: Any, **_: Any) -> str | None:
        return None if value is None else weekday_name(value)


def read_day(text: str) -> date:
    """A day as ISO 8601 writes it, year-month-day (`text`). [day]

    Raises
    ------
    ValidationError : no such day, another form, a year that is surely mistyped.
    """
    if not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text):
        raise field_error("wrong_type", f"{shown(text)} is not a date; write year-month-day, such as 2027-03-20.")
    try:
        day = date.fromisoformat(text)
    except ValueError:
        raise field_error("out_of_range", f"{shown(text)} is not a day of the calendar; check the month and its "
                                          "length.") from None
    first, last = limits.YEARS
    if not first <= day.year <= last:
        raise field_error("out_of_range", f"{shown(text)} is outside the years {first} to {last}.")
    return day


class Flag(fields.Boolean):
    """Yes or no: true or false, no text and no number."""

    default_error_messages = _MESSAGES

    def _deserialize(self, value: Any, attr: str | None, data: Any, **_: Any) -> bool:
        if not isinstance(value, bool):
            raise field_error("wrong_type", f"{shown(value)} is neither true nor false; write it without quotes.")
        return value

    def __init__(self, *, about: str = "", example: object = None, **more: Any) -> None:
        super().__init__(**more)
        self.metadata = metadata_of(about, example)
