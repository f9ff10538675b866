"""Functions that dump a result as the schema of its reply does, made from the schema once, at start.

marshmallow looks up every field of every object anew. Here each schema becomes the source of a plain function, such as

    def LyeAt_of_object(o, text, mass, dose, length, volume, temperature):
        made = {"temperature": None if (v := o.temperature_c) is None else temperature(v), ...

which is compiled. Anything a function cannot do, it leaves to marshmallow: a kind of field that is not listed here is
dumped by the field itself, and when a function raises anything, marshmallow dumps the whole result, or raises its own
error. `tests/api/door/test_compiled_dump.py` compares both.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from typing import Any

from marshmallow import Schema, fields, missing
from marshmallow.decorators import POST_DUMP, PRE_DUMP

from kettlewright.api.door.compiling import Functions
from kettlewright.api.door.fields import Choice, Day, Number, Quantity, Text, Whole
from kettlewright.api.door.responses import ResponsePart
from kettlewright.digits import nine_digits
from kettlewright.languages import current_locale, default_locale, translated
from kettlewright.said import Said
from kettlewright.units import KINDS, OPTIONS, Units, current_units, default_units

__all__ = ["Dump", "compiled_dump"]

Dump = Callable[[Any], dict[str, Any]]

_PASSED = ", ".join(("text", *KINDS))  # to every function: what depends on the request


def compiled_dump(schema: Schema) -> Dump:
    """A function that dumps what a schema dumps, and the same.

    Parameters
    ----------
    schema : Schema
        Of a reply. [schema]

    Returns
    -------
    callable : makes the JSON reply of a result, in the units and language of the request. [function]
    """
    fast = _functions[_compiled(schema)]

    def dump(result: Any) -> dict[str, Any]:
        try:
            made: dict[str, Any] = fast(result, *_converters(current_units.get(), current_locale.get()))
        except Exception:  # marshmallow knows what to do, or which error to raise
            made = schema.dump(result)
        return made

    return dump


@lru_cache(maxsize=1024)
def _converters(units: Units, locale: str) -> tuple[Callable[[Any], Any], ...]:
    """What writes a text and each kind of quantity, in the order of `_PASSED`."""
    text = _plain if units == default_units and locale == default_locale else _written
    return (text, *(_converter(*OPTIONS[kind][getattr(units, kind)]) for kind in KINDS))


def _converter(factor: float, offset: float) -> Callable[[float], float]:
    return nine_digits if factor == 1.0 else lambda value: nine_digits((value - offset) / factor)


def _plain(value: Any) -> str:
    """A text in English and the units of the maths."""
    return value if type(value) is str else str(value) if type(value) is Said else _written(value)


def _written(value: Any) -> str:
    return translated(value if isinstance(value, str) else str(value))


def _at(value: Any, name: str) -> Any:
    """One step of a path such as division.portions."""
    return value[name] if isinstance(value, dict) else getattr(value, name)


def _at_or_none(value: Any, *path: str) -> Any:
    try:
        for name in path:
            value = _at(value, name)
    except (AttributeError, KeyError):
        return None
    return value


_functions = Functions(number=nine_digits, at=_at, at_or_none=_at_or_none, missing=missing)


def _compiled(schema: Schema) -> str:
    """The name of the function that dumps a schema."""
    plain = schema.only is None and not schema.exclude and not schema.many
    known = _functions.known(type(schema)) if plain else None
    if known is not None:
        return known
    if not plain or not _is_usual(schema):
        return _functions.keep(lambda value, *_: schema.dump(value), "dump")
    name = _functions.begin(type(schema))
    lines = [f"def {name}(o, {_PASSED}):",
             f"    return {name}_of_dict(o, {_PASSED}) if isinstance(o, dict) else {name}_of_object(o, {_PASSED})"]
    for kind in ("dict", "object"):
        lines += [f"def {name}_of_{kind}(o, {_PASSED}):", *_body(schema, of_dict=kind == "dict"), "    return made"]
    _functions.define(lines, made_for=f"the dump of {type(schema).__name__}")
    return name


def _is_usual(schema: Schema) -> bool:
    """Whether a schema dumps as other replies do."""
    own = type(schema)
    return (own.get_attribute is ResponsePart.get_attribute and own.dump is Schema.dump
            and own._serialize is Schema._serialize and not schema._hooks[PRE_DUMP] and not schema._hooks[POST_DUMP])


def _body(schema: Schema, *, of_dict: bool) -> list[str]:
    """Lines that fill `made` with the fields of a schema, in their order."""
    lines: list[str] = []
    paths: dict[tuple[str, ...], str] = {}  # what is read once for several fields, by its path
    for name, field in schema.dump_fields.items():
        key, attribute = field.data_key if field.data_key is not None else name, field.attribute or name
        *way, last = attribute.split(".")
        if type(field).get_value is not fields.Field.get_value or field.dump_default is not missing:
            whole, get = _functions.keep(field.serialize, "whole"), _functions.keep(schema.get_attribute, "get")
            read = f"{whole}({name!r}, o, {get})"
            lines += [f"    v = {read}", "    if v is not missing:", f"        made[{key!r}] = v"]
        elif attribute in schema._left_out:  # type: ignore[attr-defined]  # it is a ResponsePart
            read = (f"at_or_none(o, {', '.join(map(repr, (*way, last)))})" if way else
                    f"o.get({last!r})" if of_dict else f"getattr(o, {last!r}, None)")
            write = _writing(field, name, "v")
            lines += [f"    v = {read}", "    if v is not None:", f"        made[{key!r}] = {write}"]
        else:
            read = (f"at({paths.setdefault(tuple(way), f'p{len(paths)}')}, {last!r})" if way else
                    f"o[{last!r}]" if of_dict else f"o.{last}")
            lines.append(f"    made[{key!r}] = None if (v := {read}) is None else {_writing(field, name, 'v')}")
    return [*(f"    {short} = {_read(path, of_dict=of_dict)}" for path, short in paths.items()), "    made = {}",
            *lines]


def _read(path: tuple[str, ...], *, of_dict: bool) -> str:
    """The expression for what is at a path from the object."""
    *way, last = path
    if way:
        return f"at({_read(tuple(way), of_dict=of_dict)}, {last!r})"
    return f"o[{last!r}]" if of_dict else f"o.{last}"


def _writing(field: fields.Field[Any], name: str, value: str) -> str:
    """The expression that writes a value which is not None (`value`: its name there)."""
    serialize: object = type(field)._serialize
    if isinstance(field, Quantity) and serialize is Quantity._serialize:
        return f"{field.kind}({value})"
    if isinstance(field, fields.Nested) and serialize is fields.Nested._serialize and not field.many:
        return f"{_functions.of_part(field, _compiled)}({value}, {_PASSED})"
    if isinstance(field, fields.List) and serialize is fields.List._serialize:
        item = value + "i"
        return f"[None if {item} is None else {_writing(field.inner, name, item)} for {item} in {value}]"
    own = f"{_functions.keep(field, 'field')}._serialize({value}, {name!r}, o)"
    if serialize is fields.Boolean._serialize:
        return f"{value} if {value} is True or {value} is False else {own}"
    usual: dict[object, str] = {
        Number._serialize: f"number({value})", Whole._serialize: f"int({value})",
        Text._serialize: f"({value} if type({value}) is str else text({value}))",
        Choice._serialize: f"str({value})", Day._serialize: f"str({value}.isoformat())"}
    return usual.get(serialize, own)
