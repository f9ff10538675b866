"""One figure of a reply, found by its path: alkalis.NaOH.weigh.

A path is the JSON Pointer (RFC 6901) of the figure with dots in place of slashes: `/alkalis/0/weigh` is
`alkalis.0.weigh`. In a list an item may also be named by its `key` or its `name`; digits always count, from 0.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from kettlewright.errors import DomainError, OutOfRange, WrongType
from kettlewright.names import or_nearest

__all__ = ["pick", "plain_text"]


def plain_text(value: object) -> str:
    """A value as a cell takes it: a number with a point and no exponent, true or false, a text as it is.

    Parameters
    ----------
    value : float, int, bool, str or None
        The value; nothing becomes an empty text. [any]

    Returns
    -------
    str
    """
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (int, float)):
        return format(Decimal(repr(value)), "f")
    return str(value)


def pick(document: Mapping[str, Any], path: str) -> str:
    """One figure of a reply.

    Parameters
    ----------
    document : mapping
        The JSON reply. [as in JSON]
    path : str
        Where it is. [path]

    Returns
    -------
    str : no line break after it

    Raises
    ------
    DomainError : there is nothing, more than one thing, or no single figure.
    """
    found: Any = document
    walked: list[str] = []
    for step in path.split("."):
        found = _step(found, step, ".".join(walked))
        walked.append(step)
    if found is None:
        raise WrongType(f'"{_short(path)}" has no value in this reply (null), and an empty cell would count as 0.',
                        field=("field",))
    if isinstance(found, (dict, list)):
        inside = _names(found)
        raise OutOfRange(f'"{_short(path)}" is not a single figure; add one of its parts to the path: '
                         f"{', '.join(inside) or 'nothing in this reply'}.", field=("field",))
    return plain_text(found)


def _step(found: Any, step: str, walked: str) -> Any:
    where = f'"{_short(walked)}"' if walked else "this reply"
    if isinstance(found, dict):
        if step in found:
            return found[step]
    elif isinstance(found, list):
        if step.isascii() and step.isdigit():
            if len(step) < 6 and int(step) < len(found):
                return found[int(step)]
            raise OutOfRange(f"There is no item {_short(step)} in {where}: it has {len(found)}, counted from 0.",
                             field=("field",))
        numbers = [number for number, item in enumerate(found)
                   if isinstance(item, dict) and step in (item.get("key"), item.get("name"))]
        if len(numbers) > 1:
            raise DomainError(f'"{_short(step)}" appears {len(numbers)} times in {where}; give its number instead: '
                              f"{', '.join(map(str, numbers))}.", field=("field",))
        if numbers:
            return found[numbers[0]]
    else:
        raise OutOfRange(f'{where} is {"not in this response" if found is None else "a single figure"}; there is no '
                         f'"{_short(step)}" in it.', field=("field",))
    known = _names(found)
    raise OutOfRange(f'There is no "{_short(step)}" in {where}.{or_nearest(step, known, cutoff=0.5)} It holds: '
                     f"{', '.join(known) or 'nothing in this reply'}.", field=("field",))


def _names(found: Any) -> list[str]:
    if isinstance(found, dict):
        return list(found)
    return [str(item.get("key") or item.get("name") or number) if isinstance(item, dict) else str(number)
            for number, item in enumerate(found)][:60]


def _short(text: str) -> str:
    return text if len(text) <= 60 else text[:57] + "..."
