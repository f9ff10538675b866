"""Make, list and revoke keys: python -m kettlewright.keys new NAME."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TypeVar

from kettlewright.keys.key import MEMBER, NAME, ROLES, Key, new_key
from kettlewright.keys.key_file import BadKeyFile, count_of, date_of, read_key_file, write_key_file

__all__ = ["main"]

T = TypeVar("T")

_FILE = "KETTLEWRIGHT_KEY_FILE"
_RELOAD = "Send SIGHUP to the service's main process, so that it reads the file again."


def _as(read: Callable[[str], T | None], must_be: str) -> Callable[[str], T]:
    def converted(text: str) -> T:
        found = read(text)
        if found is None:
            raise argparse.ArgumentTypeError(f"must be {must_be}")
        return found
    return converted


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m kettlewright.keys", description="Keys of a Kettlewright service.")
    parser.add_argument("--file", default=os.environ.get(_FILE), help=f"the key file; by default that of {_FILE}")
    commands = parser.add_subparsers(dest="command", required=True)
    new = commands.add_parser("new", help="make a key and print it; it is shown only this once")
    new.add_argument("name", type=_as(lambda text: text if NAME.fullmatch(text) else None, "1 to 40 characters from "
                                      "a-z 0-9 . _ - and begin with a letter or digit"),
                     help="name of the member or program, as it will appear in logs")
    new.add_argument("--role", choices=ROLES, default=MEMBER, help="member: all calculations (the default). read-only: "
                     "GET only, in an address, for cells and links. operator: also /metrics")
    count = _as(count_of, "a whole number from 1")
    new.add_argument("--requests", type=count, metavar="N", help="limit of requests a month, in each worker process")
    new.add_argument("--cpu-seconds", type=count, metavar="N",
                     help="limit of CPU seconds a month, in each worker process")
    new.add_argument("--expires", type=_as(date_of, "a day such as 2027-01-31"), metavar="DAY",
                     help="the last day on which the key works (UTC)")
    commands.add_parser("list", help="list the keys, without any secret")
    revoke = commands.add_parser("revoke", help="remove keys from the file")
    revoke.add_argument("key", metavar="NAME_OR_ID", help="all keys of a name, or the key with this id")
    return parser


def main(arguments: Sequence[str] | None = None) -> int:
    """Run a command.

    Parameters
    ----------
    arguments : sequence of str, optional
        Those of the command line where not given. [text]

    Returns
    -------
    int : exit status
    """
    given = _parser().parse_args(arguments)
    if not given.file:
        return _failed(f"Name the key file with --file or in {_FILE}.")
    path = Path(given.file)
    try:
        held = () if given.command == "new" and not path.exists() else read_key_file(path)
        if given.command == "new":
            return _new(path, held, given)
        return _list(held) if given.command == "list" else _revoke(path, held, given.key)
    except BadKeyFile as error:
        return _failed(str(error))
    except OSError as error:
        return _failed(f"{path}: {error.strerror}")


def _new(path: Path, held: tuple[Key, ...], given: argparse.Namespace) -> int:
    today = datetime.now(UTC).date()
    if given.expires is not None and given.expires < today:
        return _failed(f"--expires {given.expires} has passed; give today or a later day.")
    text, key = new_key(given.name, given.role, made=today, expires=given.expires, requests_per_month=given.requests,
                        cpu_seconds_per_month=given.cpu_seconds)
    write_key_file(path, [*held, key])
    print(text)
    print(f"This is the key of {key.name} ({key.role}). Copy it now: it is not stored and cannot be shown again. "
          f"{_RELOAD}", file=sys.stderr)
    return 0


def _list(held: tuple[Key, ...]) -> int:
    def limit(number: int | date | None) -> str:
        return "-" if number is None else str(number)

    rows = [("name", "id", "role", "made", "expires", "requests", "cpu seconds"),
            *((key.name, key.key_id, key.role, str(key.made), limit(key.expires), limit(key.requests_per_month),
               limit(key.cpu_seconds_per_month)) for key in held)]
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    for row in rows:
        print("  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip())
    return 0


def _revoke(path: Path, held: tuple[Key, ...], wanted: str) -> int:
    left = [key for key in held if wanted not in (key.name, key.key_id)]
    if len(left) == len(held):
        return _failed(f"No key has the name or id {wanted}.")
    write_key_file(path, left)
    print(f"Revoked: {len(held) - len(left)}. {_RELOAD}", file=sys.stderr)
    return 0


def _failed(message: str) -> int:
    print(message, file=sys.stderr)
    return 1


if __name__ == "__main__":
    sys.exit(main())
