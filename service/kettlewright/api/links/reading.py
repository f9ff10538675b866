"""Makes a body of an address; all errors are reported at once, each at its key."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

from kettlewright.api.door.address import Pairs
from kettlewright.api.door.by_address import BodyFromLink, Path
from kettlewright.api.door.strict import ListOf
from kettlewright.api.links.grammar import (
    AddressTerm,
    read_flag,
    read_number,
    read_range,
    shown,
    split_value,
    without_comma,
)
from kettlewright.api.links.keys import Key, Link, PartOf, node_at, parameters_of
from kettlewright.errors import DomainError, Missing, OutOfRange, UnknownField, WrongType, gather
from kettlewright.names import or_nearest, slug

__all__ = ["LinkReader", "UnknownKey", "read_link"]

_READ: Mapping[str, Callable[[str], Any]] = {"number": read_number, "flag": read_flag, "range": read_range,
                                             "text": str}
_OF_THE_REPLY = ("format", "field", "table")


class UnknownKey(UnknownField):
    """A key or a part that the address does not have."""


@dataclass(slots=True)
class _Growing:
    """A body that grows, and where in the address each part of it was said."""

    body: dict[str, Any]
    places: dict[Path, Path] = field(default_factory=dict)

    def at(self, path: Path) -> Any:
        """The value at a path so far; None if there is none."""
        found: Any = self.body
        for step in path:
            if isinstance(found, dict):
                found = found.get(step)
            else:
                found = found[step] if isinstance(found, list) and isinstance(step, int) and step < len(found) else None
        return found

    def count(self, path: Path) -> int:
        """How many items the list at a path has so far."""
        return len(self.at(path) or ())

    def put(self, path: Path, value: Any, place: Path) -> None:
        """Set a value, making the objects and lists on the way to it; an object that is there already stays."""
        node: Any = self.body
        for step, following in pairwise(path):
            if isinstance(node, list):
                node = node[int(step)]
            else:
                node = node.setdefault(step, [] if isinstance(following, int) else {})
        if isinstance(node, list):
            node.append(value)
        elif value == {}:
            node.setdefault(path[-1], value)
        else:
            node[path[-1]] = value
        self.places[path] = place
        for inside in value if isinstance(value, dict) else ():  # said in one word: both ends of a range
            self.places[(*path, inside)] = place


@dataclass(frozen=True, slots=True)
class _Said:
    """A part as it was written."""

    name: str
    text: str
    part: PartOf


@dataclass(frozen=True, slots=True)
class LinkReader:
    """Makes the body of an operation of the keys of its address.

    Parameters
    ----------
    link : Link
        The keys. [keys]
    """

    link: Link

    def read(self, pairs: Pairs, *, limit_bytes: int) -> BodyFromLink:
        """The body an address says (`pairs`: keys and values; `limit_bytes`: no address makes as much [bytes]).

        Raises
        ------
        DomainErrors : as `read_link`.
        """
        return read_link(self.link, pairs)

    def parameters(self) -> list[dict[str, Any]]:
        """The keys, as the contract lists them. [as in OpenAPI]"""
        return parameters_of(self.link)


def read_link(link: Link, pairs: Pairs) -> BodyFromLink:
    """The body that an address says.

    Parameters
    ----------
    link : Link
        The keys it may have. [keys]
    pairs : tuple of (str, str)
        Those it has. [text]

    Returns
    -------
    BodyFromLink

    Raises
    ------
    DomainErrors : all that is wrong, by the place in the address.
    """
    growing = _Growing({name: {} for name in link.always})
    for key in reversed(link.keys):  # where several fill one object, the first of the table names it
        if key.into:
            growing.places[key.into] = (key.name,)
    known = {key.name for key in link.keys}
    with gather() as checks:
        for name in dict.fromkeys(name for name, _ in pairs if name not in known):
            with checks.at(name[:60]):
                raise _unknown_key(link, name)
        for key in link.keys:
            values = [value for name, value in pairs if name == key.name]
            if len(values) > 1 and not key.many:
                with checks.at(key.name):
                    raise DomainError(f'"{key.name}" appears {len(values)} times in the address; give it once.')
                values = values[:1]
            for number, value in enumerate(values):
                place: Path = (key.name, number) if key.many else (key.name,)
                with checks.at(*place):
                    _take(link, key, value, growing, place)
    return BodyFromLink(growing.body, growing.places)


def _take(link: Link, key: Key, value: str, growing: _Growing, place: Path) -> None:
    if not value:
        raise WrongType(f'"{key.name}" is empty; leave it out if it has no value.')
    kind, like = link.value_kind(key), f"{key.name}={key.example}"
    if kind:
        growing.put(key.into, _READ[kind](value), place)
    elif key.sort is not None:
        for piece in split_value(value, like=like):
            _sort(key, piece, growing, place)
    else:
        head, said = _said(link, key, split_value(value, like=like))
        _fill(link, key, head, said, growing, place)


def _sort(key: Key, piece: AddressTerm, growing: _Growing, place: Path) -> None:
    assert key.sort is not None
    found = key.sort(piece)
    path: Path = (*key.into, *found.path)
    if found.in_list:
        path = (*path, growing.count(path))
    elif growing.at(path) is not None:
        raise DomainError(f"{shown(str(growing.at(path)))} and {shown(piece.text)} both give the {found.path[-1]}; "
                          "leave one out.")
    growing.put(path, found.value, place)


def _said(link: Link, key: Key, pieces: Sequence[AddressTerm]) -> tuple[str, list[_Said]]:
    """The first word, and the parts by name."""
    parts = link.parts(key)
    if key.within:
        parts = {"to": PartOf((), "text"), **parts}
    head, said, seen = "", [], set()
    with gather() as checks:
        for number, piece in enumerate(pieces):
            if number == 0 and key.head and not piece.name:
                head = piece.text
                continue
            name = next((known for known in (piece.name, f"{piece.name}_pct") if known in parts), None)
            if number == 0 and key.head and name is None:
                with checks.at():
                    raise Missing(f"{shown(f'{piece.name}:{piece.text}')} does not say what {shown(piece.text)} "
                                  f"is. Name every part, with commas between: {key.name}={key.example}.")
                return "", []
            with checks.at(*([piece.name[:60]] if piece.name else [])):
                if not piece.name:
                    raise _nameless(key, pieces, number)
                if name is None:
                    raise UnknownKey(f"Unknown part {shown(piece.name)} of {key.name}."
                                     f"{or_nearest(piece.name, parts)} Known here: {', '.join(parts)}.")
                if parts[name].path in seen:
                    raise DomainError(f'"{piece.name}" appears twice in one {key.name}; give it once.')
                seen.add(parts[name].path)
                said.append(_Said(piece.name, piece.text, parts[name]))
        with checks.at():
            if key.head and not head:
                raise Missing(f"Begin with the word that says what this is, without a name: {key.name}={key.example}.")
    return head, said


def _fill(link: Link, key: Key, head: str, said: Sequence[_Said], growing: _Growing, place: Path) -> None:
    to = next((one.text for one in said if not one.part.path), None)
    target = _target(link, key, to, growing)
    growing.put(target, {}, place)
    if key.head:
        own = key.own is not None and any(one.part.path[:1] == (key.own[0],) for one in said)
        growing.put((*target, key.own[1] if own and key.own else key.head), head, place)
    with gather() as checks:
        for one in said:
            if one.part.path:
                with checks.at(one.name):
                    value = _READ[one.part.kind](one.text)
                    growing.put((*target, *one.part.path), value, (*place, one.name))


def _target(link: Link, key: Key, to: str | None, growing: _Growing) -> Path:
    """Where in the body the object of a key goes."""
    if key.within is None or (to is None and key.into):
        return (*key.into, growing.count(key.into)) if key.many else key.into
    holders, name = link.key(key.within[0]), key.within[1]
    holder: Path = (*holders.into, _number_of(holders, key, to, growing))
    inside: Path = (*holder, name)
    if isinstance(node_at(link.request, holders.into)[name], ListOf):
        return (*inside, growing.count(inside))
    if growing.at(inside) is not None:
        raise DomainError(f"{shown(str(to))} already has a {key.name}; it can have only one.").at("to")
    return inside


def _number_of(holders: Key, key: Key, name: str | None, growing: _Growing) -> int:
    if name is None:
        raise Missing(f"Say which {holders.name} this belongs to: {key.name}={key.example}.", field=("to",))
    names = [str(item.get(holders.head)) for item in growing.at(holders.into) or ()]
    found = [number for number, known in enumerate(names) if name == known or slug(name) == slug(known) != ""]
    if len(found) == 1:
        return found[0]
    if found:
        raise DomainError(f"{len(found)} are called {shown(name)}; give each {holders.name} a name of its own.",
                          field=("to",))
    raise OutOfRange(f"There is no {holders.name} called {shown(name)}.{or_nearest(name, names)} Known here: "
                     f"{', '.join(names) or 'none'}.", field=("to",))


def _unknown_key(link: Link, name: str) -> DomainError:
    known = [*(key.name for key in link.keys), *_OF_THE_REPLY]
    only = "" if name not in node_at(link.request, ()) else (
        f" It is only known in a body: send POST /v1/{link.operation}.")
    return UnknownKey(f"Unknown key {shown(name)}.{or_nearest(name, known)}{only} Known here: {', '.join(known)}.")


def _nameless(key: Key, pieces: Sequence[AddressTerm], number: int) -> DomainError:
    piece, before = pieces[number], pieces[number - 1] if number else None
    if before is not None and before.text[-1:].isdecimal() and piece.text[:1].isdecimal() and before.name:
        return WrongType(f"{shown(f'{before.name}:{before.text},{piece.text}')} has a comma inside a number; "
                         f"{without_comma(f'{before.name}:{before.text}', piece.text)}.")
    return Missing(f"{shown(piece.text)} has no name, and a number at the wrong place would go unnoticed. Name every "
                   f"part: {key.name}={key.example}.")
