"""What a caller gives, checked and brought to its form before anything is sent."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from typing import Any
from urllib.parse import urlsplit

from kettlewright_client.errors import ClientError

__all__ = ["MOST_RETRIES", "address_shown", "json_bytes", "seconds", "whole_number"]

MOST_RETRIES = 10


def address_shown(base_url: str) -> str:
    """The address of a service as messages show it, without a password that may stand in it.

    Parameters
    ----------
    base_url : str
        As given. [URL]

    Returns
    -------
    str

    Raises
    ------
    ClientError : it is no address a client can use.
    """
    try:
        parts = urlsplit(base_url)
        host = parts.netloc.rpartition("@")[2] if parts.hostname and parts.port != 0 else ""
    except ValueError:
        host = ""
    if not host or parts.scheme not in ("http", "https") or parts.query or parts.fragment:
        raise ClientError('The address of the service has the form "http://host:port" or "https://host/prefix/"; '
                          f"{base_url.rpartition('@')[2][:100]!r} has not.")
    return f"{parts.scheme}://{host}{parts.path}".rstrip("/")


def json_bytes(body: object) -> bytes:
    """A body as it is sent.

    Parameters
    ----------
    body : object
        Of mappings, lists, texts and numbers. [as in JSON]

    Returns
    -------
    bytes

    Raises
    ------
    ClientError : something in it has no form in JSON.
    """
    try:
        return json.dumps(body, allow_nan=False, ensure_ascii=False, default=_as_mapping).encode("utf-8")
    except (TypeError, ValueError, RecursionError) as error:
        raise ClientError(f"The request cannot be written as JSON: {error}") from error


def seconds(name: str, given: float) -> float:
    """A time to wait, which has an end.

    Parameters
    ----------
    name : str
        What to call it. [word]
    given : float
        Above 0. [s]

    Returns
    -------
    float

    Raises
    ------
    ClientError : it is none.
    """
    if isinstance(given, bool) or not isinstance(given, int | float) or not 0 < given < math.inf:
        raise ClientError(f"{name} is {given!r}; give seconds, above 0. There is no waiting without end.")
    return float(given)


def whole_number(name: str, given: int, least: int, most: int) -> int:
    """A whole number between two others.

    Parameters
    ----------
    name : str
        What to call it. [word]
    given, least, most : int
        The number, and its bounds, which are allowed. [1]

    Returns
    -------
    int

    Raises
    ------
    ClientError : it is none.
    """
    if isinstance(given, bool) or not isinstance(given, int) or not least <= given <= most:
        raise ClientError(f"{name} is {given!r}; it must be a whole number from {least} to {most}.")
    return given


def _as_mapping(thing: object) -> dict[Any, Any]:
    if isinstance(thing, Mapping):
        return dict(thing)
    raise TypeError(f"there is a {type(thing).__name__} in it")
