"""Check a request body against the contract without the service; needs jsonschema (the extra "testing").

The part of openapi.yaml about requests covers names, types, bounds, and which fields exclude or need each other. It
does not cover what only the service can check: shares that must add up to 100, names that refer to other parts of the
body, whether a fat is known, the identity of a plan, or whether a batch fits its mould. Pointers of fields that exclude
each other are those of the object; the service names one of the fields.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from typing import TYPE_CHECKING, Any

from kettlewright_client.contract import request_contract
from kettlewright_client.errors import ClientError

if TYPE_CHECKING:
    from jsonschema.exceptions import ValidationError
    from jsonschema.protocols import Validator

__all__ = ["CODES", "find_errors"]

CODES = {"additionalProperties": "unknown_field", "required": "missing", "type": "wrong_type", "format": "wrong_type"}
"""The service's code of an error, by the broken rule; any other is "out_of_range". [words]"""
_ERRORS_MAX = 50
_BETWEEN_FIELDS = frozenset({"oneOf", "not", "dependentRequired"})


@cache
def _validator(operation: str) -> Validator | None:
    """The validator of an operation; None if it takes no body."""
    try:
        from jsonschema import Draft202012Validator, FormatChecker
    except ImportError:
        raise ClientError('To check bodies against the contract install "kettlewright-client[testing]", or make the '
                          "stub with check=False.") from None
    contract = request_contract()
    if operation not in contract["operations"]:
        return None
    dates = FormatChecker(["date"])
    return Draft202012Validator({"$ref": f"#/components/schemas/{contract['operations'][operation]}",
                                 "components": _chosen_by_word(contract["components"])}, format_checker=dates)


def _chosen_by_word(schema: Any) -> Any:
    """The same rules, where a word chooses one of several objects: so an error is one of the object that is meant."""
    if isinstance(schema, list):
        return [_chosen_by_word(part) for part in schema]
    if not isinstance(schema, dict):
        return schema
    if "propertyName" not in schema.get("discriminator", {}):
        return {key: _chosen_by_word(value) for key, value in schema.items()}
    key, mapping = schema["discriminator"]["propertyName"], schema["discriminator"]["mapping"]
    return {"type": "object", "required": [key], "properties": {key: {"enum": list(mapping)}}, "allOf": [
        {"if": {"required": [key], "properties": {key: {"const": word}}}, "then": {"$ref": ref}}
        for word, ref in mapping.items()]}


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
    instance: Any = error.instance
    if error.validator in _BETWEEN_FIELDS and not isinstance(instance, Mapping):
        return  # of its type there is another error
    if error.validator == "oneOf":
        choices = [name for choice in rule for name in choice.get("required", ())]
        given = [name for name in choices if name in instance]
        words = ", ".join(choices)
        yield _error(way, f"Give exactly one of {words}" + (f", not {' and '.join(given)}." if given else "."),
                     "conflict" if given else "missing", words)
        return
    if error.validator == "not":
        yield _error(way, f"Do not give {' and '.join(rule['required'])} together.", "conflict")
        return
    if error.validator == "dependentRequired":
        for name, needed in rule.items():
            for other in needed if name in instance else ():
                if other not in instance:
                    yield _error((*way, other), f"{name} needs {other} beside it.", "missing")
        return
    one_of_words = isinstance(error.schema, Mapping) and "enum" in error.schema
    allowed = ", ".join(map(str, rule)) if error.validator == "enum" else ""
    code = "out_of_range" if one_of_words else CODES.get(str(error.validator), "out_of_range")
    yield _error(way, error.message[:300], code, allowed)


def _error(way: tuple[Any, ...], detail: str, code: str, allowed: str = "") -> dict[str, str]:
    pointer = "".join(f"/{str(part).replace('~', '~0').replace('/', '~1')}" for part in way)
    found = {"pointer": pointer, "detail": detail, "code": code}
    return {**found, "allowed": allowed} if allowed else found
