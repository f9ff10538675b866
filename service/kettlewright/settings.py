"""Settings, from environment variables; a bad value stops the start and names itself."""

from __future__ import annotations

import os
import re
from collections.abc import Mapping
from dataclasses import dataclass

__all__ = ["BadSetting", "Settings", "read_settings"]


class BadSetting(ValueError):
    """An environment variable that cannot be used."""


@dataclass(frozen=True, slots=True)
class Settings:
    """What an operator may choose.

    Parameters
    ----------
    listen : str
        KETTLEWRIGHT_LISTEN: host and port. [text]
    workers, threads : int
        KETTLEWRIGHT_WORKERS, KETTLEWRIGHT_THREADS: processes, and threads in each. [number]
    heavy_seconds : int
        KETTLEWRIGHT_HEAVY_SECONDS: the most that a heavy calculation may take before it is stopped. [seconds]
    max_body_bytes : int
        KETTLEWRIGHT_MAX_BODY_BYTES: largest body taken. [bytes]
    max_url_length : int
        KETTLEWRIGHT_MAX_URL_LENGTH: longest address taken, path and query. [characters]
    log_level : str
        KETTLEWRIGHT_LOG_LEVEL: debug, info, warning or error. [text]
    log_probes : bool
        KETTLEWRIGHT_LOG_PROBES: whether probes that succeed (/healthz, /readyz) are in the access log; yes or no.
        [yes or no]
    hosts : tuple of str
        KETTLEWRIGHT_HOSTS: names by which the service is reached, with commas between; * for any. Addresses and names
        without a dot (localhost, a container's name) are always accepted, and nothing else by default: a name that
        an attacker lets point to your machine must read nothing. [names]
    cors_origins : tuple of str
        KETTLEWRIGHT_CORS_ORIGINS: whose pages may read replies, with commas between; * for all. None by default.
        [origins]
    """

    listen: str = "127.0.0.1:8000"
    workers: int = 2
    threads: int = 8
    heavy_seconds: int = 10
    max_body_bytes: int = 262_144
    max_url_length: int = 2_048
    log_level: str = "info"
    log_probes: bool = False
    hosts: tuple[str, ...] = ()
    cors_origins: tuple[str, ...] = ()


_WHOLE = {"workers": (1, 64), "threads": (1, 64), "heavy_seconds": (1, 120), "max_body_bytes": (1_024, 16_777_216),
          "max_url_length": (256, 8_000)}
_ORIGIN = re.compile(r"https?://([a-z0-9.-]+|\[[0-9a-f:]+\])(:[0-9]{1,5})?")
_HOST = re.compile(r"[a-z0-9_](?:[a-z0-9_.-]*[a-z0-9_])?")
_LEVELS = ("debug", "info", "warning", "error")


def read_settings(environment: Mapping[str, str] | None = None) -> Settings:
    """Settings of an environment.

    Parameters
    ----------
    environment : mapping, optional
        The process's own where not given. [text]

    Returns
    -------
    Settings

    Raises
    ------
    BadSetting : names the variable, the value and what is allowed.
    """
    given = os.environ if environment is None else environment
    found: dict[str, str | int | tuple[str, ...]] = {}
    for name, (low, high) in _WHOLE.items():
        text = given.get(f"KETTLEWRIGHT_{name.upper()}")
        if text is None:
            continue
        if not re.fullmatch(r"[0-9]{1,9}", text) or not low <= int(text) <= high:
            raise BadSetting(f"KETTLEWRIGHT_{name.upper()} is {text!r}; it must be a whole number from {low} to {high}")
        found[name] = int(text)
    listen = given.get("KETTLEWRIGHT_LISTEN")
    if listen is not None:
        if not re.fullmatch(r"[A-Za-z0-9_.\-\[\]:]+:[0-9]{1,5}", listen):
            raise BadSetting(f"KETTLEWRIGHT_LISTEN is {listen!r}; it must be host:port, such as 127.0.0.1:8000")
        found["listen"] = listen
    level = given.get("KETTLEWRIGHT_LOG_LEVEL")
    if level is not None:
        if level not in _LEVELS:
            raise BadSetting(f"KETTLEWRIGHT_LOG_LEVEL is {level!r}; it must be one of {', '.join(_LEVELS)}")
        found["log_level"] = level
    probes = given.get("KETTLEWRIGHT_LOG_PROBES")
    if probes is not None:
        if probes not in ("yes", "no"):
            raise BadSetting(f"KETTLEWRIGHT_LOG_PROBES is {probes!r}; it must be yes or no")
        found["log_probes"] = probes == "yes"
    hosts = given.get("KETTLEWRIGHT_HOSTS")
    if hosts is not None:
        found["hosts"] = _hosts(hosts)
    origins = given.get("KETTLEWRIGHT_CORS_ORIGINS")
    if origins is not None:
        found["cors_origins"] = _origins(origins)
    return Settings(**found)  # type: ignore[arg-type]  # each value was checked against its own field above


def _hosts(text: str) -> tuple[str, ...]:
    hosts = tuple(part.strip() for part in text.split(",") if part.strip())
    if hosts != ("*",) and not all(_HOST.fullmatch(host) for host in hosts):
        raise BadSetting(f"KETTLEWRIGHT_HOSTS is {text!r}; it must be * or names in lower case with commas between, "
                         "without a port, such as soap.example,maths.soap.example")
    return hosts


def _origins(text: str) -> tuple[str, ...]:
    origins = tuple(part.strip() for part in text.split(",") if part.strip())
    if origins != ("*",) and not all(_ORIGIN.fullmatch(origin) for origin in origins):
        raise BadSetting(f"KETTLEWRIGHT_CORS_ORIGINS is {text!r}; it must be * or origins in lower case with commas "
                         "between, without a path, such as https://soap.example,http://127.0.0.1:5000")
    return origins
