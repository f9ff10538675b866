"""Find misspelt names before anything is sent, and say which name is nearest."""

from __future__ import annotations

import functools
import inspect
from collections.abc import Callable, Iterable, Iterator, Mapping
from difflib import get_close_matches
from typing import Any, TypeVar, cast

from kettlewright_client.contract import request_schema, schema_of
from kettlewright_client.errors import Fault, InvalidInput

__all__ = ["check_names", "checked", "nearest", "unknown_names"]

Method = TypeVar("Method", bound=Callable[..., Any])
_KNOWN_MAX = 40
_WITH_PARTS = (dict, list)  # what `plain` leaves


def nearest(word: str, known: Iterable[str]) -> str:
    """The name that is most like a word.

    Parameters
    ----------
    word : str
        The word given. [word]
    known : iterable of str
        Names. [words]

    Returns
    -------
    str : "" if none is like it. [word]
    """
    return next(iter(get_close_matches(word, list(known), n=1, cutoff=0.6)), "")


def _fault(pointer: str, name: object, known: Iterable[str]) -> Fault:
    names = list(known)
    like = nearest(str(name), names)
    detail = f'Unknown field "{str(name)[:60]}"' + (f', did you mean "{like}"?' if like else ".")
    shown = ", ".join(names[:_KNOWN_MAX]) + (" ..." if len(names) > _KNOWN_MAX else "")
    return Fault(f"{pointer}/{str(name).replace('~', '~0').replace('/', '~1')}", f"{detail} Known here: {shown}.",
                 "unknown_field", like)


def _reject(faults: list[Fault]) -> None:
    if faults:
        more = f" ({len(faults) - 1} more below)" if len(faults) > 1 else ""
        raise InvalidInput(422, title="The input is wrong, and was not sent", detail=faults[0].detail + more,
                           errors=tuple(faults))


def check_names(operation: str, body: Any) -> None:
    """Reject a body with unknown names.

    Parameters
    ----------
    operation : str
        Such as "lye". [word]
    body : object
        The body. [as in JSON]

    Raises
    ------
    InvalidInput : a name is unknown; each error has its location and the nearest name.
    """
    schema = request_schema(operation)
    if schema is not None:
        _reject(list(unknown_names(schema, body, "")))


def unknown_names(schema: Mapping[str, Any], value: Any, pointer: str) -> Iterator[Fault]:
    """Unknown names in a value.

    Parameters
    ----------
    schema : mapping
        Its schema in the contract. [as in JSON]
    value : object
        The value. [as in JSON]
    pointer : str
        Its JSON Pointer. [text]

    Yields
    ------
    Fault
    """
    schema = schema_of(schema, value)
    if isinstance(value, list) and "items" in schema:
        for at, item in enumerate(value):
            if isinstance(item, _WITH_PARTS):
                yield from unknown_names(schema["items"], item, f"{pointer}/{at}")
    elif isinstance(value, Mapping) and "properties" in schema:
        known = schema["properties"]
        for name, inner in value.items():
            if name in known:
                if isinstance(inner, _WITH_PARTS):
                    yield from unknown_names(known[name], inner, f"{pointer}/{name}")
            elif schema.get("additionalProperties") is False:
                yield _fault(pointer, name, known)


def checked(method: Method) -> Method:
    """Make a method say which of its keywords is nearest to an unknown one.

    Parameters
    ----------
    method : callable
        With keyword arguments. [method]

    Returns
    -------
    callable : raises `InvalidInput` for an unknown keyword, where Python would raise `TypeError`.
    """
    known = [name for name in inspect.signature(method).parameters if name != "self"]
    options = ("timeout", "headers")

    def check(given: Mapping[str, Any]) -> None:
        unknown = [name for name in given if name not in known]
        if unknown:
            _reject([_fault("", name, (one for one in known if one not in options)) for name in unknown])

    @functools.wraps(method)
    def call(*args: Any, **given: Any) -> Any:
        check(given)
        return method(*args, **given)

    @functools.wraps(method)
    async def call_async(*args: Any, **given: Any) -> Any:
        check(given)
        return await method(*args, **given)

    return cast(Method, call_async if inspect.iscoroutinefunction(method) else call)
