"""The identity of a plan: a short digest of the request and the version of the data it was computed with."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Collection, Mapping
from typing import Any

import orjson

__all__ = ["find_data_version", "identity_of"]

_LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"  # without I, L, O and U: they are easily read as 1, 0 and V
_LENGTH = 10
_encoder = json.JSONEncoder(sort_keys=True, ensure_ascii=True, separators=(",", ":"))


def identity_of(request: Mapping[str, Any], data_version: str, *, leave_out: Collection[str] = ()) -> str:
    """The identity of a plan.

    Parameters
    ----------
    request : mapping
        JSON object of the request. [as in JSON]
    data_version : str
        Version of the tables. [text]
    leave_out : collection of str
        Top-level keys that do not affect any figure of the plan. [keys]

    Returns
    -------
    str : ten letters and digits in two groups, 50 bits. It is the same on any machine, for any order of the keys, and
        for 5 and 5.0.
    """
    counted = {key: value for key, value in request.items() if key not in leave_out}
    number = int.from_bytes(hashlib.sha256(_encoded([data_version, _plain(counted)])).digest(), "big")
    letters = "".join(_LETTERS[number >> 5 * place & 31] for place in range(_LENGTH))
    return f"{letters[:5]}-{letters[5:]}"


def find_data_version(identity: str, request: Mapping[str, Any], data_version: str, *, stated: str | None = None,
                      leave_out: Collection[str] = ()) -> str | None:
    """The earlier data version of a plan's identity, if the request is the same and only the data differ.

    Parameters
    ----------
    identity : str
        Identity of the plan. [text]
    request : mapping
        JSON object of the plan's request. [as in JSON]
    data_version : str
        Current version of the tables. [text]
    stated : str, optional
        The version that the plan states; if not given, the earlier ones of the same year are tried. [text]
    leave_out : collection of str
        As for `identity_of`. [keys]

    Returns
    -------
    str : None if the request differs too. [text]
    """
    year, _, number = data_version.partition(".")
    earlier = [f"{year}.{one}" for one in range(int(number) - 1, 0, -1)] if number.isdecimal() else []
    return next((version for version in ([stated] if stated is not None else earlier)
                 if version != data_version and identity_of(request, version, leave_out=leave_out) == identity), None)


def _plain(value: Any) -> Any:
    """Numbers in one spelling, with nine digits as in responses."""
    kind = type(value)
    if kind is str or kind is bool or value is None:
        return value
    if kind is float or kind is int:
        return f"{value + 0.0:.9g}"  # adding 0 turns -0.0 into 0.0
    if kind is dict or isinstance(value, Mapping):
        return {key: inner if type(inner) is str else _plain(inner) for key, inner in value.items()}
    return [_plain(inner) for inner in value]


def _encoded(value: Any) -> bytes:
    """Compact JSON in ASCII, its keys sorted: by orjson, or by Python where orjson would leave a character as it is."""
    made = orjson.dumps(value, option=orjson.OPT_SORT_KEYS)
    return made if made.isascii() and b"\x7f" not in made else _encoder.encode(value).encode("ascii")
