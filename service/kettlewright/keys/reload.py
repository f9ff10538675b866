"""Keys under gunicorn: its main process reads the file at start and at SIGHUP, and workers inherit what it holds.

Each worker reading for itself would end the service at SIGHUP if the file has an error, because a worker that does not
start ends gunicorn. Any other server reads the file once, when it makes the application.
"""

from __future__ import annotations

import logging

from kettlewright.held import Held
from kettlewright.keys.key import KeyRing
from kettlewright.keys.key_file import BadKeyFile, read_key_file

__all__ = ["keys_of", "read_again"]

_log = logging.getLogger("kettlewright")


def keys_of(path: str) -> KeyRing:
    """The keys that this process holds; those of the file if it holds none yet (`path`).

    Raises
    ------
    BadKeyFile : the file cannot be used.
    """
    return _keys.at(path)


def read_again(path: str) -> None:
    """Read a key file again; if it cannot be used, log why and keep the keys that are held (`path`)."""
    try:
        _keys.again(path)
    except BadKeyFile as error:
        for line in str(error).splitlines():
            _log.error("the key file cannot be used, the keys read before remain valid: %s", line)


def _read(path: str) -> KeyRing:
    ring = KeyRing(read_key_file(path))
    _log.info("keys read: %d", len(ring))
    return ring


_keys = Held(_read)
