"""Read your own file of the compositions of fragrances, from their suppliers, for requests.

The file is a table (CSV, UTF-8) with a row for each substance of each fragrance and these columns, in any order:

    fragrance,cas,name,pct
    cedar and lavender,78-70-6,,12
    cedar and lavender,,Limonene,0.6

`fragrance` is the name of an addition, or its key ("cedar_and_lavender"). Give the CAS number or the name of each
substance, not both. `pct` is its share of the fragrance as bought, by mass. Columns may also be separated by semicolons
or tabs; decimals always have a point.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from kettlewright_client.errors import ClientError
from kettlewright_client.own_table import Layout, Row, above_zero, key_of, read_text, rows_of

__all__ = ["AllergenList", "AllergenListError", "AllergenRow", "parse_allergens", "read_allergens"]

_CAS = re.compile(r"[1-9][0-9]{1,6}-[0-9]{2}-[0-9]")


class AllergenListError(ClientError):
    """A file of fragrances has errors; the message lists all of them, each with its line."""


_LAYOUT = Layout(needed=("fragrance", "pct"), error=AllergenListError, known=("fragrance", "cas", "name", "pct"))


@dataclass(frozen=True, kw_only=True)
class AllergenRow:
    """A substance in a fragrance."""

    fragrance: str
    pct: float
    cas: str | None = None
    name: str | None = None

    @property
    def as_constituent(self) -> dict[str, Any]:
        """The substance for a request."""
        return {**({"cas": self.cas} if self.cas else {"name": self.name}), "pct": self.pct}


@dataclass(frozen=True)
class AllergenList:
    """All substances of a file, in the same order."""

    rows: tuple[AllergenRow, ...]

    def of(self, fragrance: str) -> list[dict[str, Any]]:
        """For `allergens` of an addition with this name or key (`fragrance`); empty if the file has none.

        [% by mass]
        """
        wanted = key_of(fragrance)
        return [row.as_constituent for row in self.rows if key_of(row.fragrance) == wanted]

    def put_into(self, body: Mapping[str, Any]) -> dict[str, Any]:
        """Copy a body and put the substances into its additions, those of portions too (`body`: not changed).

        An addition with its own `allergens` keeps them. [as in JSON]
        """
        found = self._with_allergens(body)
        portions = found.get("portions")
        if isinstance(portions, list | tuple):
            found["portions"] = [self._with_allergens(one) if isinstance(one, Mapping) else one for one in portions]
        return found

    def without_composition(self, body: Mapping[str, Any]) -> tuple[str, ...]:
        """Fragrances of a body without substances, in the body or in this file (`body`). [names]

        A label made without them does not name their allergens.
        """
        portions = body.get("portions") or ()
        places = [body, *(one for one in portions if isinstance(one, Mapping))]
        additions = [one for place in places for one in place.get("additions") or () if isinstance(one, Mapping)]
        return tuple(dict.fromkeys(
            str(one.get("name")) for one in additions
            if one.get("kind") == "fragrance" and "allergens" not in one and not self.of(str(one.get("name")))))

    def _with_allergens(self, place: Mapping[str, Any]) -> dict[str, Any]:
        found = dict(place)
        additions = found.get("additions")
        if isinstance(additions, list | tuple):
            found["additions"] = [self._complete(one) if isinstance(one, Mapping) else one for one in additions]
        return found

    def _complete(self, addition: Mapping[str, Any]) -> dict[str, Any]:
        substances = self.of(str(addition.get("name", "")))
        return {**({"allergens": substances} if substances else {}), **addition}


def read_allergens(path: str | Path) -> AllergenList:
    """Read a file of fragrances (`path`).

    Raises
    ------
    AllergenListError : columns or values are missing or wrong, with their lines.
    OSError : the file cannot be opened.
    """
    return parse_allergens(read_text(path, error=AllergenListError))


def parse_allergens(text: str) -> AllergenList:
    """Read the content of a file of fragrances (`text`).

    Raises
    ------
    AllergenListError : as `read_allergens` does.
    """
    return AllergenList(tuple(_allergen_row(row) for row in rows_of(text, _LAYOUT, _error_finder())))


def _error_finder() -> Callable[[Row], Iterator[str]]:
    lines: dict[tuple[str, str], int] = {}

    def errors(row: Row) -> Iterator[str]:
        cas, name = row["cas"], row["name"]
        if row["fragrance"] and not key_of(row["fragrance"]):
            yield f'fragrance "{row["fragrance"]}" contains no letter and no digit'
        if bool(cas) == bool(name):
            yield "give the substance by cas or by name, one of the two"
        elif cas and not _CAS.fullmatch(cas):
            yield (f'cas "{cas}" is not a CAS number such as 5989-27-5; if a spreadsheet turned it into a date, format '
                   "the column as text")
        substance = (key_of(row["fragrance"]), cas or name.casefold())
        if (cas or name) and lines.setdefault(substance, row.line) != row.line:
            yield f'"{cas or name}" of "{row["fragrance"]}" is already on line {lines[substance]}; add the two up'
        if re.search(r"[<>≤≥–-]", row["pct"]):
            yield f'pct "{row["pct"]}" is a range or a limit; write its upper end, such as 0.45'
        else:
            yield from above_zero(row, "pct", like="0.45")

    return errors


def _allergen_row(row: Row) -> AllergenRow:
    return AllergenRow(fragrance=row["fragrance"], pct=float(row["pct"]), cas=row["cas"] or None,
                       name=row["name"] or None)
