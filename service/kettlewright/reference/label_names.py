"""Label names other than those of the fats: colourants with their legal status, acids and their salts."""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from types import MappingProxyType

from kettlewright.reference.fat_records import LabelNames

__all__ = ["ColourantRecord", "acid_label_names", "colour_index_number", "colourants", "load_acid_label_names",
           "load_colourants"]

_CI = re.compile(r"c\.?\s*i\.?\s*([0-9]{5}(?::[0-9])?)", re.IGNORECASE)
_YES_NO = {"yes": True, "no": False}


@dataclass(frozen=True, slots=True)
class ColourantRecord:
    """A colourant and where it is permitted; all from memory.

    Parameters
    ----------
    name, common_name : str
        Colour index number or name in Annex IV, and its common name. [text]
    in_annex_iv : bool
        Listed in Annex IV of the EU's regulation. [yes or no]
    us_name, us_listing : str
        Name on a US label, and where it is listed there. [text]
    us_permitted : bool
        Listed in the US as a colour additive for cosmetics such as soap. [yes or no]
    known, note : str
        How the row is known; further notes. [text]
    """

    name: str
    common_name: str
    in_annex_iv: bool
    us_name: str
    us_listing: str
    us_permitted: bool
    known: str
    note: str


def colour_index_number(text: str) -> str | None:
    """The colour index number in a text (`text`), written as on labels. [such as "CI 77491"]"""
    found = _CI.fullmatch(text.strip())
    return f"CI {found[1]}" if found else None


def load_colourants(text: str) -> Mapping[str, ColourantRecord]:
    """The colourants of a table (`text`: comma-separated, with its header). [rows by name in small letters]

    Raises
    ------
    ValueError : a duplicate row, or one permitted in the US without a US name.
    """
    found: dict[str, ColourantRecord] = {}
    for row in csv.DictReader(text.splitlines()):
        record = ColourantRecord(row["name"], row["common_name"], _YES_NO[row["eu_annex_iv"]], row["us_name"],
                                 row["us_listing"], _YES_NO[row["us_permitted"]], row["verified"], row["note"])
        if record.name.casefold() in found or (record.us_permitted and not record.us_name) or not record.known:
            raise ValueError(f"table of colourants: the row of {record.name} appears twice or is invalid")
        found[record.name.casefold()] = record
    return MappingProxyType(found)


def load_acid_label_names(text: str) -> Mapping[str, LabelNames]:
    """Label names of the acids of a table (`text`: comma-separated, with its header). [names by key of the acid]

    Raises
    ------
    ValueError : a duplicate acid, or a salt that is not named as a sodium salt.
    """
    found: dict[str, LabelNames] = {}
    for row in csv.DictReader(text.splitlines()):
        if row["acid"] in found or "odium " not in row["inci_sodium_salt"]:
            raise ValueError(f"table of acid names: the row of {row['acid']} appears twice or is invalid")
        found[row["acid"]] = LabelNames(row["inci_name"], row["inci_sodium_salt"], row["verified"],
                                        row["salt_confidence"])
    return MappingProxyType(found)


def _text(name: str) -> str:
    return resources.files(__package__).joinpath(name).read_text(encoding="utf-8")


@cache
def colourants() -> Mapping[str, ColourantRecord]:
    """The colourants, by name in small letters. [rows]"""
    return load_colourants(_text("colourants.csv"))


@cache
def acid_label_names() -> Mapping[str, LabelNames]:
    """Label names of the acids, by key. [names]"""
    return load_acid_label_names(_text("salts_of_acids.csv"))
