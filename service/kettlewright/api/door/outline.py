"""A reply as sections of rows for a page: what each figure is, its value and its unit, as the contract says it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from kettlewright.api.door.tables import FIGURES, Column, Table, cell_value, lines_of, unit_of, value_at

__all__ = ["Section", "outline"]

_OF_THE_FRAME = ("meta", "units", "cautions", "standing_cautions", "worst_severity", "locale", "links")
"""Parts of a reply that a page shows in its own way, or not at all. [keys]"""


@dataclass(frozen=True, slots=True)
class Section:
    """Some rows under one title.

    Parameters
    ----------
    title : str
        Name of the part of the reply, in words. [text]
    header : tuple of str
        Of a list: its columns, with units. Empty where each row is a figure: name, meaning, value, unit. [text]
    rows : tuple of tuple
        Values as in JSON. [as in JSON]
    """

    title: str
    header: tuple[str, ...]
    rows: tuple[tuple[Any, ...], ...]


def outline(tables: Mapping[str, Table], document: Mapping[str, Any]) -> tuple[Section, ...]:
    """All figures and lists of a reply that are there.

    Parameters
    ----------
    tables : mapping of str to Table
        Tables of the operation, the main one first. [tables]
    document : mapping
        The JSON reply. [as in JSON]

    Returns
    -------
    tuple of Section : figures by the part they are in, then every list that is not empty
    """
    figures: dict[str, list[tuple[Any, ...]]] = {}
    for column in tables[FIGURES].columns:
        value = value_at(document, column.path)
        if column.path[0] not in _OF_THE_FRAME and value is not None:
            part = column.path[0] if len(column.path) > 1 else ""
            figures.setdefault(part, []).append(
                (in_words(column.path[-1] if not part else " ".join(column.path[1:])), column.about, value,
                 unit_of(column, document.get("units", {}))))
    found = [Section(in_words(part), (), tuple(rows)) for part, rows in figures.items()]
    found += [_of_list(table, document) for name, table in tables.items()
              if name != FIGURES and name.split(".")[0] not in _OF_THE_FRAME and name.split(".")[-1] != "weigh_list"]
    return tuple(section for section in found if section.rows)


def _of_list(table: Table, document: Mapping[str, Any]) -> Section:
    units = document.get("units", {})
    lines = [[cell_value(column, items) for column in table.columns] for items in lines_of(document, table.lists)]
    kept = [index for index in range(len(table.columns)) if any(line[index] not in (None, []) for line in lines)]
    return Section(in_words(table.name), tuple(_header(table.columns[index], units) for index in kept),
                   tuple(tuple(line[index] for index in kept) for line in lines))


def _header(column: Column, units: Mapping[str, str]) -> str:
    unit = unit_of(column, units)
    return f"{in_words(column.name)}, {unit}" if unit else in_words(column.name)


def in_words(name: str) -> str:
    """The words of a key or a path; its unit is beside the value (`name`). [text]"""
    return name.replace(".", " ").removesuffix("_pct").replace("_pct ", " ").replace("_", " ")
