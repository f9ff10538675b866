"""A JSON reply as bytes, the same that Python's own encoder makes."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from typing import Any

import orjson

__all__ = ["encoded"]

_EXPONENT = re.compile(rb"e-[0-9]")


def encoded(document: Mapping[str, Any]) -> bytes:
    """A reply as compact JSON.

    orjson is ten times as fast, but writes a number below 0.0001 as 0.00001 or 1e-7, where Python writes 1e-05 and
    1e-07. Where its bytes may hold such a number (a text that only looks like one counts too), and where it refuses a
    value, Python's encoder is used. orjson writes NaN as null: numbers are checked before, by `nine_digits`.

    Parameters
    ----------
    document : mapping
        The reply, of texts, finite numbers, true, false and null. [as in JSON]

    Returns
    -------
    bytes : [UTF-8]
    """
    try:
        made = orjson.dumps(document)
    except orjson.JSONEncodeError:
        return _by_python(document)
    return _by_python(document) if b"0.0000" in made or (b"e-" in made and _EXPONENT.search(made)) else made


def _by_python(document: Mapping[str, Any]) -> bytes:
    return json.dumps(document, ensure_ascii=False, separators=(",", ":")).encode()
