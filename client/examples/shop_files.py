"""Files of the two shop scripts: what they read, and how they write. Both lie beside this one."""

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
TOLD = ("warning", "danger")  # cautions that both scripts tell; the others stand on the batch sheet
UNSPOKEN = {"water", "naoh_stock", "koh_stock"}  # keys of a weigh list that stand in no body as they are


class ShopFault(ClientError):
    """A file that cannot be used; every fault at once."""


@dataclass(frozen=True, kw_only=True)
class Product:
    """Something that is sold: its batch is what stands in `files`, each laid over those before it."""

    sku: str
    name: str
    files: tuple[Path, ...]
    mould: str
    moulds_count: int


def read_rows(path: str | Path, *, needed: Sequence[str], known: Sequence[str],
              faults_of: Callable[[Row], Iterator[str]]) -> tuple[Row, ...]:
    """The rows of a table (`path`) with the columns `needed` and `known`; `faults_of` tells what is wrong with one."""
    try:
        layout = Layout(needed=tuple(needed), known=tuple(known), error=ShopFault)
        return rows_of(read_text(path, error=ShopFault), layout, faults_of)
    except (ShopFault, OSError) as error:
        raise ShopFault(f"{path}: {error}") from None


def whole(row: Row, name: str) -> Iterator[str]:
    """What is wrong with a count above 0, or nothing (`row`, `name` of the column)."""
    told = row[name]
    if told and not (told.isascii() and told.isdecimal() and int(told) > 0):
        yield f'{name} "{told}" is no whole number above 0'


def read_products(path: str | Path) -> dict[str, Product]:
    """Products by their sku (`path` of the table; files in it are found beside it)."""
    lines: dict[str, int] = {}

    def faults(row: Row) -> Iterator[str]:
        if row["sku"] and lines.setdefault(row["sku"], row.line) != row.line:
            yield f'sku "{row["sku"]}" stands on line {lines[row["sku"]]} already'
        yield from whole(row, "moulds_count")

    rows = read_rows(path, needed=("sku", "name", "plan"), faults_of=faults,
                     known=("sku", "name", "plan", "more", "mould", "moulds_count"))
    beside = Path(path).resolve().parent
    return {row["sku"]: Product(sku=row["sku"], name=row["name"], mould=row["mould"],
                                files=tuple(beside / name for name in (row["plan"], *row["more"].split())),
                                moulds_count=int(row["moulds_count"] or 1)) for row in rows}


def body_of(product: Product) -> dict[str, Any]:
    """The batch of a product (`product`) as `batches` takes it."""
    body: dict[str, Any] = {}
    for file in product.files:
        try:
            told = json.loads(file.read_text(encoding="utf-8"))
        except (OSError, ValueError) as error:
            raise ShopFault(f"{file.name}: {error}") from None
        if not isinstance(told, dict):
            raise ShopFault(f"{file.name}: no JSON object")
        body |= told
    return body


def needed_of(own: Sequence[Mapping[str, Any]], body: Mapping[str, Any]) -> list[Mapping[str, Any]]:
    """Lines of a list of the maker's (`own`) that a batch (`body`) speaks of.

    The rest stays out of its request, so that its identity does not move with what does not concern it.
    """
    words = {key_of(word) for word in _texts(body)} | UNSPOKEN
    return [line for line in own if key_of(str(line["key"])) in words]


def with_lines(body: Mapping[str, Any], name: str, own: Sequence[Mapping[str, Any]], *,
               speaks_in: Mapping[str, Any]) -> dict[str, Any]:
    """A part of a batch with the lines of the maker's list that are needed in a list of it.

    `body` is the part, `name` its list, `own` the maker's, `speaks_in` the whole batch. What the part tells itself
    goes before a line with the same key.
    """
    told = list(body.get(name, ()))
    there = {line.get("key") for line in told if isinstance(line, dict)}
    told += [line for line in needed_of(own, speaks_in) if line["key"] not in there]
    return {**body, **({name: told} if told else {})}


def read_list(read: Callable[[str], List], path: str) -> List:
    """A list of the maker's (`read` by the client, from `path`); faults are told with the file's name."""
    try:
        return read(path)
    except ClientError as error:
        raise ShopFault(f"{path}: {error}") from None


def part_of(body: Mapping[str, Any], name: str) -> Mapping[str, Any]:
    """An object in a batch (`body`, `name`); an empty one where there is none."""
    found = body.get(name)
    return found if isinstance(found, dict) else {}


def _texts(told: Any) -> Iterator[str]:
    if isinstance(told, str):
        yield told
    elif isinstance(told, dict | list):
        for one in told.values() if isinstance(told, dict) else told:
            yield from _texts(one)


def in_one_line(error: ClientError) -> str:
    """What went wrong (`error`), without the id of the request, which is another one each time."""
    if isinstance(error, ProblemError):
        faults = [f"{fault.pointer or '/'}: {fault.detail}" for fault in error.errors]
        return " ".join("; ".join(faults or [error.detail]).split())
    return " ".join(str(error).split())


def write_rows(path: Path, columns: Sequence[str], rows: Sequence[Mapping[str, str]]) -> None:
    """A table (`path`, `columns`, `rows`), whole or not at all: a run that breaks off leaves the old one."""
    beside = path.with_name(f"{path.name}.new")
    with beside.open("w", encoding="utf-8", newline="") as file:
        table = csv.DictWriter(file, columns, lineterminator="\n")
        table.writeheader()
        table.writerows({name: safe(row[name]) for name in columns} for row in rows)
    os.replace(beside, path)


def safe(cell: str) -> str:
    """A text (`cell`) that no spreadsheet takes for a formula."""
    return f"'{cell}" if cell.startswith(("=", "+", "-", "@", "\t", "\r", "\n")) else cell


def parser(about: str) -> argparse.ArgumentParser:
    """What both scripts take (`about`: what one does)."""
    found = argparse.ArgumentParser(description=about)
    found.add_argument("products", help="CSV: sku, name, plan, more, mould, moulds_count")
    found.add_argument("--fats", help="CSV of your own fats")
    found.add_argument("--url", default=os.environ.get("KETTLEWRIGHT_URL") or "http://127.0.0.1:8000",
                       help="where the service is (else KETTLEWRIGHT_URL, else %(default)s)")
    return found
