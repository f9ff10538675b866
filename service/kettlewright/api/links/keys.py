"""Keys of an address, and the body they make: the same body a POST would bring.

The keys of an operation (`Key`, in its module of `endpoints/`) say which part of the body each of them fills. What a
part is (number, text, yes or no, range) is looked up in the schema of that body, so an address can never mean
something else than it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from marshmallow import Schema

from kettlewright.api.door.fields import Choice, Day, Flag, Number, Quantity, Text, Whole
from kettlewright.api.door.strict import ListOf, Part, Union
from kettlewright.api.links.grammar import AddressTerm, read_number
from kettlewright.limits import NAME_LENGTH_MAX

__all__ = [
    "Key",
    "Link",
    "PartOf",
    "Sorted",
    "kind_of",
    "node_at",
    "parameters_of",
    "values_of",
]

_ENDS_OF_A_RANGE = {"min", "max"}


@dataclass(frozen=True, slots=True)
class PartOf:
    """A part of a key.

    Parameters
    ----------
    path : tuple of str
        Where it goes, below the object of its key. [path]
    kind : str
        number, text, flag or range. [word]
    """

    path: tuple[str, ...]
    kind: str


@dataclass(frozen=True, slots=True)
class Sorted:
    """Where a word belongs.

    Parameters
    ----------
    path : tuple of str
        Below the object of its key. [path]
    value : object
        What it says. [as in JSON]
    in_list : bool
        As an item of a list there. [yes or no]
    """

    path: tuple[str, ...]
    value: Any
    in_list: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Key:
    """A key of an address.

    Parameters
    ----------
    name : str
        As it is written. [text]
    into : tuple of str
        What of the body it fills: an object, a list of objects (with `many`) or a value. [path]
    about, example : str
        For the contract. [text]
    many : bool
        It may be repeated, each time for one item of a list. [yes or no]
    head : str
        Field that the first word, without a name, fills; empty where there is none. [name]
    own : tuple of str, optional
        A field, and the one that the first word fills, if it is given. [names]
    deeper : mapping
        Parts that stand deeper in the body, or have another name there. [paths]
    within : tuple of str, optional
        Key of the list, one item of which this belongs to by its part `to`, and the field of it. [names]
    sort : callable, optional
        Where a value is words that tell by themselves what they are: where each belongs. [function]
    """

    name: str
    into: tuple[str, ...]
    about: str
    example: str
    many: bool = False
    head: str = ""
    own: tuple[str, str] | None = None
    deeper: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    within: tuple[str, str] | None = None
    sort: Callable[[AddressTerm], Sorted] | None = None


@dataclass(frozen=True, slots=True)
class Link:
    """The address of an operation.

    Parameters
    ----------
    operation : str
        Whose. [name]
    request : Schema
        Of its body. [schema]
    keys : tuple of Key
        All keys. [keys]
    always : tuple of str
        Objects of the body that are there even when nothing is said of them. [names]
    """

    operation: str
    request: Schema
    keys: tuple[Key, ...]
    always: tuple[str, ...] = ()

    def value_kind(self, key: Key) -> str:
        """The kind of a key's value; empty if it has parts (`key`). [word]"""
        if key.within or key.sort:
            return ""
        return kind_of(node_at(self.request, key.into[:-1])[key.into[-1]])

    def object_at(self, key: Key) -> tuple[str, ...]:
        """Where in the body the object of a key is described, list numbers left out (`key`). [path]"""
        return (*self.key(key.within[0]).into, key.within[1]) if key.within else key.into

    def key(self, name: str) -> Key:
        """The key of a name that is known (`name`). [key]"""
        return next(key for key in self.keys if key.name == name)

    def parts(self, key: Key) -> dict[str, PartOf]:
        """What may be said of a key's object, by name (`key`). [parts]"""
        into = self.object_at(key)
        taken = {key.head, key.own[1] if key.own else ""}
        found = {name: PartOf((name,), kind_of(at)) for name, at in node_at(self.request, into).items()
                 if kind_of(at) and name not in taken}
        for name, path in key.deeper.items():
            found[name] = PartOf(path, kind_of(node_at(self.request, (*into, *path[:-1]))[path[-1]]))
        return found


def node_at(schema: Schema, path: Sequence[str]) -> dict[str, Any]:
    """Fields of the object, or of the list's items, at a path of a body (`schema`, `path`), by their names. [fields]"""
    found = _by_name(schema)
    for step in path:
        at = found[step]
        inner: Any = at.inner if isinstance(at, ListOf) else at
        found = {}
        for below in inner.members.values() if isinstance(inner, Union) else [inner.schema]:
            found |= _by_name(below)
    return found


def _by_name(schema: Schema) -> dict[str, Any]:
    return {at.data_key or name: at for name, at in schema.load_fields.items()}


def kind_of(at: Any) -> str:
    """What a field is in an address: number, text, flag, range, or nothing (`at`). [word]"""
    if isinstance(at, Number):
        return "number"
    if isinstance(at, Flag):
        return "flag"
    if isinstance(at, (Text, Choice, Day)):
        return "text"
    return "range" if isinstance(at, Part) and at.schema.load_fields.keys() == _ENDS_OF_A_RANGE else ""


def values_of(request: type[Schema], *names: str, where: tuple[str, ...] = (),
              within: tuple[str, ...] = ()) -> tuple[Key, ...]:
    """Keys of single values, described by the schema of a body.

    Parameters
    ----------
    request : type of Schema
        Of the body, or of the part of it that has the values. [schema]
    names : str
        Of the values. [names]
    where : tuple of str
        Object of the schema that has them. [path]
    within : tuple of str
        Where in the body the schema's object is. [path]

    Returns
    -------
    tuple of Key
    """
    node = node_at(request(), where)
    return tuple(Key(name=name, into=(*within, *where, name), about=node[name].metadata["description"],
                     example=_text(node[name].metadata["example"])) for name in names)


def _text(value: object) -> str:
    return str(value).lower() if isinstance(value, bool) else str(value)


def parameters_of(link: Link) -> list[dict[str, Any]]:
    """The keys of an address, as the contract lists them (`link`). [as in OpenAPI]"""
    return [_parameter(link, key) for key in link.keys]


def _parameter(link: Link, key: Key) -> dict[str, Any]:
    schema: dict[str, Any] = {"type": "string", "minLength": 1}
    example: Any = key.example
    about, needed = key.about, False
    if not key.within:
        at = node_at(link.request, key.into[:-1]).get(key.into[-1])
        needed = at is not None and at.required and set(key.into[:-1]) <= set(link.always)
    kind = link.value_kind(key)
    if kind:
        schema = _value_schema(at, kind)
        example = read_number(key.example) if kind == "number" else True if kind == "flag" else key.example
    elif key.sort is None:
        about += f". Parts: {', '.join([*(['to'] if key.within else []), *link.parts(key)])}"
    if key.many:
        schema = {"type": "array", "minItems": 1, "items": schema}
    return {"name": key.name, "in": "query", "required": needed, "description": about, "schema": schema,
            "example": [example] if key.many else example}


def _value_schema(at: Any, kind: str) -> dict[str, Any]:
    if kind == "number":
        return {"type": "integer" if isinstance(at, Whole) else "number",
                **({} if isinstance(at, Quantity) or at.bounds is None else
                   {"minimum": at.bounds.low, "maximum": at.bounds.high})}
    if kind == "flag":
        return {"type": "boolean"}
    return {"type": "string",
            **({"enum": list(at.choices)} if isinstance(at, Choice) else
               {"format": "date"} if isinstance(at, Day) else {"minLength": 1, "maxLength": NAME_LENGTH_MAX})}
