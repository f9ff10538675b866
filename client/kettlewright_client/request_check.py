"""Check a request body against the contract without the service; needs jsonschema (the extra "testing").

`requests.json` is the part of openapi.yaml about requests. It covers names, types and bounds. It does not cover what
only the maths can check, such as shares that must add up to 100 or a mould that is too small.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kettlewright_client.errors import ClientError

if TYPE_CHECKING:
    from jsonschema.exceptions import ValidationError
    from jsonschema.protocols import Validator

__all__ = ["CODES", "find_errors"]

CODES = {"additionalProperties": "unknown_field", "required": "missing", "type": "wrong_type",
         "pattern": "wrong_type"}
"""The service's code of an error, by the broken rule; any other is "out_of_range". [words]"""
_ERRORS_MAX = 50


@cache
def _contract() -> dict[str, Any]:
    found: dict[str, Any] = json.loads(Path(__file__).with_name("requests.json").read_text(encoding="utf-8"))
    return found


@cache
def _validator(operation: str) -> Validator | None:
    """The validator of an operation; None if it takes no body."""
    try:
        from jsonschema import Draft202012Validator
    except ImportError:
        raise ClientError('To check bodies against the contract install "kettlewright-client[testing]", or make the '
                          "stub with check=False.") from None
    contract = _contract()
    if operation not in contract["operations"]:
        return None
    return Draft202012Validator({"$ref": f"#/components/schemas/{contract['operations'][operation]}",
                                 "components": contract["components"]})


def find_errors(operation: str, body: Any) -> list[dict[str, str]]:
    """Errors of a body, by the contract.

    Parameters
    ----------
    operation : str
        Such as "lye". [word]
    body : object
        The body as it would be sent. [as in JSON]

    Returns
    -------
    list of dict : `pointer`, `detail`, `code`, and `allowed` if it says anything, as in a problem; at most 50. [text]

    Raises
    ------
    ClientError : jsonschema is not installed.
    """
    validator = _validator(operation)
    if validator is None:
        return []
    errors = [found for error in validator.iter_errors(body) for found in _errors(error)]
    return errors[:_ERRORS_MAX]


def _errors(error: ValidationError) -> Iterator[dict[str, str]]:
    way = tuple(error.absolute_path)
    rule: Any = error.validator_value
    if error.validator == "required":  # one error for each name; only the message says which
        name = next(name for name in rule if error.message.startswith(repr(name)))
        yield _error((*way, name), f"{name} is required.", "missing")
        return
    if error.validator == "additionalProperties":
        schema: Any = error.schema
        found: Any = error.instance
        known = list(schema.get("properties", {}))
        for name in found:
            if name not in known:
                yield _error((*way, name), f'Unknown field "{name[:60]}". Known here: {", ".join(known)}.',
                             "unknown_field")
        return
    allowed = ", ".join(map(str, rule)) if error.validator == "enum" else ""
    yield _error(way, error.message[:300], CODES.get(str(error.validator), "out_of_range"), allowed)


def _error(way: tuple[Any, ...], detail: str, code: str, allowed: str = "") -> dict[str, str]:
    pointer = "".join(f"/{str(part).replace('~', '~0').replace('/', '~1')}" for part in way)
    found = {"pointer": pointer, "detail": detail, "code": code}
    return {**found, "allowed": allowed} if allowed else found
