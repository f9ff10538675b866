"""Texts, words out of a list, yes or no."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import Any

from marshmallow import fields

from kettlewright import limits
from kettlewright.api.door.checking import current_check
from kettlewright.api.door.field_errors import NEEDED, checked, field_error, shown
from kettlewright.api.door.fields.numbers import metadata_of
from kettlewright.languages import translated
from kettlewright.names import or_nearest, tidy

__all__ = ["AsGiven", "Choice", "Flag", "Text"]

_SHORT = 12  # words that a problem repeats at every place; a longer list is given once


class Text(fields.Field[str]):
    """A text of the maker's: not empty, not endless, with something to read in it."""

    default_error_messages = NEEDED

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
            checked(self.check, value)
        return value if self.convert is None else checked(self.convert, value)

    def _serialize(self, value: Any, attr: str | None, obj: Any, **_: Any) -> str | None:
        return None if value is None else translated(value if isinstance(value, str) else str(value))


class Choice(fields.Field[str]):
    """One of a few words."""

    default_error_messages = NEEDED

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


class Flag(fields.Boolean):
    """Yes or no: true or false, no text and no number."""

    default_error_messages = NEEDED

    def _deserialize(self, value: Any, attr: str | None, data: Any, **_: Any) -> bool:
        if not isinstance(value, bool):
            raise field_error("wrong_type", f"{shown(value)} is neither true nor false; write it without quotes.")
        return value

    def __init__(self, *, about: str = "", example: object = None, **more: Any) -> None:
        super().__init__(**more)
        self.metadata = metadata_of(about, example)


class AsGiven(fields.Field[Any]):
    """An object of a response in the form that a request gives it."""

    def __init__(self, *, about: str = "", **more: Any) -> None:
        super().__init__(**more)
        self.metadata = metadata_of(about)
