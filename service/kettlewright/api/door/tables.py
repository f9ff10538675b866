"""Every list of a reply as a table (CSV, RFC 4180): a header with units, then a line for each item.

The tables and their columns are read off the reply's schema, so they are the same whatever a reply holds. A list
inside the items of another is a table of its own, whose first columns say to which item a line belongs.
"""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from marshmallow import Schema, fields

from kettlewright.api.door.fields import Number, Quantity
from kettlewright.api.door.picking import plain_text

__all__ = ["FIGURES", "Column", "Table", "as_csv", "cell_value", "lines_of", "safe_cell", "tables_of", "unit_of",
           "value_at"]

FIGURES = "figures"
"""The table of all single figures of a reply, one in a line. [name]"""

_NUMBER = re.compile(r"-?[0-9]+(\.[0-9]+)?")
_STARTS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
_OF_THE_ROW = "in this row's unit"
_NAMES_OF_AN_ITEM = ("key", "name")


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a table.

    Parameters
    ----------
    name : str
        What its header says before the unit. [text]
    depth : int
        Which item on the way to the line it is of: 0 the outermost. [number]
    path : tuple of str
        Where it is in that item; without one it is the item's number, or the item. [path]
    unit : str
        Its unit, or "units." and the kind of quantity. [text]
    number : bool
        It shows the item's number. [yes or no]
    about : str
        What the contract says of it. [text]
    """

    name: str
    depth: int
    path: tuple[str, ...]
    unit: str = ""
    number: bool = False
    about: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """A table of a reply.

    Parameters
    ----------
    name : str
        Its list's path, with dots. [path]
    lists : tuple of tuple of str
        The way to each list, from the item of the one before. [paths]
    columns : tuple of Column
        From left to right. [columns]
    """

    name: str
    lists: tuple[tuple[str, ...], ...]
    columns: tuple[Column, ...]


def tables_of(response: Schema, *, main: str | None = None) -> dict[str, Table]:
    """All tables of a reply.

    Parameters
    ----------
    response : Schema
        Of the reply. [schema]
    main : str, optional
        Name of the one that comes first. [name]

    Returns
    -------
    dict of Table, by name
    """
    found = {table.name: table for table in _tables(response, (), (), ())}
    found[FIGURES] = Table(FIGURES, (), tuple(_columns(response, (), 0, lists_too=False)))
    if main is None:
        main = "weigh_list" if "weigh_list" in found else next(iter(found))
    return {main: found.pop(main), **found}


def _tables(schema: Schema, way: tuple[str, ...], lists: tuple[tuple[str, ...], ...],
            around: tuple[Column, ...]) -> Iterator[Table]:
    for name, at in _shown(schema):
        path = (*way, name)
        if isinstance(at, fields.Nested):
            yield from _tables(at.schema, path, lists, around)
        elif isinstance(at, fields.List):
            all_lists = (*lists, path)
            called = ".".join(step for part in all_lists for step in part)
            depth = len(lists)
            if isinstance(at.inner, fields.Nested):
                inner = at.inner.schema
                yield Table(called, all_lists, (*around, *_columns(inner, (), depth)))
                known = [key for key, _ in _shown(inner) if key in _NAMES_OF_AN_ITEM]
                own = tuple(Column(f"{called}.{key}", depth, (key,)) for key in known) or (
                    Column(f"{called}.number", depth, (), number=True),)
                yield from _tables(inner, (), all_lists, (*around, *own))
            elif not lists:  # a plain list inside an item is one cell of it
                yield Table(called, all_lists, (Column(name, depth, (), _unit(at.inner)),))


def _columns(schema: Schema, way: tuple[str, ...], depth: int, *, lists_too: bool = True) -> Iterator[Column]:
    for name, at in _shown(schema):
        path = (*way, name)
        if isinstance(at, fields.Nested):
            yield from _columns(at.schema, path, depth, lists_too=lists_too)
        elif isinstance(at, fields.List):
            if lists_too and not isinstance(at.inner, fields.Nested):
                yield Column(".".join(path), depth, path, _unit(at.inner), about=_about(at))
        else:
            yield Column(".".join(path), depth, path, _unit(at), about=_about(at))


def _shown(schema: Schema) -> Iterator[tuple[str, Any]]:
    for name, at in schema.dump_fields.items():
        yield at.data_key or name, at


def _about(at: Any) -> str:
    """The description of a field, without the unit at its end."""
    return re.sub(r" \[[^\]]+\]$", "", at.metadata.get("description", ""))


def _unit(at: Any) -> str:
    if isinstance(at, Quantity):
        return f"units.{at.kind}"
    return at.unit if isinstance(at, Number) else ""


def as_csv(table: Table, document: Mapping[str, Any]) -> str:
    """A table of a reply as CSV: comma, point, CR LF, no byte order mark.

    Parameters
    ----------
    table : Table
        Which. [table]
    document : mapping
        The JSON reply. [as in JSON]

    Returns
    -------
    str
    """
    units = document.get("units", {})
    text = io.StringIO()
    writer = csv.writer(text, dialect="excel")
    if table.name == FIGURES:
        writer.writerow(("field", "value", "unit"))
        writer.writerows((column.name, safe_cell(plain_text(value_at(document, column.path))), unit_of(column, units))
                         for column in table.columns if _is_there(document, column.path))
    else:
        writer.writerow([_header(column, units) for column in table.columns])
        for items in lines_of(document, table.lists):
            writer.writerow([_cell(column, items) for column in table.columns])
    return text.getvalue()


def _header(column: Column, units: Mapping[str, str]) -> str:
    unit = unit_of(column, units)
    return f"{column.name} [{unit}]" if unit else column.name


def unit_of(column: Column, units: Mapping[str, str]) -> str:
    """The unit of a column (`column`, `units`: of the reply), empty if it has none. [unit]"""
    if column.unit.startswith("units."):
        return units.get(column.unit.removeprefix("units."), "")
    # of a weigh list: one unit for all, unless masses and doses have two
    alike = column.unit == _OF_THE_ROW and units.get("mass") == units.get("dose")
    return units.get("mass", "") if alike else column.unit


def lines_of(found: Any, lists: tuple[tuple[str, ...], ...]) -> Iterator[tuple[tuple[int, Any], ...]]:
    """Each item of the last list, with the items that contain it (`found`: the reply, `lists`: the way to the list).
    [number and item]
    """
    if not lists:
        yield ()
        return
    for number, item in enumerate(value_at(found, lists[0]) or ()):
        for inner in lines_of(item, lists[1:]):
            yield ((number, item), *inner)


def value_at(found: Any, path: tuple[str, ...]) -> Any:
    """What is at a path of objects (`found`, `path`); None if nothing is there. [as in JSON]"""
    for step in path:
        found = found.get(step) if isinstance(found, dict) else None
    return found


def _is_there(found: Any, path: tuple[str, ...]) -> bool:
    inside = value_at(found, path[:-1])
    return isinstance(inside, dict) and path[-1] in inside


def cell_value(column: Column, items: tuple[tuple[int, Any], ...]) -> Any:
    """The value of a column in a line (`column`, `items`: as `lines_of` gives them). [as in JSON]"""
    number, item = items[column.depth]
    return number if column.number else value_at(item, column.path)


def _cell(column: Column, items: tuple[tuple[int, Any], ...]) -> str:
    value = cell_value(column, items)
    if isinstance(value, list):
        return safe_cell("; ".join(plain_text(one) for one in value))
    if isinstance(value, dict):
        return json.dumps(value, ensure_ascii=False)
    return safe_cell(plain_text(value))


def safe_cell(text: str) -> str:
    """A text that no spreadsheet takes for a formula.

    Parameters
    ----------
    text : str
        As it is. [text]

    Returns
    -------
    str : with an apostrophe before it where it begins as a formula does and is no number
    """
    if text.startswith(_STARTS_A_FORMULA) and not _NUMBER.fullmatch(text):
        return f"'{text}"
    return text
