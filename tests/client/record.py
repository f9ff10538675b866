"""Writes what the client's stub knows: what the service replies, in process, to invented requests, and what of the
contract says which bodies are right.

    python tests/client/record.py

One request for each operation, the first of its examples in the contract (of batches the last, since a calendar needs
days), in every form the client knows of it.
"""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

from kettlewright.api.document.openapi import document
from kettlewright.app import create_app
from kettlewright_client.operations import MEDIA_TYPES, OPERATIONS

ROOT = Path(__file__).parents[2]
FILE = ROOT / "client" / "kettlewright_client" / "recorded.json"
REQUESTS = FILE.with_name("requests.json")
_BETWEEN_FIELDS = ("oneOf", "not", "allOf", "dependentRequired")  # of these the service says more, and at other places
EXAMPLES = ROOT / "service" / "kettlewright" / "api" / "endpoints" / "examples"


def record() -> dict[str, Any]:
    """Bodies and replies, by operation."""
    service, found = create_app().test_client(), {}
    for name, operation in OPERATIONS.items():
        body = None
        if operation.method == "POST":
            examples = json.loads((EXAMPLES / f"{name}.json").read_text(encoding="utf-8"))
            body = examples[-1 if name == "batches" else 0]["body"]
        replies: dict[str, Any] = {}
        for form in ("json", *operation.forms):
            reply = service.open(operation.path.replace("{key}", "olive"), method=operation.method, json=body,
                                 query_string={"search": "olive"} if name == "fats" else {},
                                 headers={"Accept": MEDIA_TYPES[form]})
            assert reply.status_code == 200, reply.text
            replies[form] = reply.json if form == "json" else reply.text
        found[name] = {"body": body, "replies": replies}
    return found


def requests_of_the_contract() -> dict[str, Any]:
    """Each operation's request, and the schemas it is made of, without what is only for readers."""
    whole = document()
    schemas, kept = whole["components"]["schemas"], {}
    operations = {told["operationId"]: _last(told["requestBody"]["content"]["application/json"]["schema"]["$ref"])
                  for item in whole["paths"].values() for told in item.values() if "requestBody" in told}
    left = list(operations.values())
    while left:
        name = left.pop()
        if name not in kept:
            kept[name] = _compact(schemas[name])
            left += re.findall(r'"#/components/schemas/(\w+)"', json.dumps(kept[name]))
    return {"operations": operations, "components": {"schemas": dict(sorted(kept.items()))}}


def _last(ref: str) -> str:
    return ref.rpartition("/")[2]


def _compact(schema: Any, *, names: bool = False) -> Any:
    """A schema's rules; `names` says that its keys are names of fields."""
    if isinstance(schema, list):
        return [_compact(item) for item in schema]
    if not isinstance(schema, dict):
        return schema
    if not names and "discriminator" in schema:  # the word says which; so a fault is one of the shape that was meant
        key, mapping = schema["discriminator"]["propertyName"], schema["discriminator"]["mapping"]
        return {"type": "object", "required": [key], "properties": {key: {"enum": list(mapping)}}, "allOf": [
            {"if": {"required": [key], "properties": {key: {"const": word}}}, "then": {"$ref": ref}}
            for word, ref in mapping.items()]}
    return {key: _compact(value, names=key == "properties") for key, value in schema.items()
            if names or key not in ("description", "examples", "format", *_BETWEEN_FIELDS)}


def written(found: dict[str, Any]) -> str:
    """As it stands in the file: a line for each operation, so that a change shows where it is."""
    lines = ",\n".join(f"{json.dumps(name)}: {json.dumps(told, ensure_ascii=False)}" for name, told in found.items())
    return "{\n" + lines + "\n}\n"


def written_requests(found: dict[str, Any]) -> str:
    """As it stands in the file: a line for each schema."""
    lines = ",\n".join(f"{json.dumps(name)}: {json.dumps(schema, ensure_ascii=False, separators=(',', ':'))}"
                       for name, schema in found["components"]["schemas"].items())
    return f'{{"operations": {json.dumps(found["operations"])},\n"components": {{"schemas": {{\n{lines}\n}}}}}}\n'


if __name__ == "__main__":
    FILE.write_text(written(record()), encoding="utf-8")
    REQUESTS.write_text(written_requests(requests_of_the_contract()), encoding="utf-8")
