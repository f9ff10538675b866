"""The files of the data folder: their columns, and what is checked beyond each row."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from typing import Any

from kettlewright.api.coop.table import Column, Errors, Layout, Row, amount, whole_number
from kettlewright.api.door.fields import Day, Text
from kettlewright.api.door.strict import Part, Strict
from kettlewright.api.parts.additions import AdditionInput, ConstituentInput
from kettlewright.api.parts.coop import CoopFat
from kettlewright.api.parts.fat_values import CertificateInput
from kettlewright.api.parts.labels import OwnNameInput
from kettlewright.api.parts.own_fats import OwnFatInput, fat_key_if_known
from kettlewright.api.parts.packs import PackInput
from kettlewright.errors import DomainErrors
from kettlewright.names import slug
from kettlewright.pour.constituents import Constituent, check_composition
from kettlewright.reference import bare_name, fats, fats_called
from kettlewright.release import OwnName, Pack

__all__ = ["LAYOUTS", "PACKS_MAX", "certificates_of", "compositions_of", "date_of", "fats_of", "names_of", "packs_of"]


class VersionRow(Strict):
    """The row of version.csv."""

    date = Day(required=True)


class CertificateRow(Strict):
    """A row of certificates.csv."""

    fat = Text(required=True)
    lot = Text(required=True)
    certificate = Part(CertificateInput, required=True)


class SubstanceRow(Strict):
    """A row of fragrances.csv: one substance of one fragrance."""

    fragrance = Text(required=True)
    substance = Part(ConstituentInput, required=True)


PACKS_MAX = 20
"""Packs of one ingredient: a choice among more would take long. [number]"""
_OF_ALKALIS = frozenset({"NaOH", "KOH", "NaOH_stock", "KOH_stock"})
_SUBSTANCES_MAX: int = AdditionInput._declared_fields["allergens"].at_most  # type: ignore[attr-defined]  # a ListOf

LAYOUTS: Mapping[str, Layout] = {layout.file: layout for layout in (
    Layout("version", (Column("date", ("date",), required=True),), VersionRow()),
    Layout("fats", (Column("key", ("key",), required=True), Column("name", ("name",)),
                    Column.of_number("saponification_value_min", "saponification_value", "min", required=True),
                    Column.of_number("saponification_value_max", "saponification_value", "max", required=True),
                    Column.of_number("acid_value"), Column.of_number("density")), OwnFatInput()),
    Layout("certificates", (Column("fat", ("fat",), required=True), Column("lot", ("lot",), required=True),
                            Column.of_number("value", "certificate", "value", required=True),
                            Column.of_number("tolerance", "certificate", "tolerance"),
                            Column.of_number("acid_value", "certificate", "acid_value"),
                            Column("date", ("certificate", "date"))), CertificateRow()),
    Layout("packs", (Column("key", ("key",), required=True), Column("name", ("name",)),
                     Column.of_number("pack_mass", "price", "per_mass"),
                     Column("pack_count", ("price", "per_count"), whole_number),
                     Column("price", ("price", "amount"), amount, required=True),
                     Column("currency", ("price", "currency"), required=True), Column("supplier", ("supplier",)),
                     Column("at_most", ("at_most",), whole_number)), PackInput(), ("pack_mass", "pack_count")),
    Layout("names", (Column("key", ("key",), required=True), Column("inci", ("inci",)),
                     Column("inci_as_reacted", ("inci_as_reacted",)),
                     Column("permitted_in", ("permitted_in",), str.split)), OwnNameInput()),
    Layout("fragrances", (Column("fragrance", ("fragrance",), required=True), Column("cas", ("substance", "cas")),
                          Column("name", ("substance", "name")),
                          Column.of_number("pct", "substance", "pct", required=True)), SubstanceRow(), ("cas", "name")),
)}
"""The files by name. Masses are in grams; the columns are those of a maker's own files for the client."""


def date_of(rows: Sequence[Row], errors: Errors) -> str:
    """The date of the data, from the only row of version.csv (`rows`, `errors`). [date]"""
    for row in rows[1:]:
        errors.add(row.line, "the file has one row, the date of the data; remove this one")
    if not rows and not errors.found:
        errors.add(0, "has no date; write it in the second line, such as 2027-03-20")
    return str(rows[0].given["date"]) if rows else ""


class _Seen:
    """Finds what appears on two lines of a file."""

    def __init__(self, errors: Errors) -> None:
        self._errors = errors
        self._lines: dict[Hashable, int] = {}

    def check(self, key: Hashable, line: int, words: str) -> None:
        """Add an error if `key` was on an earlier line (`line`: this one; `words`: before the number of the other)."""
        other = self._lines.setdefault(key, line)
        if other != line:
            self._errors.add(line, f"{words} line {other}")


def fats_of(rows: Sequence[Row], errors: Errors) -> dict[str, CoopFat]:
    """Fats by key; no name may mean two fats (`rows`, `errors`)."""
    seen = _Seen(errors)
    for row in rows:
        for column, name in ((column, row.text(column)) for column in ("key", "name")):
            known = fats_called(name) if name and name not in fats() else ()
            if known:
                errors.add(row.line, f'{column} "{name}" means "{known[0].key}" of the table; choose another')
            if name:
                seen.check(bare_name(name), row.line, f'{column} "{name}" is too similar to a key or name on')
    return {row.loaded.key: CoopFat(row.given, row.loaded) for row in rows if row.loaded is not None}


def certificates_of(rows: Sequence[Row], errors: Errors,
                    own: Iterable[str] | None) -> dict[tuple[str, str], Mapping[str, Any]]:
    """Certificates as in a request, by key of the fat and lot.

    Parameters
    ----------
    rows, errors
        Of certificates.csv. [rows]
    own : iterable of str, optional
        Keys of fats.csv; None if that cannot be read at all. [keys]
    """
    known, seen = {*(own or ()), *fats()}, _Seen(errors)
    for row in rows:
        fat, lot = row.text("fat"), row.text("lot")
        if fat and fat not in known and own is not None:
            meant = fats_called(fat)
            hint = f'; write "{meant[0].key}"' if len(meant) == 1 else ""
            errors.add(row.line, f'fat "{fat}" is neither a key of fats.csv nor of /v1/fats{hint}')
        seen.check((fat, lot), row.line, f'lot "{lot}" of "{fat}" already has a certificate on')
    return {(row.loaded["fat"], row.loaded["lot"]): row.given["certificate"] for row in rows if row.loaded is not None}


def packs_of(rows: Sequence[Row], errors: Errors) -> dict[str, tuple[Pack, ...]]:
    """Packs by key, in the order of the file and in one currency (`rows`, `errors`)."""
    found: dict[str, tuple[Pack, ...]] = {}
    seen = _Seen(errors)
    first: Row | None = None
    for row in rows:
        key, price = fat_key_if_known(row.text("key")), row.given.get("price", {})
        if key and key not in _OF_ALKALIS and key != slug(key):
            errors.add(row.line, f'key "{key}" is no key of a weigh list; write "{slug(key)}"')
        first = first or row
        currency, others = price.get("currency"), first.given.get("price", {}).get("currency")
        if currency != others and currency and others:
            errors.add(row.line, f"currency {currency} differs from {others} on line {first.line}; all packs must be "
                                 "in one currency")
        content = (price.get("per_mass"), price.get("per_count"))
        seen.check((key, content, row.text("supplier"), row.text("name")), row.line,
                   f'this pack of "{key}" is already on')
        pack: Pack | None = row.loaded
        if pack is not None:
            same = found.get(pack.key, ())
            if same and same[0].counted != pack.counted:
                errors.add(row.line, f'"{pack.key}" is sold by mass on one line and by the count on another')
            if len(same) == PACKS_MAX:
                errors.add(row.line, f'"{pack.key}" has more than {PACKS_MAX} packs')
            found[pack.key] = (*same, pack)
    return found


def names_of(rows: Sequence[Row], errors: Errors) -> dict[str, OwnName]:
    """Label names by slug of their key (`rows`, `errors`)."""
    seen = _Seen(errors)
    for row in rows:
        if row.text("key"):
            seen.check(slug(row.text("key")), row.line, f'key "{row.text("key")}" is already on')
    return {slug(row.loaded.key): row.loaded for row in rows if row.loaded is not None}


def compositions_of(rows: Sequence[Row], errors: Errors) -> dict[str, tuple[Constituent, ...]]:
    """Substances of each fragrance by slug of its name (`rows`, `errors`)."""
    by_key: dict[str, list[Row]] = {}
    for row in rows:
        if row.loaded is not None:
            by_key.setdefault(slug(row.loaded["fragrance"]), []).append(row)
    found: dict[str, tuple[Constituent, ...]] = {}
    for key, of_one in by_key.items():
        parts = tuple(row.loaded["substance"] for row in of_one)
        name = of_one[0].loaded["fragrance"]
        if len(parts) > _SUBSTANCES_MAX:
            errors.add(of_one[_SUBSTANCES_MAX].line, f'"{name}" has more than {_SUBSTANCES_MAX} substances')
        try:
            check_composition(parts, name)
        except DomainErrors as wrong:
            for fault in wrong.errors:
                place = int(fault.field[0]) if fault.field else len(of_one) - 1
                errors.add(of_one[place].line, fault.detail.rstrip("."))
        found[key] = parts
    return found
