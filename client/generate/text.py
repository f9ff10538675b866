"""Docstrings and other text of generated code."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable

from generate.contract import Field

__all__ = ["HEAD", "WIDTH", "about", "docstring", "exports", "from_import", "wrapped"]

WIDTH = 120
HEAD = "Written by `make contract` from openapi.yaml; do not edit."
_DEFAULTS = {"mass": "g", "dose": "g", "length": "mm", "volume": "mL", "temperature": "degC"}


def about(field: Field, *, words: bool) -> str:
    """A field in words: its meaning, unit and bounds.

    Parameters
    ----------
    field : Field
        The field. [field]
    words : bool
        Whether its allowed words are listed; a type lists them already. [yes or no]

    Returns
    -------
    str
    """
    parts = [_sentence(field.meaning or field.name)]
    kind = field.kind.items or field.kind
    by_units = field.unit.startswith("units.")
    if field.unit:
        default = _DEFAULTS.get(field.unit.removeprefix("units.")) if by_units else None
        parts.append(f"Unit: `{field.unit}`, {default} if not set." if default else f"Unit: {field.unit}.")
    if field.rules:
        widest = " (in the unit where the range is widest)" if by_units else ""
        parts.append(_sentence("; ".join(field.rules) + widest))
    if words and kind.words:
        parts.append(f"One of {', '.join(kind.words)}.")
    if kind.format == "date":
        parts.append("A date such as 2027-03-20.")
    return " ".join(parts)


def _sentence(text: str) -> str:
    text = text[:1].upper() + text[1:] if text[:1].islower() and not text.split()[0].count("_") else text
    return text if text.endswith((".", "!", "?")) else f"{text}."


def wrapped(text: str, indent: str, first: str = "") -> list[str]:
    """Lines of at most `WIDTH` characters: `text` with `indent`, the first with `first` after it."""
    return textwrap.wrap(text, WIDTH, initial_indent=indent + first, subsequent_indent=indent,
                         break_long_words=False, break_on_hyphens=False)


def docstring(text: str, indent: str) -> list[str]:
    """Lines of a docstring of one paragraph (`text`, `indent`)."""
    text = text.replace("\\", "\\\\").replace('"""', "'''")
    lines = wrapped(text, indent, '"""')
    if len(lines) == 1 and len(lines[0]) + 3 <= WIDTH and not text.endswith('"'):
        return [lines[0] + '"""']
    return [*lines, f'{indent}"""']


def exports(names: Iterable[str]) -> list[str]:
    """Lines of `__all__` with these `names`."""
    joined = ", ".join(f'"{name}"' for name in sorted(names))
    return [line.rstrip() for line in textwrap.wrap(
        f"__all__ = [{joined}]", WIDTH, subsequent_indent=" " * 11, break_on_hyphens=False)]


def from_import(module: str, names: list[str]) -> list[str]:
    """Lines that import `names` from a `module`."""
    line = f"from {module} import {', '.join(names)}"
    if len(line) <= WIDTH - 4:
        return [line]
    return [f"from {module} import (", *(f"    {name}," for name in names), ")"]
