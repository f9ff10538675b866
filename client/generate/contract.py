"""Reads openapi.yaml into what the writers need: components with fields, and operations with parameters."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import yaml

__all__ = ["Component", "Contract", "Field", "Kind", "Operation", "read_contract"]

_UNIT = re.compile(r"\s*\[([^\[\]]+)\]$")
_ABOVE_ZERO = 0.001  # a smaller bound only says that 0 is not allowed, in the unit where it is widest


@dataclass(frozen=True)
class Kind:
    """Type of a value: `name` is number, integer, string, boolean, array or ref (then `ref` is the component)."""

    name: str
    ref: str = ""
    items: Kind | None = None
    null: bool = False
    words: tuple[str, ...] = ()
    format: str = ""


@dataclass(frozen=True)
class Field:
    """A field of a component, or a query parameter; `rules` are its bounds in words."""

    name: str
    kind: Kind
    required: bool
    meaning: str
    unit: str = ""
    rules: tuple[str, ...] = ()


@dataclass(frozen=True)
class Component:
    """A component: an object with fields, or with `choices` one of several objects by the field `chosen_by`."""

    name: str
    fields: tuple[Field, ...] = ()
    bases: tuple[str, ...] = ()
    rules: tuple[str, ...] = ()
    meaning: str = ""
    choices: tuple[str, ...] = ()
    chosen_by: str = ""

    def refs(self) -> tuple[str, ...]:
        """Components that it is made of, bases first."""
        fields = (last(one.kind) for one in self.fields)
        return tuple(dict.fromkeys((*self.bases, *self.choices, *(ref for ref in fields if ref))))


@dataclass(frozen=True)
class Operation:
    """An operation: `request` and `reply` are components, `forms` the words of `format`, `address` its parameters."""

    name: str
    method: str
    path: str
    summary: str
    about: str
    request: str
    reply: str
    forms: tuple[str, ...]
    address: tuple[Field, ...]


@dataclass(frozen=True)
class Contract:
    """Components and operations in the order of the document; `media` has the media type of each form."""

    components: Mapping[str, Component]
    operations: tuple[Operation, ...]
    media: Mapping[str, str]
    schemas: Mapping[str, Any]

    def fields_of(self, name: str) -> tuple[Field, ...]:
        """All fields of a component, inherited ones first; a field that is named again counts as named last."""
        found: dict[str, Field] = {}
        for base in self.components[name].bases:
            found |= {one.name: one for one in self.fields_of(base)}
        return tuple((found | {one.name: one for one in self.components[name].fields}).values())

    def use_of(self, name: str, among: Mapping[str, str]) -> str:
        """Where a component is first used, in words (`name`; `among` has the classes of the components to look at)."""
        found = [f"`{field.name}{'[]' if field.kind.items else ''}` of `{class_}`"
                 + (f" ({field.meaning.rstrip('.')})" if field.meaning else "")
                 for component, class_ in among.items() for field in self.components[component].fields
                 if last(field.kind) == name]
        if not found:
            return "Fields that several objects have."
        return f"{found[0]}{f', and {len(found) - 1} more' if len(found) > 1 else ''}."

    def reached_from(self, *names: str) -> tuple[str, ...]:
        """Components that these are made of and themselves, each after those it needs."""
        done: dict[str, None] = {}

        def visit(name: str) -> None:
            if name not in done:
                for ref in self.components[name].refs():
                    visit(ref)
                done[name] = None

        for name in names:
            visit(name)
        return tuple(done)


def last(kind: Kind) -> str:
    """The component of a kind or of its items; "" if there is none."""
    return last(kind.items) if kind.items is not None else kind.ref


def read_contract(path: Path) -> Contract:
    """Read the document at `path`."""
    document = yaml.load(path.read_text(encoding="utf-8"), Loader=getattr(yaml, "CSafeLoader", yaml.SafeLoader))
    named = {name: schema for name, schema in document["components"]["schemas"].items() if "enum" in schema}
    document = _words_inside(document, named)
    schemas = {name: schema for name, schema in document["components"]["schemas"].items() if name not in named}
    twins = {path for path, item in document["paths"].items() if "post" in item}
    media: dict[str, str] = {}
    operations = []
    for path_, item in document["paths"].items():
        for method, given in item.items():
            if method == "get" and path_ in twins:
                continue  # the same calculation by address
            parameters = [_resolved(document, one) for one in given.get("parameters", [])]
            forms = next(tuple(one["schema"]["enum"]) for one in parameters if one["name"] == "format")
            content = given["responses"]["200"]["content"]
            of_one = [kind for kind in content if kind != "application/x-ndjson"]  # many: by hand, in `streams.py`
            media |= dict(zip(forms, of_one, strict=True))
            operations.append(Operation(
                given["operationId"], method.upper(), path_, given["summary"],
                given.get("description", "").split("\n\n")[0],
                _ref(given["requestBody"]["content"]["application/json"]["schema"]) if "requestBody" in given else "",
                _ref(content["application/json"]["schema"]), forms,
                tuple(_field(one["name"], {**one["schema"], "description": one.get("description", "")},
                             one.get("required", False))
                      for one in parameters if one["name"] not in ("format", "form", "field", "table"))))
    return Contract({name: _component(name, schema) for name, schema in schemas.items() if name != "Problem"},
                    tuple(operations), media, schemas)


def _words_inside(part: Any, named: Mapping[str, Any]) -> Any:
    """A part of the document with the words of an enum wherever it refers to one (`part`, `named`: enums by name)."""
    if isinstance(part, list):
        return [_words_inside(one, named) for one in part]
    if not isinstance(part, dict):
        return part
    if "const" in part and isinstance(part["const"], str):
        return {key if key != "const" else "enum": value if key != "const" else [value] for key, value in part.items()}
    if isinstance(part.get("$ref"), str) and _ref(part) in named:
        return {**named[_ref(part)], **{key: value for key, value in part.items() if key != "$ref"}}
    return {key: _words_inside(value, named) for key, value in part.items()}


def _resolved(document: Mapping[str, Any], part: Mapping[str, Any]) -> Mapping[str, Any]:
    found: Mapping[str, Any] = document["components"]["parameters"][_ref(part)] if "$ref" in part else part
    return found


def _ref(schema: Mapping[str, Any]) -> str:
    return str(schema.get("$ref", "")).rpartition("/")[2]


def _component(name: str, schema: Mapping[str, Any]) -> Component:
    meaning = schema.get("description", "")
    if "discriminator" in schema:
        mapping = schema["discriminator"]["mapping"]
        return Component(name, meaning=meaning, chosen_by=schema["discriminator"]["propertyName"],
                         choices=tuple(ref.rpartition("/")[2] for ref in mapping.values()))
    bases = tuple(_ref(part) for part in schema.get("allOf", ()) if "$ref" in part)
    required = set(schema.get("required", ()))
    fields = tuple(_field(key, value, key in required) for key, value in schema["properties"].items())
    return Component(name, fields, bases, tuple(_rules_between(schema)), meaning)


def _field(name: str, schema: Mapping[str, Any], required: bool) -> Field:
    text = str(schema.get("description", "")).strip()
    unit = _UNIT.search(text)
    return Field(name, _kind(schema), required, _UNIT.sub("", text), unit.group(1) if unit else "",
                 tuple(_rules(schema)))


def _kind(schema: Mapping[str, Any]) -> Kind:
    if "$ref" in schema:
        return Kind("ref", ref=_ref(schema))
    if "anyOf" in schema:
        choices = [part for part in schema["anyOf"] if part.get("type") != "null"]
        assert len(choices) == 1, schema
        return replace(_kind(choices[0]), null=len(choices) < len(schema["anyOf"]))
    types = schema["type"] if isinstance(schema["type"], list) else [schema["type"]]
    name = next(one for one in types if one != "null")
    return Kind(name, items=_kind(schema["items"]) if name == "array" else None, null="null" in types,
                words=tuple(word for word in schema.get("enum", ()) if word is not None),
                format=schema.get("format", ""))


def _rules(schema: Mapping[str, Any]) -> Iterator[str]:
    low, high = schema.get("minimum"), schema.get("maximum")
    more_than = "more than 0" if low is not None and 0 < low < _ABOVE_ZERO else f"{low:,g}" if low is not None else ""
    if low is not None and high is not None:
        yield f"{more_than} to {high:,.9g}"
    elif low is not None:
        yield more_than if more_than.startswith("more") else f"at least {more_than}"
    elif high is not None:
        yield f"at most {high:,.9g}"
    few, many = schema.get("minItems"), schema.get("maxItems")
    if few is not None or many is not None:
        yield f"{few} to {many} items" if few and many else f"at most {many} items" if many else f"at least {few} items"
    if "maxLength" in schema:
        yield f"at most {schema['maxLength']} characters"
    if "items" in schema:
        yield from (f"each {rule}" for rule in _rules(schema["items"]))


def _rules_between(schema: Mapping[str, Any]) -> Iterator[str]:
    """Rules between the fields of an object, in words."""
    for part in (schema, *(part for part in schema.get("allOf", ()) if "$ref" not in part)):
        if "oneOf" in part:
            choices = [" and ".join(_quoted(one["required"])) for one in part["oneOf"]]
            yield f"Give exactly one of {_list(choices, 'or')}."
        if "not" in part:
            yield f"Do not give {_list(_quoted(part['not']['required']), 'and')} together."
    for name, needed in schema.get("dependentRequired", {}).items():
        yield f"`{name}` needs {_list(_quoted(needed), 'and')}."


def _quoted(names: list[str]) -> list[str]:
    return [f"`{name}`" for name in names]


def _list(words: list[str], between: str) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} {between} {words[-1]}"
