"""Days of the calendar, and their weekdays."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

from marshmallow import fields

from kettlewright import limits
from kettlewright.api.door.field_errors import NEEDED, field_error, shown
from kettlewright.api.door.fields.numbers import metadata_of
from kettlewright.api.door.fields.texts import Text
from kettlewright.languages import weekday_name

__all__ = ["Day", "Weekday", "read_day"]


class Day(fields.Field[date]):
    """A day of the calendar, without a time of day."""

    default_error_messages = NEEDED

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
