"""A key: its secret is 256 random bits, and only the SHA-256 hash of the whole key is kept.

A slow hash such as scrypt protects secrets that can be guessed, as passwords can. Nobody guesses 256 random bits, so it
would protect nothing here, and it would cost every request some 50 ms of CPU time. SHA-256 costs a microsecond.
"""

from __future__ import annotations

import hashlib
import hmac
import re
import secrets
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime

__all__ = ["KEY_ID", "KEY_TEXT", "MEMBER", "NAME", "OPERATOR", "READ_ONLY", "ROLES", "Key", "KeyRing", "hash_of",
           "new_key"]

MEMBER, READ_ONLY, OPERATOR = "member", "read-only", "operator"
ROLES = (MEMBER, READ_ONLY, OPERATOR)
"""What a key may do: calculate; calculate by GET only, from an address; calculate and read /metrics. [words]"""

NAME = re.compile(r"[a-z0-9][a-z0-9._-]{0,39}")
"""Of a key, as it appears in logs. [pattern]"""
KEY_ID = re.compile(r"[0-9a-f]{8}")
"""The part of a key that is not secret. [pattern]"""

KEY_TEXT = re.compile(r"(kw_[0-9a-f]{8}_)[A-Za-z0-9_-]+")
"""A key or the beginning of one, in any text; the group is not secret. [pattern]"""

_SECRET_BYTES = 32
_TEXT = re.compile(r"kw_([0-9a-f]{8})_[A-Za-z0-9_-]{43}")
_NO_KEY = "0" * 64


@dataclass(frozen=True, slots=True)
class Key:
    """What the file says of a key.

    Parameters
    ----------
    name : str
        Of the member or program that has it; several keys may have one name. [text]
    key_id : str
        Part of the key that is not secret. [8 hexadecimal digits]
    role : str
        One of `ROLES`. [word]
    sha256 : str
        Hash of the whole key. [64 hexadecimal digits]
    made : date
        Day it was made. [date]
    expires : date, optional
        The last day on which it works (UTC); None for ever. [date]
    requests_per_month, cpu_seconds_per_month : int, optional
        Monthly quota; None for no limit. [requests, seconds]
    """

    name: str
    key_id: str
    role: str
    sha256: str
    made: date
    expires: date | None = None
    requests_per_month: int | None = None
    cpu_seconds_per_month: int | None = None

    def has_expired(self, now: datetime) -> bool:
        """Whether its last day has passed (`now`: with a time zone)."""
        return self.expires is not None and now.astimezone(UTC).date() > self.expires


class KeyRing:
    """All keys of a file.

    Parameters
    ----------
    keys : iterable of Key
        Their ids differ. [keys]
    """

    def __init__(self, keys: Iterable[Key]) -> None:
        self._by_id = {key.key_id: key for key in keys}

    def __len__(self) -> int:
        return len(self._by_id)

    def find(self, text: str) -> Key | None:
        """The key with this text; None if there is none.

        The id, which is no secret, finds the entry; the hashes are compared in constant time, with or without an entry.

        Parameters
        ----------
        text : str
            What a request gave as its key. [text]

        Returns
        -------
        Key or None
        """
        found = _TEXT.fullmatch(text)
        entry = self._by_id.get(found[1]) if found else None
        right = hmac.compare_digest(hash_of(text), entry.sha256 if entry else _NO_KEY)
        return entry if right else None


def hash_of(text: str) -> str:
    """The hash of a key as the file has it (`text`: the whole key). [64 hexadecimal digits]"""
    return hashlib.sha256(text.encode("utf-8", "replace")).hexdigest()


def new_key(name: str, role: str = MEMBER, *, made: date, expires: date | None = None,
            requests_per_month: int | None = None, cpu_seconds_per_month: int | None = None) -> tuple[str, Key]:
    """Make a key.

    Parameters
    ----------
    name, role, made, expires, requests_per_month, cpu_seconds_per_month
        As in `Key`. [text, dates, requests, seconds]

    Returns
    -------
    tuple of str and Key : the text of the key, which is kept nowhere, and its entry.
    """
    key_id = secrets.token_hex(4)
    text = f"kw_{key_id}_{secrets.token_urlsafe(_SECRET_BYTES)}"
    return text, Key(name, key_id, role, hash_of(text), made, expires, requests_per_month, cpu_seconds_per_month)
