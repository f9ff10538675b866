"""Errors that fields of a request report: a sentence with its code, placed by the field that finds it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any, TypeVar

from marshmallow import ValidationError

from kettlewright.errors import DomainError
from kettlewright.languages import in_english

__all__ = ["MESSAGES", "NEEDED", "checked", "errors_at", "field_error", "from_maths", "shown"]

_Given = TypeVar("_Given")
_Made = TypeVar("_Made")


def _worded(code: str, words: str) -> dict[str, Any]:
    return {"detail": words, "code": code, "named": True}


MESSAGES = {"required": _worded("missing", "is required."),
            "null": _worded("wrong_type", "must not be null; leave the field out if it has no value."),
            "object": _worded("wrong_type", "must be an object, between { and }."),
            "list": _worded("wrong_type", "must be a list, between [ and ].")}
"""Errors that every field may report; the path of the field is written before the words. [errors]"""
NEEDED: dict[str, Any] = {name: MESSAGES[name] for name in ("required", "null")}
"""Those of a value that is missing, as marshmallow takes them. [errors]"""


def field_error(code: str, words: str, *, allowed: str = "", named: bool = True) -> ValidationError:
    """An error of a field.

    Parameters
    ----------
    code : str
        One of `kettlewright.errors.CODES`. [word]
    words : str
        What is wrong and what to do. [text]
    allowed : str
        What is allowed, if that is short to say. [text]
    named : bool
        The path of the field is written before the words. [yes or no]

    Returns
    -------
    ValidationError
    """
    return ValidationError([{"detail": words, "code": code, "allowed": allowed, "named": named}])


def errors_at(keys: Iterable[str], code: str, words: str) -> ValidationError:
    """The same error at each of several keys (`keys`; `code` and `words` as for `field_error`)."""
    return ValidationError({key: field_error(code, words).messages for key in keys})


def from_maths(error: DomainError) -> dict[str, Any]:
    """An error of the maths as fields report theirs (`error`); its sentence is complete."""
    return {"detail": in_english(error.detail), "code": error.code, "allowed": in_english(error.allowed)}


def checked(check: Callable[[_Given], _Made], value: _Given) -> _Made:
    """What a check of the maths makes of a value, its error as fields report theirs (`check`, `value`)."""
    try:
        return check(value)
    except DomainError as error:
        raise ValidationError([from_maths(error)]) from None


def shown(value: object) -> str:
    """A value as JSON writes it, cut after 60 characters (`value`). [text]"""
    if value is None or isinstance(value, bool):
        return "null" if value is None else str(value).lower()
    text = f'"{value}"' if isinstance(value, str) else str(value)
    return text if len(text) <= 60 else text[:57] + "..."
