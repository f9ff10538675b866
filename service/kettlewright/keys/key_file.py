"""The file of keys: CSV, one line for each key, checked as strictly as a request."""

from __future__ import annotations

import csv
import os
import re
import tempfile
from collections.abc import Callable, Iterable
from datetime import date
from io import StringIO
from pathlib import Path
from typing import TypeVar

from kettlewright.keys.key import KEY_ID, NAME, ROLES, Key

__all__ = ["COLUMNS", "BadKeyFile", "count_of", "date_of", "read_key_file", "write_key_file"]

T = TypeVar("T")

COLUMNS = ("name", "role", "id", "sha256", "made", "expires", "requests_per_month", "cpu_seconds_per_month")
_BYTES_MAX = 2_000_000
_ERRORS_MAX = 20
_COUNT_MAX = 1_000_000_000


class BadKeyFile(ValueError):
    """The file cannot be used; the message has every error with its line, and no word of the file."""


def read_key_file(path: str | Path) -> tuple[Key, ...]:
    """The keys of a file.

    Parameters
    ----------
    path : str or Path
        The file. [path]

    Returns
    -------
    tuple of Key : empty if the file has its header and no key.

    Raises
    ------
    BadKeyFile : it cannot be read, is empty, or has an error.
    """
    try:
        with open(path, "rb") as file:
            raw = file.read(_BYTES_MAX + 1)
        text = raw.decode("utf-8-sig")
    except OSError as error:
        raise BadKeyFile(f"{path}: {os.strerror(error.errno) if error.errno else 'cannot be read'}") from None
    except UnicodeDecodeError:
        raise BadKeyFile(f"{path}: is not UTF-8") from None
    if len(raw) > _BYTES_MAX:
        raise BadKeyFile(f"{path}: has more than {_BYTES_MAX:,} bytes")
    rows = csv.reader(StringIO(text, newline=""), strict=True)
    errors: list[str] = []
    keys: dict[str, Key] = {}
    try:
        header = next(rows, None)
        if header is None or tuple(header) != COLUMNS:
            raise BadKeyFile(f"{path}:1: {'the file is empty' if header is None else 'this is not the header'}; the "
                             f"first line must be {','.join(COLUMNS)}")
        for row in rows:
            wrong: list[str] = []
            key = _key_of(row, wrong) if row else None
            if key is not None and key.key_id in keys:
                wrong.append("id: another key has this id")
            errors += [f"{path}:{rows.line_num}: {one}" for one in wrong]
            if key is not None:
                keys[key.key_id] = key
    except csv.Error:
        errors.append(f"{path}:{rows.line_num}: is not CSV")
    if errors:
        more = len(errors) - _ERRORS_MAX
        raise BadKeyFile("\n".join(errors[:_ERRORS_MAX] + ([f"and {more} more"] if more > 0 else [])))
    return tuple(keys.values())


def date_of(text: str) -> date | None:
    """The day of a text (`text`: such as 2027-01-31); None if it is not one. [date]"""
    try:
        return date.fromisoformat(text) if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text) else None
    except ValueError:
        return None


def count_of(text: str) -> int | None:
    """The whole number of a text (`text`), from 1 to 1,000,000,000; None if it is not one. [number]"""
    return int(text) if re.fullmatch(r"[1-9][0-9]{0,9}", text) and int(text) <= _COUNT_MAX else None


def _matching(pattern: re.Pattern[str]) -> Callable[[str], str | None]:
    return lambda text: text if pattern.fullmatch(text) else None


_DAY = "must be a day such as 2027-01-31"
_COUNT = "must be a whole number from 1 to 1,000,000,000, or empty for no limit"


def _key_of(row: list[str], wrong: list[str]) -> Key | None:
    """The key of a row; None, and what is wrong, if it has errors."""
    if len(row) != len(COLUMNS):
        wrong.append(f"has {len(row)} cells; it must have {len(COLUMNS)}")
        return None
    cells = dict(zip(COLUMNS, row, strict=True))

    def cell(column: str, read: Callable[[str], T | None], must_be: str) -> T | None:
        found = read(cells[column])
        if found is None:
            wrong.append(f"{column}: {must_be}")
        return found

    def optional(column: str, read: Callable[[str], T | None], must_be: str) -> T | None:
        return cell(column, read, must_be) if cells[column] else None

    name = cell("name", _matching(NAME), "must have 1 to 40 characters from a-z 0-9 . _ - and begin with a letter or "
                "digit")
    role = cell("role", lambda text: text if text in ROLES else None, f"must be one of {', '.join(ROLES)}")
    key_id = cell("id", _matching(KEY_ID), "must be 8 hexadecimal digits")
    sha256 = cell("sha256", _matching(re.compile(r"[0-9a-f]{64}")), "must be 64 hexadecimal digits")
    made = cell("made", date_of, _DAY)
    expires = optional("expires", date_of, f"{_DAY}, or empty")
    requests = optional("requests_per_month", count_of, _COUNT)
    seconds = optional("cpu_seconds_per_month", count_of, _COUNT)
    if wrong or name is None or role is None or key_id is None or sha256 is None or made is None:
        return None
    return Key(name, key_id, role, sha256, made, expires, requests, seconds)


def write_key_file(path: str | Path, keys: Iterable[Key]) -> None:
    """Write a file of keys; whoever reads it meanwhile gets the old one whole.

    Parameters
    ----------
    path : str or Path
        The file. [path]
    keys : iterable of Key
        All of them. [keys]
    """
    text = StringIO()
    rows = csv.writer(text, lineterminator="\n")
    rows.writerow(COLUMNS)
    for key in keys:
        rows.writerow([key.name, key.role, key.key_id, key.sha256, key.made, key.expires or "",
                       key.requests_per_month or "", key.cpu_seconds_per_month or ""])
    path = Path(path)
    # the service's user must be able to read it; no key can be computed from its hash
    mode = path.stat().st_mode & 0o777 if path.exists() else 0o644
    handle, beside = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    try:
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            file.write(text.getvalue())
            file.flush()
            os.fsync(file.fileno())
        os.chmod(beside, mode)
        os.replace(beside, path)
    except BaseException:
        os.unlink(beside)
        raise
