"""Who may ask: by which name the service was addressed, and whether another site's page made a browser ask.

A service on the loopback has no password, so a web page must not reach it through a visitor's browser. Two ways exist:
a name of the attacker's that suddenly points to 127.0.0.1 (DNS rebinding), which the Host header gives away; and
a picture or a script that costs work although its reply cannot be read, which Fetch Metadata gives away.
"""

from __future__ import annotations

import re
from functools import lru_cache
from ipaddress import IPv6Address, ip_address
from urllib.parse import urlsplit

from werkzeug import Request

from kettlewright.api.door.problems import Problem
from kettlewright.settings import Settings

__all__ = ["check_host", "check_site", "is_accepted"]

_NAME = re.compile(r"[A-Za-z0-9_](?:[A-Za-z0-9_.-]*[A-Za-z0-9_])?\.?")
_PORT = re.compile(r"(?::[0-9]{0,5})?")


def check_host(request: Request, settings: Settings) -> None:
    """Refuse a request for another host (`request`, `settings`).

    Raises
    ------
    Problem : 400 without a Host header or with one that is none; 421 for a name that is not accepted.

    References
    ----------
    .. [1] RFC 9112, 3.2: a server answers 400 to an HTTP/1.1 request that lacks a Host header or has an invalid one.
    """
    given = request.environ.get("HTTP_HOST")
    if given is None:
        if request.environ.get("SERVER_PROTOCOL") == "HTTP/1.0":
            return
        raise Problem(400, "The request has no Host header; HTTP/1.1 needs one.")
    target = request.environ.get("RAW_URI", "")
    named = [given, urlsplit(target).netloc] if target[:4].lower() == "http" else [given]
    for host in named:
        name = _name_of(host)
        if name is None:
            raise Problem(400, "The Host header is not the name of a host, with or without a port.")
        if not is_accepted(name, settings.hosts):
            raise Problem(421, "This service is not known by the name in the Host header. If you run it, name the "
                               "hosts by which it is reached in KETTLEWRIGHT_HOSTS.")


@lru_cache(maxsize=256)
def _name_of(host: str) -> str | None:
    """The name or address in a Host header, without its port, in lower case; None where it is neither."""
    if host.startswith("["):
        inside, closed, port = host[1:].partition("]")
        try:
            IPv6Address(inside)
        except ValueError:
            return None
        return inside if closed and _PORT.fullmatch(port) else None
    name, colon, port = host.partition(":")
    return name.rstrip(".").lower() if _NAME.fullmatch(name) and _PORT.fullmatch(colon + port) else None


@lru_cache(maxsize=256)
def is_accepted(name: str, hosts: tuple[str, ...]) -> bool:
    """Whether the service answers under a name.

    Parameters
    ----------
    name : str
        Name or address, in lower case, without a port. [text]
    hosts : tuple of str
        KETTLEWRIGHT_HOSTS; "*" for any. [names]

    Returns
    -------
    bool : addresses and names without a dot always (localhost, a container's name): nobody can register them and let
        them point to another machine. Any other name must be one of `hosts`.
    """
    if "*" in hosts or name in hosts or ("." not in name and ":" not in name):
        return True
    try:
        ip_address(name)
    except ValueError:
        return False
    return True


def check_site(request: Request, settings: Settings) -> None:
    """Refuse what another site's page made a browser ask without its user (`request`, `settings`).

    The user follows a link. Pages of the origins that may read replies may send requests, too.

    Raises
    ------
    Problem : 403.

    References
    ----------
    .. [1] W3C Fetch Metadata Request Headers: Sec-Fetch-Site, Sec-Fetch-Mode and Sec-Fetch-Dest cannot be set by a
       page. Browsers send them to trustworthy addresses only: HTTPS, and the loopback.
    """
    if request.headers.get("Sec-Fetch-Site") != "cross-site" or "*" in settings.cors_origins:
        return
    if (request.method in ("GET", "HEAD") and request.headers.get("Sec-Fetch-Mode") == "navigate"
            and request.headers.get("Sec-Fetch-Dest") == "document"):
        return
    origin = request.headers.get("Origin")
    if origin is None:  # a picture names its page only as the referrer
        page = urlsplit(request.headers.get("Referer", ""))
        origin = f"{page.scheme}://{page.netloc}"
    if origin not in settings.cors_origins:
        raise Problem(403, "A page of another site made the browser ask, and its origin is not in "
                           "KETTLEWRIGHT_CORS_ORIGINS. Open the link itself, or let that origin in.")
