"""Lines of logs, one after another: which of them are requests of this service, and what is known of each.

Files may be plain or compressed by gzip, rotated, of several instances, and mixed with lines of other programs. No line
is kept, and of an address nothing is read: a report names operations only.
"""

from __future__ import annotations

import gzip
import json
import re
import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import IO, Any

__all__ = ["NO_KEY", "NO_OPERATION", "LoggedRequest", "Tally", "entries"]

NO_KEY = "(no key)"
"""What requests without a key are listed under. [text]"""
NO_OPERATION = "(no operation)"
"""What pages and wrong addresses are listed under. [text]"""
_LONGEST_LINE = 65_536
_NAME_MAX = 80
_OPERATION = re.compile(r"[a-z][a-z0-9_]{0,59}")
_TIME = re.compile(r"(\d{4}-\d{2}-\d{2})T\d{2}:\d{2}")
_GZIP = b"\x1f\x8b"


@dataclass(frozen=True, slots=True)
class LoggedRequest:
    """A request.

    Parameters
    ----------
    day : str
        In UTC, as YYYY-MM-DD. [date]
    member : str
        Name of its key. [text]
    operation : str
        As in the contract. [name]
    status : int
        Of the reply. [code]
    milliseconds, cpu_milliseconds : float
        Until the end of the reply, and of processor time. [ms]
    request_bytes, reply_bytes : int
        Of the bodies. [bytes]
    """

    day: str
    member: str
    operation: str
    status: int
    milliseconds: float
    cpu_milliseconds: float
    request_bytes: int
    reply_bytes: int


@dataclass(slots=True)
class Tally:
    """How many lines there were of each kind.

    Parameters
    ----------
    requests, messages, others, broken : int
        Requests; other messages of the service; lines of other programs; lines that could not be read. [lines]
    errors : int
        Messages of the service at the levels ERROR and CRITICAL. [lines]
    files, unreadable : int, list of str
        Files that were read; files that could not be read to their end, with the reason. [files]
    """

    requests: int = 0
    messages: int = 0
    others: int = 0
    broken: int = 0
    errors: int = 0
    files: int = 0
    unreadable: list[str] = field(default_factory=list)

    @property
    def lines(self) -> int:
        """All. [lines]"""
        return self.requests + self.messages + self.others + self.broken


def entries(names: Iterable[str], tally: Tally) -> Iterator[LoggedRequest]:
    """The requests in logs.

    Parameters
    ----------
    names : iterable of str
        Of files, "-" for standard input; one that is named twice is read once. [paths]
    tally : Tally
        What is counted. [lines]

    Yields
    ------
    LoggedRequest
    """
    seen: set[str] = set()
    for name in names:
        place = name if name == "-" else str(Path(name).resolve())
        if place in seen:
            continue
        seen.add(place)
        try:
            with _opened(name) as log:
                tally.files += 1
                while line := log.readline(_LONGEST_LINE):
                    if len(line) == _LONGEST_LINE and not line.endswith(b"\n"):
                        _skip_line(log)
                        _count_unreadable(line, tally)
                        continue
                    found = _read(line, tally)
                    if found is not None:
                        yield found
        except (OSError, EOFError) as error:  # EOFError: a compressed file that ends too early
            reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
            tally.unreadable.append(f"{name}: {reason}")


@contextmanager
def _opened(name: str) -> Iterator[IO[bytes]]:
    if name == "-":
        yield sys.stdin.buffer
        return
    with Path(name).open("rb") as plain:
        if plain.read(2) == _GZIP:  # whatever its name is
            plain.seek(0)
            with gzip.open(plain) as unpacked:
                yield unpacked  # type: ignore[misc]  # it reads lines as any other file
        else:
            plain.seek(0)
            yield plain


def _skip_line(log: IO[bytes]) -> None:
    while part := log.readline(_LONGEST_LINE):
        if part.endswith(b"\n"):
            return


def _count_unreadable(line: bytes, tally: Tally) -> None:
    """Count a line that is not JSON: as broken if it looks like one of ours (`line`, `tally`)."""
    ours = b'"logger"' in line[:1_000]
    tally.broken += ours
    tally.others += not ours


def _read(line: bytes, tally: Tally) -> LoggedRequest | None:
    """A request, or None for any other line, which is counted (`line`, `tally`)."""
    start = line.find(b"{")
    if start < 0:
        tally.others += bool(line.strip())
        return None
    try:
        record = json.loads(line if start == 0 else line[start:])
        if isinstance(record, dict) and isinstance(record.get("log"), str):  # as container engines keep it
            record = json.loads(record["log"])
    except (ValueError, RecursionError):
        _count_unreadable(line, tally)
        return None
    if not isinstance(record, dict) or not isinstance(logger := record.get("logger"), str):
        tally.others += 1
    elif logger == "gunicorn.access":
        found = _entry(record)
        tally.requests += found is not None
        tally.broken += found is None
        return found
    elif logger == "gunicorn.error" or logger.split(".")[0] == "kettlewright":
        tally.messages += 1
        tally.errors += record.get("level") in ("ERROR", "CRITICAL")
    else:
        tally.others += 1
    return None


def _entry(record: dict[str, Any]) -> LoggedRequest | None:
    day, status = _day(record.get("time")), record.get("status")
    took, cpu, sent, got = (record.get(name, 0) for name in ("milliseconds", "cpu_milliseconds", "request_bytes",
                                                             "reply_bytes"))
    if day is None or type(status) is not int or not 100 <= status <= 599:
        return None
    if not all(type(one) in (int, float) and 0 <= one < 1e15 for one in (took, cpu, sent, got)):
        return None
    member, operation = record.get("key_name"), record.get("operation")
    return LoggedRequest(day, member[:_NAME_MAX] if isinstance(member, str) and member else NO_KEY,
                 operation if isinstance(operation, str) and _OPERATION.fullmatch(operation) else NO_OPERATION,
                 status, took, cpu, int(sent), int(got))


def _day(time: object) -> str | None:
    found = _TIME.match(time) if isinstance(time, str) else None
    if found is None:
        return None
    try:
        date.fromisoformat(found[1])
    except ValueError:
        return None
    return found[1]
