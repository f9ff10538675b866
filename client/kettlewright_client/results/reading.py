"""A result made of JSON: what it names is checked, what it does not name stays in `raw`."""

from __future__ import annotations

import dataclasses
import types
import typing
from collections.abc import Mapping
from functools import cache
from typing import Any

__all__ = ["read"]

T = typing.TypeVar("T")


def read(kind: type[T], data: Mapping[str, Any]) -> T:
    """A result of a JSON object.

    Parameters
    ----------
    kind : type
        One of the results of this package. [class]
    data : mapping
        The JSON object. [as in JSON]

    Returns
    -------
    kind : what it does not name stays in `raw`

    Raises
    ------
    KeyError : something it needs is missing.
    TypeError : something is there that it cannot be, such as a text for a mass.
    """
    return typing.cast(T, _object(kind, data, ""))


@cache
def _hints(kind: Any) -> dict[str, Any]:
    return typing.get_type_hints(kind)


def _object(kind: Any, data: Any, where: str) -> Any:
    if not isinstance(data, Mapping):
        raise _other(where, "an object", data)
    hints = _hints(kind)
    known: dict[str, Any] = {}
    for entry in dataclasses.fields(kind):
        place = f"{where}.{entry.name}".lstrip(".")
        if entry.name == "raw":
            known["raw"] = data
        elif entry.name in data:
            known[entry.name] = _value(hints[entry.name], data[entry.name], place)
        elif entry.default is dataclasses.MISSING and entry.default_factory is dataclasses.MISSING:
            if type(None) not in typing.get_args(hints[entry.name]):
                raise KeyError(place)
            known[entry.name] = None
    return kind(**known)


def _value(hint: Any, value: Any, where: str) -> Any:
    if hint is Any:
        return value
    if typing.get_origin(hint) in (typing.Union, types.UnionType):
        if value is None:
            return None
        hint = next(part for part in typing.get_args(hint) if part is not type(None))
    if typing.get_origin(hint) is tuple:
        if not isinstance(value, list | tuple):
            raise _other(where, "a list", value)
        return tuple(_value(typing.get_args(hint)[0], item, f"{where}[{at}]") for at, item in enumerate(value))
    if dataclasses.is_dataclass(hint):
        return _object(hint, value, where)
    return _plain(hint, value, where)


def _plain(hint: Any, value: Any, where: str) -> Any:
    if typing.get_origin(hint) is Mapping:
        fits, wanted = isinstance(value, Mapping), "an object"
    elif hint is float:  # JSON knows one kind of number; True is none
        fits, wanted = isinstance(value, int | float) and not isinstance(value, bool), "a number"
    elif hint is int:
        fits, wanted = isinstance(value, int) and not isinstance(value, bool), "a whole number"
    else:
        fits, wanted = isinstance(value, hint), {str: "a text", bool: "true or false"}.get(hint, str(hint))
    if not fits:
        raise _other(where, wanted, value)
    return value


def _other(where: str, wanted: str, value: Any) -> TypeError:
    found = "null" if value is None else f"{value!r}"[:40]
    return TypeError(f"{where or 'the reply'} is {found} where {wanted} was agreed")
