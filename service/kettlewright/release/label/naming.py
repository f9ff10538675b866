"""What a label calls things: the maker's own names first, then the tables; what is not known falls back and says so."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from kettlewright.copies import replace
from kettlewright.errors import Missing, OutOfRange, UnknownIngredient
from kettlewright.names import slug
from kettlewright.recipe import FatPortion
from kettlewright.reference import (
    ColourantRecord,
    LabelNames,
    acid_label_names,
    colour_index_number,
    colourants,
)
from kettlewright.reference import fat as table_fat
from kettlewright.release.label.markets import MARKETS, Market
from kettlewright.said import NO_TEXT, Said

__all__ = ["Named", "NamedColour", "Namer", "OwnName", "names_a_colour"]

_PARTS = re.compile(r"\s*(?:[,;]|\(and\))\s*")


@dataclass(frozen=True, slots=True)
class OwnName:
    """A line of the maker's own list of label names.

    Parameters
    ----------
    key : str
        Key of a fat, or the maker's name of a liquid, addition or powder. [key]
    inci, inci_as_reacted : str, optional
        Name on a label; of a fat also that of its sodium soap. [text]
    permitted_in : tuple of str
        Markets in which a colourant is permitted, by its supplier's papers. [keys]

    Raises
    ------
    DomainError : a line that says nothing, a market that is not known.
    """

    key: str
    inci: str | None = None
    inci_as_reacted: str | None = None
    permitted_in: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if self.inci is None and self.inci_as_reacted is None and not self.permitted_in:
            raise Missing(f'The line for "{self.key}" is empty: give "inci", "inci_as_reacted" or "permitted_in".',
                          field=("inci",))
        for index, market in enumerate(self.permitted_in):
            if market not in MARKETS:
                raise OutOfRange(f'"{market}" is not a market. The markets are {", ".join(MARKETS)}.',
                                 field=("permitted_in", index), value=market, allowed=", ".join(MARKETS))


@dataclass(frozen=True, slots=True)
class Named:
    """A name on a label, and whose word it is.

    Parameters
    ----------
    text : str
        The name. [text]
    by : str
        "you", "coop" (a list that makers share), "table", "market" (a word of the law) or "fallback" (no label name is
        known). [key]
    remark : Said
        A note; empty if there is none. [text]
    row : str
        Key of the row of the shared list that it comes from; empty if it comes from elsewhere. [key]
    """

    text: str
    by: str
    remark: Said = NO_TEXT
    row: str = ""


@dataclass(frozen=True, slots=True)
class NamedColour:
    """A colourant's name on a label, and whether it is shown as permitted.

    Parameters
    ----------
    named : Named
        Its name. [name]
    status : str
        "stated" (the maker says so), "listed" (in our table), "not_listed" (our table says no) or "not_shown". [key]
    remark : Said
        Its basis. [text]
    """

    named: Named
    status: str
    remark: Said


@dataclass(frozen=True, slots=True)
class Namer:
    """Names things for one market.

    Parameters
    ----------
    market : Market
        Where it is sold. [market]
    own : mapping of str to OwnName
        The maker's own list, by slug of its keys. [names]
    shared : mapping of str to OwnName
        A list that makers share, by slug of its keys; used where their own has no name. [names]
    """

    market: Market
    own: Mapping[str, OwnName]
    shared: Mapping[str, OwnName] = field(default_factory=dict)

    @property
    def water(self) -> Named:
        """Water. [name]"""
        return Named(self.market.water, "market")

    @property
    def glycerin(self) -> Named:
        """Glycerol, added or set free by the fats. [name]"""
        return Named("Glycerin", "table")

    def alkali(self, key: str) -> Named:
        """An alkali (`key`: "NaOH" or "KOH"). [name]"""
        return Named({"NaOH": "Sodium Hydroxide", "KOH": "Potassium Hydroxide"}[key], "table")

    def fat(self, portion: FatPortion) -> Named:
        """A fat of the recipe, as added (`portion`). [name]"""
        if portion.inci is not None:
            return Named(portion.inci, "you")
        return self.fat_by_key(portion.key, portion.name)

    def fat_by_key(self, key: str | None, name: str | None) -> Named:
        """A fat, as added.

        Parameters
        ----------
        key : str, optional
            Of the table or of an own fat. [key]
        name : str, optional
            The maker's own name for it. [text]

        Returns
        -------
        Named
        """
        listed = self._listed("inci", key, name)
        if listed is not None:
            return listed
        names = _table_names(key if name is None else slug(name))
        if names is not None and names.inci_name:
            taken = NO_TEXT if name is None else Said(
                "Your \"{name}\" is assumed to be the table's ingredient of that name.", name=name)
            return Named(self._of_market(names.inci_name), "table", taken)
        return _fallback(name or key or "")

    def salt(self, portion: FatPortion | None, key: str | None, name: str | None, alkali: str) -> Named | None:
        """The soap of a fat, where its name is known well enough to print.

        Parameters
        ----------
        portion : FatPortion, optional
            As in the recipe. [fat]
        key, name : str, optional
            Key of the fat; the maker's own name for it. [text]
        alkali : str
            "NaOH" or "KOH". [key]

        Returns
        -------
        Named or None
        """
        if portion is not None and portion.inci_as_reacted is not None:
            return Named(_of_alkali(portion.inci_as_reacted, alkali), "you")
        listed = self._listed("inci_as_reacted", key, name)
        if listed is not None:
            return replace(listed, text=_of_alkali(listed.text, alkali))
        return _well_known(_table_names(key if name is None else slug(name)), alkali)

    def acid(self, key: str) -> Named:
        """An acid, as added (`key`). [name]"""
        return Named(acid_label_names()[key].inci_name, "table")

    def acid_salt(self, key: str, alkali: str) -> Named | None:
        """The salt of an acid (`key`, `alkali`), where its name is known well enough to print. [name]"""
        return _well_known(acid_label_names()[key], alkali)

    def thing(self, name: str, inci: str | None = None) -> Named:
        """A liquid, an addition or a powder.

        Parameters
        ----------
        name : str
            The maker's name for it. [text]
        inci : str, optional
            As given with it. [text]

        Returns
        -------
        Named
        """
        if inci is not None:
            return Named(inci, "you")
        return self._listed("inci", None, name) or _fallback(name)

    @property
    def perfume(self) -> Named:
        """A scent: the law has one word for it. [name]"""
        return Named(self.market.perfume, "market")

    def colours(self, name: str, inci: str | None) -> tuple[NamedColour, ...]:
        """A colourant, by its numbers: a pearl has several.

        Parameters
        ----------
        name : str
            The maker's name for it. [text]
        inci : str, optional
            As given with it; several names are separated by commas. [text]

        Returns
        -------
        tuple of NamedColour, length n >= 1
        """
        whole = self.thing(name, inci)
        stated = next((by for names, by in self._lists for row in _rows(names, None, name)
                       if self.market.key in row.permitted_in), "")
        texts = [part for part in _PARTS.split(whole.text) if part] if whole.by in ("you", "coop") else [whole.text]
        return tuple(self._colour(text, whole, name, stated) for text in dict.fromkeys(texts))

    def _colour(self, text: str, whole: Named, name: str, stated: str) -> NamedColour:
        number = colour_index_number(text)
        record = _colourant(number or text)
        shown, us = number or text, self.market.key == "US"
        if record is not None:
            shown = record.us_name if us and record.us_name else record.name
        named = replace(whole, text=shown)
        where = self.market.name
        if whole.by == "fallback":
            return NamedColour(named, "not_shown", Said(
                "{name} has no colour index number or listed name.", name=name))
        if stated:
            return NamedColour(named, "stated", Said("You stated that it is permitted in {place}.", place=where)
                               if stated == "you" else
                               Said("The co-op's list states that it is permitted in {place}.", place=where))
        if record is None:
            return NamedColour(named, "not_shown", Said(
                "{name} is not in the table of colourants, so it is not known whether it is permitted in "
                "{place}.", name=text,
                place=where))
        if record.us_permitted if us else record.in_annex_iv:
            listing = record.us_listing if us else Said("Annex IV")
            return NamedColour(named, "listed", Said("{name}: {listing}, from memory.", name=record.common_name,
                                                listing=listing))
        return NamedColour(named, "not_listed", Said("{name}: not listed for cosmetics in {place}, from memory.",
                                                name=record.common_name, place=where))

    @property
    def _lists(self) -> tuple[tuple[Mapping[str, OwnName], str], ...]:
        return (self.own, "you"), (self.shared, "coop")

    def _listed(self, what: str, key: str | None, name: str | None) -> Named | None:
        """A name in the maker's own list or the shared one (`what`: a field of `OwnName`)."""
        for names, by in self._lists:
            for row in _rows(names, key, name):
                text = getattr(row, what)
                if text is not None:
                    return Named(text, by, row=row.key if by == "coop" else "")
        return None

    def _of_market(self, text: str) -> str:
        """Some rows bear the Latin and the English name, parted by a stroke: the US takes the English one."""
        first, _, second = text.partition(" / ")
        return second if second and self.market.key == "US" else first


def _rows(names: Mapping[str, OwnName], key: str | None, name: str | None) -> tuple[OwnName, ...]:
    """The row of a key, or of the maker's name; none if neither is in the list."""
    return tuple(names[slug(one)] for one in (key, name) if one is not None and slug(one) in names)[:1] if names else ()


def names_a_colour(text: str) -> bool:
    """Whether a name on a label is one of a colourant: it holds a colour index number (`text`). [yes or no]"""
    return any(colour_index_number(part) is not None for part in _PARTS.split(text))


def _colourant(text: str) -> ColourantRecord | None:
    """A colourant of the table by its number or listed name, or by another unique name."""
    record = colourants().get(text.casefold())
    if record is not None:
        return record
    called = [one for one in colourants().values() if text.casefold() in (one.common_name.casefold(),
                                                                         one.us_name.casefold())]
    return called[0] if len(called) == 1 else None


def _table_names(key: str | None) -> LabelNames | None:
    if key is None:
        return None
    try:
        return table_fat(key).label_names
    except UnknownIngredient:
        return None


def _fallback(name: str) -> Named:
    return Named(name, "fallback", Said(
        'No label name for "{name}" is known here, so your own word is printed. Give its "inci".', name=name))


def _well_known(names: LabelNames | None, alkali: str) -> Named | None:
    if names is None or not names.inci_sodium_salt or names.salt_confidence != "high":
        return None
    return Named(_of_alkali(names.inci_sodium_salt, alkali), "table")


def _of_alkali(sodium_salt: str, alkali: str) -> str:
    return sodium_salt.replace("Sodium", "Potassium", 1).replace("Disodium", "Dipotassium", 1) if alkali == "KOH" \
        else sodium_salt
