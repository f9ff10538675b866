"""Fields of the contract: strict on the way in, nine significant digits on the way out.

A schema names an attribute as the maths does and shows it as the maker knows it::

    class Box(Strict):
        builds = pour.Box
        length_mm = Length(bounds=limits.LENGTH, required=True, about="Inside length")

is `length` in JSON, in the unit of `units.length`, and millimetres in the loaded `pour.Box`.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from functools import cached_property
from typing import Any, ClassVar

from marshmallow import EXCLUDE, RAISE, Schema, ValidationError, fields, missing, post_load
from marshmallow.error_store import ErrorStore
from marshmallow.exceptions import SCHEMA

from kettlewright import limits
from kettlewright.api.checking import current_check
from kettlewright.digits import nine_digits
from kettlewright.errors import DomainError, DomainErrors
from kettlewright.languages import in_english, translated, weekday_name
from kettlewright.names import nearest, tidy
from kettlewright.units import OPTIONS, current_units, from_base, to_base

__all__ = ["Choice", "Day", "Dose", "Flag", "Length", "ListOf", "Mass", "Number", "Part", "Quantity", "QueryNumber",
           "Strict", "Temperature", "Text", "Union", "Volume", "Weekday", "Whole", "read_day"]

_NEEDED = "is needed here."
_NOT_NULL = "null is no value; leave the field out where there is none."
_SHORT = 12  # words that a problem repeats at every place; a longer list is given once
_SUFFIX = {"mass": "_g", "dose": "_g", "length": "_mm", "volume": "_ml", "temperature": "_c"}


def _shown(value: object) -> str:
    text = str(value).lower() if isinstance(value, bool) else f'"{value}"' if isinstance(value, str) else str(value)
    return text if len(text) <= 60 else text[:57] + "..."


def _nearest(word: str, known: Sequence[str]) -> str:
    near = nearest(word.casefold(), known)
    return f' Did you mean "{near[0]}"?' if near else ""


def _metadata(about: str, example: object = None, unit: str = "") -> dict[str, Any]:
    """What a field tells the contract: what it is, its unit, an example."""
    found: dict[str, Any] = {"description": about + (f" [{unit}]" if unit else "")} if about else {}
    return found if example is None else {**found, "example": example}


class Number(fields.Field[float]):
    """A number: no text, no yes or no."""

    default_error_messages = {"required": _NEEDED, "null": _NOT_NULL}

    def __init__(self, *, bounds: limits.Bounds | None = None, about: str = "", unit: str = "", example: object = None,
                 signed: bool = False, check: Callable[[float], object] | None = None, **more: Any) -> None:
        super().__init__(**more)
        self.bounds = bounds
        self.check = check  # of the maths, in place of the bounds' own words
        self.signed = signed  # of a reply: may be below 0
        self.unit = unit
        self.metadata = _metadata(about, example, unit)

    def _number(self, value: object) -> float:
        if isinstance(value, bool) or not isinstance(value, (int, float)):
            raise ValidationError(f"{_shown(value)} is not a number{_hint(value)}")
        try:
            number = float(value)
        except OverflowError:
            number = math.inf
        if not math.isfinite(number):
            raise ValidationError("is larger than any number that can be computed with.")
        return number

    def _deserialize(self, value: object, attr: str | None, data: object, **_: Any) -> float:
        number = self._number(value)
        if self.check is not None:
            try:
                self.check(number)
            except DomainError as error:
                raise ValidationError([_told(error)]) from None
            return number
        return number if self.bounds is None else _checked(self.bounds, number, _shown(value))

    def _serialize(self, value: Any, attr: str | None, obj: Any, **_: Any) -> float | None:
        return None if value is None else nine_digits(value)


class QueryNumber(Number):
    """A number in an address, where everything is text."""

    def _number(self, value: object) -> float:
        if not isinstance(value, str) or not re.fullmatch(r"-?[0-9]{1,12}(\.[0-9]{1,12})?", value):
            raise ValidationError(f"{_shown(value)} is not a number; write it with a point for decimals, such as 12.5.")
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
        raise ValidationError([_told(error)]) from None


def _told(error: DomainError) -> dict[str, str]:
    return {"detail": in_english(error.detail), "code": error.code, "allowed": in_english(error.allowed)}


class Whole(Number):
    """A whole number."""

    def _deserialize(self, value: object, attr: str | None, data: object, **_: Any) -> int:
        number = super()._deserialize(value, attr, data)
        if number != math.floor(number):
            raise ValidationError(f"{_shown(value)} is not a whole number.")
        return int(number)

    def _serialize(self, value: Any, attr: str | None, obj: Any, **_: Any) -> int | None:
        return value if value is None else int(value)


class Quantity(Number):
    """A number in one of the request's units. Loaded and dumped attributes bear the unit of the maths."""

    kind: ClassVar[str]

    def __init__(self, *, about: str = "", example: object = None, **more: Any) -> None:
        super().__init__(about=about, unit=f"in the unit of units.{self.kind}", example=example, **more)

    @property
    def suffix(self) -> str:
        """What the attribute's name ends in. [text]"""
        return _SUFFIX[self.kind]

    def _deserialize(self, value: object, attr: str | None, data: object, **_: Any) -> float:
        number = to_base(self._number(value), self.kind)
        unit = getattr(current_units.get(), self.kind)
        return number if self.bounds is None else _checked(self.bounds, number, f"{_shown(value)} {unit}")

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

    default_error_messages = {"required": _NEEDED, "null": _NOT_NULL}

    def __init__(self, *, about: str = "", example: object = None, pattern: str | None = None, like: str = "",
                 check: Callable[[str], object] | None = None, convert: Callable[[str], str] | None = None,
                 **more: Any) -> None:
        super().__init__(**more)
        self.pattern = pattern
        self.like = like
        self.check = check  # of the maths: raises what is wrong with a key
        self.convert = convert  # the same, and gives the text to go on with
        self.metadata = _metadata(about, example)

    def _deserialize(self, value: object, attr: str | None, data: object, **_: Any) -> str:
        if not isinstance(value, str):
            raise ValidationError(f"{_shown(value)} is not a text; put it in quotes.")
        value = tidy(value)
        if not any(character.isalnum() for character in value):
            raise ValidationError("needs at least one letter or digit.")
        if len(value) > limits.NAME_LENGTH_MAX:
            raise ValidationError(f"has {len(value)} characters; at most {limits.NAME_LENGTH_MAX} are taken.")
        if not value.isprintable():
            raise ValidationError("holds a character that cannot be printed (a line break or a control character).")
        if self.pattern is not None and not re.fullmatch(self.pattern, value):
            raise ValidationError(f"{_shown(value)} is not {self.like}.")
        if self.check is not None:
            try:
                self.check(value)
            except DomainError as error:
                raise ValidationError([_told(error)]) from None
        if self.convert is not None:
            try:
                return self.convert(value)
            except DomainError as error:
                raise ValidationError([_told(error)]) from None
        return value

    def _serialize(self, value: Any, attr: str | None, obj: Any, **_: Any) -> str | None:
        return None if value is None else translated(value if isinstance(value, str) else str(value))


class Choice(fields.Field[str]):
    """One of a few words."""

    default_error_messages = {"required": _NEEDED, "null": _NOT_NULL}

    def __init__(self, choices: Sequence[str], *, about: str = "", example: object = None, **more: Any) -> None:
        super().__init__(**more)
        self.choices = tuple(choices)
        self.metadata = _metadata(about, example if example is not None else self.choices[0])

    def _deserialize(self, value: object, attr: str | None, data: object, **_: Any) -> str:
        if value not in self.choices or not isinstance(value, str):
            near = _nearest(value, self.choices) if isinstance(value, str) else ""
            if len(self.choices) > _SHORT and not current_check().first(self.choices):
                raise ValidationError([{"detail": f"{_shown(value)} is not known here; the known words are listed "
                                                  f"further up.{near}", "code": "unknown_word", "allowed": ""}])
            raise ValidationError([{"detail": f"{_shown(value)} is not known here; it is one of "
                                              f"{', '.join(self.choices)}.{near}",
                                    "code": "unknown_word", "allowed": ", ".join(self.choices)}])
        return value

    def _serialize(self, value: Any, attr: str | None, obj: Any, **_: Any) -> str | None:
        return None if value is None else str(value)


class Day(fields.Field[date]):
    """A day of the calendar, without a time of day."""

    default_error_messages = {"required": _NEEDED, "null": _NOT_NULL}

    def __init__(self, *, about: str = "", example: object = "2027-03-20", **more: Any) -> None:
        super().__init__(**more)
        self.metadata = _metadata(about, example)

    def _deserialize(self, value: object, attr: str | None, data: object, **_: Any) -> date:
        if not isinstance(value, str):
            raise ValidationError(f"{_shown(value)} is not a date; write it in quotes, such as \"2027-03-20\".")
        return read_day(value)

    def _serialize(self, value: Any, attr: str | None, obj: Any, **_: Any) -> str | None:
        return None if value is None else str(value.isoformat())


class Weekday(Text):
    """The weekday of a day in a reply, in the language of the request."""

    def __init__(self, of: str, **more: Any) -> None:
        super().__init__(about=f'Weekday of "{of}", in the language of the request', example="Tuesday", **more)
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
    ValidationError : no such day, another form, a year that must be a slip of the pen.
    """
    if not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text):
        raise ValidationError(f"{_shown(text)} is not a date; write year-month-day, such as 2027-03-20.")
    try:
        day = date.fromisoformat(text)
    except ValueError:
        raise ValidationError(f"{_shown(text)} is no day of the calendar; look at the month and its length.") from None
    first, last = limits.YEARS
    if not first <= day.year <= last:
        raise ValidationError(f"{_shown(text)} lies outside the years {first} to {last}.")
    return day


class Flag(fields.Boolean):
    """Yes or no: true or false, no text and no number."""

    default_error_messages = {"required": _NEEDED, "null": _NOT_NULL}

    def _deserialize(self, value: Any, attr: str | None, data: Any, **_: Any) -> bool:
        if not isinstance(value, bool):
            raise ValidationError(f"{_shown(value)} is neither true nor false; write it without quotes.")
        return value

    def __init__(self, *, about: str = "", example: object = None, **more: Any) -> None:
        super().__init__(**more)
        self.metadata = _metadata(about, example)


class Part(fields.Nested):
    """An object inside another."""

    default_error_messages = {"required": _NEEDED, "null": _NOT_NULL,
                                                        "type": "must be an object, between { and }."}

    def __init__(self, nested: Any, *, about: str = "", **more: Any) -> None:
        super().__init__(nested, **more)
        self.metadata = _metadata(about)


class ListOf(fields.List[Any]):
    """A list, with a length that is checked."""

    default_error_messages = {"required": _NEEDED, "null": _NOT_NULL,
                                                        "invalid": "must be a list, between [ and ]."}

    def __init__(self, item: Any, *, about: str = "", at_least: int = 0, at_most: int | None = None,
                 **more: Any) -> None:
        super().__init__(item, **more)
        self.at_least, self.at_most = at_least, at_most
        self.metadata = _metadata(about)

    def _deserialize(self, value: Any, attr: str | None, data: Any, **more: Any) -> list[Any]:
        if isinstance(value, list):
            if len(value) < self.at_least:
                raise ValidationError(f"needs at least {self.at_least} item{'s' if self.at_least > 1 else ''}.")
            if self.at_most is not None and len(value) > self.at_most:
                raise ValidationError(f"has {len(value)} items; at most {self.at_most} are taken.")
        return self._items(value)

    def _items(self, value: Any) -> list[Any]:
        """The items, until the check of the request stops (`value`)."""
        if not isinstance(value, list):
            raise self.make_error("invalid")
        check, found, errors = current_check(), [], {}
        for index, item in enumerate(value):
            if check.over:
                check.skip(len(value) - index)
                break
            before = check.found
            try:
                found.append(self.inner.deserialize(item))
            except ValidationError as error:
                check.note(before, error)
                errors[index] = error.messages
        if errors:
            raise ValidationError(errors)
        return found


class Union(fields.Field[Any]):
    """One of several objects, told apart by the word under one key."""

    default_error_messages = {"required": _NEEDED, "null": _NOT_NULL}

    def __init__(self, key: str, members: Mapping[str, Schema], *, about: str = "", **more: Any) -> None:
        super().__init__(**more)
        self.key = key
        self.members = dict(members)
        self.metadata = _metadata(about)

    def _deserialize(self, value: Any, attr: str | None, data: Any, **more: Any) -> Any:
        if not isinstance(value, dict):
            raise ValidationError("must be an object, between { and }.")
        word = value.get(self.key)
        if not isinstance(word, str) or word not in self.members:
            said = _NEEDED if self.key not in value else f"{_shown(word)} is not known here;"
            raise ValidationError({self.key: [f"{said} It is one of {', '.join(self.members)}."]})
        return self.members[word].load(value)


class Strict(Schema):
    """An object that refuses what it does not know, and becomes a frozen object of the maths.

    `builds` names what the loaded fields are passed to; what that refuses stands at its own field, so that one load
    tells all faults at once. `builds` of None leaves a dict.
    """

    class Meta:
        unknown = RAISE

    builds: ClassVar[Callable[..., Any] | None] = None

    error_messages = {"type": "must be an object, between { and }."}

    def on_bind_field(self, field_name: str, field_obj: fields.Field[Any]) -> None:
        """Show a quantity without the unit of the maths in its name (`field_name`, `field_obj`)."""
        inner = field_obj.inner if isinstance(field_obj, fields.List) else field_obj
        if isinstance(inner, Quantity) and field_obj.data_key is None:
            field_obj.data_key = field_name.removesuffix(inner.suffix)

    def _deserialize(self, data: Any, *, error_store: ErrorStore, many: bool = False, partial: Any = None,
                     unknown: Any = RAISE, index: int | None = None) -> Any:
        """As marshmallow does it, but unknown names are refused here: in the body's order, and not without end."""
        made = super()._deserialize(data, error_store=error_store, many=many, partial=partial, unknown=EXCLUDE,
                                    index=index)
        if isinstance(data, dict):
            self._refuse_unknown(data, error_store)
        return made

    @staticmethod
    def _call_and_store(getter_func: Callable[[Any], Any], data: Any, *, field_name: str, error_store: ErrorStore,
                        index: int | None = None) -> Any:
        """Load one field, unless the check of the request has stopped."""
        check = current_check()
        if check.over:
            check.skip(data is not missing)
            return missing
        before = check.found
        try:
            return getter_func(data)
        except ValidationError as error:
            check.note(before, error)
            error_store.store_error(error.messages, field_name, index=index)  # type: ignore[no-untyped-call]  # marshmallow's
            return missing

    @cached_property
    def _known(self) -> dict[str, None]:
        """Names that a body may have here, in the contract's order."""
        return {field.data_key or name: None for name, field in self.load_fields.items()}

    def _refuse_unknown(self, data: dict[str, Any], error_store: ErrorStore) -> None:
        if data.keys() <= self._known.keys():
            return
        check = current_check()
        unknown = [key for key in data if key not in self._known]
        for number, key in enumerate(unknown):
            if check.over:
                check.skip(len(unknown) - number)
                break
            check.found += 1
            listed = f" Known here: {', '.join(self._known)}." if check.first(type(self)) else ""
            detail = f"Unknown field {_shown(key)}.{_nearest(key, list(self._known))}{listed}"
            # a name that is longer than any of ours would make the pointer as long: point at what holds it
            place = key if len(key) <= limits.NAME_LENGTH_MAX else SCHEMA
            told = [{"detail": detail, "code": "unknown_field", "allowed": ""}]
            error_store.store_error(told, place)  # type: ignore[no-untyped-call]  # marshmallow's

    @post_load
    def _make(self, data: dict[str, Any], **_: Any) -> Any:
        try:
            return self.build(data)
        except (DomainError, DomainErrors) as error:
            raise ValidationError(self._placed(error)) from None

    def build(self, data: dict[str, Any]) -> Any:
        """Make the object of the maths of the loaded fields (`data`)."""
        make = type(self).builds
        if make is None:
            return data
        return make(**{key: tuple(value) if isinstance(value, list) else value for key, value in data.items()})

    def _placed(self, error: DomainError | DomainErrors) -> dict[Any, Any]:
        tree: dict[Any, Any] = {}
        for fault in error.errors if isinstance(error, DomainErrors) else (error,):
            node = tree
            for part in fault.field:
                node = node.setdefault(part, {})
            node.setdefault("_schema", []).append(_told(fault))
        return tree
