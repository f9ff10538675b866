"""A maker's own file as a table: how it is parted into cells, and how its faults are told.

`price_list`, `fat_list`, `name_list` and `allergen_list` say which columns there are and what may stand in them.
"""

from __future__ import annotations

import csv
import io
import re
import unicodedata
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from kettlewright_client.errors import ClientError

__all__ = ["Layout", "Row", "above_zero", "key_of", "read_text", "rows_of"]

_INVISIBLE = frozenset("\u00ad\u200b\u200c\u200d\u200e\u200f\u2060\ufeff")
_NUMBER = re.compile(r"[0-9]+(\.[0-9]*)?|\.[0-9]+")
_DECIMAL_COMMA = re.compile(r"[0-9]+,[0-9]+")
_COMMA_PARTS = ("; a comma parts cells here: write decimals with a point (1.5), and put quotes around a text that "
                "holds a comma")


@dataclass(frozen=True, kw_only=True)
class Layout:
    """What a file looks like: columns it must have and may have, and the exception that tells its faults."""

    needed: tuple[str, ...]
    known: tuple[str, ...]
    error: type[ClientError]


@dataclass(frozen=True, kw_only=True)
class Row:
    """A row: the line it ends on, its cells by column, and whether commas part them."""

    line: int
    cells: Mapping[str, str]
    parted_by_comma: bool

    def __getitem__(self, name: str) -> str:
        return self.cells.get(name, "")


def key_of(name: str) -> str:
    """The key the service makes of a name (`name`), so that either finds the other. [key]"""
    spaced = (" " if unicodedata.category(sign) == "Zs" else sign
              for sign in name if sign not in _INVISIBLE)
    folded = unicodedata.normalize("NFC", unicodedata.normalize("NFC", "".join(spaced)).casefold())
    # letters, numbers, and the marks that belong to a letter
    return "_".join("".join(sign if unicodedata.category(sign)[0] in "LNM" else " " for sign in folded).split())


def read_text(path: str | Path, *, error: type[ClientError]) -> str:
    """What stands in a file.

    Parameters
    ----------
    path : str or Path
        The file. [path]
    error : type of ClientError
        Raised where it is not UTF-8. [exception]

    Returns
    -------
    str

    Raises
    ------
    OSError : the file cannot be opened.
    """
    try:
        return Path(path).read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError:
        raise error("The file is not UTF-8; save it from the spreadsheet as CSV UTF-8.") from None


def rows_of(text: str, layout: Layout, faults_of: Callable[[Row], Iterator[str]]) -> tuple[Row, ...]:
    """The rows of a file, or all its faults with their lines.

    Parameters
    ----------
    text : str
        What stands in it; cells between commas, semicolons or tabs. [CSV]
    layout : Layout
        Its columns. [columns]
    faults_of : callable
        What is wrong with a row, besides cells that are empty. [function]

    Returns
    -------
    tuple of Row, without those that are empty

    Raises
    ------
    the exception of `layout` : whatever is wrong, all of it.
    """
    plain = text.removeprefix("\ufeff")
    head = plain.lstrip().partition("\n")[0]
    between = next((mark for mark in ("\t", ";") if mark in head), ",")
    table = csv.reader(io.StringIO(plain, newline=""), delimiter=between, strict=True)
    columns: list[str] | None = None
    faults: list[str] = []
    rows: list[Row] = []
    try:
        for cells in table:
            if not any(cell.strip() for cell in cells):
                continue
            if columns is None:
                columns = [cell.strip().casefold() for cell in cells]
                _check_columns(columns, layout, line=table.line_num)
                continue
            if len(cells) != len(columns):
                faults.append(f"line {table.line_num}: {len(cells)} cells for {len(columns)} columns"
                              + (_COMMA_PARTS if between == "," and len(cells) > len(columns) else ""))
                continue
            named = {name: cell.strip() for name, cell in zip(columns, cells, strict=True)}
            row = Row(line=table.line_num, cells=named, parted_by_comma=between == ",")
            faults += [f"line {row.line}: {name} is empty" for name in layout.needed if not row[name]]
            faults += [f"line {row.line}: {fault}" for fault in faults_of(row)]
            rows.append(row)
    except csv.Error as error:
        raise layout.error("; ".join([*faults, f"line {table.line_num}: {error}"])) from None
    if columns is None:
        raise layout.error(f"The file is empty; its first line names the columns {', '.join(layout.needed)}.")
    if faults:
        raise layout.error("; ".join(faults))
    return tuple(rows)


def above_zero(row: Row, *names: str, like: str) -> Iterator[str]:
    """What is wrong with cells that hold a number above 0, or nothing.

    A comma is refused in every file, since nothing says whether "1,234" is a little more than one or than a thousand.

    Parameters
    ----------
    row : Row
        The row. [row]
    names : str
        Its columns. [columns]
    like : str
        Such a number. [text]

    Returns
    -------
    iterator of str
    """
    for name in names:
        told = row[name]
        if _DECIMAL_COMMA.fullmatch(told):
            yield (f'{name} "{told}" holds a comma, which may stand before decimals or after thousands; write decimals '
                   f"with a point: {told.replace(',', '.')}")
        elif told and (not _NUMBER.fullmatch(told) or Decimal(told) == 0):
            yield f'{name} "{told}" is no number above 0 such as {like}'


def _check_columns(columns: list[str], layout: Layout, *, line: int) -> None:
    faults = [f'no column "{name}"' for name in layout.needed if name not in columns]
    faults += [f'"{name}" is no column known here' for name in dict.fromkeys(columns) if name not in layout.known]
    faults += [f'column "{name}" stands twice' for name in dict.fromkeys(columns) if columns.count(name) > 1]
    if faults:
        raise layout.error(f"line {line}: {'; '.join(faults)}. Columns are {', '.join(layout.known)}.")
