"""Functions made from source text, and the objects that they use."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

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

    def __getitem__(self, name: str) -> Callable[..., Any]:
        """The function of a name (`name`). [function]"""
        found: Callable[..., Any] = self._names[name]
        return found

    def keep(self, value: object, word: str) -> str:
        """Let the functions find an object (`value`; `word`: how its name begins). Returns its name. [text]"""
        name = f"{word}_{len(self._names)}"
        self._names[name] = value
        return name

    def define(self, lines: Sequence[str], *, made_for: str) -> None:
        """Compile functions (`lines`: their source; `made_for`: shown in tracebacks). [text]"""
        exec(compile("\n".join(lines), f"<made for {made_for}>", "exec"), self._names)
