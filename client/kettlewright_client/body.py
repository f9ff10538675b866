"""Make JSON of what you pass: also of numbers and tables of numpy and pandas, of Decimal, and of dates."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from datetime import date, datetime
from decimal import Decimal
from numbers import Integral, Real
from typing import Any, NoReturn

from kettlewright_client.errors import ClientError
from kettlewright_client.record import Record

__all__ = ["json_bytes", "plain"]

_DEEPEST = 60
_AS_THEY_ARE = frozenset({type(None), bool, str, int})


def json_bytes(body: object) -> bytes:
    """Write a plain body as JSON.

    Parameters
    ----------
    body : object
        As `plain` returns it. [as in JSON]

    Returns
    -------
    bytes

    Raises
    ------
    ClientError : a text in it has broken characters.
    """
    try:
        return json.dumps(body, allow_nan=False, ensure_ascii=False).encode("utf-8")
    except ValueError as error:
        raise ClientError(f"The request cannot be written as JSON: {error}") from error


def plain(value: Any) -> Any:
    """A value in the types of JSON.

    Parameters
    ----------
    value : object
        Mappings, lists, tuples, texts, numbers, Decimal, dates, results of this client, and arrays, series, tables and
        numbers of numpy and pandas. [as in JSON]

    Returns
    -------
    object : dicts, lists, texts, numbers, True, False and None. [as in JSON]

    Raises
    ------
    ClientError : something else is in it; the message has its path, such as recipe.fats[1].mass.
    """
    return _plain(value, ())


def _plain(value: Any, way: tuple[str | int, ...]) -> Any:
    if type(value) in _AS_THEY_ARE:
        return value
    if isinstance(value, str):
        return str(value)  # of a text of numpy or an enum too
    if len(way) > _DEEPEST:
        _refuse(way, "nested too deeply")
    if isinstance(value, (dict, Mapping)):  # a dict is known at once, other mappings by a longer way
        for key in value:
            if not isinstance(key, str):
                _refuse((*way, str(key)), f"named by {_name(key)}; a name must be text")
        return {key: _plain(inner, (*way, key)) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(inner, (*way, at)) for at, inner in enumerate(value)]
    if isinstance(value, Integral):
        return int(value)
    if isinstance(value, Real | Decimal):
        return _number(value, way)
    if isinstance(value, Record):
        return _plain(value.to_dict(), way)
    if isinstance(value, date):
        return _date(value, way)
    if hasattr(value, "dtype") and hasattr(value, "tolist"):  # an array, series or number of numpy or pandas
        return _plain(value.tolist(), way)
    if hasattr(value, "columns") and hasattr(value, "to_dict"):  # a table of pandas
        return _plain(value.to_dict("records"), way)
    return _refuse(way, _name(value))


def _number(value: Real | Decimal, way: tuple[str | int, ...]) -> int | float:
    with _no_overflow(value, way):
        found = float(value)
    if not math.isfinite(found):
        _refuse(way, f"{value}, which is not a number")
    return int(value) if isinstance(value, Decimal) and value == value.to_integral_value() else found


@contextmanager
def _no_overflow(value: object, way: tuple[str | int, ...]) -> Iterator[None]:
    try:
        yield
    except (OverflowError, ValueError):  # as of a signalling NaN
        _refuse(way, f"{value}, which is not a number")


def _date(value: date, way: tuple[str | int, ...]) -> str:
    if not isinstance(value, datetime):
        return value.isoformat()
    if value != value:  # a missing date of pandas
        _refuse(way, "a missing date")
    if (value.hour, value.minute, value.second, value.microsecond) != (0, 0, 0, 0):
        _refuse(way, f"{value.isoformat()}, a time of day; give a date")
    return value.date().isoformat()


def _name(value: object) -> str:
    kind = type(value)
    return f"a {kind.__name__}" if kind.__module__ == "builtins" else f"a {kind.__module__}.{kind.__name__}"


def _refuse(way: tuple[str | int, ...], what: str) -> NoReturn:
    path = "".join(f"[{part}]" if isinstance(part, int) else f".{part}" for part in way).lstrip(".")
    raise ClientError(f"The request cannot be written as JSON: {path or 'the body'} is {what}.")
