"""Which figures differ between two services, for an operator who updates one.

    python -m kettlewright.compare http://127.0.0.1:8000 http://127.0.0.1:8001 plans/

Every *.json of the folder is the body of a batch. Both services plan it, and what differs is printed. If they need a
key, put it into KETTLEWRIGHT_KEY. Exit status: 0 where nothing differs, 1 where something does, 2 where a plan or a
service cannot be read.
"""

from __future__ import annotations

import argparse
import json
import os
import sys
import urllib.error
import urllib.request
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

__all__ = ["Move", "main", "moves"]

_SAME, _MOVED, _UNREADABLE = 0, 1, 2
_ANSWERS = (200, 400, 422)
"""Statuses that say what a service thinks of a plan; any other says that it did not look at it."""
_OF_EVERY_VERSION = ("meta", "identity", "links")
"""Parts of a reply that name the version, and so always differ."""


@dataclass(frozen=True, slots=True)
class Move:
    """A value that differs.

    Parameters
    ----------
    pointer : str
        Where it is in the reply (RFC 6901). [pointer]
    old, new : object
        In either reply; None where it is in the other one only. [JSON]
    """

    pointer: str
    old: Any
    new: Any

    def __str__(self) -> str:
        line = f"{self.pointer}: {_brief(self.old)} -> {_brief(self.new)}"
        numbers = [one for one in (self.old, self.new) if isinstance(one, (int, float)) and not isinstance(one, bool)]
        return f"{line} ({(numbers[1] / numbers[0] - 1) * 100:+.2f} %)" if len(numbers) == 2 and numbers[0] else line


def _brief(value: Any) -> str:
    text = "(absent)" if value is None else json.dumps(value, ensure_ascii=False)
    return text if len(text) <= 100 else f"{text[:97]}..."


def moves(old: Any, new: Any, pointer: str = "") -> Iterator[Move]:
    """The values that differ between two replies.

    Parameters
    ----------
    old, new : object
        As JSON gives them. [JSON]
    pointer : str, optional
        Where they are in the whole. [pointer]

    Yields
    ------
    Move
    """
    if isinstance(old, dict) and isinstance(new, dict):
        for key in (*old, *(key for key in new if key not in old)):
            if pointer or key not in _OF_EVERY_VERSION:
                part = str(key).replace("~", "~0").replace("/", "~1")
                yield from moves(old.get(key), new.get(key), f"{pointer}/{part}")
    elif isinstance(old, list) and isinstance(new, list):
        for index in range(max(len(old), len(new))):
            yield from moves(old[index] if index < len(old) else None, new[index] if index < len(new) else None,
                             f"{pointer}/{index}")
    elif old != new or isinstance(old, bool) is not isinstance(new, bool):
        yield Move(pointer, old, new)


def _ask(address: str, path: str, body: bytes | None = None) -> tuple[int, Any]:
    headers = {"Content-Type": "application/json", "Accept": "application/json"}
    if key := os.environ.get("KETTLEWRIGHT_KEY"):
        headers["Authorization"] = f"Bearer {key}"
    request = urllib.request.Request(address.rstrip("/") + path, data=body, headers=headers)
    try:
        with urllib.request.urlopen(request, timeout=60) as reply:
            return reply.status, json.load(reply)
    except urllib.error.HTTPError as refused:
        return refused.code, json.load(refused)


def _planned(address: str, body: bytes) -> tuple[int, Any]:
    status, reply = _ask(address, "/v1/batches", body)
    if status not in _ANSWERS:
        raise ValueError(f"{address} answers a plan with {status}: {reply.get('detail', reply.get('title'))}")
    return status, reply


def main(argv: Sequence[str] | None = None) -> int:
    """Compare two services and print what differs.

    Parameters
    ----------
    argv : sequence of str, optional
        The arguments; those of the process where not given. [words]

    Returns
    -------
    int : the exit status. [code]
    """
    parser = argparse.ArgumentParser(prog="python -m kettlewright.compare", description=__doc__,
                                     formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("old", help="address of the service that runs now")
    parser.add_argument("new", help="address of the other one")
    parser.add_argument("plans", type=Path, help="folder with the bodies of batches, *.json")
    options = parser.parse_args(argv)
    try:
        return _compare(options.old, options.new, sorted(options.plans.glob("*.json")))
    except (OSError, ValueError) as error:
        print(f"Stopped: {error}", file=sys.stderr)
        return _UNREADABLE


def _compare(old: str, new: str, plans: Sequence[Path]) -> int:
    if not plans:
        raise ValueError("the folder has no *.json")
    for name, address in (("old", old), ("new", new)):
        status, version = _ask(address, "/version")
        if status != 200:
            raise ValueError(f"{address} answers /version with {status}")
        print(f"{name}: {address}, {json.dumps(version)}")
    moved = 0
    for plan in plans:
        body = plan.read_bytes()
        (old_status, old_reply), (new_status, new_reply) = (_planned(one, body) for one in (old, new))
        found = list(moves(old_reply, new_reply))
        if old_status != new_status:
            found.insert(0, Move("status", old_status, new_status))
        moved += bool(found)
        refused = f" (both refuse it: {old_status})" if old_status == new_status != 200 else ""
        print(f"{plan.name}: {f'{len(found)} differ' if found else 'the same'}{refused}")
        for one in found:
            print(f"  {one}")
    print(f"{moved} of {len(plans)} plans differ.")
    return _MOVED if moved else _SAME


if __name__ == "__main__":
    sys.exit(main())
