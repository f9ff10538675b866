"""Check the arguments of a caller before anything is sent."""

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
    """Check the address of a service, and return it for messages: without a password.

    Parameters
    ----------
    base_url : str
        The address given. [URL]

    Returns
    -------
    str

    Raises
    ------
    ClientError : a client cannot use it.
    """
    try:
        parts = urlsplit(base_url)
        host = parts.netloc.rpartition("@")[2] if parts.hostname and parts.port != 0 else ""
    except ValueError:
        host = ""
    if not host or parts.scheme not in ("http", "https") or parts.query or parts.fragment:
        raise ClientError('The address of the service has the form "http://host:port" or "https://host/prefix/"; '
                          f"{base_url.rpartition('@')[2][:100]!r} does not.")
    return f"{parts.scheme}://{host}{parts.path}".rstrip("/")


def json_bytes(body: object) -> bytes:
    """Write a body as JSON.

    Parameters
    ----------
    body : object
        Mappings, lists, texts and numbers. [as in JSON]

    Returns
    -------
    bytes

    Raises
    ------
    ClientError : something in it cannot be written as JSON.
    """
    try:
        return json.dumps(body, allow_nan=False, ensure_ascii=False, default=_as_mapping).encode("utf-8")
    except (TypeError, ValueError, RecursionError) as error:
        raise ClientError(f"The request cannot be written as JSON: {error}") from error


def seconds(name: str, given: float) -> float:
    """Check a time limit.

    Parameters
    ----------
    name : str
        Its name in messages. [word]
    given : float
        Above 0. [s]

    Returns
    -------
    float

    Raises
    ------
    ClientError : it is not valid.
    """
    if isinstance(given, bool) or not isinstance(given, int | float) or not 0 < given < math.inf:
        raise ClientError(f"{name} is {given!r}; give a number of seconds above 0. Every call has a time limit.")
    return float(given)


def whole_number(name: str, given: int, least: int, most: int) -> int:
    """Check a whole number.

    Parameters
    ----------
    name : str
        Its name in messages. [word]
    given, least, most : int
        The number and its bounds, both inclusive. [1]

    Returns
    -------
    int

    Raises
    ------
    ClientError : it is not valid.
    """
    if isinstance(given, bool) or not isinstance(given, int) or not least <= given <= most:
        raise ClientError(f"{name} is {given!r}; it must be a whole number from {least} to {most}.")
    return given


def _as_mapping(thing: object) -> dict[Any, Any]:
    if isinstance(thing, Mapping):
        return dict(thing)
    raise TypeError(f"it contains a {type(thing).__name__}")
