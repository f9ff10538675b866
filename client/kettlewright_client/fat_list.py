"""A maker's own file of fats, as requests take them.

The file is a table (CSV, UTF-8) with a row for each fat and these columns, in any order:

    key,name,saponification_value_min,saponification_value_max,density,inci,inci_as_reacted
    own_shea,"shea, village press",178,182,0.90,Butyrospermum Parkii Butter,Sodium Shea Butterate

Values are mg KOH per g of fat, the density g/mL at 40 degC. `acid_value` may follow, and `pack_mass`, `price` and
`currency` of a pack. Columns may stand between semicolons or tabs as well; decimals take a point in all of them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any

from kettlewright_client.errors import ClientError
from kettlewright_client.own_table import Layout, Row, above_zero, key_of, read_text, rows_of

__all__ = ["FatList", "FatListError", "FatRow", "parse_fats", "read_fats"]

_RANGE = ("saponification_value_min", "saponification_value_max")
_PRICE = ("pack_mass", "price", "currency")


class FatListError(ClientError):
    """A file of fats that cannot be read; every fault at once, each with its line."""


_LAYOUT = Layout(needed=("key", *_RANGE), error=FatListError,
                 known=("key", "name", *_RANGE, "acid_value", "density", "inci", "inci_as_reacted", *_PRICE))


@dataclass(frozen=True, kw_only=True)
class FatRow:
    """A fat of the maker's own: its range in mg KOH per g, its density in g/mL."""

    key: str
    name: str
    saponification_value_min: float
    saponification_value_max: float
    acid_value: float | None = None
    density: float | None = None
    inci: str | None = None
    inci_as_reacted: str | None = None
    price: Mapping[str, Any] | None = None

    @property
    def as_own_fat(self) -> dict[str, Any]:
        """The fat as requests take it."""
        asked = {"key": self.key, "name": self.name or None, "acid_value": self.acid_value, "density": self.density,
                 "saponification_value": {"min": self.saponification_value_min, "max": self.saponification_value_max},
                 "inci": self.inci, "inci_as_reacted": self.inci_as_reacted, "price": self.price}
        return {name: value for name, value in asked.items() if value is not None}


@dataclass(frozen=True)
class FatList:
    """All fats of a file, in its order."""

    rows: tuple[FatRow, ...]

    @property
    def own_fats(self) -> list[dict[str, Any]]:
        """For `own_fats` of a request; its recipe names each as {"fat": key}."""
        return [row.as_own_fat for row in self.rows]


def read_fats(path: str | Path) -> FatList:
    """A file of fats (`path`).

    Raises
    ------
    FatListError : columns or values that are missing or wrong, with their lines.
    OSError : the file cannot be opened.
    """
    return parse_fats(read_text(path, error=FatListError))


def parse_fats(text: str) -> FatList:
    """A file of fats that was read already (`text`).

    Raises
    ------
    FatListError : as `read_fats` does.
    """
    return FatList(tuple(_fat_row(row) for row in rows_of(text, _LAYOUT, _faults_of())))


def _faults_of() -> Callable[[Row], Iterator[str]]:
    lines: dict[str, int] = {}

    def faults(row: Row) -> Iterator[str]:
        key = row["key"]
        if key and not (key.isascii() and key == key_of(key) and len(key) <= 60):
            better = key_of(key).encode("ascii", "ignore").decode()[:60]
            yield f'key "{key}" may hold small letters, digits and _' + (f', such as "{better}"' if better else "")
        if key and lines.setdefault(key, row.line) != row.line:
            yield f'key "{key}" stands on line {lines[key]} already'
        wrong = list(above_zero(row, *_RANGE, like="184.5"))
        yield from wrong
        yield from above_zero(row, "density", like="0.91")
        yield from above_zero(row, "pack_mass", like="1000")
        # an acid value of nothing, and a fat that costs nothing, there may be
        yield from above_zero(row, *(name for name in ("acid_value", "price") if not _is_zero(row[name])), like="1.20")
        low, high = (row[name] for name in _RANGE)
        if low and high and not wrong and Decimal(low) > Decimal(high):
            yield f"{_RANGE[0]} {low} is above {_RANGE[1]} {high}; put the lower end first"
        told = [name for name in _PRICE if row[name]]
        if told and len(told) < len(_PRICE):
            yield f"{' and '.join(name for name in _PRICE if name not in told)} is missing beside {' and '.join(told)}"

    return faults


def _is_zero(text: str) -> bool:
    return bool(text) and not text.replace(".", "", 1).strip("0")


def _fat_row(row: Row) -> FatRow:
    def number(name: str) -> float | None:
        return float(row[name]) if row[name] else None

    price = {"amount": f"{Decimal(row['price']):f}", "currency": row["currency"].upper(),
             "per_mass": float(row["pack_mass"])} if row["price"] else None
    return FatRow(key=row["key"], name=row["name"], acid_value=number("acid_value"), density=number("density"),
                  saponification_value_min=float(row[_RANGE[0]]), saponification_value_max=float(row[_RANGE[1]]),
                  inci=row["inci"] or None, inci_as_reacted=row["inci_as_reacted"] or None, price=price)
