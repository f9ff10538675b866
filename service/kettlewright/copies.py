"""Copies of frozen dataclasses with changes, made faster than by `dataclasses.replace`."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from dataclasses import fields, is_dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

__all__ = ["replace", "takes_every_field"]

if TYPE_CHECKING:
    from dataclasses import replace  # type checkers know its arguments
else:
    def replace(one: Any, /, **changes: Any) -> Any:
        """A copy with changes, as `dataclasses.replace` makes it, which walks all fields at each call.

        Parameters
        ----------
        one : object
            An object of a dataclass. [any]
        **changes : object
            Fields that change. [any]

        Returns
        -------
        object : of the same class; checked like any new one.

        Raises
        ------
        TypeError : it is no dataclass, or has no such field.
        """
        return _copying(type(one))(one, **changes)


def takes_every_field(of: type[Any]) -> bool:
    """Whether the `__init__` of a dataclass takes every field and nothing else (`of`). [yes or no]"""
    return all(field.init for field in fields(of)) and len(fields(of)) == len(of.__dataclass_fields__)


@cache
def _copying(of: type[Any]) -> Callable[..., Any]:
    """What copies objects of a class with changes (`of`); made when first needed, since few classes are copied."""
    if not (is_dataclass(of) and takes_every_field(of)):
        return dataclasses.replace
    names = [field.name for field in fields(of)]
    space: dict[str, Any] = {"_make": of, "_same": object()}
    exec(f"def replace(_one, /, {', '.join(f'{name}=_same' for name in names)}):\n    return _make("
         + ", ".join(f"{name}=_one.{name} if {name} is _same else {name}" for name in names) + ")", space)
    copy: Callable[..., Any] = space["replace"]
    return copy
