"""The contract, generated from the schemas: python -m kettlewright.api.document.openapi > openapi.yaml.

The first example request of each operation is run when the document is built; a short form of the response is shown:
every list cut to its first item. Whole responses are in the client's recorded file.
"""

from __future__ import annotations

import json
import sys
from collections import Counter
from functools import cache
from importlib import resources
from typing import Any

import yaml
from apispec import APISpec

from kettlewright import __version__
from kettlewright.api import endpoints
from kettlewright.api.document.description import DESCRIPTION, GROUPS, SECURITY
from kettlewright.api.document.openapi_schemas import ERROR_CODE, PROBLEM, SchemaPlugin, bounds_of
from kettlewright.api.document.snippets import snippets_of
from kettlewright.api.door.fields import Choice, Number
from kettlewright.api.door.operations import JSON_TYPE, LINES_TYPE, OPERATIONS, Operation, run
from kettlewright.api.door.problems import ALL_KINDS
from kettlewright.api.door.replies import CARD
from kettlewright.api.door.streaming import LINES_MAX
from kettlewright.api.door.strict import ListOf, Part
from kettlewright.limits import NAME_LENGTH_MAX

__all__ = ["as_yaml", "document", "examples_of"]

_FIELDS = {"data": "meta.data_version", "service": "version"}
_OF_LINES = (
    f"**Many at once**: with `Content-Type: {LINES_TYPE}` each line of the body is a request (JSON without line "
    "breaks, at most as long as a body may be), and each line of the response is its plan or its problem, in order. "
    f"Only a problem has `status`. Empty lines are skipped. At most {LINES_MAX:,} lines. If you get fewer lines than "
    "you sent, the last one is a problem (400, 413, 503); send its request and those after it again. A body that is "
    "longer than one request may be is answered while you send it, so read meanwhile: after 30 s in which no line was "
    "sent or read, the connection is closed. There is no other form, and the address takes no parameters.")
_OF_THE_PATH = {"key": "olive"}


def examples_of(name: str) -> list[dict[str, Any]]:
    """Example requests of an operation (`name`): `title` and `body` each. [as in JSON]"""
    path = resources.files("kettlewright.api.endpoints").joinpath("examples", f"{name}.json")
    found: list[dict[str, Any]] = json.loads(path.read_text(encoding="utf-8")) if path.is_file() else []
    return found


@cache
def document() -> dict[str, Any]:
    """The OpenAPI 3.1 document. [as in JSON]"""
    assert endpoints
    spec = APISpec(title="Kettlewright", version=__version__, openapi_version="3.1.0", plugins=[SchemaPlugin()],
                   info={"description": DESCRIPTION, "contact": {"name": "Whoever runs this service"},
                         "license": {"name": "MIT", "identifier": "MIT"}},
                   servers=[{"url": "/", "description": "this service"}],
                   tags=[{"name": name, "description": about} for name, about in GROUPS.items()],
                   security=[{}, *({name: []} for name in SECURITY)])
    for name, scheme in SECURITY.items():
        spec.components.security_scheme(name, {**scheme})
    spec.components.schema("Problem", PROBLEM)
    spec.components.schema("ErrorCode", ERROR_CODE)
    for status in sorted({status for found in OPERATIONS.values() for status in found.statuses}):
        of_status = [kind for kind in ALL_KINDS if kind.status == status]
        spec.components.response(f"Problem{status}", {
            "description": " Or: ".join(f"{kind.title}. {kind.page}" for kind in of_status),
            "content": {"application/problem+json": {"schema": {"$ref": "#/components/schemas/Problem"}},
                        "text/html": {"schema": {"type": "string"}}}})
    for found in OPERATIONS.values():
        spec.path(path=found.path, operations={found.method.lower(): _operation(found)})
    made: dict[str, Any] = json.loads(json.dumps(spec.to_dict()))
    components = made["components"]
    _refer_to_enums(made["paths"], components["schemas"])
    components["parameters"] = _shared_parameters(made["paths"])
    components["examples"] = {found.name: _short_response(found) for found in OPERATIONS.values()
                              if found.link is None and found.group != "service"}
    return {"openapi": made.pop("openapi"), **made}


def _operation(found: Operation) -> dict[str, Any]:
    examples = examples_of(found.name)
    made: dict[str, Any] = {"operationId": found.name, "summary": found.summary, "tags": [found.group]}
    paragraphs = [found.description] if found.description else []
    if found.many:
        paragraphs.append(_OF_LINES)
    if found.link is None and found.group != "service":
        paragraphs.append(snippets_of(found.name, found.method, found.path))
    if paragraphs:
        made["description"] = "\n\n".join(paragraphs)
    made["parameters"] = _parameters(found)
    if found.request is not None and found.method == "POST":  # a GET with a body is refused
        made["requestBody"] = {"required": True, "content": {JSON_TYPE: {
            "schema": type(found.request),
            "examples": {_slug(example["title"]): {"summary": example["title"], "value": example["body"]}
                         for example in examples[:1]}}}}
    content: dict[str, Any] = {JSON_TYPE: {"schema": type(found.response)}}
    if found.many:
        made["requestBody"]["content"][LINES_TYPE] = {  # clients are made from schemas
            "schema": {"type": "string", "format": "binary"}}
        content[LINES_TYPE] = {}
    if found.link is None and found.group != "service":
        content[JSON_TYPE]["examples"] = {"short": {"$ref": f"#/components/examples/{found.name}"}}
    for word, media_type in found.forms.items():
        if word != "json":
            content[media_type] = {}  # text: a schema would say no more
    made["responses"] = {"200": {"description": "Success", "content": content}}
    if found.method == "GET" and found.group != "service":
        made["responses"]["304"] = {"description": "Not changed since the ETag you sent"}
    for status in found.statuses:
        made["responses"][str(status)] = f"Problem{status}"
    return made


def _short_response(found: Operation) -> dict[str, Any]:
    examples = examples_of(found.name)
    body = examples[0]["body"] if examples else {}
    of = f'"{examples[0]["title"]}"' if examples else "the address alone"
    response = run(found, body, _OF_THE_PATH if "{key}" in found.path else None)
    return {"summary": f"Response to {of}, cut: of lists the first item, of objects what is always there",
            "value": _shortened(response, found.response)}


def _shortened(value: Any, schema: Any = None) -> Any:
    if isinstance(value, list | tuple):
        return [_shortened(item, schema) for item in value[:1]]
    if not isinstance(value, dict):
        return value
    fields = {field.data_key or name: field for name, field in schema.dump_fields.items()} if schema else {}
    omitted = getattr(schema, "omitted", ())
    return {name: _shortened(inner, _schema_in(fields.get(name))) for name, inner in value.items()
            if name not in omitted}


def _schema_in(field: Any) -> Any:
    inner = field.inner if isinstance(field, ListOf) else field
    return inner.schema if isinstance(inner, Part) else None


def _parameters(found: Operation) -> list[dict[str, Any]]:
    parameters: list[dict[str, Any]] = []
    if "{key}" in found.path:
        parameters.append({"name": "key", "in": "path", "required": True, "description": "Key of the fat",
                           "schema": {"type": "string", "examples": ["olive"]}})
    if found.query is not None:
        parameters += [{"name": name, "in": "query", "schema": _schema_of_query(field),
                        "description": field.metadata.get("description", "")}
                       for name, field in found.query.load_fields.items()]
    if found.link is not None:
        parameters += [{name: value for name, value in one.items() if name != "required" or value}
                       for one in found.link.parameters()]
    return [*parameters, *_parameters_of_forms(found)]


def _schema_of_query(field: Any) -> dict[str, Any]:
    example = {"examples": [field.metadata.get("example")]}
    if isinstance(field, Number):
        return {"type": "number", **bounds_of(field), **example}
    if isinstance(field, Choice):
        return {"type": "string", "enum": list(field.choices), **example}
    return {"type": "string", "minLength": 1, "maxLength": NAME_LENGTH_MAX, **example}


def _parameters_of_forms(found: Operation) -> list[dict[str, Any]]:
    parameters: list[dict[str, Any]] = [{
        "name": "format", "in": "query", "description": "Form of the response; it overrides Accept",
        "schema": {"type": "string", "enum": list(found.forms), "examples": ["json"]}}, {
        "name": "field", "in": "query", "description": "Path of one figure of the response; you get that figure alone, "
        "as text. With problem, you get what is wrong with the request, or none",
        "schema": {"type": "string", "minLength": 1, "examples": [_FIELDS.get(found.group, "worst_severity")]}}]
    if any(face.card is not None for face in found.faces.values()):
        parameters.append({"name": "form", "in": "query", "description": "With html: one small page of figures",
                           "schema": {"type": "string", "enum": [CARD], "examples": [CARD]}})
    if "csv" in found.forms:
        parameters.append({
            "name": "table", "in": "query", "description": "The list of the response that the CSV shows; by default "
            f"{next(iter(found.tables))}",
            "schema": {"type": "string", "enum": list(found.tables), "examples": [next(iter(found.tables))]}})
    return parameters


def _refer_to_enums(paths: dict[str, Any], schemas: dict[str, Any]) -> None:
    """Let parameters refer to the enums that bodies and responses have (`paths`: changed)."""
    names = {tuple(schema["enum"]): name for name, schema in schemas.items() if "enum" in schema}
    for item in paths.values():
        for operation in item.values():
            for one in operation["parameters"]:
                name = names.get(tuple(one["schema"].get("enum", ())))
                if name is not None:
                    one["schema"] = {"$ref": f"#/components/schemas/{name}"}


def _shared_parameters(paths: dict[str, Any]) -> dict[str, Any]:
    """Parameters that several operations have, which then refer to them."""
    every = [operation for item in paths.values() for operation in item.values()]
    counts = Counter(json.dumps(one, sort_keys=True) for operation in every for one in operation["parameters"])
    shared: dict[str, Any] = {}
    names: dict[str, str] = {}
    for operation in every:
        parameters = operation["parameters"]
        for index, one in enumerate(parameters):
            text = json.dumps(one, sort_keys=True)
            if counts[text] > 1:
                if text not in names:
                    names[text] = one["name"] if one["name"] not in shared else (
                        f"{one['name']}_of_{operation['operationId']}")
                    shared[names[text]] = one
                parameters[index] = {"$ref": f"#/components/parameters/{names[text]}"}
    return shared


def _slug(title: str) -> str:
    return "_".join(title.lower().replace(",", "").replace(":", "").split())


_WORD_MAX = 40
_LINE_MAX = 60


class _Block(yaml.CSafeDumper):
    """Block style, nothing folded into anchors. The C library is ten times faster."""

    def ignore_aliases(self, data: Any) -> bool:
        """Write everything out (`data`)."""
        return True

    def represent_sequence(self, tag: str, sequence: Any, flow_style: bool | None = None) -> yaml.SequenceNode:
        """Lists of words and numbers, such as `required`, on one line (`tag`, `sequence`, `flow_style`)."""
        short = all(isinstance(one, int | float) or (isinstance(one, str) and len(one) <= _WORD_MAX)
                    for one in sequence)
        return super().represent_sequence(tag, sequence, flow_style=short or flow_style)

    def represent_mapping(self, tag: str, mapping: Any, flow_style: bool | None = None) -> yaml.MappingNode:
        """A few words and numbers, such as a range or a reference, on one line (`tag`, `mapping`, `flow_style`)."""
        scalars = all(isinstance(one, str | int | float) for one in mapping.values())
        short = scalars and sum(len(f"{name}{one}") for name, one in mapping.items()) <= _LINE_MAX
        return super().represent_mapping(tag, mapping, flow_style=short or flow_style)


@cache
def as_yaml() -> str:
    """The document as YAML, in block style with two spaces. [text]"""
    return yaml.dump(document(), Dumper=_Block, sort_keys=False, allow_unicode=True, width=120,
                     default_flow_style=False)


if __name__ == "__main__":
    sys.stdout.write(as_yaml())
