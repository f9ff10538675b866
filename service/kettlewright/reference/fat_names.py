"""Fats of the table by their keys, names and everyday names; and suggestions for unknown names."""

from __future__ import annotations

import difflib
import re
import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from types import MappingProxyType

from kettlewright.errors import UnknownIngredient
from kettlewright.names import may_suggest, tidy
from kettlewright.reference.fat_records import FatRecord
from kettlewright.reference.fats import fats

__all__ = ["bare_name", "fat", "fats_called", "plain_name"]

_SUGGESTED_MAX = 5
_LIKE, _WORDS_LIKE = 0.8, 0.75  # similarity of two names, and of two words, from which one is suggested
_SHORT = 3  # letters; words this short resemble too many others
_COMPARED_MAX = 60  # letters of an unknown name that are compared with known ones
_IGNORED = frozenset(" _-\u2010\u2011\u2012\u2013,()/")  # spaces, hyphens, and punctuation of printed names
_UMLAUTS = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue"})
_ENDINGS = ("oil", "oel")
_BUTTER = "butter"
_SAYS_NOTHING = frozenset({"oil", "butter", "fat", "oel", "fett", "and", "of", "the"})
# parts of plants and grades: they distinguish two fats of one plant, but are no names on their own
_SAYS_LITTLE = frozenset({"seed", "kernel", "nut", "bean", "fruit", "acid", "wax", "pure", "edible", "liquid", "virgin",
                          "refined", "unrefined", "anhydrous", "high", "mid", "low"})


def plain_name(name: str) -> str:
    """Lower case, without spaces, hyphens, commas and brackets; umlauts as two letters (`name`). [text]"""
    folded = unicodedata.normalize("NFC", tidy(name).casefold())
    return "".join(sign for sign in folded if sign not in _IGNORED).translate(_UMLAUTS)


def bare_name(name: str) -> str:
    """The same without a final "oil" or "butter" (`name`), unless nothing else is left. [text]"""
    plain = plain_name(name)
    for ending in (*_ENDINGS, _BUTTER):
        if plain.endswith(ending) and plain != ending:
            return plain.removesuffix(ending)
    return plain


def _names(record: FatRecord) -> Iterator[str]:
    """All names of a row: its key, its name with and without brackets, other names, label name."""
    yield record.key
    yield record.name
    yield re.sub(r"\([^)]*\)", " ", record.name)
    yield record.name.replace("(", " ").replace(")", " ")
    for inside in re.findall(r"\(([^),]*)\)", record.name):  # "maize (corn) oil", "almond oil (sweet)"
        before, _, after = record.name.partition(f"({inside})")
        yield f"{inside} {before} {after}" if not after.strip() else f"{inside} {after}"
    for alias in record.aliases:
        yield alias.name
    yield record.label_names.inci_name.partition(" / ")[0]  # the second part is the US name, such as "Butter"


@cache
def _by_name() -> tuple[Mapping[str, tuple[str, ...]], Mapping[str, tuple[str, ...]]]:
    """Keys by every full name, and by every name without its ending."""
    whole: dict[str, dict[str, None]] = {}
    bare: dict[str, dict[str, None]] = {}
    for record in fats().values():
        for name in _names(record):
            whole.setdefault(plain_name(name), {})[record.key] = None
            bare.setdefault(bare_name(name), {})[record.key] = None
    return (MappingProxyType({name: tuple(keys) for name, keys in whole.items() if name}),
            MappingProxyType({name: tuple(keys) for name, keys in bare.items() if name}))


def fats_called(name: str, *, whole: bool = False) -> tuple[FatRecord, ...]:
    """Fats in the table with a given name.

    Parameters
    ----------
    name : str
        Key, name, other name or label name. Case, spaces, hyphens and a final "oil" or "butter" do not matter. [text]
    whole : bool
        Require a final "oil" or "butter" to match. [yes or no]

    Returns
    -------
    tuple of FatRecord, length n >= 0 : more than one if the name is ambiguous.

    Notes
    -----
    An exact key, then a full name, take precedence over a name without its ending: "palm" is the key of palm oil. An
    oil is not found as a "butter": nut butters are pastes, and butters made from oils contain other, hardened fats.
    """
    if name in fats():
        return (fats()[name],)
    plain, (by_whole, by_bare) = plain_name(name), _by_name()
    keys = by_whole.get(plain, ())
    if not keys and not whole:
        keys = by_bare.get(bare_name(name), ())
        if plain.endswith(_BUTTER):
            keys = tuple(key for key in keys if not re.search(r"\boil\b", fats()[key].name))
    return tuple(fats()[key] for key in keys)


def fat(name: str) -> FatRecord:
    """The one fat in the table with a given name.

    Parameters
    ----------
    name : str
        As for `fats_called`. [text]

    Returns
    -------
    FatRecord

    Raises
    ------
    UnknownIngredient : no fat or several have it; the error lists them, or the nearest.
    """
    found = fats_called(name)
    if len(found) != 1:
        raise _refused(name, found)
    return found[0]


def _refused(name: str, found: Iterable[FatRecord] = ()) -> UnknownIngredient:
    """The error for a name that is unknown or ambiguous; it lists candidates with their saponification values."""
    several = tuple(found)
    near = several or tuple(_nearest(name))
    listed = [f'{record.name} ("{record.key}", saponification value {_value(record)})' for record in near]
    if several:
        said = f'"{name}" can be more than one fat: {_or(listed)}. Give the key of the one in your bottle.'
    else:
        said = f'No fat called "{name}".' + (f" Did you mean {_or(listed)}? Give its key." if listed else "")
    return UnknownIngredient(f"{said} The list is at /v1/fats.", value=name, allowed="a key or name of /v1/fats")


def _value(record: FatRecord) -> str:
    low, high = record.saponification_value.min, record.saponification_value.max
    return f"{low:g}" if low == high else f"{low:g} to {high:g}"


def _or(listed: list[str]) -> str:
    return listed[0] if len(listed) == 1 else f"{', '.join(listed[:-1])} or {listed[-1]}"


def _words(name: str) -> frozenset[str]:
    text = unicodedata.normalize("NFC", tidy(name).casefold()).translate(_UMLAUTS)
    return frozenset(re.split(r"[\W_]+", text)) - _SAYS_NOTHING - {""}


@cache
def _words_of(key: str) -> frozenset[str]:
    return frozenset().union(*(_words(name) for name in _names(fats()[key])))


def _nearest(name: str) -> list[FatRecord]:
    """Fats that share whole words with a name, most words first; otherwise those with similar spelling."""
    if not may_suggest():
        return []
    given = _words(name[:_COMPARED_MAX])
    shared = {key: len(both) if (both := given & _words_of(key)) - _SAYS_LITTLE else 0 for key in fats()}
    most = max(shared.values())
    if most:
        return [fats()[key] for key, count in shared.items() if count == most][:_SUGGESTED_MAX]
    bare = _by_name()[1]
    like = difflib.get_close_matches(bare_name(name[:_COMPARED_MAX]), bare, n=_SUGGESTED_MAX, cutoff=_LIKE)
    if not like:  # one word of several is misspelt
        words = {word: None for key in fats() for word in _words_of(key) if len(word) > _SHORT}
        close = {near for word in given - _SAYS_LITTLE
                 for near in difflib.get_close_matches(word, words, n=2, cutoff=_WORDS_LIKE)}
        return [fats()[key] for key in fats() if close & _words_of(key)][:_SUGGESTED_MAX]
    return [fats()[key] for key in dict.fromkeys(key for one in like for key in bare[one])][:_SUGGESTED_MAX]
