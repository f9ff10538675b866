"""Settings, from environment variables; a bad value or an unknown name stops the start and names itself."""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from ipaddress import ip_address

from kettlewright.names import nearest

__all__ = ["SETTINGS", "BadSetting", "Setting", "Settings", "check_addresses", "read_settings"]

PREFIX = "KETTLEWRIGHT_"
_Value = str | int | bool | tuple[str, ...]

_OF_THE_CLIENT = frozenset({"KETTLEWRIGHT_URL", "KETTLEWRIGHT_KEY"})
"""Variables of the client, which may run in the same shell."""

_OF_KUBERNETES = re.compile(r"KETTLEWRIGHT(_[A-Z0-9_]+)?_(SERVICE_HOST|SERVICE_PORT(_[A-Z0-9_]+)?|PORT_[0-9]+_(TCP|UDP)"
                            r"(_(PROTO|PORT|ADDR))?)")
"""Variables that Kubernetes sets in every pod for a Service of the name kettlewright (or kettlewright-...)."""


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
    key_file : str
        KETTLEWRIGHT_KEY_FILE: the file of the keys that requests need; none by default. [path]
    open : bool
        KETTLEWRIGHT_OPEN: whether the service may listen beyond the loopback without keys; yes or no. [yes or no]
    hosts : tuple of str
        KETTLEWRIGHT_HOSTS: names by which the service is reached, with commas between; * for any. Addresses and names
        without a dot (localhost, a container's name) are always accepted, and nothing else by default: a name that
        an attacker lets point to your machine must read nothing. [names]
    cors_origins : tuple of str
        KETTLEWRIGHT_CORS_ORIGINS: whose pages may read replies, with commas between; * for all. None by default.
        [origins]
    metrics : str
        KETTLEWRIGHT_METRICS: a folder in memory for counts that Prometheus reads at /metrics; none by default. [path]
    data : str
        KETTLEWRIGHT_DATA: folder of the co-op's own fats, certificates, packs, label names and fragrances; none by
        default. [path]
    """

    listen: str = "127.0.0.1:8000"
    workers: int = 2
    threads: int = 12
    heavy_seconds: int = 10
    max_body_bytes: int = 262_144
    max_url_length: int = 2_048
    log_level: str = "info"
    log_probes: bool = False
    key_file: str = ""
    open: bool = False
    hosts: tuple[str, ...] = ()
    cors_origins: tuple[str, ...] = ()
    metrics: str = ""
    data: str = ""


_LISTEN = re.compile(r"(?:\[[0-9A-Fa-f:.]+\]|[A-Za-z0-9_.-]+):([0-9]{1,5})")
_ORIGIN = re.compile(r"https?://([a-z0-9.-]+|\[[0-9a-f:]+\])(:[0-9]{1,5})?")
_HOST = re.compile(r"[a-z0-9_](?:[a-z0-9_.-]*[a-z0-9_])?")
_LEVELS = ("debug", "info", "warning", "error")


def _whole(low: int, high: int) -> Callable[[str], int | None]:
    def read(text: str) -> int | None:
        return int(text) if re.fullmatch(r"[0-9]{1,9}", text) and low <= int(text) <= high else None
    return read


def _one_of(**values: str | bool) -> Callable[[str], str | bool | None]:
    return values.get


def _listen(text: str) -> str | None:
    found = _LISTEN.fullmatch(text)
    return text if found and 1 <= int(found[1]) <= 65_535 else None


def _path(text: str) -> str | None:
    # whether it is there is seen when it is read: while it is replaced, a new worker must be able to start
    return text if not text or text.startswith("/") else None


def _several(pattern: re.Pattern[str]) -> Callable[[str], tuple[str, ...] | None]:
    def read(text: str) -> tuple[str, ...] | None:
        parts = tuple(part.strip() for part in text.split(",") if part.strip())
        return parts if parts == ("*",) or all(pattern.fullmatch(part) for part in parts) else None
    return read


@dataclass(frozen=True, slots=True)
class Setting:
    """One variable of the environment.

    Parameters
    ----------
    field : str
        Of `Settings`; the variable is KETTLEWRIGHT_ and this in capitals. [name]
    span : str
        What is allowed, in a few words, as the operator's table has it. [text]
    must_be : str
        What is allowed, as the message says it. [text]
    read : callable
        The value of a text, or None where it is not allowed. [function]
    """

    field: str
    span: str
    must_be: str
    read: Callable[[str], _Value | None]

    @property
    def name(self) -> str:
        """Of the variable. [name]"""
        return PREFIX + self.field.upper()


def _number(field: str, low: int, high: int) -> Setting:
    return Setting(field, f"{low:,} to {high:,}", f"a whole number from {low} to {high}", _whole(low, high))


SETTINGS = (
    Setting("listen", "host:port, port 1 to 65,535", "host:port with a port from 1 to 65535, such as 127.0.0.1:8000",
            _listen),
    _number("workers", 1, 64),
    _number("threads", 1, 64),
    _number("heavy_seconds", 1, 120),
    _number("max_body_bytes", 1_024, 16_777_216),
    _number("max_url_length", 256, 8_000),
    Setting("key_file", "a path", "the path of a file, absolute, such as /keys/keys.csv",
            lambda text: _path(text) or None),
    Setting("open", "yes, no", "yes or no", _one_of(yes=True, no=False)),
    Setting("hosts", "names or *", "* or names in lower case with commas between, without a port, such as "
            "soap.example,maths.soap.example", _several(_HOST)),
    Setting("cors_origins", "origins or *", "* or origins in lower case with commas between, without a path, such as "
            "https://soap.example,http://127.0.0.1:5000", _several(_ORIGIN)),
    Setting("metrics", "path of a folder", "the full path of a folder, such as /dev/shm/kettlewright-metrics", _path),
    Setting("data", "path of a folder", "the full path of a folder, such as /data", _path),
    Setting("log_probes", "yes, no", "yes or no", _one_of(yes=True, no=False)),
    Setting("log_level", ", ".join(_LEVELS), f"one of {', '.join(_LEVELS)}", _one_of(**{one: one for one in _LEVELS})),
)
"""Every setting, in the order of the operator's table (docker/README.md)."""


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
    BadSetting : names the variable, the value and what is allowed; or a variable that no setting has.
    """
    given = os.environ if environment is None else environment
    known = {setting.name: setting for setting in SETTINGS}
    found: dict[str, _Value] = {}
    for name in sorted(given):
        if not name.upper().startswith(PREFIX) or name in _OF_THE_CLIENT:
            continue
        text = given[name]
        setting = known.get(name)
        if setting is None:
            if not _is_of_kubernetes(name, text):
                raise BadSetting(_unknown(name, list(known)))
            continue
        value = setting.read(text)
        if value is None:
            raise BadSetting(f"{name} is {text!r}; it must be {setting.must_be}")
        found[setting.field] = value
    return Settings(**found)  # type: ignore[arg-type]  # each value was read by its own field's reader


def check_addresses(addresses: Iterable[object], settings: Settings) -> None:
    """Refuse to listen where others can reach a service that takes every request.

    Parameters
    ----------
    addresses : iterable
        Where it would listen: (host, port, ...), the path of a socket, or the number of an open file. [addresses]
    settings : Settings
        The settings. [settings]

    Raises
    ------
    BadSetting : one is beyond the loopback, there are no keys, and KETTLEWRIGHT_OPEN does not allow it.
    """
    if settings.key_file or settings.open:
        return
    for address in addresses:
        host, *port = address if isinstance(address, tuple) else (address, "")
        if not (isinstance(address, str) or _is_loopback(str(host))):
            where = ":".join(str(part) for part in (host, *port[:1]))
            raise BadSetting(f"The service would listen on {where} without keys: everybody who reaches it could use "
                             "it. Set KETTLEWRIGHT_KEY_FILE; or KETTLEWRIGHT_OPEN=yes if a proxy or firewall controls "
                             "who reaches it; or listen on 127.0.0.1")


def _is_loopback(host: str) -> bool:
    try:
        return host == "localhost" or ip_address(host).is_loopback
    except ValueError:
        return False


def _is_of_kubernetes(name: str, text: str) -> bool:
    return _OF_KUBERNETES.fullmatch(name) is not None or (name.endswith("_PORT") and "://" in text)


def _unknown(name: str, known: list[str]) -> str:
    close = nearest(name.upper()[len(PREFIX):], [one[len(PREFIX):] for one in known])
    return f"{name} is not a setting; " + (f"did you mean {PREFIX}{close[0]}?" if close else
                                           f"the settings are {', '.join(known)}")
