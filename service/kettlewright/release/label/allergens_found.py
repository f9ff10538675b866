"""Which fragrance allergens a label names: how much of each the cured bar holds, by which list."""

from __future__ import annotations

import math
from dataclasses import dataclass

from kettlewright.errors import Unsolvable
from kettlewright.reference import allergens as allergen_table
from kettlewright.release.label.contents import Content
from kettlewright.said import Said, sentences

__all__ = ["LISTS", "LONG_LIST_BINDS_FROM", "LONG_LIST_ENDS_OLD_STOCK", "AllergenFound", "ChosenList", "allergens_in",
           "choose_list"]

LISTS = ("long", "first_26")
LONG_LIST_BINDS_FROM = "2026-07-31"
LONG_LIST_ENDS_OLD_STOCK = "2028-07-31"
_NOISE = 1e-9


@dataclass(frozen=True, slots=True)
class ChosenList:
    """The list a label goes by.

    Parameters
    ----------
    key : str
        One of `LISTS`, or "none" where no list binds. [key]
    reason : Said
        Why. [text]
    """

    key: str
    reason: Said


@dataclass(frozen=True, slots=True)
class AllergenFound:
    """A listed allergen in a bar.

    Parameters
    ----------
    name : str
        On a label. [text]
    mass_g : float
        In the bar, as added. [g]
    concentration_pct : float
        Of the cured bar. [% by mass]
    limit_pct : float
        A label names it *above* this. [% by mass]
    lists : tuple of str
        Lists that contain it; none for prohibited ones. [keys]
    above_limit : bool
        More than the limit. [yes or no]
    prohibited : bool
        No longer allowed at all in the EU and in Great Britain. [yes or no]
    """

    name: str
    mass_g: float
    concentration_pct: float
    limit_pct: float
    lists: tuple[str, ...]
    above_limit: bool
    prohibited: bool


def choose_list(market: str, *, sold_on: str | None, requested: str | None) -> ChosenList:
    """The list of allergens that a label goes by.

    Parameters
    ----------
    market : str
        "EU", "GB" or "US". [key]
    sold_on : str, optional
        The day the batch is placed on the market, as YYYY-MM-DD. [date]
    requested : str, optional
        One of `LISTS`, where the maker chooses. [key]

    Returns
    -------
    ChosenList

    Raises
    ------
    Unsolvable : the list of 26 for a batch on which the longer one binds.

    References
    ----------
    .. [1] Regulation (EU) 2023/1545: its new entries bind for products placed on the market from 31 July 2026; what was
       placed before may be made available until 31 July 2028. Read.
    """
    if market == "US":
        return ChosenList("none", Said("No mandatory list of fragrance allergens for labels in the United States is "
                                       "known here."))
    if market == "GB":
        if requested:
            return ChosenList(requested, Said("Which list is mandatory in Great Britain, and from when, is not known "
                                              "here: you chose this one."))
        return ChosenList("long", Said("Which list is mandatory in Great Britain, and from when, is not known here: "
                                       "the longer one is used, and the other is shown as well."))
    if requested == "first_26" and (sold_on is None or sold_on >= LONG_LIST_BINDS_FROM):
        said = "and no day is given" if sold_on is None else f"and {sold_on} is not before that"
        raise Unsolvable(f'In the EU the longer list is mandatory for products placed on the market from '
                         f'{LONG_LIST_BINDS_FROM}, {said}. Use it, or give the day the batch was first placed on the '
                         'market as "sold_on".',
                         field=("allergen_list",), value=requested, allowed="long")
    if requested is None and sold_on is not None and sold_on < LONG_LIST_BINDS_FROM:
        return ChosenList("first_26", Said(
            "Placed on the market before {binds_from}: the 26 allergens of 2003 are mandatory, and it may be sold "
            "until {sold_until}. You may already use the longer "
            "list.", binds_from=LONG_LIST_BINDS_FROM, sold_until=LONG_LIST_ENDS_OLD_STOCK))
    if requested is not None:
        return ChosenList(requested, Said("You chose this one."))
    binds = Said("Mandatory for products placed on the market from {binds_from}.", binds_from=LONG_LIST_BINDS_FROM)
    return ChosenList("long", binds if sold_on else sentences(binds, Said(
        'No day is given, so the longer list is used; give "sold_on".')))


def allergens_in(content: Content, *, loss_pct: float | None) -> tuple[AllergenFound, ...]:
    """The listed allergens in a bar.

    Parameters
    ----------
    content : Content
        Of the bar, as added. [g]
    loss_pct : float, optional
        Loss in cure, as of `cured_mass`: drying leaves less bar around the same scent. [% of the bar as cut]

    Returns
    -------
    tuple of AllergenFound : the most first. [% of the cured bar]

    Notes
    -----
    Concentration = mass / cured mass of the bar, on the *lowest* mass the bar comes to. "Exceeds" is more than,
    so exactly 0.01 % is not named.

    References
    ----------
    .. [1] Regulation (EU) 2023/1545, recitals: named where a rinse-off product holds more than 0.01 %. Read. Soap is
       rinsed off.
    """
    cured = content.cured_g(loss_pct)
    masses: dict[str, list[float]] = {}
    for name, mass in content.allergens:
        masses.setdefault(name, []).append(mass)
    found = []
    for name, parts in masses.items():
        entry, mass = allergen_table()[name], math.fsum(parts)
        pct = 100 * mass / cured
        lists = () if entry.prohibited else LISTS if entry.in_first_list else LISTS[:1]
        found.append(AllergenFound(name, mass, pct, entry.rinse_off_pct, lists,
                                   pct > entry.rinse_off_pct * (1 + _NOISE), entry.prohibited))
    return tuple(sorted(found, key=lambda one: -one.mass_g))
