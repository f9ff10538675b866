"""Writes the inputs: a TypedDict for every object of a request."""

from __future__ import annotations

from keyword import iskeyword

from generate.contract import Component, Contract, Kind
from generate.names import ALSO_TAKES
from generate.text import HEAD, WIDTH, about, docstring, exports

__all__ = ["INPUT_ALIASES", "input_module", "input_type", "inputs_used"]

_SCALARS = {"number": "Number", "integer": "Whole", "string": "str", "boolean": "bool"}
INPUT_ALIASES = ("Day", "Number", "Whole")
"""Types of single values, in values.py. [words]"""


def inputs_used(contract: Contract) -> tuple[str, ...]:
    """Components of all requests, each after those it needs (`contract`). [words]"""
    return contract.reached_from(*(one.request for one in contract.operations if one.request))


def input_module(contract: Contract) -> str:
    """The module of inputs.

    Parameters
    ----------
    contract : Contract
        The contract. [contract]

    Returns
    -------
    str
    """
    used = inputs_used(contract)
    body = [line for name in used for line in _component(contract, contract.components[name])]
    text = "\n".join(body)
    aliases = ", ".join(one for one in INPUT_ALIASES if one in text)
    lines = [f'"""Every object that a request may hold. {HEAD}"""', "", "from collections.abc import Sequence",
             "from typing import TYPE_CHECKING, Literal, NotRequired, TypeAlias, TypedDict", "",
             f"from kettlewright_client.values import {aliases}", "", "if TYPE_CHECKING:",
             f"    from kettlewright_client.results import {', '.join(sorted(ALSO_TAKES.values()))}", "",
             *exports((*used, *INPUT_ALIASES))]
    return "\n".join([*lines, *body, ""])


def _component(contract: Contract, component: Component) -> list[str]:
    if component.choices:
        line = f"{component.name}: TypeAlias = {' | '.join(component.choices)}"
        lines = [line] if len(line) <= WIDTH else [f"{component.name}: TypeAlias = (", *(
            f"    {'| ' if number else ''}{name}" for number, name in enumerate(component.choices)), ")"]
        return ["", "", *lines, *docstring(f"{component.meaning.rstrip('.')}; `{component.chosen_by}` says which.", "")]
    if any(iskeyword(field.name) for field in contract.fields_of(component.name)):
        return _by_call(contract, component)
    lines = ["", "", f"class {component.name}(TypedDict):", *docstring(_about(contract, component), "    ")]
    for field in contract.fields_of(component.name):
        plain = input_type(field.kind)
        lines += ["", f"    {field.name}: {plain if field.required else f'NotRequired[{plain}]'}",
                  *docstring(about(field, words=False), "    ")]
    return [part for line in lines for part in _short(line)]


def _by_call(contract: Contract, component: Component) -> list[str]:
    """An object with a field that is a word of Python."""
    fields = contract.fields_of(component.name)
    said = "".join(f" `{field.name}`: {about(field, words=False)}" for field in fields)
    lines = [f'    "{field.name}": {plain if field.required else f"NotRequired[{plain}]"},'
             for field in fields for plain in [input_type(field.kind)]]
    return ["", "", f'{component.name} = TypedDict("{component.name}", {{', *lines, "})",
            *docstring(_about(contract, component) + said, "")]


def _about(contract: Contract, component: Component) -> str:
    operation = next((one for one in contract.operations if one.request == component.name), None)
    first = f"The arguments of `{operation.name}`." if operation else component.meaning or contract.use_of(
        component.name, {name: name for name in inputs_used(contract)})
    return " ".join([first, *component.rules])


def input_type(kind: Kind) -> str:
    """The type of a value (`kind`) in a request."""
    assert not kind.null, kind
    if kind.items is not None:
        return f"Sequence[{input_type(kind.items)}]"
    if kind.ref:
        return f'"{kind.ref} | {ALSO_TAKES[kind.ref]}"' if kind.ref in ALSO_TAKES else kind.ref
    if kind.words:
        return f"Literal[{', '.join(f'{chr(34)}{word}{chr(34)}' for word in kind.words)}]"
    return "Day" if kind.format == "date" else _SCALARS[kind.name]


def _short(line: str) -> list[str]:
    """The line, or several if it is a long choice of words."""
    if len(line) <= WIDTH:
        return [line]
    before, _, words = line.partition("Literal[")
    inside, _, after = words.partition("]")
    lines, current = [f"{before}Literal["], "       "
    for word in inside.split(", "):
        if len(current) + len(word) + 2 > WIDTH:
            lines.append(current)
            current = "       "
        current += f" {word},"
    return [*lines, current, f"    ]{after}"]
