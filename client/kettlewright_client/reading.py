"""Make results from JSON: fields that a result has are checked, all others stay in `raw`."""

from __future__ import annotations

import dataclasses
import types
import typing
from collections.abc import Callable, Mapping
from functools import cache
from typing import Any

__all__ = ["read"]

T = typing.TypeVar("T")


def read(kind: type[T], data: Mapping[str, Any], request_id: str = "") -> T:
    """Make a result from a JSON object.

    Parameters
    ----------
    kind : type
        One of the results of this package. [class]
    data : mapping
        The JSON object. [as in JSON]
    request_id : str
        Of the reply. [text]

    Returns
    -------
    kind : what it does not name stays in `raw`

    Raises
    ------
    KeyError : a required key is missing.
    TypeError : a value has another type, such as text for a mass.
    """
    try:
        return typing.cast(T, _reader(typing.cast(Any, kind))(data, request_id))
    except _Other as other:
        where = other.where.lstrip(".") or "the reply"
        raise TypeError(f"{where} is {other.found} where the contract has {other.wanted}") from None
    except _Missing as missing:
        raise KeyError(missing.where.lstrip('.')) from None


class _AtLocation(Exception):
    """An error at a location in the reply; the location is completed as the error rises."""

    where = ""

    def inside(self, key: str | int) -> _AtLocation:
        self.where = f"[{key}]{self.where}" if isinstance(key, int) else f".{key}{self.where}"
        return self


class _Missing(_AtLocation):
    """The key is missing."""


class _Other(_AtLocation):
    """The value has another type."""

    def __init__(self, wanted: str, value: Any) -> None:
        super().__init__()
        self.wanted = wanted
        self.found = "null" if value is None else f"{value!r}"[:40]


Reader = Callable[..., Any]
_PLAIN: dict[Any, tuple[tuple[type, ...], str]] = {
    float: ((float, int), "a number"), int: ((int,), "a whole number"), bool: ((bool,), "true or false"),
    str: ((str,), "text")}
_ABSENT = object()


@cache
def _reader(hint: Any) -> Reader:
    """The reader of a type; made once for each type."""
    if isinstance(hint, str):  # a part that stays as it came, so that it can be sent again
        return _plain((Mapping,), "an object")
    origin, parts = typing.get_origin(hint), typing.get_args(hint)
    if origin in (typing.Union, types.UnionType):
        inner = _reader(_not_none(parts))
        return lambda value: None if value is None else inner(value)
    if origin is tuple:
        return _list_of(_reader(parts[0]))
    if dataclasses.is_dataclass(hint):
        return _object_of(hint)
    return _plain(*_PLAIN[hint])


def _not_none(parts: tuple[Any, ...]) -> Any:
    return next(part for part in parts if part is not type(None))


def _as_they_are(hint: Any) -> frozenset[type]:
    """The classes whose values need no reader."""
    if typing.get_origin(hint) in (typing.Union, types.UnionType):
        return _as_they_are(_not_none(typing.get_args(hint))) | {type(None)}
    return frozenset(_PLAIN[hint][0] if hint in _PLAIN else ())


def _object_of(kind: Any) -> Reader:
    fields = [(entry.name, _as_they_are(entry.type), _reader(typing.cast(Any, entry.type)),
               entry.default is dataclasses.MISSING)
              for entry in dataclasses.fields(kind) if entry.name not in ("raw", "request_id")]
    whole = any(entry.name == "raw" for entry in dataclasses.fields(kind))

    def read_object(data: Any, request_id: str = "") -> Any:
        if not isinstance(data, (dict, Mapping)):
            raise _Other("an object", data)
        known: dict[str, Any] = {"raw": data, "request_id": request_id} if whole else {}
        name = ""
        try:
            for name, as_they_are, reader, required in fields:
                value = data.get(name, _ABSENT)
                if value.__class__ in as_they_are:
                    known[name] = value
                elif value is not _ABSENT:
                    known[name] = reader(value)
                elif required:
                    raise _Missing
        except _AtLocation as error:
            raise error.inside(name) from None
        return kind(**known)

    return read_object


def _list_of(reader: Reader) -> Reader:
    def read_list(data: Any) -> tuple[Any, ...]:
        if not isinstance(data, list | tuple):
            raise _Other("a list", data)
        found: list[Any] = []
        try:
            for item in data:
                found.append(reader(item))  # as far as it came is where the error is
        except _AtLocation as error:
            raise error.inside(len(found)) from None
        return tuple(found)

    return read_list


def _plain(kinds: tuple[type, ...], wanted: str) -> Reader:
    def read_plain(value: Any) -> Any:
        # True is an int in Python but not a number in JSON
        if not isinstance(value, kinds) or (value.__class__ is bool and bool not in kinds):
            raise _Other(wanted, value)
        return value

    return read_plain
