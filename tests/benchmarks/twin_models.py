"""pydantic's models of the requests and replies of an operation, made from the same schemas as our own.

They promise what ours promise: no unknown field, no text in place of a number, bounds, quantities in the units of the
request. So the comparison is between two ways of doing the same work, and not between two contracts.
"""

from __future__ import annotations

import itertools
from functools import partial
from typing import Annotated, Any, Literal, Union

from kettlewright import limits
from kettlewright.api.door.fields import Choice, Day, Flag, Number, Quantity, Text, Whole, read_day
from kettlewright.api.door.responses import ResponsePart
from kettlewright.api.door.strict import ListOf, Part, Strict
from kettlewright.api.door.strict import Union as OneOf
from kettlewright.units import to_base
from marshmallow import fields
from pydantic import AfterValidator, ConfigDict, Discriminator, Field, Tag, create_model

__all__ = ["reply_model", "request_type"]

_number = itertools.count()


def request_type(schema: Strict) -> Any:
    """The type of an object of a request, which becomes what our schema builds of it (`schema`)."""
    members: dict[str, Any] = {}
    for name, field in schema.load_fields.items():
        alias = field.data_key or name
        members[f"f_{name}"] = (_given(field), Field(alias=alias) if field.required else Field(None, alias=alias))
    model = create_model(f"{type(schema).__name__}{next(_number)}", __config__=ConfigDict(strict=True, extra="forbid"),
                         **members)

    def build(made: Any) -> Any:
        values = made.__dict__
        return schema.build({name[2:]: values[name] for name in made.model_fields_set})

    return Annotated[model, AfterValidator(build)]


def _given(field: Any) -> Any:
    if isinstance(field, Quantity):
        check = () if field.bounds is None else (AfterValidator(partial(_within, field.bounds)),)
        return Annotated[(float, Field(allow_inf_nan=False), AfterValidator(partial(_in_base, field.kind)), *check)]
    if isinstance(field, Number) and type(field)._deserialize in (Number._deserialize, Whole._deserialize):
        of = int if isinstance(field, Whole) else float
        if field.check is not None:
            return Annotated[of, AfterValidator(partial(_checked, field.check))]
        bounds = {} if field.bounds is None else {"ge": field.bounds.low, "le": field.bounds.high}
        return Annotated[of, Field(**bounds)]
    if isinstance(field, Flag):
        return bool
    if isinstance(field, Choice):
        return Literal[field.choices]
    if isinstance(field, Day):
        return Annotated[str, AfterValidator(read_day)]
    if isinstance(field, Text) and type(field)._deserialize is Text._deserialize:
        more = [AfterValidator(field.convert)] if field.convert else []
        return Annotated[(str, Field(min_length=1, max_length=limits.NAME_LENGTH_MAX, pattern=field.pattern), *more)]
    if isinstance(field, Part):
        return request_type(field.schema)
    if isinstance(field, ListOf):
        return Annotated[list[_given(field.inner)],
                         Field(min_length=field.at_least, max_length=field.at_most)]
    if isinstance(field, OneOf):
        return Annotated[Union[tuple(Annotated[request_type(one), Tag(word)]  # noqa: UP007  # a tuple made at run time
                                     for word, one in field.members.items())],
                         Discriminator(lambda value: value[field.key])]
    return Annotated[Any, AfterValidator(field.deserialize)]


def _in_base(kind: str, value: float) -> float:
    return to_base(value, kind)


def _within(bounds: limits.Bounds, value: float) -> float:
    return bounds.check(value, shown="it")


def _checked(check: Any, value: Any) -> Any:
    check(value)
    return value


def reply_model(schema: ResponsePart, known: dict[str, Any] | None = None) -> Any:
    """The model of an object of a reply (`schema`; `known`: models made so far, by their names)."""
    known = {} if known is None else known
    name = type(schema).__name__
    if name not in known:
        members: dict[str, Any] = {}
        for place, (attribute, field) in enumerate(schema.dump_fields.items()):
            key = field.data_key or attribute
            members[f"f{place}"] = (_shown(field, known) | None, Field(None, alias=key) if key in schema.omitted
                                    else Field(alias=key))
        known[name] = create_model(name, **members)
    return known[name]


def _shown(field: Any, known: dict[str, Any]) -> Any:
    if isinstance(field, Whole):
        return int
    if isinstance(field, Number):
        return float
    if isinstance(field, (Text, Choice, Day)):
        return str
    if isinstance(field, fields.Boolean):
        return bool
    if isinstance(field, fields.Nested) and isinstance(field.schema, ResponsePart):
        return reply_model(field.schema, known)
    if isinstance(field, fields.List):
        return list[_shown(field.inner, known) | None]
    return Any
