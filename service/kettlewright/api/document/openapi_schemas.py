"""Schemas of the contract: how our fields and objects look in OpenAPI 3.1."""

from __future__ import annotations

from functools import cached_property
from typing import Any

from apispec.ext.marshmallow import MarshmallowPlugin
from apispec.ext.marshmallow.openapi import OpenAPIConverter
from marshmallow import Schema

from kettlewright.api.document.enums import EnumNames
from kettlewright.api.door.fields import AsGiven, Choice, Day, Flag, Number, Quantity, Text, Whole
from kettlewright.api.door.responses import ResponsePart
from kettlewright.api.door.strict import ListOf, Strict, Union
from kettlewright.errors import CODES
from kettlewright.limits import NAME_LENGTH_MAX

__all__ = ["ERROR_CODE", "PROBLEM", "SchemaPlugin", "bounds_of"]

PROBLEM = {
    "type": "object", "description": "A problem of RFC 9457", "required": ["type", "title", "status", "detail",
                                                                          "instance", "errors"],
    "properties": {
        "type": {"type": "string", "description": "Stable relative URI, with a page about it",
                 "examples": ["/problems/wrong-input"]},
        "title": {"type": "string", "description": "Kind of problem", "examples": ["The input is wrong"]},
        "status": {"type": "integer", "description": "HTTP status", "minimum": 400, "maximum": 599, "examples": [422]},
        "detail": {"type": "string", "description": "The first error, in words",
                   "examples": ['No fat called "olive pomice". Did you mean "olive_pomace"? The list is at /v1/fats.']},
        "instance": {"type": "string", "description": "Address of the request", "examples": ["/v1/lye"]},
        "request_id": {"type": "string", "description": "Only in a 500: give it to whoever runs the service",
                       "examples": ["5f2b8c0e4d1a4c9f8e7d6a5b4c3d2e1f"]},
        "errors": {"type": "array", "description": "All errors, up to 50", "items": {
            "type": "object", "required": ["pointer", "detail", "code"], "properties": {
                "pointer": {"type": "string", "description": "JSON Pointer into the request",
                            "examples": ["/fats/0/fat"]},
                "detail": {"type": "string", "description": "What is wrong and what to do",
                           "examples": ["fats[0].mass is required."]},
                "code": {"$ref": "#/components/schemas/ErrorCode", "description": "What kind of error it is, for "
                         "programs"},
                "allowed": {"type": "string", "description": "What is allowed; absent if that would be long",
                            "examples": ["a key of /v1/fats"]}}}}}}
"""The schema of every 4xx and 5xx. [as in OpenAPI]"""
ERROR_CODE = {"type": "string", "enum": list(CODES)}
"""The schema of the code of an error. [as in OpenAPI]"""


class _Converter(OpenAPIConverter):
    """apispec's converter, extended by our fields."""

    @cached_property
    def enum_names(self) -> EnumNames:
        """Names of the enums of this document."""
        return EnumNames()

    def init_attribute_functions(self) -> None:
        """Add our rules to those of apispec."""
        super().init_attribute_functions()
        self.add_attribute_function(_ours)

    def schema2jsonschema(self, schema: Any) -> dict[str, Any]:
        """A schema as an object: a response lists what is always there, a request its "exactly one of" (`schema`)."""
        found: dict[str, Any] = super().schema2jsonschema(schema)
        made = schema() if isinstance(schema, type) else schema
        if isinstance(made, ResponsePart):
            bases = _bases(made)
            found["allOf"] = [self.resolve_nested_schema(base) for base in bases]
            inherited = {name for base in bases for name in _names(base)}
            found["properties"] = {name: shape for name, shape in found["properties"].items() if name not in inherited}
            found["required"] = [name for name in found["properties"] if name not in made.omitted]
            found = {name: value for name, value in found.items() if value or name == "properties"}
        if isinstance(made, Strict):
            found |= _choices(made)
        return found

    def field2property(self, field: Any) -> dict[str, Any]:
        """A field as a property; unions and examples as OpenAPI 3.1 has them (`field`)."""
        if isinstance(field, Union):
            if field.component not in self.spec.components.schemas:
                refs = [self.resolve_nested_schema(member) for member in field.members.values()]
                mapping = {word: ref["$ref"] for word, ref in zip(field.members, refs, strict=True)}
                self.spec.components.schema(field.component, {
                    "description": f"Distinguished by `{field.key}`", "oneOf": refs,
                    "discriminator": {"propertyName": field.key, "mapping": mapping}})
            return {"$ref": f"#/components/schemas/{field.component}",
                    "description": field.metadata.get("description", "")}
        found: dict[str, Any] = super().field2property(field)
        if isinstance(field, Choice) and len(field.choices) > 1:
            return self._enum(field, found)
        example = found.pop("example", None)
        # of a response each operation has an example
        if example is not None and "const" not in found and _of_request(field):
            found["examples"] = [example]
        return found


    def _enum(self, field: Choice, found: dict[str, Any]) -> dict[str, Any]:
        """A property that refers to an enum with a name of its own (`field`, `found`: the property as it is so far)."""
        schema = field.root
        assert isinstance(schema, Schema)
        assert field.name is not None
        # the first class that has the field: what extends it has the same enum
        owner = [kind for kind in type(schema).__mro__ if field.name in getattr(kind, "_declared_fields", ())][-1]
        name = self.enum_names.name(field.choices, owner.__name__, field.data_key or field.name)
        if name not in self.spec.components.schemas:
            self.spec.components.schema(name, {"type": "string", "enum": list(field.choices)})
        ref = {"$ref": f"#/components/schemas/{name}"}
        about = {"description": found["description"]} if "description" in found else {}
        return {"anyOf": [ref, {"type": "null"}], **about} if field.allow_none else {**ref, **about}


def _names(schema: ResponsePart) -> dict[str, Any]:
    """Names in JSON, with the field of each."""
    return {field.data_key or name: type(schema)._declared_fields[name] for name, field in schema.dump_fields.items()}


def _bases(schema: ResponsePart) -> list[ResponsePart]:
    """The parts that a response extends without changing anything in them."""
    mine = _names(schema)
    bases = [base() for base in type(schema).__bases__ if issubclass(base, ResponsePart) and base is not ResponsePart]
    return [base for base in bases
            if all(mine.get(name) is field and (name in base.omitted) == (name in schema.omitted)
                   for name, field in _names(base).items())]


def _choices(schema: Strict) -> dict[str, Any]:
    """The rules "exactly one of" and "at most one of" of a request."""
    rules: list[dict[str, Any]] = [{"oneOf": [_given(schema, name) for name in names]} for names in schema.exactly_one]
    rules += [{"not": {"required": list(names)}} for names in schema.at_most_one]
    needs = {name: list(others) for name, others in schema.needed_with.items()}
    more = {"dependentRequired": needs} if needs else {}
    if not rules:
        return more
    return {**(rules[0] if len(rules) == 1 else {"allOf": rules}), **more}


def _given(schema: Strict, name: str) -> dict[str, Any]:
    """The rule that a field is given; a yes or no counts as given where it is true."""
    is_flag = any((field.data_key or key) == name and isinstance(field, Flag)
                  for key, field in schema.load_fields.items())
    return {"required": [name], **({"properties": {name: {"const": True}}} if is_flag else {})}


def _ours(self: OpenAPIConverter, field: Any, **_: Any) -> dict[str, Any]:
    if isinstance(field, Number):
        return bounds_of(field)
    if isinstance(field, Choice) and len(field.choices) == 1:
        return {"const": field.choices[0]}
    if isinstance(field, Day):
        return {"format": "date"}
    if isinstance(field, Text) and _of_request(field):
        found: dict[str, Any] = {"minLength": 1, "maxLength": NAME_LENGTH_MAX}
        return {**found, "pattern": f"^{field.pattern}$"} if field.pattern else found
    if isinstance(field, ListOf):
        found = {"minItems": field.at_least} if field.at_least else {}
        return found if field.at_most is None else {**found, "maxItems": field.at_most}
    return {}


def _of_request(field: Any) -> bool:
    return isinstance(field.root if field.root is not None else field.parent, Strict)


def bounds_of(field: Number) -> dict[str, Any]:
    """`minimum` and `maximum` of a number, the widest over the units of a quantity (`field`). [as in OpenAPI]"""
    if field.bounds is None:
        return {}
    low, high = field.bounds.low, field.bounds.high
    if isinstance(field, Quantity):
        widest = field.bounds_over_units()
        assert widest is not None
        low, high = widest
    return {"minimum": _short(low), "maximum": _short(high)}


def _short(value: float) -> float | int:
    short = float(f"{value:.9g}")
    return int(short) if short == int(short) else short


class SchemaPlugin(MarshmallowPlugin):
    """apispec's plugin with our converter."""

    Converter = _Converter

    def __init__(self) -> None:
        super().__init__(schema_name_resolver=_name)

    def init_spec(self, spec: Any) -> None:
        """Map our fields to the types of JSON (`spec`)."""
        super().init_spec(spec)
        assert self.converter is not None
        for kind in (Number, *_below(Number), Text, Choice, Day):
            named = "integer" if issubclass(kind, Whole) else "number" if issubclass(kind, Number) else "string"
            self.converter.map_to_openapi_type(kind, named, None)
        self.converter.map_to_openapi_type(AsGiven, "object", None)


def _below(kind: type) -> list[type]:
    found: list[type] = []
    children: list[type] = kind.__subclasses__()
    for child in children:
        found += [child, *_below(child)]
    return found


def _name(schema: Schema | type[Schema] | str) -> str:
    kind = schema if isinstance(schema, type) else type(schema)
    return kind.__name__
