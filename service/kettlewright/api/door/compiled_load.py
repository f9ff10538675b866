"""Functions that load a correct body as the schema of its request does, made from the schema once, at start.

Each schema becomes the source of a plain function, such as

    def WaterInput(d, mass, dose, length, volume, temperature):
        ...
        if "ice_pct" in d:
            v = d["ice_pct"]
            made["ice_pct"] = n if type(v) in NUMBERS and 0 <= (n := float(v)) <= 100 else doubt()
        ...
        return build(made)

which is compiled. It knows no problem: at whatever it does not expect it raises, and then marshmallow loads the whole
body from the start and finds all that is wrong with it. A kind of field that is not listed here loads its value itself.
`tests/api/door/test_compiled_load.py` compares both.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from functools import lru_cache
from typing import Any, NoReturn

from marshmallow import RAISE, Schema, fields, missing
from marshmallow.decorators import POST_LOAD, PRE_LOAD, VALIDATES, VALIDATES_SCHEMA

from kettlewright import limits
from kettlewright.api.door.checking import checking
from kettlewright.api.door.compiling import Functions
from kettlewright.api.door.fields import Choice, Flag, Number, Quantity, Text, Whole
from kettlewright.api.door.strict import ListOf, Strict, Union
from kettlewright.names import no_suggestions
from kettlewright.units import KINDS, OPTIONS, Units, current_units

__all__ = ["Load", "compiled_load"]

Load = Callable[[Any], Any]

_PASSED = ", ".join(KINDS)  # to every function: what converts a quantity of the request
_LARGEST = sys.float_info.max


class _Doubt(Exception):
    """The body is not what a compiled function expects."""


def compiled_load(schema: Schema) -> Load:
    """A function that loads what a schema loads, and the same, with the same errors.

    Parameters
    ----------
    schema : Schema
        Of a request. [schema]

    Returns
    -------
    callable : loads a body in the units of the request, under a check of its own (`checking`). [function]
    """
    fast = _functions[_compiled(schema)]

    def load(body: Any) -> Any:
        try:
            with no_suggestions():
                return fast(body, *_converters(current_units.get()))
        except Exception:  # marshmallow finds what is wrong, if anything is
            with checking():
                return schema.load(body)

    return load


@lru_cache(maxsize=1024)
def _converters(units: Units) -> tuple[Callable[[float], float], ...]:
    """What converts each kind of quantity, in the order of `_PASSED`."""
    return tuple(_converter(*OPTIONS[kind][getattr(units, kind)]) for kind in KINDS)


def _converter(factor: float, offset: float) -> Callable[[float], float]:
    return float if factor == 1.0 else lambda value: float(value) * factor + offset


def _doubt() -> NoReturn:
    raise _Doubt


_functions = Functions(doubt=_doubt, NUMBERS=frozenset((int, float)))


def _compiled(schema: Schema) -> str:
    """The name of the function that loads a schema."""
    known = _functions.known(type(schema))
    if known is not None:
        return known
    if not isinstance(schema, Strict) or not _is_usual(schema):
        return _functions.keep(lambda value, *_: schema.load(value), "load")
    name = _functions.begin(type(schema))
    make = type(schema).builds if type(schema).build is Strict.build else None
    lines = [f"def {name}(d, {_PASSED}):", "    if type(d) is not dict: doubt()", "    made = {}"]
    for attribute, field in schema.load_fields.items():
        key = field.data_key if field.data_key is not None else attribute
        read = _reading(field, "v")
        if make is not None and isinstance(field, ListOf):
            read = f"tuple({read})"  # as `Strict.build` does
        lines += [f"    if {key!r} in d:", f"        v = d[{key!r}]",
                  f"        made[{field.attribute or attribute!r}] = {read}"]
        if field.required:
            lines.append("    else: doubt()")
    build = f"{_functions.keep(schema.build, 'build')}(made)" if make is None else \
        f"{_functions.keep(make, 'make')}(**made)"
    lines += ["    if len(made) != len(d): doubt()", f"    return {build}"]
    _functions.define(lines, made_for=f"the load of {type(schema).__name__}")
    return name


def _is_usual(schema: Strict) -> bool:
    """Whether a schema loads as other requests do, and each field is one entry of the result."""
    own, hooks = type(schema), schema._hooks
    return (own.load is Schema.load and own._deserialize is Strict._deserialize and own._make is Strict._make
            and schema.unknown == RAISE and schema.only is None and not schema.exclude and not schema.many
            and len(hooks[POST_LOAD]) == 1 and not hooks[PRE_LOAD] and not hooks[VALIDATES]
            and not hooks[VALIDATES_SCHEMA]
            and all(field.load_default is missing and "." not in (field.attribute or "")
                    for field in schema.load_fields.values()))


def _reading(field: fields.Field[Any], value: str) -> str:
    """The expression that loads a value, or raises (`value`: its name there)."""
    own = f"{_functions.keep(field, 'field')}.deserialize({value})"
    if field.allow_none or field.validators or field.pre_load or field.post_load:
        return own
    read: object = type(field)._deserialize
    if (isinstance(field, Number) and read in (Number._deserialize, Quantity._deserialize, Whole._deserialize)
            and type(field)._number is Number._number and field.check is None):
        return _number(field, value)
    if isinstance(field, Text) and read is Text._deserialize and field.pattern is None and field.check is None:
        plain = (f"type({value}) is str and {value}.isascii() and {value}[:1].isalnum() and "
                 f"len({value}) <= {limits.NAME_LENGTH_MAX} and {value}.isprintable()")
        text = value if field.convert is None else f"{_functions.keep(field.convert, 'convert')}({value})"
        return f"{text} if {plain} else {own}"
    if isinstance(field, Choice) and read is Choice._deserialize:
        words = _functions.keep(frozenset(field.choices), "words")
        return f"{value} if type({value}) is str and {value} in {words} else doubt()"
    if isinstance(field, Flag) and read is Flag._deserialize:
        return f"{value} if {value} is True or {value} is False else doubt()"
    if isinstance(field, fields.Nested) and read is fields.Nested._deserialize and field.unknown is None:
        return f"{_functions.of_part(field, _compiled)}({value}, {_PASSED})"
    if isinstance(field, Union) and read is Union._deserialize:
        loads = {word: _functions[_compiled(member)] for word, member in field.members.items()}
        return f"{_functions.keep(loads, 'members')}[{value}[{field.key!r}]]({value}, {_PASSED})"
    if isinstance(field, ListOf) and read is ListOf._deserialize:
        most = "" if field.at_most is None else f" <= {field.at_most}"
        item = value + "i"
        return (f"[{_reading(field.inner, item)} for {item} in {value}] "
                f"if type({value}) is list and {field.at_least} <= len({value}){most} else doubt()")
    return own


def _number(field: Number, value: str) -> str:
    low, high = (-_LARGEST, _LARGEST) if field.bounds is None else (field.bounds.low, field.bounds.high)
    number = f"{field.kind}({value})" if isinstance(field, Quantity) else f"float({value})"
    made, whole = ("int(n)", " and n == int(n)") if isinstance(field, Whole) else ("n", "")
    return f"{made} if type({value}) in NUMBERS and {low!r} <= (n := {number}) <= {high!r}{whole} else doubt()"
