"""Read your own price file for requests.

The file is a table (CSV, UTF-8) with a row for each pack and these columns, in any order:

    key,name,pack_mass,price,currency
    olive,"olive oil, can",5000,32.00,EUR

`key` is the key of the ingredient in the weigh list, `pack_mass` is in the request's unit of mass, `price` is that of
the whole pack. `supplier` and `at_most` are optional. Columns may be separated by semicolons, as spreadsheets in many
countries save them; then decimals may have a comma.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import TYPE_CHECKING

from kettlewright_client.errors import ClientError
from kettlewright_client.own_table import Layout, Row, read_text, rows_of

if TYPE_CHECKING:
    from kettlewright_client.inputs import IngredientPriceInput, PackInput, PackPriceInput, PriceInput

__all__ = ["PriceList", "PriceListError", "PriceRow", "parse_prices", "read_prices"]

class PriceListError(ClientError):
    """A price file has errors; the message lists all of them, each with its line."""


_LAYOUT = Layout(needed=("key", "pack_mass", "price", "currency"), error=PriceListError,
                 known=("key", "name", "pack_mass", "price", "currency", "supplier", "at_most"))


@dataclass(frozen=True, kw_only=True)
class PriceRow:
    """A pack and its price."""

    key: str
    name: str
    pack_mass: float
    price: str
    currency: str
    supplier: str | None = None
    at_most: int | None = None

    @property
    def as_price(self) -> PriceInput:
        """The price for a request."""
        return {"amount": self.price, "currency": self.currency, "per_mass": self.pack_mass}


@dataclass(frozen=True)
class PriceList:
    """All packs of a file, in the same order."""

    rows: tuple[PriceRow, ...]

    @property
    def ingredients(self) -> list[IngredientPriceInput]:
        """For `prices` of `costs`: the first pack of each ingredient, taken as the one you usually buy."""
        first: dict[str, PriceRow] = {}
        for row in self.rows:
            first.setdefault(row.key, row)
        return [{"key": row.key, "name": row.name, "price": row.as_price} if row.name
                else {"key": row.key, "price": row.as_price} for row in first.values()]

    @property
    def packs(self) -> list[PackInput]:
        """For `packs` of `purchases`: every pack."""
        return [_pack(row) for row in self.rows]


def _pack(row: PriceRow) -> PackInput:
    price: PackPriceInput = {"amount": row.price, "currency": row.currency, "per_mass": row.pack_mass}
    found: PackInput = {"key": row.key, "price": price}
    if row.name:
        found["name"] = row.name
    if row.supplier is not None:
        found["supplier"] = row.supplier
    if row.at_most is not None:
        found["at_most"] = row.at_most
    return found


def read_prices(path: str | Path) -> PriceList:
    """Read a price file (`path`).

    Raises
    ------
    PriceListError : columns or values are missing or wrong, with their lines.
    OSError : the file cannot be opened.
    """
    return parse_prices(read_text(path, error=PriceListError))


def parse_prices(text: str) -> PriceList:
    """Read the content of a price file (`text`).

    Raises
    ------
    PriceListError : as `read_prices` does.
    """
    return PriceList(tuple(_price_row(row) for row in rows_of(text, _LAYOUT, _errors)))


def _errors(row: Row) -> Iterator[str]:
    for name in ("pack_mass", "price"):
        number = _number(row[name], comma=not row.comma_separated)
        if row[name] and (number is None or number < 0 or (name == "pack_mass" and number == 0)):
            yield f'{name} "{row[name]}" is not a number such as 32.00'
    at_most = row["at_most"]
    if at_most and not (at_most.isascii() and at_most.isdecimal()):
        yield f'at_most "{at_most}" is not a whole number'


def _number(text: str, *, comma: bool) -> Decimal | None:
    plain = text
    if comma and "." not in plain:
        plain = plain.replace(",", ".", 1)
    if not plain.isascii() or not plain.replace(".", "", 1).isdecimal():
        return None
    try:
        return Decimal(plain)
    except InvalidOperation:
        return None


def _price_row(row: Row) -> PriceRow:
    comma = not row.comma_separated
    mass, price = _number(row["pack_mass"], comma=comma), _number(row["price"], comma=comma)
    assert mass is not None
    assert price is not None
    return PriceRow(key=row["key"], name=row["name"], pack_mass=float(mass), price=f"{price:f}",
                    currency=row["currency"].upper(), supplier=row["supplier"] or None,
                    at_most=int(row["at_most"]) if row["at_most"] else None)
