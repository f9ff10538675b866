"""Read your own file of label names for requests.

The file is a table (CSV, UTF-8) with a row for each ingredient and these columns, in any order:

    key,inci,inci_as_reacted,permitted_in
    kaolin,Kaolin,,
    own_shea,Butyrospermum Parkii Butter,Sodium Shea Butterate,
    sea blue powder,CI 77007,,EU GB

`key` is the key of a fat, or your name of a liquid, addition or powder. `permitted_in` is for colourants: the markets
in which the supplier's documents permit it, separated by spaces. Columns may also be separated by semicolons or tabs.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

from kettlewright_client.errors import ClientError
from kettlewright_client.own_table import Layout, Row, key_of, read_text, rows_of

if TYPE_CHECKING:
    from kettlewright_client.inputs import OwnNameInput

__all__ = ["NameList", "NameListError", "NameRow", "parse_names", "read_names"]

_NAMES = ("inci", "inci_as_reacted", "permitted_in")


class NameListError(ClientError):
    """A file of label names has errors; the message lists all of them, each with its line."""


_LAYOUT = Layout(needed=("key",), error=NameListError, known=("key", *_NAMES))


@dataclass(frozen=True, kw_only=True)
class NameRow:
    """The name of an ingredient on a label."""

    key: str
    inci: str | None = None
    inci_as_reacted: str | None = None
    permitted_in: tuple[str, ...] = ()

    @property
    def as_name(self) -> OwnNameInput:
        """The name for a request."""
        found: dict[str, Any] = {"key": self.key, "inci": self.inci, "inci_as_reacted": self.inci_as_reacted,
                                 "permitted_in": list(self.permitted_in)}
        return cast("OwnNameInput", {name: value for name, value in found.items() if value})


@dataclass(frozen=True)
class NameList:
    """All label names of a file, in the same order."""

    rows: tuple[NameRow, ...]

    @property
    def names(self) -> list[OwnNameInput]:
        """For `names` of `label`."""
        return [row.as_name for row in self.rows]


def read_names(path: str | Path) -> NameList:
    """Read a file of label names (`path`).

    Raises
    ------
    NameListError : columns or values are missing or wrong, with their lines.
    OSError : the file cannot be opened.
    """
    return parse_names(read_text(path, error=NameListError))


def parse_names(text: str) -> NameList:
    """Read the content of a file of label names (`text`).

    Raises
    ------
    NameListError : as `read_names` does.
    """
    return NameList(tuple(_name_row(row) for row in rows_of(text, _LAYOUT, _error_finder())))


def _error_finder() -> Callable[[Row], Iterator[str]]:
    lines: dict[str, int] = {}

    def errors(row: Row) -> Iterator[str]:
        key = key_of(row["key"])
        if row["key"] and not key:
            yield f'key "{row["key"]}" contains no letter and no digit'
        if key and lines.setdefault(key, row.line) != row.line:
            yield f'key "{row["key"]}" is already on line {lines[key]}'
        if not any(row[name] for name in _NAMES):
            yield f"the row has no name; give {', '.join(_NAMES[:-1])} or {_NAMES[-1]}"

    return errors


def _name_row(row: Row) -> NameRow:
    markets = tuple(dict.fromkeys(market.upper() for market in re.split(r"[\s,;]+", row["permitted_in"]) if market))
    return NameRow(key=row["key"], inci=row["inci"] or None, inci_as_reacted=row["inci_as_reacted"] or None,
                   permitted_in=markets)
