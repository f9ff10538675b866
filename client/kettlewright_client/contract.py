"""The part of the contract about requests: `generated/requests.json`, which `make contract` writes."""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

__all__ = ["request_contract", "request_schema", "schema_of"]


@cache
def request_contract() -> dict[str, Any]:
    """Operations with their requests, and the components of these. [as in JSON]"""
    file = Path(__file__).parent / "generated" / "requests.json"
    found: dict[str, Any] = json.loads(file.read_text(encoding="utf-8"))
    return found


def request_schema(operation: str) -> Mapping[str, Any] | None:
    """The schema of an operation's body.

    Parameters
    ----------
    operation : str
        Such as "lye". [word]

    Returns
    -------
    mapping : None if it takes no body. [as in JSON]
    """
    name = request_contract()["operations"].get(operation)
    return None if name is None else {"$ref": f"#/components/schemas/{name}"}


def schema_of(schema: Mapping[str, Any], value: Any) -> Mapping[str, Any]:
    """Follow references, and choose by the word that says which.

    Parameters
    ----------
    schema : mapping
        A schema. [as in JSON]
    value : object
        The value it is for. [as in JSON]

    Returns
    -------
    mapping : empty if the word is missing or unknown. [as in JSON]
    """
    while "$ref" in schema:
        schema = request_contract()["components"]["schemas"][schema["$ref"].rpartition("/")[2]]
    if "discriminator" in schema:
        word = value.get(schema["discriminator"]["propertyName"]) if isinstance(value, Mapping) else None
        ref = schema["discriminator"]["mapping"].get(word) if isinstance(word, str) else None
        return {} if ref is None else schema_of({"$ref": ref}, value)
    return schema
