"""Read your own file of fats for requests.

The file is a table (CSV, UTF-8) with a row for each fat and these columns, in any order:

    key,name,saponification_value_min,saponification_value_max,density,inci,inci_as_reacted
    own_shea,"shea, village press",178,182,0.90,Butyrospermum Parkii Butter,Sodium Shea Butterate

Values are in mg KOH per g of fat, the density in g/mL at 40 degC. `acid_value` is optional, and so are
`pack_mass`, `price` and `currency` of a pack. Columns may also be separated by semicolons or tabs; decimals always have
a point.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

from kettlewright_client.errors import ClientError
from kettlewright_client.own_table import Layout, Row, above_zero, key_of, read_text, rows_of

if TYPE_CHECKING:
    from kettlewright_client.inputs import OwnFatInput

__all__ = ["FatList", "FatListError", "FatRow", "parse_fats", "read_fats"]

_RANGE = ("saponification_value_min", "saponification_value_max")
_PRICE = ("pack_mass", "price", "currency")


class FatListError(ClientError):
    """A file of fats has errors; the message lists all of them, each with its line."""


_LAYOUT = Layout(needed=("key", *_RANGE), error=FatListError,
                 known=("key", "name", *_RANGE, "acid_value", "density", "inci", "inci_as_reacted", *_PRICE))


@dataclass(frozen=True, kw_only=True)
class FatRow:
    """A fat of your own: its range in mg KOH per g, its density in g/mL."""

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
    def as_own_fat(self) -> OwnFatInput:
        """The fat for a request."""
        fields = {"key": self.key, "name": self.name or None, "acid_value": self.acid_value, "density": self.density,
                 "saponification_value": {"min": self.saponification_value_min, "max": self.saponification_value_max},
                 "inci": self.inci, "inci_as_reacted": self.inci_as_reacted, "price": self.price}
        return cast("OwnFatInput", {name: value for name, value in fields.items() if value is not None})


@dataclass(frozen=True)
class FatList:
    """All fats of a file, in the same order."""

    rows: tuple[FatRow, ...]

    @property
    def own_fats(self) -> list[OwnFatInput]:
        """For `own_fats` of a request; the recipe refers to each as {"fat": key}."""
        return [row.as_own_fat for row in self.rows]


def read_fats(path: str | Path) -> FatList:
    """Read a file of fats (`path`).

    Raises
    ------
    FatListError : columns or values are missing or wrong, with their lines.
    OSError : the file cannot be opened.
    """
    return parse_fats(read_text(path, error=FatListError))


def parse_fats(text: str) -> FatList:
    """Read the content of a file of fats (`text`).

    Raises
    ------
    FatListError : as `read_fats` does.
    """
    return FatList(tuple(_fat_row(row) for row in rows_of(text, _LAYOUT, _error_finder())))


def _error_finder() -> Callable[[Row], Iterator[str]]:
    lines: dict[str, int] = {}

    def errors(row: Row) -> Iterator[str]:
        key = row["key"]
        if key and not (key.isascii() and key == key_of(key) and len(key) <= 60):
            better = key_of(key).encode("ascii", "ignore").decode()[:60]
            yield f'key "{key}" may contain lower-case letters, digits and _' + (
                f', such as "{better}"' if better else "")
        if key and lines.setdefault(key, row.line) != row.line:
            yield f'key "{key}" is already on line {lines[key]}'
        wrong = list(above_zero(row, *_RANGE, like="184.5"))
        yield from wrong
        yield from above_zero(row, "density", like="0.91")
        yield from above_zero(row, "pack_mass", like="1000")
        # an acid value or a price may be 0
        yield from above_zero(row, *(name for name in ("acid_value", "price") if not _is_zero(row[name])), like="1.20")
        low, high = (row[name] for name in _RANGE)
        if low and high and not wrong and Decimal(low) > Decimal(high):
            yield f"{_RANGE[0]} {low} is above {_RANGE[1]} {high}; put the lower end first"
        present = [name for name in _PRICE if row[name]]
        if present and len(present) < len(_PRICE):
            absent = [name for name in _PRICE if name not in present]
            yield f"{' and '.join(absent)} is missing beside {' and '.join(present)}"

    return errors


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
