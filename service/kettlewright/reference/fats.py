"""The table of fats, oils, waxes and free acids, loaded once and validated while loading."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Mapping
from functools import cache
from importlib import resources
from types import MappingProxyType

from kettlewright.reference.constants import PROVENANCES
from kettlewright.reference.fat_records import (
    KINDS,
    AcidShare,
    Alias,
    FatRecord,
    FattyAcid,
    Figure,
    LabelNames,
    OpenFigure,
)
from kettlewright.said import TableName

__all__ = ["fats", "fatty_acid_constants", "load_fats", "load_fatty_acids"]
_PLAUSIBLE = {"sv": (60.0, 400.0), "iv": (0.0, 250.0), "rel_density": (0.8, 1.0), "refractive_index": (1.3, 1.6)}


def _ends(row: Mapping[str, str], name: str, verified: str) -> tuple[float | None, float | None] | None:
    low, high = (float(text) if (text := row[f"{name}_{end}"]) else None for end in ("min", "max"))
    if low is None and high is None:
        return None
    least, most = _PLAUSIBLE[name.removeprefix("second_")]
    if not least <= (least if low is None else low) <= (most if high is None else high) <= most:
        raise ValueError(f"fats table, {row['id']}: {name} runs from {low} to {high}")
    if verified not in PROVENANCES:
        raise ValueError(f"fats table, {row['id']}: {name} is known by {verified!r}")
    return low, high


def _figure(row: Mapping[str, str], name: str, verified: str, *, condition: str = "") -> Figure | None:
    ends = _ends(row, name, verified)
    if ends is None:
        return None
    low, high = ends
    if low is None or high is None:
        raise ValueError(f"fats table, {row['id']}: {name} has one end only")
    return Figure(low, high, verified, condition)


def _open_figure(row: Mapping[str, str], name: str, verified: str, source: str = "") -> OpenFigure | None:
    ends = _ends(row, name, verified)
    return None if ends is None else OpenFigure(*ends, verified, source)


def _provenance(row: Mapping[str, str], verified: str) -> str:
    """How a figure is known: a figure read in a second-hand text is second-hand."""
    return "second_hand" if verified == "read" and row["read_quality"] == "secondhand" else verified


def _record(row: Mapping[str, str], acids: tuple[AcidShare, ...], aliases: tuple[Alias, ...]) -> FatRecord:
    def known(column: str) -> str:
        return _provenance(row, row[column])

    saponification_value = _figure(row, "sv", known("sv_verified"))
    if saponification_value is None:
        raise ValueError(f"fats table, {row['id']}: no saponification value")
    if row["kind"] not in KINDS:
        raise ValueError(f"fats table, {row['id']}: kind {row['kind']!r}")
    limit = row["unsaponifiable_max_g_per_kg"]
    return FatRecord(
        key=row["id"], name=_name(row["common_name"], aliases), kind=row["kind"],
        origin=row["botanical_or_animal_source"],
        label_names=LabelNames(row["inci_name"], row["inci_sodium_salt"], known("inci_verified"),
                               row["inci_salt_confidence"]),
        saponification_value=saponification_value, iodine_value=_open_figure(row, "iv", known("iv_verified")),
        unsaponifiable_max=Figure(0.0, float(limit), known("unsaponifiable_verified")) if limit else None,
        relative_density=_figure(row, "rel_density", known("rel_density_verified"),
                                 condition=row["rel_density_condition"]),
        refractive_index=_figure(row, "refractive_index", known("refractive_index_verified"),
                                 condition=row["refractive_index_condition"]),
        second_saponification_value=_open_figure(row, "second_sv", row["second_verified"], row["second_source"]),
        second_iodine_value=_open_figure(row, "second_iv", row["second_verified"], row["second_source"]),
        fatty_acids=acids, source=row["source"], read_at=row["read_at"], read_quality=row["read_quality"],
        verified=known("verified"), notes=row["notes"] or "", aliases=aliases)


def _name(english: str, aliases: Iterable[Alias]) -> TableName:
    """The name of a row: in each other language the first alias of that language."""
    others: dict[str, str] = {}
    for alias in aliases:
        if alias.language != "en":
            others.setdefault(alias.language, alias.name)
    return TableName(english, others)


def load_fatty_acids(text: str) -> Mapping[str, FattyAcid]:
    """The fatty acids of a table (`text`: comma-separated, with its header). [rows by notation]

    Raises
    ------
    ValueError : a duplicate row, or a molar mass that no fatty acid has.
    """
    found: dict[str, FattyAcid] = {}
    for row in csv.DictReader(text.splitlines()):
        acid = FattyAcid(row["shorthand"], row["systematic_name"], row["common_name"], row["formula"],
                         float(row["molar_mass_g_per_mol"]), int(row["double_bonds"]))
        if acid.notation in found or not 60 < acid.molar_mass < 500:
            raise ValueError(f"fatty acid table: {acid.notation} appears twice or has the molar mass {acid.molar_mass}")
        found[acid.notation] = acid
    return MappingProxyType(found)


def load_fats(fats_text: str, acids_text: str, known_acids: Iterable[str],
              aliases_text: str = "") -> Mapping[str, FatRecord]:
    """The fats of a table.

    Parameters
    ----------
    fats_text, acids_text : str
        Comma-separated, with their headers. [text]
    known_acids : iterable of str
        Notations. [keys]
    aliases_text : str
        Other names of fats, with their header. [text]

    Returns
    -------
    mapping of key to FatRecord, in the table's order

    Raises
    ------
    ValueError : a duplicate key, an unknown kind, an inverted or implausible range, an unknown fatty acid, a profile
        that cannot add up to 100; another name that is wrong.
    """
    known = frozenset(known_acids)
    shares: dict[str, list[AcidShare]] = {}
    for row in csv.DictReader(acids_text.splitlines()):
        share = AcidShare(row["fatty_acid"], float(row["min_pct"]), float(row["max_pct"]),
                          float(row["typical_pct"]) if row["typical_pct"] else None, row["verified"], row["source"])
        if share.notation not in known or not 0 <= share.min_pct <= share.max_pct <= 100:
            raise ValueError(f"fatty acids of {row['fat_id']}: {share}")
        shares.setdefault(row["fat_id"], []).append(share)
    aliases = _load_aliases(aliases_text)
    found: dict[str, FatRecord] = {}
    for row in csv.DictReader(fats_text.splitlines()):
        acids = tuple(shares.pop(row["id"], ()))
        if row["id"] in found:
            raise ValueError(f"fats table: {row['id']} appears twice")
        if acids and not sum(share.min_pct for share in acids) <= 100 <= sum(share.max_pct for share in acids):
            raise ValueError(f"fatty acids of {row['id']} cannot add up to 100")
        found[row["id"]] = _record(row, acids, tuple(aliases.pop(row["id"], ())))
    if shares or aliases:
        raise ValueError(f"fatty acids or other names of unknown fats: {', '.join((*shares, *aliases))}")
    return MappingProxyType(found)


def _load_aliases(text: str) -> dict[str, list[Alias]]:
    found: dict[str, list[Alias]] = {}
    for row in csv.DictReader(text.splitlines()):
        alias, there = Alias(row["alias"], row["language"], row["verified"]), found.setdefault(row["fat_id"], [])
        if not alias.name or not alias.language or alias.verified not in PROVENANCES or alias in there:
            raise ValueError(f"table of other names: the row of {row['fat_id']}, {alias.name!r}, is wrong")
        there.append(alias)
    return found


def _text(name: str) -> str:
    return resources.files(__package__).joinpath(name).read_text(encoding="utf-8")


@cache
def fatty_acid_constants() -> Mapping[str, FattyAcid]:
    """The fatty acids by notation. [rows]"""
    return load_fatty_acids(_text("fatty_acid_constants.csv"))


@cache
def fats() -> Mapping[str, FatRecord]:
    """The whole table by key, in the table's order. [rows]"""
    return load_fats(_text("fats.csv"), _text("fatty_acids.csv"), fatty_acid_constants(), _text("fat_aliases.csv"))
