"""Replies of two versions of the service compared: byte by byte, or figure by figure through a list of renamed keys."""

from __future__ import annotations

import csv
import io
import json
import re
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from fnmatch import fnmatchcase
from typing import Any

__all__ = ["Comparison", "Renamed", "compare", "plain"]

_QR_CODE = re.compile(r'<svg[^>]*class="qr".*?</svg>', re.DOTALL)
_MARKUP = re.compile(r"<style.*?</style>|<[^>]*>", re.DOTALL)
_NUMBER = re.compile(r"(?<![#\w.])-?\d[\d,]*(?:\.\d+)*(?:e-?\d+)?")
_MISSING = object()


def plain(reply: dict[str, Any]) -> str:
    """A reply's text as it is compared: any mask of a QR code is as good as any other (`reply`). [text]"""
    return _QR_CODE.sub("", reply["text"]) if reply["type"] == "text/html" else str(reply["text"])


@dataclass(frozen=True, slots=True)
class Renamed:
    """How the old replies correspond to the new.

    Parameters
    ----------
    keys : tuple of (str, str)
        Pattern of an old path such as `*.superfat.dominant.text`, and the new key. A path begins with the name of the
        operation; items of lists are `0`, `1` ... [text]
    left_out : tuple of str
        Patterns of paths, of old or new replies, that are not compared. [text]
    values : mapping
        New words by the old ones. [text]
    """

    keys: tuple[tuple[str, str], ...] = ()
    left_out: tuple[str, ...] = ()
    values: dict[str, str] = field(default_factory=dict)

    @classmethod
    def read(cls, text: str) -> Renamed:
        """Lines such as `*.lye.lye -> solution`, `- *.resolved` (left out) and `= wrong_value -> conflict` (`text`)."""
        keys, left_out, values = [], [], {}
        for line in filter(None, (line.partition("#")[0].strip() for line in text.splitlines())):
            old, _, new = (part.strip() for part in line.lstrip("-=").partition("->"))
            if line.startswith("-"):
                left_out.append(old)
            elif line.startswith("="):
                values[old] = new
            else:
                keys.append((old, new))
        return cls(tuple(keys), tuple(left_out), values)

    def key(self, path: str) -> str | None:
        """The last key of an old `path` as it is now; None if the path is not compared."""
        if self.skips(path):
            return None
        return next((new for pattern, new in self.keys if fnmatchcase(path, pattern)), path.rsplit(".", 1)[1])

    def skips(self, path: str) -> bool:
        """Whether a `path` is not compared."""
        return any(fnmatchcase(path, pattern) for pattern in self.left_out)


@dataclass(slots=True)
class Comparison:
    """What two files of replies have in common.

    Parameters
    ----------
    replies, answered, alike : Counter
        Replies by operation; those that are 200 in both; those whose bytes are the same. [replies]
    values : int
        Numbers, words and texts that were compared. [values]
    differences : dict
        Up to three examples of each kind of difference, by operation and path. [text]
    counts : Counter
        How often each occurs. [differences]
    """

    replies: Counter[str] = field(default_factory=Counter)
    answered: Counter[str] = field(default_factory=Counter)
    alike: Counter[str] = field(default_factory=Counter)
    values: int = 0
    differences: dict[str, list[str]] = field(default_factory=lambda: defaultdict(list))
    counts: Counter[str] = field(default_factory=Counter)

    def differ(self, where: str, what: str) -> None:
        """Note a difference (`where`: operation and path, `what`: the old and the new)."""
        kind = re.sub(r"\.\d+(?=\.|$)", ".#", where)
        self.counts[kind] += 1
        if len(self.differences[kind]) < 3:
            self.differences[kind].append(what)


def compare(old: Iterable[dict[str, Any]], new: Iterable[dict[str, Any]],
            renamed: Renamed | None = None) -> Comparison:
    """Compare the replies to the same requests.

    Parameters
    ----------
    old, new : iterable of dict
        As `replay.replies` makes them, in the same order. [replies]
    renamed : Renamed, optional
        If given, JSON and CSV are compared value by value through it: sentences by the numbers in them, and pages,
        pictures and calendars by all numbers that they show. [names]

    Returns
    -------
    Comparison
    """
    found = Comparison()
    for one, other in zip(old, new, strict=True):
        name = one["operation"]
        assert (one["number"], name) == (other["number"], other["operation"]), "replies to other requests"
        found.replies[name] += 1
        found.answered[name] += one["status"] == other["status"] == 200
        where = f"{name} (number {one['number']})"
        _compare_headers(found, one, other)
        if (one["status"], one["type"]) != (other["status"], other["type"]):
            problem = next((each["text"][:300] for each in (other, one) if each["status"] != 200), "")
            found.differ(f"{name}.status", f"{where}: {one['status']} {one['type']}, {other['status']} "
                                           f"{other['type']} {problem}")
        elif plain(one) == plain(other):
            found.alike[name] += 1
            found.values += sum(1 for _ in _values(one))
        elif renamed is None:
            found.differ(f"{name} {one['type']}", f"{where}: {_first_difference(plain(one), plain(other))}")
        else:
            _in_form(found, one, other, renamed)
    return found


def _compare_headers(found: Comparison, one: dict[str, Any], other: dict[str, Any]) -> None:
    """Headers, where both files of replies have them."""
    if "headers" not in one or "headers" not in other:
        return
    for header in sorted({*one["headers"], *other["headers"]}):
        was, now = one["headers"].get(header), other["headers"].get(header)
        if was != now:
            found.differ(f"{one['operation']} header {header}", f"number {one['number']}: {was!r}, {now!r}")


def _values(reply: dict[str, Any]) -> Iterator[object]:
    if reply["type"].endswith("json"):
        yield from _leaves(json.loads(reply["text"]))
    else:
        yield from _NUMBER.findall(_MARKUP.sub(" ", plain(reply)))


def _leaves(value: Any) -> Iterator[object]:
    if isinstance(value, (dict, list)):
        for one in value.values() if isinstance(value, dict) else value:
            yield from _leaves(one)
    else:
        yield value


def _first_difference(one: str, other: str) -> str:
    at = next((place for place, (a, b) in enumerate(zip(one, other, strict=False)) if a != b),
              min(len(one), len(other)))
    start = max(at - 60, 0)
    return f"at character {at}: ...{one[start:at + 60]!r}, ...{other[start:at + 60]!r}"


def _in_form(found: Comparison, one: dict[str, Any], other: dict[str, Any], renamed: Renamed) -> None:
    name, number = one["operation"], one["number"]
    if one["type"].endswith("json"):
        _compare(found, json.loads(one["text"]), json.loads(other["text"]), name, renamed, number)
    elif one["type"] == "text/csv":
        _compare(found, _table(one["text"]), _table(other["text"]), name, renamed, number)
    elif one["type"] == "text/plain":
        _compare(found, one["text"], other["text"], f"{name}.text", renamed, number)
    else:
        numbers = [Counter(renamed.values.get(word, word) for word in _NUMBER.findall(_MARKUP.sub(" ", plain(each))))
                   for each in (one, other)]
        found.values += numbers[0].total()
        if numbers[0] != numbers[1]:
            found.differ(f"{name} {one['type']}", f"number {number}: only before {_listed(numbers[0] - numbers[1])}; "
                                                  f"only after {_listed(numbers[1] - numbers[0])}")


def _listed(numbers: Counter[str]) -> str:
    return ", ".join(sorted(numbers.elements())[:12]) or "nothing"


def _table(text: str) -> Any:
    """The rows of a table by their columns, without the units in the headers; of a table of figures, its fields."""
    rows = [{header.partition(" [")[0]: cell for header, cell in row.items()}
            for row in csv.DictReader(io.StringIO(text))]
    if rows and rows[0].keys() == {"field", "value", "unit"}:
        return _nested({row["field"]: {"value": row["value"], "unit": row["unit"]} for row in rows})
    return {"rows": [_nested(row) for row in rows]}


def _nested(row: dict[str, Any]) -> dict[str, Any]:
    """A row whose columns have dots in their names, as an object of objects."""
    found: dict[str, Any] = {}
    for path, cell in row.items():
        *way, last = path.split(".")
        inner = found
        for step in way:
            inner = inner.setdefault(step, {})
        inner[last] = cell
    return found


def _compare(found: Comparison, old: Any, new: Any, path: str, renamed: Renamed, number: int) -> None:
    if isinstance(old, dict) and isinstance(new, dict):
        keys = {key: renamed.key(f"{path}.{key}") for key in old}
        expected = {key for key in keys.values() if key is not None}
        for key in new:
            if key not in expected and not renamed.skips(f"{path}.{key}"):
                found.differ(f"{path}.{key}", f"number {number}: only after: {str(new[key])[:90]}")
        for key, value in old.items():
            if (now := keys[key]) is None:
                continue
            if new.get(now, _MISSING) is _MISSING:
                found.differ(f"{path}.{key}", f"number {number}: only before: {str(value)[:90]}")
            else:
                _compare(found, value, new[now], f"{path}.{key}", renamed, number)
    elif isinstance(old, list) and isinstance(new, list):
        if len(old) != len(new):
            found.differ(f"{path}", f"number {number}: {len(old)} and {len(new)} items: {str(old)[:150]}; "
                                    f"{str(new)[:150]}")
        for place, (one, other) in enumerate(zip(old, new, strict=False)):
            _compare(found, one, other, f"{path}.{place}", renamed, number)
    else:
        found.values += 1
        if old != new and not _same_words(old, new, renamed):
            found.differ(path, f"number {number}: {str(old)[:160]!r}, {str(new)[:160]!r}")


def _same_words(old: Any, new: Any, renamed: Renamed) -> bool:
    if not isinstance(old, str) or not isinstance(new, str):
        return False
    if renamed.values.get(old) == new:
        return True
    sentence = " " in old.strip() and " " in new.strip()
    return sentence and _NUMBER.findall(old) == _NUMBER.findall(new)
