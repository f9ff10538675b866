"""Read and write the files of the two shop scripts beside this module."""

from __future__ import annotations

import argparse
import csv
import json
import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

from kettlewright_client import ClientError, ProblemError
from kettlewright_client.own_table import Layout, Row, key_of, read_text, rows_of

List = TypeVar("List")
REPORTED = ("warning", "danger")  # severities that both scripts report; the batch sheet has all cautions
NOT_IN_BODIES = {"water", "naoh_stock", "koh_stock"}  # keys of a weigh list that no body contains


class ShopFault(ClientError):
    """A file cannot be used; the message lists all errors."""


@dataclass(frozen=True, kw_only=True)
class Product:
    """A product: its batch is the content of `files`, each of which overrides those before it."""

    sku: str
    name: str
    files: tuple[Path, ...]
    mould: str
    moulds_count: int


def read_rows(path: str | Path, *, needed: Sequence[str], known: Sequence[str],
              find_errors: Callable[[Row], Iterator[str]]) -> tuple[Row, ...]:
    """Read a table (`path`) with the columns `needed` and `known`; `find_errors` checks a row."""
    try:
        layout = Layout(needed=tuple(needed), known=tuple(known), error=ShopFault)
        return rows_of(read_text(path, error=ShopFault), layout, find_errors)
    except (ShopFault, OSError) as error:
        raise ShopFault(f"{path}: {error}") from None


def whole(row: Row, name: str) -> Iterator[str]:
    """Check that a cell is empty or a count above 0 (`row`, `name` of the column)."""
    cell = row[name]
    if cell and not (cell.isascii() and cell.isdecimal() and int(cell) > 0):
        yield f'{name} "{cell}" is not a whole number above 0'


def read_products(path: str | Path) -> dict[str, Product]:
    """Read products, by sku (`path` of the table; file names in it are relative to it)."""
    lines: dict[str, int] = {}

    def errors(row: Row) -> Iterator[str]:
        if row["sku"] and lines.setdefault(row["sku"], row.line) != row.line:
            yield f'sku "{row["sku"]}" is already on line {lines[row["sku"]]}'
        yield from whole(row, "moulds_count")

    rows = read_rows(path, needed=("sku", "name", "plan"), find_errors=errors,
                     known=("sku", "name", "plan", "more", "mould", "moulds_count"))
    folder = Path(path).resolve().parent
    return {row["sku"]: Product(sku=row["sku"], name=row["name"], mould=row["mould"],
                                files=tuple(folder / name for name in (row["plan"], *row["more"].split())),
                                moulds_count=int(row["moulds_count"] or 1)) for row in rows}


def body_of(product: Product) -> dict[str, Any]:
    """The batch of a product (`product`), as arguments of `batches`."""
    body: dict[str, Any] = {}
    for file in product.files:
        try:
            content = json.loads(file.read_text(encoding="utf-8"))
        except (OSError, ValueError) as error:
            raise ShopFault(f"{file.name}: {error}") from None
        if not isinstance(content, dict):
            raise ShopFault(f"{file.name}: not a JSON object")
        body |= content
    return body


def needed_of(own: Sequence[Mapping[str, Any]], body: Mapping[str, Any]) -> list[Mapping[str, Any]]:
    """Lines of your own list (`own`) that a batch (`body`) uses.

    The rest is left out of its request, so that its identity changes only with lines that it uses.
    """
    words = {key_of(word) for word in _texts(body)} | NOT_IN_BODIES
    return [line for line in own if key_of(str(line["key"])) in words]


def with_lines(body: Mapping[str, Any], name: str, own: Sequence[Mapping[str, Any]], *,
               used_in: Mapping[str, Any]) -> dict[str, Any]:
    """Copy a part of a batch and add the needed lines of your own list to one of its lists.

    `body` is the part, `name` its list, `own` your list, `used_in` the whole batch. A line of the part itself
    overrides a line with the same key.
    """
    lines = list(body.get(name, ()))
    present = {line.get("key") for line in lines if isinstance(line, dict)}
    lines += [line for line in needed_of(own, used_in) if line["key"] not in present]
    return {**body, **({name: lines} if lines else {})}


def read_list(read: Callable[[str], List], path: str) -> List:
    """Read your own list (`read`: function of the client; `path`); errors name the file."""
    try:
        return read(path)
    except ClientError as error:
        raise ShopFault(f"{path}: {error}") from None


def part_of(body: Mapping[str, Any], name: str) -> Mapping[str, Any]:
    """An object in a batch (`body`, `name`), or an empty one."""
    found = body.get(name)
    return found if isinstance(found, dict) else {}


def _texts(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict | list):
        for one in value.values() if isinstance(value, dict) else value:
            yield from _texts(one)


def in_one_line(error: ClientError) -> str:
    """The message of an exception (`error`) without the request id, which differs each time."""
    if isinstance(error, ProblemError):
        errors = [f"{one.pointer or '/'}: {one.detail}" for one in error.errors]
        return " ".join("; ".join(errors or [error.detail]).split())
    return " ".join(str(error).split())


def write_rows(path: Path, columns: Sequence[str], rows: Sequence[Mapping[str, str]]) -> None:
    """Write a table (`path`, `columns`, `rows`) completely or not at all: an interrupted run keeps the old one."""
    draft = path.with_name(f"{path.name}.new")
    with draft.open("w", encoding="utf-8", newline="") as file:
        table = csv.DictWriter(file, columns, lineterminator="\n")
        table.writeheader()
        table.writerows({name: safe(row[name]) for name in columns} for row in rows)
    os.replace(draft, path)


def safe(cell: str) -> str:
    """A text (`cell`) that no spreadsheet reads as a formula."""
    return f"'{cell}" if cell.startswith(("=", "+", "-", "@", "\t", "\r", "\n")) else cell


def parser(about: str) -> argparse.ArgumentParser:
    """Arguments of both scripts (`about`: what the script does)."""
    found = argparse.ArgumentParser(description=about)
    found.add_argument("products", help="CSV: sku, name, plan, more, mould, moulds_count")
    found.add_argument("--fats", help="CSV of your own fats")
    found.add_argument("--url", default=os.environ.get("KETTLEWRIGHT_URL") or "http://127.0.0.1:8000",
                       help="address of the service (default: KETTLEWRIGHT_URL, or %(default)s)")
    return found
