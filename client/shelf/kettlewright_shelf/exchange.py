"""Export and import: the whole shelf as one JSON file, and each table as CSV for a spreadsheet."""

from __future__ import annotations

import csv
import json
import os
import sqlite3
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from kettlewright_shelf.errors import ShelfError
from kettlewright_shelf.schema import STEPS, TABLES, VERSION
from kettlewright_shelf.shelf import Shelf

__all__ = ["export_csv", "export_json", "import_json"]

_FORMAT = "kettlewright-shelf"
_STARTS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def export_json(shelf: Shelf, path: str | Path) -> None:
    """Write all of a shelf to a file; an older file of that name stays until the new one is whole.

    Parameters
    ----------
    shelf : Shelf
        Which. [shelf]
    path : str or Path
        Of the file. [path]

    Raises
    ------
    ShelfError : the file cannot be written.
    """
    tables = {name: [dict(row) for row in shelf.file.rows(f"SELECT * FROM {name} ORDER BY rowid")] for name in TABLES}
    text = json.dumps({"format": _FORMAT, "version": VERSION, "tables": tables}, ensure_ascii=False, indent=1)
    _write(Path(path), text)


def export_csv(shelf: Shelf, folder: str | Path) -> list[Path]:
    """Write each table as CSV (RFC 4180), without the bodies and replies.

    Parameters
    ----------
    shelf : Shelf
        Which. [shelf]
    folder : str or Path
        Made if it is not there. [path]

    Returns
    -------
    list of Path : the files

    Raises
    ------
    ShelfError : a file cannot be written.
    """
    into = Path(folder)
    try:
        into.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise ShelfError(f"{into} cannot be made: {error.strerror}.") from error
    written = []
    for name in TABLES:
        rows = [{key: row[key] for key in row.keys() if key not in ("body", "reply")}  # noqa: SIM118  # a Row is no dict
                for row in shelf.file.rows(f"SELECT * FROM {name} ORDER BY rowid")]
        lines = [list(rows[0]), *(list(row.values()) for row in rows)] if rows else []
        path = into / f"{name}.csv"
        _write(path, "".join(_csv_line(line) for line in lines))
        written.append(path)
    return written


def _csv_line(values: list[Any]) -> str:
    class _Line(list[str]):
        def write(self, text: str) -> int:
            self.append(text)
            return len(text)

    line = _Line()
    csv.writer(line).writerow(f"'{value}" if isinstance(value, str) and value.startswith(_STARTS_A_FORMULA) else value
                              for value in values)
    return "".join(line)


def _write(path: Path, text: str) -> None:
    part = path.with_name(path.name + ".part")
    try:
        with part.open("w", encoding="utf-8", newline="") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        part.replace(path)
    except OSError as error:
        part.unlink(missing_ok=True)
        raise ShelfError(f"{path} cannot be written: {error.strerror}.") from error


def import_json(shelf: Shelf, path: str | Path) -> dict[str, int]:
    """Add what another shelf has exported.

    Parameters
    ----------
    shelf : Shelf
        Into which. [shelf]
    path : str or Path
        Of the file. [path]

    Returns
    -------
    dict of int : rows added, by table; what is there already, and equal, is not added again. [rows]

    Raises
    ------
    ShelfError : no such export, or something on the shelf has the same name and says something else; then nothing is
        added.
    """
    tables = _read(Path(path))
    added: dict[str, int] = {}
    with shelf.file.writing() as db:
        for name in TABLES:
            info = db.execute(f"PRAGMA table_info({name})").fetchall()
            columns = [row["name"] for row in info]
            keys = [row["name"] for row in sorted(info, key=lambda one: one["pk"]) if row["pk"]]
            added[name] = 0
            for index, row in enumerate(tables.get(name, ())):
                row = _of_this_version(row, info)
                if not isinstance(row, dict) or set(row) != set(columns):
                    raise ShelfError(f"{path}: row {index + 1} of {name} does not have the columns of this table.")
                if name == "records":
                    _check_record(db, path, row)
                found = db.execute(f"SELECT * FROM {name} WHERE {' AND '.join(f'{key} = ?' for key in keys)}",
                                   [row[key] for key in keys]).fetchone()
                if found is None:
                    db.execute(f"INSERT INTO {name} VALUES ({', '.join('?' * len(columns))})",
                               [row[column] for column in columns])
                    added[name] += 1
                elif any(found[column] != row[column] for column in columns):
                    what = ", ".join(str(row[key]) for key in keys if row[key])
                    raise ShelfError(f"{name}: {what} is on this shelf and says something else. Nothing was added.")
    return added


def _of_this_version(row: Any, info: Iterable[sqlite3.Row]) -> Any:
    """A row of an older export: what a later version has added is empty."""
    added = {column["name"]: None for column in info if not column["notnull"] and not column["pk"]}
    return {**added, **row} if isinstance(row, dict) else row


def _check_record(db: sqlite3.Connection, path: str | Path, row: Mapping[str, Any]) -> None:
    """Refuse a record that is not of the plan of its batch; batches were read before."""
    batch = db.execute("SELECT identity FROM batches WHERE number = ?", (row["number"],)).fetchone()
    if batch is None:
        raise ShelfError(f'{path}: it has a record of batch "{row["number"]}", but no such batch. Nothing was added.')
    try:
        identity = json.loads(row["reply"])["identity"]
    except (TypeError, ValueError, LookupError):
        identity = None
    if identity != batch["identity"]:
        raise ShelfError(f'{path}: the record of batch "{row["number"]}" is of plan {identity}, but the batch is of '
                         f"plan {batch['identity']}. Nothing was added.")


def _read(path: Path) -> Mapping[str, list[Any]]:
    try:
        found = json.loads(path.read_text(encoding="utf-8"))
    except OSError as error:
        raise ShelfError(f"{path} cannot be read: {error.strerror}.") from error
    except ValueError as error:
        raise ShelfError(f"{path} is not JSON.") from error
    if not isinstance(found, dict) or found.get("format") != _FORMAT or not isinstance(found.get("tables"), dict):
        raise ShelfError(f"{path} is not an export of a shelf.")
    if not isinstance(found.get("version"), int) or not 1 <= found["version"] <= len(STEPS):
        raise ShelfError(f"{path} is of version {found.get('version')}; this program knows up to {VERSION}.")
    tables: Mapping[str, list[Any]] = found["tables"]
    return tables
