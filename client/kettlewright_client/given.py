"""Check the arguments of a caller before anything is sent."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from urllib.parse import urlsplit

from kettlewright_client.errors import ClientError
from kettlewright_client.values import Timeout

__all__ = ["MOST_RETRIES", "address_shown", "bearer", "header_values", "seconds", "time_limits", "whole_number"]

MOST_RETRIES = 10
_OWN_HEADERS = frozenset({"Accept", "Content-Type", "Content-Length", "Transfer-Encoding", "Host"})


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
                          f"{base_url.rpartition('@')[2][:100]!r} does not{_meant(base_url)}")
    return f"{parts.scheme}://{host}{parts.path}".rstrip("/")


def _meant(base_url: str) -> str:
    """Words for an address that only lacks its scheme."""
    bare = re.fullmatch(r"(?:[\w-]+\.)*[\w-]+(?::\d+)?(?:/[\w./-]*)?", base_url)
    return f', did you mean "http://{base_url}"?' if bare else "."


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


def time_limits(given: Timeout) -> tuple[float, float]:
    """Check a timeout.

    Parameters
    ----------
    given : float or tuple of float
        To connect and to wait, or one number for both. [s]

    Returns
    -------
    tuple of float

    Raises
    ------
    ClientError : it is not valid.
    """
    if isinstance(given, tuple) and len(given) == 2:
        return seconds("timeout", given[0]), seconds("timeout", given[1])
    if isinstance(given, tuple):
        raise ClientError(f"timeout is {given!r}; give one number, or two: seconds to connect and seconds to wait.")
    return seconds("timeout", given), seconds("timeout", given)


def header_values(given: Mapping[str, str]) -> dict[str, str]:
    """Check headers of your own.

    Parameters
    ----------
    given : mapping
        Values by name. [text]

    Returns
    -------
    dict

    Raises
    ------
    ClientError : one is not valid, or the client sets it itself.
    """
    for name, value in given.items():
        if not (isinstance(name, str) and isinstance(value, str) and re.fullmatch(r"[!#$%&'*+.^_`|~0-9A-Za-z-]+", name)
                and re.fullmatch(r"[\t\x20-\x7e\x80-\xff]*", value) and value == value.strip()):
            raise ClientError(f"The header {name!r} is not valid: names and values are text without line breaks.")
        if name.title() in _OWN_HEADERS:
            raise ClientError(f"The client sets the header {name} itself.")
    return dict(given)


def bearer(key: str) -> str:
    """The value of Authorization for a key.

    Parameters
    ----------
    key : str
        The key. [text]

    Returns
    -------
    str

    Raises
    ------
    ClientError : it is not valid. The message does not show it.
    """
    if not isinstance(key, str) or not re.fullmatch(r"[A-Za-z0-9._~+/-]+=*", key):
        raise ClientError("key must be one word of letters, digits and -._~+/ (RFC 6750).")
    return f"Bearer {key}"
