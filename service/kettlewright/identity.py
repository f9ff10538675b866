"""A short name for a plan: a digest of what was asked and of the data it was worked out with."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Collection, Mapping
from typing import Any

from kettlewright.digits import nine_digits

__all__ = ["data_version_behind", "identity_of"]

_LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"  # without I, L, O and U: nobody reads a 1, a 0 or a V for them
_LENGTH = 10


def identity_of(asked: Mapping[str, Any], data_version: str, *, leave_out: Collection[str] = ()) -> str:
    """The identity of a plan.

    Parameters
    ----------
    asked : mapping
        The JSON object of the request. [as in JSON]
    data_version : str
        Version of the tables. [text]
    leave_out : collection of str
        Keys at top level that change no figure of the plan. [keys]

    Returns
    -------
    str : ten letters and digits in two groups, 50 bits; the same on any machine, whatever the order of the keys, and
        whether a number is written 5 or 5.0
    """
    told = {key: value for key, value in asked.items() if key not in leave_out}
    text = json.dumps([data_version, _plain(told)], sort_keys=True, ensure_ascii=True, separators=(",", ":"))
    number = int.from_bytes(hashlib.sha256(text.encode("ascii")).digest(), "big")
    letters = "".join(_LETTERS[number >> 5 * place & 31] for place in range(_LENGTH))
    return f"{letters[:5]}-{letters[5:]}"


def data_version_behind(identity: str, asked: Mapping[str, Any], data_version: str, *, told: str | None = None,
                        leave_out: Collection[str] = ()) -> str | None:
    """The other data that a request was planned with, where only the data are other.

    Parameters
    ----------
    identity : str
        Of the plan. [text]
    asked : mapping
        The JSON object of its request. [as in JSON]
    data_version : str
        Version of the tables now. [text]
    told : str, optional
        The version the plan names; without it the earlier ones of the same year are tried. [text]
    leave_out : collection of str
        As for `identity_of`. [keys]

    Returns
    -------
    str, or None where the request is another one too. [text]
    """
    year, _, number = data_version.partition(".")
    earlier = [f"{year}.{one}" for one in range(int(number) - 1, 0, -1)] if number.isdecimal() else []
    return next((version for version in ([told] if told is not None else earlier)
                 if version != data_version and identity_of(asked, version, leave_out=leave_out) == identity), None)


def _plain(value: Any) -> Any:
    """Numbers in one spelling, nine digits of them, as the replies have."""
    if isinstance(value, bool) or value is None or isinstance(value, str):
        return value
    if isinstance(value, (int, float)):
        return f"{nine_digits(float(value)):.9g}"
    if isinstance(value, Mapping):
        return {key: _plain(inner) for key, inner in value.items()}
    return [_plain(inner) for inner in value]
