"""The contract, generated from the schemas: python -m kettlewright.api.openapi > openapi.yaml.

Each example request of `examples/` is run when the document is built, so the reply shown is what the service says.
"""

from __future__ import annotations

import json
import sys
from functools import cache
from importlib import resources
from typing import Any

import yaml
from apispec import APISpec
from apispec.ext.marshmallow import MarshmallowPlugin
from apispec.ext.marshmallow.openapi import OpenAPIConverter
from marshmallow import Schema

from kettlewright import __version__
from kettlewright.api import routes
from kettlewright.api.description import DESCRIPTION
from kettlewright.api.fields import Choice, Day, Number, Quantity, Text, Whole
from kettlewright.api.operations import JSON_TYPE, OPERATIONS, Operation, run
from kettlewright.api.problems import KINDS
from kettlewright.api.schemas.envelope import ResponsePart
from kettlewright.api.snippets import snippets_of
from kettlewright.api.strict import ListOf, Strict, Union
from kettlewright.errors import CODES
from kettlewright.limits import NAME_LENGTH_MAX

__all__ = ["as_yaml", "document", "examples_of"]

_FIELDS = {"plan": "worst_severity", "link": "worst_severity", "reference": "meta.data_version", "service": "version"}


class _Converter(OpenAPIConverter):
    """apispec's converter, told about our fields."""

    def init_attribute_functions(self) -> None:
        """Add ours to apispec's own."""
        super().init_attribute_functions()
        self.add_attribute_function(_ours)

    def schema2jsonschema(self, schema: Any) -> dict[str, Any]:
        """A schema as an object; a reply names what it always holds (`schema`)."""
        found: dict[str, Any] = super().schema2jsonschema(schema)
        made = schema() if isinstance(schema, type) else schema
        if isinstance(made, ResponsePart):
            found["required"] = [name for name in found["properties"] if name not in made.omitted]
        return found

    def field2property(self, field: Any) -> dict[str, Any]:
        """A field as a property; unions and examples as OpenAPI 3.1 has them (`field`)."""
        if isinstance(field, Union):
            refs = [self.resolve_nested_schema(member) for member in field.members.values()]
            mapping = {word: ref["$ref"] for word, ref in zip(field.members, refs, strict=True)}
            return {"oneOf": refs, "discriminator": {"propertyName": field.key, "mapping": mapping},
                    "description": field.metadata.get("description", "")}
        found: dict[str, Any] = super().field2property(field)
        if "example" in found:
            found["examples"] = [found.pop("example")]
        return found


def _ours(self: OpenAPIConverter, field: Any, **_: Any) -> dict[str, Any]:
    if isinstance(field, Number):
        return _numeric(field)
    if isinstance(field, Choice):
        return {"enum": [*field.choices, None] if field.allow_none else list(field.choices)}
    if isinstance(field, Day):
        return {"format": "date"}
    if isinstance(field, Text) and _is_asked(field):
        found: dict[str, Any] = {"minLength": 1, "maxLength": NAME_LENGTH_MAX}
        return {**found, "pattern": f"^{field.pattern}$"} if field.pattern else found
    if isinstance(field, ListOf):
        found = {"minItems": field.at_least} if field.at_least else {}
        return found if field.at_most is None else {**found, "maxItems": field.at_most}
    return {}


def _is_asked(field: Any) -> bool:
    return isinstance(field.root if field.root is not None else field.parent, Strict)


def _numeric(field: Number) -> dict[str, Any]:
    if field.bounds is None:
        return {} if field.signed else {"minimum": 0}
    low, high = field.bounds.low, field.bounds.high
    if isinstance(field, Quantity):
        widest = field.bounds_over_units()
        assert widest is not None
        low, high = widest
    return {"minimum": _short(low), "maximum": _short(high)}


def _short(value: float) -> float | int:
    short = float(f"{value:.9g}")
    return int(short) if short == int(short) else short


def examples_of(name: str) -> list[dict[str, Any]]:
    """Example requests of an operation (`name`): `title` and `body` each. [as in JSON]"""
    path = resources.files("kettlewright.api").joinpath("examples", f"{name}.json")
    found: list[dict[str, Any]] = json.loads(path.read_text(encoding="utf-8")) if path.is_file() else []
    return found


@cache
def document() -> dict[str, Any]:
    """The OpenAPI 3.1 document. [as in JSON]"""
    assert routes
    plugin = MarshmallowPlugin(schema_name_resolver=_name)
    plugin.Converter = _Converter
    spec = APISpec(title="Kettlewright", version=__version__, openapi_version="3.1.0", plugins=[plugin],
                   info={"description": DESCRIPTION, "license": {"name": "MIT", "identifier": "MIT"}},
                   servers=[{"url": "/", "description": "this service"}],
                   tags=[{"name": "plan", "description": "Calculations: POST, pure, safe to repeat"},
                         {"name": "link", "description": "The same calculations by GET, asked by an address alone"},
                         {"name": "reference", "description": "Tables: GET, may be cached"},
                         {"name": "service", "description": "The service itself"}],
                   security=[])
    converter = plugin.converter
    assert converter is not None
    for kind in (Number, *_below(Number), Text, Choice, Day):
        named = "integer" if issubclass(kind, Whole) else "number" if issubclass(kind, Number) else "string"
        converter.map_to_openapi_type(kind, named, None)
    spec.components.schema("Problem", _PROBLEM)
    for status, problem in KINDS.items():
        spec.components.response(f"Problem{status}", {
            "description": f"{problem.title}. {problem.page}",
            "content": {"application/problem+json": {"schema": {"$ref": "#/components/schemas/Problem"}}}})
    for found in OPERATIONS.values():
        spec.path(path=found.path, operations={found.method.lower(): _operation(found)})
    made = spec.to_dict()
    plain: dict[str, Any] = json.loads(json.dumps(made))
    return {"openapi": plain.pop("openapi"), **plain}


def _below(kind: type) -> list[type]:
    found: list[type] = []
    children: list[type] = kind.__subclasses__()
    for child in children:
        found += [child, *_below(child)]
    return found


def _name(schema: Schema | type[Schema] | str) -> str:
    kind = schema if isinstance(schema, type) else type(schema)
    return kind.__name__


def _operation(found: Operation) -> dict[str, Any]:
    examples = examples_of(found.name)
    made: dict[str, Any] = {"operationId": found.name, "summary": found.summary, "tags": [found.tag]}
    said = [found.description] if found.description else []
    if found.link is None and found.tag != "service":
        said.append(snippets_of(found.name, found.method, found.path))
    if said:
        made["description"] = "\n\n".join(said)
    made["parameters"] = _parameters(found)
    if found.takes is not None and found.method == "POST":  # a GET with a body is refused
        made["requestBody"] = {"required": True, "content": {JSON_TYPE: {
            "schema": type(found.takes),
            "examples": {_slug(example["title"]): {"summary": example["title"], "value": example["body"]}
                         for example in examples}}}}
    content: dict[str, Any] = {JSON_TYPE: {"schema": type(found.gives)}}
    if examples and found.takes is not None:
        content[JSON_TYPE]["examples"] = {
            _slug(example["title"]): {"summary": example["title"], "value": run(found, example["body"])}
            for example in examples}
    for word, media_type in found.forms.items():
        if word != "json":
            content[media_type] = {"schema": {"type": "string"}}
    made["responses"] = {"200": {"description": found.summary, "content": content}}
    if found.method == "GET" and found.tag != "service":
        made["responses"]["304"] = {"description": "Not changed since the ETag that was sent"}
    for status in found.statuses:
        made["responses"][str(status)] = f"Problem{status}"
    return made


def _parameters(found: Operation) -> list[dict[str, Any]]:
    parameters: list[dict[str, Any]] = []
    if "{key}" in found.path:
        parameters.append({"name": "key", "in": "path", "required": True, "description": "Key of the fat",
                           "schema": {"type": "string", "examples": ["olive"]}})
    if found.query is not None:
        for name, field in found.query.load_fields.items():
            schema: dict[str, Any] = {"type": "string", "examples": [field.metadata.get("example")]}
            if isinstance(field, Choice):
                schema["enum"] = list(field.choices)
            else:
                schema |= {"minLength": 1, "maxLength": NAME_LENGTH_MAX}
            parameters.append({"name": name, "in": "query", "required": False, "schema": schema,
                               "description": field.metadata.get("description", "")})
    if found.link is not None:
        parameters += found.link.parameters()
    return [*parameters, *_parameters_of_forms(found)]


def _parameters_of_forms(found: Operation) -> list[dict[str, Any]]:
    parameters: list[dict[str, Any]] = [{
        "name": "format", "in": "query", "required": False, "description": "Form of the answer; it overrides Accept",
        "schema": {"type": "string", "enum": list(found.forms), "examples": ["json"]}}, {
        "name": "field", "in": "query", "required": False, "description": "Path of one figure of the answer, which "
        "then is that figure alone, as text",
        "schema": {"type": "string", "minLength": 1, "examples": [_FIELDS.get(found.tag, _FIELDS["plan"])]}}]
    if "csv" in found.forms:
        parameters.append({
            "name": "table", "in": "query", "required": False, "description": "Which table of the answer the CSV is; "
            f"{next(iter(found.tables))} where not given",
            "schema": {"type": "string", "enum": list(found.tables), "examples": [next(iter(found.tables))]}})
    return parameters


def _slug(title: str) -> str:
    return "_".join(title.lower().replace(",", "").replace(":", "").split())


_PROBLEM = {
    "type": "object", "description": "A problem of RFC 9457", "required": ["type", "title", "status", "detail",
                                                                          "instance", "errors"],
    "properties": {
        "type": {"type": "string", "description": "Stable relative URI with a page of its own",
                 "examples": ["/problems/wrong-input"]},
        "title": {"type": "string", "description": "What kind of problem", "examples": ["The input is wrong"]},
        "status": {"type": "integer", "description": "HTTP status", "minimum": 400, "maximum": 599, "examples": [422]},
        "detail": {"type": "string", "description": "The first fault, in words",
                   "examples": ['No fat called "olive pomice". Did you mean "olive_pomace"? The list is at /v1/fats.']},
        "instance": {"type": "string", "description": "Address of the request", "examples": ["/v1/lye"]},
        "request_id": {"type": "string", "description": "Of a 500 only: what to tell the operator",
                       "examples": ["5f2b8c0e4d1a4c9f8e7d6a5b4c3d2e1f"]},
        "errors": {"type": "array", "description": "Every error, up to 50", "items": {
            "type": "object", "required": ["pointer", "detail", "code"], "properties": {
                "pointer": {"type": "string", "description": "JSON Pointer into the request",
                            "examples": ["/fats/0/fat"]},
                "detail": {"type": "string", "description": "What is wrong and what to do",
                           "examples": ["fats[0].mass is needed here."]},
                "code": {"type": "string", "enum": list(CODES), "description": "What it is, for programs",
                         "examples": ["unknown_ingredient"]},
                "allowed": {"type": "string", "description": "What is allowed, where that is short to say",
                            "examples": ["a key of /v1/fats"]}}}}}}


class _Block(yaml.SafeDumper):
    """Block style throughout, lists indented, nothing folded into anchors."""

    def ignore_aliases(self, data: Any) -> bool:
        """Write everything out (`data`)."""
        return True

    def increase_indent(self, flow: bool = False, indentless: bool = False) -> None:
        """Indent the items of a list as well (`flow`, `indentless`)."""
        super().increase_indent(flow, False)


def as_yaml() -> str:
    """The document as YAML, in block style with two spaces. [text]"""
    return yaml.dump(document(), Dumper=_Block, sort_keys=False, allow_unicode=True, width=120,
                     default_flow_style=False)


if __name__ == "__main__":
    sys.stdout.write(as_yaml())
