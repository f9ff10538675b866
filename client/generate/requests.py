"""Writes the part of the contract about requests: for the check of names, and for the stub."""

from __future__ import annotations

import json
from typing import Any

from generate.contract import Contract
from generate.inputs import inputs_used

__all__ = ["requests_file"]

_FOR_READERS = ("description", "examples")


def requests_file(contract: Contract) -> str:
    """Each operation's request, and the schemas it is made of, without what is only for readers.

    Parameters
    ----------
    contract : Contract
        The contract. [contract]

    Returns
    -------
    str : JSON, with a line for each schema, so that a change shows where it is.
    """
    operations = {one.name: one.request for one in contract.operations if one.request}
    schemas = {name: _compact(contract.schemas[name]) for name in sorted(inputs_used(contract))}
    lines = ",\n".join(f"{json.dumps(name)}: {json.dumps(schema, ensure_ascii=False, separators=(',', ':'))}"
                       for name, schema in schemas.items())
    return f'{{"operations": {json.dumps(operations)},\n"components": {{"schemas": {{\n{lines}\n}}}}}}\n'


def _compact(schema: Any, *, names: bool = False) -> Any:
    """A schema's rules; `names` says that its keys are names of fields."""
    if isinstance(schema, list):
        return [_compact(item) for item in schema]
    if not isinstance(schema, dict):
        return schema
    return {key: _compact(value, names=key in ("properties", "dependentRequired", "mapping"))
            for key, value in schema.items() if names or key not in _FOR_READERS}
