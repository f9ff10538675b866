"""JSON as RFC 8259 means it and I-JSON (RFC 7493) narrows it: nothing that two readers could read differently."""

from __future__ import annotations

import json
import math
import re
from typing import Any, NoReturn

__all__ = ["UnreadableBody", "read_object"]

_DEPTH_MAX = 32
_DIGITS_MAX = 40
_HALF = re.compile("[\ud800-\udfff]")


class UnreadableBody(ValueError):
    """The body is not JSON that can be read in one way only; the text says why, in the sender's words."""


def _constant(name: str) -> NoReturn:
    raise UnreadableBody(f"{name} is not valid JSON; leave the field out if it has no value.")


def _integer(digits: str) -> int:
    if len(digits) > _DIGITS_MAX:
        raise UnreadableBody(f"A number has {len(digits)} digits; at most {_DIGITS_MAX} can be read.")
    return int(digits)


def _float(text: str) -> float:
    value = float(text)
    if not math.isfinite(value):
        raise UnreadableBody(f"{text[:_DIGITS_MAX]} is too large to compute with.")
    return value


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        seen: set[str] = set()
        for key, _ in pairs:
            if key in seen:
                raise UnreadableBody(f'The key "{_printable(key)}" appears twice in one object; keep one of them.')
            seen.add(key)
    return found


_decoder = json.JSONDecoder(object_pairs_hook=_object, parse_constant=_constant, parse_int=_integer,
                            parse_float=_float)


def read_object(body: bytes) -> dict[str, Any]:
    """Read a body that holds one JSON object.

    Parameters
    ----------
    body : bytes
        As received. [UTF-8]

    Returns
    -------
    dict

    Raises
    ------
    UnreadableBody : empty, not UTF-8, not JSON, doubled keys, numbers that are none or have too many digits, nesting
        deeper than 32, lone surrogates or NUL in a text, or something other than an object.
    """
    if not body.strip():
        raise UnreadableBody("The body is empty; send a JSON object.")
    try:
        text = body.decode("utf-8")
    except UnicodeDecodeError as error:
        raise UnreadableBody(f"The body is not UTF-8 (at byte {error.start}).") from None
    try:
        found = _decoder.decode(text)
    except json.JSONDecodeError as error:
        raise UnreadableBody(f"The body is not JSON: line {error.lineno}, column {error.colno}: "
                             f"{_reason(error.msg)}.") from None
    except RecursionError:
        raise UnreadableBody(f"The body is nested deeper than {_DEPTH_MAX} levels.") from None
    if not isinstance(found, dict):
        raise UnreadableBody("The body must be a JSON object, between { and }.")
    if body.count(b"{") + body.count(b"[") > _DEPTH_MAX:
        _check_depth(found)
    if b"\\u" in body:  # without it no text can hold what is looked for here
        _check_texts(found)
    return found


def _reason(message: str) -> str:
    return message[:1].lower() + message[1:]


def _check_depth(found: dict[str, Any]) -> None:
    level: list[Any] = [found]
    for _ in range(_DEPTH_MAX - 1):
        level = [item for outer in level for item in (outer.values() if type(outer) is dict else outer)
                 if type(item) in (dict, list)]
        if not level:
            return
    if any(level):  # they hold something, which is nested one deeper
        raise UnreadableBody(f"The body is nested deeper than {_DEPTH_MAX} levels.")


def _check_texts(value: Any) -> None:
    if isinstance(value, str):
        if _HALF.search(value):
            raise UnreadableBody("A text holds half of a character (a lone surrogate).")
        if "\0" in value:
            raise UnreadableBody("A text holds a NUL character.")
    elif isinstance(value, dict):
        for key, item in value.items():
            _check_texts(key)
            _check_texts(item)
    elif isinstance(value, list):
        for item in value:
            _check_texts(item)


def _printable(text: str) -> str:
    return text.encode("utf-8", "replace").decode("utf-8")[:80]
