"""The contract with its references followed, for tests that read it."""

from __future__ import annotations

from typing import Any

__all__ = ["parameters_of", "whole"]


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
