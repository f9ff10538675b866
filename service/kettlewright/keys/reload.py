"""Keys under gunicorn: its main process reads the file at start and at SIGHUP, and workers inherit what it holds.

Each worker reading for itself would end the service at SIGHUP if the file has an error, because a worker that does not
start ends gunicorn. Any other server reads the file once, when it makes the application.
"""

from __future__ import annotations

import logging

from kettlewright.keys.key import KeyRing
from kettlewright.keys.key_file import BadKeyFile, read_key_file

__all__ = ["hold_keys", "keys_of", "read_again"]

_log = logging.getLogger("kettlewright")
_held: dict[str, KeyRing] = {}


def hold_keys(path: str) -> None:
    """Read a key file and keep its keys for `keys_of`, in this process and those that it starts (`path`).

    Raises
    ------
    BadKeyFile : the file cannot be used.
    """
    _held[path] = ring = KeyRing(read_key_file(path))
    _log.info("keys read: %d", len(ring))


def read_again(path: str) -> None:
    """Read a key file again; if it cannot be used, log why and keep the keys that are held (`path`)."""
    try:
        hold_keys(path)
    except BadKeyFile as error:
        for line in str(error).splitlines():
            _log.error("the key file cannot be used, the keys read before remain valid: %s", line)


def keys_of(path: str) -> KeyRing:
    """The keys that this process holds; those of the file if it holds none yet (`path`).

    Raises
    ------
    BadKeyFile : the file cannot be used.
    """
    if path not in _held:
        hold_keys(path)
    return _held[path]
