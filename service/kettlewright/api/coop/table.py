"""Read a file of the data folder as a table: every error is found, with its line."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from marshmallow import ValidationError

from kettlewright.api.door.problems import faults_in
from kettlewright.api.door.strict import Strict
from kettlewright.names import or_nearest, tidy

__all__ = ["BYTES_MAX", "ROWS_MAX", "Column", "Errors", "Layout", "Row", "amount", "read_rows", "whole_number"]

BYTES_MAX, ROWS_MAX = 2_000_000, 5_000
"""Limits of one file. [bytes, rows]"""
_NUMBER = re.compile(r"[+-]?([0-9]+(\.[0-9]*)?|\.[0-9]+)")
_DECIMAL_COMMA = re.compile(r"[+-]?[0-9]+,[0-9]+")


class Errors:
    """The errors of one file, with their lines."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.found: list[tuple[int, str]] = []

    def add(self, line: int, text: str) -> None:
        """Note an error (`line`: 0 for the file as a whole, `text`)."""
        self.found.append((line, text))

    @property
    def texts(self) -> list[str]:
        """All errors, by line. [text]"""
        return [f"{self.file}, line {line}: {text}" if line else f"{self.file}: {text}"
                for line, text in sorted(self.found, key=lambda one: one[0])]


Value = str | float | int | list[str]


def _text(cell: str) -> Value:
    return cell


def amount(cell: str) -> Value:
    """An amount of money as text (`cell`). Raises ValueError for one with a comma."""
    if _DECIMAL_COMMA.fullmatch(cell):
        raise ValueError(f'"{cell}" contains a comma, which may mean decimals or thousands; write decimals with a '
                         f"point: {cell.replace(',', '.')}")
    return cell


def _number(cell: str) -> Value:
    amount(cell)
    if not _NUMBER.fullmatch(cell):
        raise ValueError(f'"{cell[:60]}" is not a number; write digits, with a point for decimals, such as 184.5')
    return float(cell) if "." in cell else int(cell)


def whole_number(cell: str) -> Value:
    """A whole number (`cell`). Raises ValueError for anything else."""
    if not re.fullmatch(r"[+-]?[0-9]{1,12}", cell):
        raise ValueError(f'"{cell[:60]}" is not a whole number, such as 4')
    return int(cell)


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a file.

    Parameters
    ----------
    name : str
        As in the first line. [text]
    path : tuple of str
        Of the value in the object that a request would have. [path]
    read : callable
        The value of a cell; raises ValueError. [function]
    required : bool
        Neither the column nor any of its cells may be missing. [yes or no]
    """

    name: str
    path: tuple[str, ...]
    read: Callable[[str], Value] = _text
    required: bool = False

    @classmethod
    def of_number(cls, name: str, *path: str, required: bool = False) -> Column:
        """A column of numbers (`name`, `path`, `required`)."""
        return cls(name, path or (name,), _number, required)


@dataclass(frozen=True, slots=True)
class Layout:
    """What a file has: its `name`, its `columns`, the `schema` of a request that checks each row, and the columns of
    which each row has `exactly_one`.
    """

    name: str
    columns: tuple[Column, ...]
    schema: Strict
    exactly_one: tuple[str, ...] = ()

    @property
    def file(self) -> str:
        """Its file. [name]"""
        return f"{self.name}.csv"


@dataclass(frozen=True, slots=True)
class Row:
    """A row: the `line` on which it begins, its cells as a request has them (`given`), and what that is `loaded` as;
    None if the row has an error.
    """

    line: int
    given: Mapping[str, Any]
    loaded: Any = field(repr=False)

    def text(self, name: str) -> str:
        """A text of the row (`name`); empty if it has none. [text]"""
        found = self.given.get(name, "")
        return tidy(found) if isinstance(found, str) else ""


def read_rows(layout: Layout, content: bytes, errors: Errors) -> list[Row]:
    """The rows of a file.

    Parameters
    ----------
    layout : Layout
        Of the file. [columns]
    content : bytes
        Of the file: CSV in UTF-8; columns are separated by commas, semicolons or tabs. [bytes]
    errors : Errors
        Gets every error. [errors]

    Returns
    -------
    list of Row : those with errors too, so that they are compared with others
    """
    text = _decoded(content, errors)
    if text is None:
        return []
    head = text.lstrip().partition("\n")[0]
    between = next((mark for mark in ("\t", ";") if mark in head), ",")
    table = csv.reader(io.StringIO(text, newline=""), delimiter=between, strict=True)
    columns: list[Column] | None = None
    rows: list[Row] = []
    line = count = 0
    try:
        for cells in table:
            first, line = line + 1, table.line_num
            if not any(cell.strip() for cell in cells):
                continue
            if columns is None:
                columns = _columns(layout, [tidy(cell).strip() for cell in cells], first, errors)
                if columns is None:
                    return []
                continue
            count += 1
            if count > ROWS_MAX:
                errors.add(first, f"the file has more than {ROWS_MAX:,} rows; this and later ones were not read")
                break
            if len(cells) != len(columns):
                hint = "; put quotes around text that contains a comma" if between == "," else ""
                errors.add(first, f"the row has {len(cells)} cells for {len(columns)} columns{hint}")
                continue
            rows.append(_row(layout, columns, cells, first, errors))
    except csv.Error as error:
        errors.add(max(table.line_num, 1), f"cannot be read as CSV: {error}")
        return []
    if columns is None:
        errors.add(0, f"is empty; its first line names the columns {_listed(layout.columns)}")
    return rows


def _decoded(content: bytes, errors: Errors) -> str | None:
    if len(content) > BYTES_MAX:
        errors.add(0, f"has {len(content):,} bytes; at most {BYTES_MAX:,} are read")
        return None
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        errors.add(content.count(b"\n", 0, error.start) + 1, "is not UTF-8; save the file as CSV in UTF-8")
        return None
    if "\0" in text:
        errors.add(text.count("\n", 0, text.index("\0")) + 1, "contains a zero byte; save the file as CSV in UTF-8")
        return None
    return text


def _listed(columns: Iterable[Column]) -> str:
    return ", ".join(column.name for column in columns)


def _columns(layout: Layout, names: list[str], line: int, errors: Errors) -> list[Column] | None:
    """The columns of the first line in their order; None if it has an error."""
    known = {column.name: column for column in layout.columns}
    before = len(errors.found)
    for name in dict.fromkeys(names):
        if name not in known:
            errors.add(line, f'"{name[:60]}" is not a column of this file.{or_nearest(name, known)} Its columns are '
                             f"{_listed(layout.columns)}")
        elif names.count(name) > 1:
            errors.add(line, f'column "{name}" appears {names.count(name)} times')
    for column in layout.columns:
        if column.required and column.name not in names:
            errors.add(line, f'column "{column.name}" is missing')
    return [known[name] for name in names] if len(errors.found) == before else None


def _row(layout: Layout, columns: list[Column], cells: list[str], line: int, errors: Errors) -> Row:
    given: dict[str, Any] = {}
    wrong: set[str] = set()
    for column, cell in zip(columns, cells, strict=True):
        text = cell.strip()
        if not text:
            if column.required:
                errors.add(line, f"{column.name} is empty")
                wrong.add(column.name)
            continue
        try:
            value = column.read(text)
        except ValueError as error:
            errors.add(line, f"{column.name} {error}")
            wrong.add(column.name)
            continue
        node = given
        for step in column.path[:-1]:
            node = node.setdefault(step, {})
        node[column.path[-1]] = value
    present = [column.name for column, cell in zip(columns, cells, strict=True)
               if cell.strip() and column.name in layout.exactly_one]
    if layout.exactly_one and len(present) != 1:
        errors.add(line, f"give {' or '.join(layout.exactly_one)}" + (", not both" if present else ""))
    if layout.exactly_one and (len(present) != 1 or wrong.intersection(present)):
        wrong.update(layout.exactly_one)
    try:
        loaded = layout.schema.load(given)
    except ValidationError as error:
        for path, fault in faults_in(error.messages):
            _add_fault(layout, line, path, fault, wrong, errors)
        loaded = None
    return Row(line, given, None if wrong else loaded)


def _add_fault(layout: Layout, line: int, path: tuple[Any, ...], fault: Any, wrong: set[str], errors: Errors) -> None:
    """Note an error of a request's check at the column it is about, unless the cell itself was wrong."""
    names = tuple(step for step in path if isinstance(step, str))
    about = [column.name for column in layout.columns if names and (
        column.path[:len(names)] == names or names[:len(column.path)] == column.path)]
    if wrong.intersection(about) or (wrong and not about):
        return
    detail = fault["detail"] if isinstance(fault, dict) else str(fault)
    joint = " " if not isinstance(fault, dict) or fault.get("named") else ": "
    errors.add(line, (f"{' and '.join(about)}{joint}" if about else "") + detail.rstrip("."))
