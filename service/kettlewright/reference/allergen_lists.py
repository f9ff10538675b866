"""Fragrance allergens that a label must name individually, and their CAS registry numbers."""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from types import MappingProxyType

from kettlewright.errors import DomainError, OutOfRange, UnknownIngredient, WrongType
from kettlewright.names import did_you_mean, nearest

__all__ = ["AllergenEntry", "allergen_named", "allergen_of_cas", "allergens", "check_cas", "load_allergens"]

_CAS = re.compile(r"([0-9]{2,7})-([0-9]{2})-([0-9])")
_STATUSES = {"annex_III": False, "prohibited_annex_II": True}
_YES_NO = {"yes": True, "no": False}


@dataclass(frozen=True, slots=True)
class AllergenEntry:
    """One fragrance allergen of the list.

    Parameters
    ----------
    entry : str
        Number in Annex III. [key]
    label_name : str
        Name on a label. [text]
    cas_numbers, also_sold_as : tuple of str
        Registry numbers of the entry, which are added up; and others that supplier sheets use for it. [CAS numbers]
    in_first_list : bool
        Among the 26 of 2003. [yes or no]
    prohibited : bool
        Moved to Annex II: no longer allowed at all. [yes or no]
    rinse_off_pct : float
        Named if a rinse-off product contains *more* than this. [% by mass]
    note : str
        Further notes. [text]
    doubtful_cas : tuple of str
        Numbers of the entry that are also sold under another name on the list. [CAS numbers]
    """

    entry: str
    label_name: str
    cas_numbers: tuple[str, ...]
    also_sold_as: tuple[str, ...]
    in_first_list: bool
    prohibited: bool
    rinse_off_pct: float
    note: str
    doubtful_cas: tuple[str, ...] = ()


def check_cas(cas: str, *field: str) -> str:
    """Validate the check digit of a CAS registry number.

    Parameters
    ----------
    cas : str
        Such as "78-70-6". [CAS number]
    field : str, any number
        Its path. [path]

    Returns
    -------
    str : as given

    Raises
    ------
    DomainError : not in that form, or the check digit does not fit the others.

    Notes
    -----
    Multiply the digits before the check digit, from the right, by 1, 2, 3 and so on; the last digit of the sum
    is the check digit.

    References
    ----------
    .. [1] The CAS registry's rule for check digits. From memory; every number in the table obeys it.
    """
    found = _CAS.fullmatch(cas)
    if found is None:
        raise WrongType(f'"{cas}" is not a CAS number; write it with two hyphens, such as 78-70-6.', field=field,
                        value=cas)
    digits = (found[1] + found[2])[::-1]
    if sum(place * int(digit) for place, digit in enumerate(digits, start=1)) % 10 != int(found[3]):
        raise OutOfRange(f'"{cas}" is not a valid CAS number: its check digit does not fit. One digit is '
                         "wrong; check the supplier's sheet.", field=field, value=cas)
    return cas


def load_allergens(text: str) -> Mapping[str, AllergenEntry]:
    """The allergens of a table (`text`: comma-separated, with its header). [rows by label name]

    Raises
    ------
    ValueError : a name or a number twice, a number whose check digit does not fit, an unknown status, an invalid
        limit.
    """
    found: dict[str, AllergenEntry] = {}
    seen: set[str] = set()
    for row in csv.DictReader(text.splitlines()):
        own, also, doubtful = (tuple(part.strip() for part in row[name].split(";") if part.strip())
                               for name in ("cas_numbers", "also_on_supplier_sheets", "doubtful_cas"))
        for cas in (*own, *also):
            try:
                check_cas(cas)
            except DomainError as error:
                raise ValueError(f"allergen table, {row['label_name']}: {error.detail}") from None
            if cas in seen:
                raise ValueError(f"allergen table: {cas} appears twice")
            seen.add(cas)
        limit = float(row["declare_above_pct_rinse_off"])
        if row["label_name"] in found or row["status"] not in _STATUSES or not own or not 0 < limit < 1 \
                or not {*doubtful} <= {*own}:
            raise ValueError(f"allergen table: {row['label_name']} appears twice or its row is invalid")
        found[row["label_name"]] = AllergenEntry(
            row["annex_iii_entry"], row["label_name"], own, also, _YES_NO[row["in_2003_list_of_26"]],
            _STATUSES[row["status"]], limit, row["note"], doubtful)
    return MappingProxyType(found)


@cache
def allergens() -> Mapping[str, AllergenEntry]:
    """The whole list by label name, in the table's order. [rows]"""
    return load_allergens(resources.files(__package__).joinpath("allergens.csv").read_text(encoding="utf-8"))


@cache
def _by_cas() -> Mapping[str, AllergenEntry]:
    return MappingProxyType({cas: entry for entry in allergens().values()
                             for cas in (*entry.cas_numbers, *entry.also_sold_as)})


@cache
def _by_name() -> Mapping[str, AllergenEntry]:
    return MappingProxyType({name.casefold(): entry for name, entry in allergens().items()})


def allergen_of_cas(cas: str) -> AllergenEntry | None:
    """The entry of a registry number; None if it is not on the list (`cas`). [row]"""
    return _by_cas().get(cas)


def allergen_named(name: str) -> AllergenEntry:
    """The entry with a given label name.

    Parameters
    ----------
    name : str
        As on a label, in upper or lower case. [text]

    Returns
    -------
    AllergenEntry

    Raises
    ------
    UnknownIngredient : no such entry; the error suggests the nearest.
    """
    entry = _by_name().get(name.casefold().strip())
    if entry is None:
        meant = did_you_mean([_by_name()[one].label_name
                              for one in nearest(name.strip(), _by_name(), at_most=2, cutoff=0.7)])
        raise UnknownIngredient(f'"{name}" is not on the list of fragrance allergens.{meant} Give any other '
                                "constituent by its CAS number.", value=name,
                                allowed="a name of the list, or a CAS number")
    return entry
