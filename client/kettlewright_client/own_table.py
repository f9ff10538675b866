"""Read your own file as a table, and report all its errors.

`price_list`, `fat_list`, `name_list` and `allergen_list` define the columns and check the values.
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
_COMMA_HINT = ("; commas separate the columns here: write decimals with a point (1.5), and put quotes around text that "
                "contains a comma")


@dataclass(frozen=True, kw_only=True)
class Layout:
    """Required and known columns of a file, and the exception for its errors."""

    needed: tuple[str, ...]
    known: tuple[str, ...]
    error: type[ClientError]


@dataclass(frozen=True, kw_only=True)
class Row:
    """A row: the line it ends on, its cells by column, and whether commas separate them."""

    line: int
    cells: Mapping[str, str]
    comma_separated: bool

    def __getitem__(self, name: str) -> str:
        return self.cells.get(name, "")


def key_of(name: str) -> str:
    """The key that the service makes from a name (`name`). [key]"""
    spaced = (" " if unicodedata.category(sign) == "Zs" else sign
              for sign in name if sign not in _INVISIBLE)
    folded = unicodedata.normalize("NFC", unicodedata.normalize("NFC", "".join(spaced)).casefold())
    # letters, numbers, and the marks that belong to a letter
    return "_".join("".join(sign if unicodedata.category(sign)[0] in "LNM" else " " for sign in folded).split())


def read_text(path: str | Path, *, error: type[ClientError]) -> str:
    """Read a file.

    Parameters
    ----------
    path : str or Path
        The file. [path]
    error : type of ClientError
        Raised if it is not UTF-8. [exception]

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


def rows_of(text: str, layout: Layout, find_errors: Callable[[Row], Iterator[str]]) -> tuple[Row, ...]:
    """Rows of a file; its errors are raised together, each with its line.

    Parameters
    ----------
    text : str
        Content of the file, separated by commas, semicolons or tabs. [CSV]
    layout : Layout
        Its columns. [columns]
    find_errors : callable
        Finds errors of a row other than empty required cells. [function]

    Returns
    -------
    tuple of Row, without empty rows

    Raises
    ------
    the exception of `layout` : all errors.
    """
    plain = text.removeprefix("\ufeff")
    head = plain.lstrip().partition("\n")[0]
    between = next((mark for mark in ("\t", ";") if mark in head), ",")
    table = csv.reader(io.StringIO(plain, newline=""), delimiter=between, strict=True)
    columns: list[str] | None = None
    errors: list[str] = []
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
                errors.append(f"line {table.line_num}: {len(cells)} cells for {len(columns)} columns"
                              + (_COMMA_HINT if between == "," and len(cells) > len(columns) else ""))
                continue
            named = {name: cell.strip() for name, cell in zip(columns, cells, strict=True)}
            row = Row(line=table.line_num, cells=named, comma_separated=between == ",")
            errors += [f"line {row.line}: {name} is empty" for name in layout.needed if not row[name]]
            errors += [f"line {row.line}: {error}" for error in find_errors(row)]
            rows.append(row)
    except csv.Error as error:
        raise layout.error("; ".join([*errors, f"line {table.line_num}: {error}"])) from None
    if columns is None:
        raise layout.error(f"The file is empty; its first line names the columns {', '.join(layout.needed)}.")
    if errors:
        raise layout.error("; ".join(errors))
    return tuple(rows)


def above_zero(row: Row, *names: str, like: str) -> Iterator[str]:
    """Errors of cells that must contain a number above 0, or nothing.

    A comma is rejected in every file, because "1,234" may be a little more than one or more than a thousand.

    Parameters
    ----------
    row : Row
        The row. [row]
    names : str
        Its columns. [columns]
    like : str
        An example. [text]

    Returns
    -------
    iterator of str
    """
    for name in names:
        cell = row[name]
        if _DECIMAL_COMMA.fullmatch(cell):
            yield (f'{name} "{cell}" contains a comma, which may mean decimals or thousands; write decimals with a '
                   f"point: {cell.replace(',', '.')}")
        elif cell and (not _NUMBER.fullmatch(cell) or Decimal(cell) == 0):
            yield f'{name} "{cell}" is not a number above 0, such as {like}'


def _check_columns(columns: list[str], layout: Layout, *, line: int) -> None:
    errors = [f'no column "{name}"' for name in layout.needed if name not in columns]
    errors += [f'"{name}" is not a known column' for name in dict.fromkeys(columns) if name not in layout.known]
    errors += [f'column "{name}" appears twice' for name in dict.fromkeys(columns) if columns.count(name) > 1]
    if errors:
        raise layout.error(f"line {line}: {'; '.join(errors)}. Columns are {', '.join(layout.known)}.")
