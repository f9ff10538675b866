"""Functions made from schemas as source text, and the objects that they use."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from marshmallow import Schema, fields

__all__ = ["Functions"]


class Functions:
    """Compiled functions, which find each other and other objects by name.

    Parameters
    ----------
    given : objects
        What they find by these names. [any]
    """

    def __init__(self, **given: object) -> None:
        self._names: dict[str, Any] = dict(given)
        self._of_schemas: dict[type[Schema], str] = {}

    def __getitem__(self, name: str) -> Callable[..., Any]:
        """The function of a name (`name`). [function]"""
        found: Callable[..., Any] = self._names[name]
        return found

    def keep(self, value: object, word: str) -> str:
        """Let the functions find an object (`value`; `word`: how its name begins). Returns its name. [text]"""
        name = f"{word}_{len(self._names)}"
        self._names[name] = value
        return name

    def known(self, schema: type[Schema]) -> str | None:
        """The name of the function of a class of schemas, if it has begun (`schema`). [text]"""
        return self._of_schemas.get(schema)

    def begin(self, schema: type[Schema]) -> str:
        """A name for the function of a class, before those of its fields, which may need it (`schema`). [text]"""
        name = self._of_schemas[schema] = f"{schema.__name__}_{len(self._of_schemas)}"
        return name

    def of_part(self, field: fields.Nested, compiled: Callable[[Schema], str]) -> str:
        """The name of the function of a part (`field`; `compiled`: makes it from its schema). [text]"""
        found = None
        if isinstance(field.nested, type) and field.only is None and not field.exclude:
            found = self.known(field.nested)
        return found or compiled(field.schema)  # most are known: `field.schema` would copy every field of theirs

    def define(self, lines: Sequence[str], *, made_for: str) -> None:
        """Compile functions (`lines`: their source; `made_for`: shown in tracebacks). [text]"""
        exec(compile("\n".join(lines), f"<made for {made_for}>", "exec"), self._names)
