"""The contract as it is committed, read once, and with its references followed."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import yaml

__all__ = ["COMMITTED", "committed", "parameters_of", "read_yaml", "whole"]

COMMITTED = Path(__file__).parents[2] / "openapi.yaml"


def read_yaml(text: str) -> dict[str, Any]:
    """A document in YAML, by the parser in C where there is one: it takes a tenth of the time."""
    found: dict[str, Any] = yaml.load(text, Loader=getattr(yaml, "CSafeLoader", yaml.SafeLoader))
    return found


@cache
def committed() -> dict[str, Any]:
    """The committed contract; do not change it."""
    return read_yaml(COMMITTED.read_text(encoding="utf-8"))


def whole(schemas: dict[str, Any], name: str) -> dict[str, Any]:
    """A schema with the parts it extends put into it (`schemas`: of the document)."""
    found = schemas[name]
    bases = [whole(schemas, one["$ref"].rsplit("/", 1)[1]) for one in found.get("allOf", ()) if "$ref" in one]
    if not bases:
        return dict(found)
    made = {key: value for key, value in found.items() if key != "allOf"}
    made["properties"] = {key: schema for part in (*bases, found) for key, schema in part.get("properties", {}).items()}
    made["required"] = [key for part in (*bases, found) for key in part.get("required", ())]
    return made


def parameters_of(document: dict[str, Any], operation: dict[str, Any]) -> list[dict[str, Any]]:
    """The parameters of an operation, those of `components` among them."""
    shared = document["components"]["parameters"]
    return [shared[one["$ref"].rsplit("/", 1)[1]] if "$ref" in one else one for one in operation["parameters"]]
