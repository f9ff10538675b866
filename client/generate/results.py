"""Writes the results: a frozen dataclass for every object of a reply, in a module for each operation."""

from __future__ import annotations

from collections.abc import Mapping

from generate.contract import Component, Contract, Field, Kind, last
from generate.names import BEHAVIOUR, SENT_AGAIN, class_names
from generate.text import HEAD, about, docstring, exports, from_import, wrapped

__all__ = ["result_modules"]

_SCALARS = {"number": "float", "integer": "int", "string": "str", "boolean": "bool"}
_SHARED = "shared"


def result_modules(contract: Contract) -> dict[str, str]:
    """The modules of results, by file name, `__init__.py` among them.

    Parameters
    ----------
    contract : Contract
        The contract. [contract]

    Returns
    -------
    dict of str : each class is in the module of the first operation whose reply has it. [Python]
    """
    names = class_names(contract.components)
    homes = _homes(contract)
    writer = _Writer(contract, names, homes)
    modules: dict[str, list[str]] = {}
    for component, home in homes.items():
        modules.setdefault(home, []).append(component)
    found = {f"{home}.py": writer.module(home, components) for home, components in modules.items()}
    found["__init__.py"] = _index({names[one]: home for one, home in homes.items()})
    return found


def _index(homes: Mapping[str, str]) -> str:
    """The module that has every class and loads its module when it is used."""
    lines = [f'"""Every class of a reply. {HEAD}"""', "", "from importlib import import_module",
             "from typing import TYPE_CHECKING, Any", "", "if TYPE_CHECKING:"]
    for home in dict.fromkeys(homes.values()):
        lines += [f"    {line}" for line in from_import(f"kettlewright_client.generated.results.{home}",
                                                        sorted(name for name in homes if homes[name] == home))]
    lines += ["", *exports(homes), "", "_HOMES = {"]
    lines += [f'    "{name}": "{home}",' for name, home in sorted(homes.items())]
    return "\n".join([*lines, "}", "", "", "def __getattr__(name: str) -> Any:", "    if name not in _HOMES:",
                      "        raise AttributeError(f'no result is called \"{name}\"')",
                      '    return getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)', ""])


def _homes(contract: Contract) -> dict[str, str]:
    homes: dict[str, str] = {}

    def visit(name: str, home: str) -> None:
        if name not in homes and name not in SENT_AGAIN:
            for ref in contract.components[name].refs():
                visit(ref, home)
            homes[name] = home

    visit("BaseResponse", _SHARED)
    for operation in contract.operations:
        visit(operation.reply, operation.name)
    return homes


class _Writer:
    def __init__(self, contract: Contract, names: Mapping[str, str], homes: Mapping[str, str]) -> None:
        self.contract = contract
        self.names = names
        self.homes = homes
        self.replies = {operation.reply: operation for operation in reversed(contract.operations)}

    def module(self, home: str, components: list[str]) -> str:
        body = [line for component in components for line in self._class(self.contract.components[component])]
        text = "\n".join(body)
        about_it = "Parts of every reply" if home == _SHARED else f"Reply of `{home}`"
        lines = [f'"""{about_it}. {HEAD}"""', ""]
        standard = [f"from collections.abc import {', '.join(names)}" for names in [
            [name for name in ("Mapping",) if f"{name}[" in text]] if names]
        typed = ["TYPE_CHECKING"] if "TYPE_CHECKING" in text else []
        typed += ["Any"] if "-> Any" in text or "Any]" in text else []
        typed += [name for name in ("Literal", "overload") if f"{name}[" in text or f"@{name}" in text]
        lines += [*standard, f"from dataclasses import dataclass{', field' if 'field(' in text else ''}"]
        lines += [f"from typing import {', '.join(typed)}"] if typed else []
        lines += ["", *self._imports(home, components, text), ""]
        inputs = sorted({SENT_AGAIN[ref] for one in components for ref in self.contract.components[one].refs()
                         if ref in SENT_AGAIN})
        if inputs:
            lines += ["if TYPE_CHECKING:",
                      *(f"    from kettlewright_client.generated.inputs import {name}" for name in inputs), ""]
        return "\n".join([*lines, *exports(self.names[one] for one in components), *body, ""])

    def _imports(self, home: str, components: list[str], text: str) -> list[str]:
        wanted: dict[str, set[str]] = {}
        for component in components:
            for ref in self.contract.components[component].refs():
                if ref not in SENT_AGAIN and self.homes[ref] != home:
                    wanted.setdefault(self.homes[ref], set()).add(self.names[ref])
            for field in self.contract.fields_of(component):
                ref = last(field.kind)
                if ref and ref not in SENT_AGAIN and self.homes[ref] != home and _may_lack(field):
                    wanted.setdefault(self.homes[ref], set()).add(self.names[ref])
        modules = {f"kettlewright_client.generated.results.{other}": names for other, names in wanted.items()}
        behaviour = {BEHAVIOUR[one] for one in components if one in BEHAVIOUR}
        if behaviour:
            modules["kettlewright_client.behaviour"] = behaviour
        bases = {name for name in ("Record", "Result") if f"({name})" in text or f", {name})" in text}
        if bases:
            modules["kettlewright_client.record"] = bases
        return [line for name in sorted(modules) for line in from_import(name, sorted(modules[name]))]

    def _class(self, component: Component) -> list[str]:
        bases = [self.names[base] for base in component.bases]
        if component.name in BEHAVIOUR:
            bases.insert(0, BEHAVIOUR[component.name])
        if not component.bases:
            is_reply = component.name in self.replies or component.name == "BaseResponse"
            bases.append("Result" if is_reply else "Record")
        elif component.name in self.replies and "BaseResponse" not in component.bases:
            bases.append("Result")
        head = wrapped(f"class {self.names[component.name]}({', '.join(bases)}):", "")
        lines = ["", "", "@dataclass(frozen=True, kw_only=True, repr=False)", *head,
                 *docstring(self._about(component), "    ")]
        for field in component.fields:
            lines += ["", f"    {field.name}: {self._type(field)}", *docstring(about(field, words=True), "    ")]
        return lines + self._need(component)

    def _about(self, component: Component) -> str:
        if component.name in self.replies:
            operation = self.replies[component.name]
            return f"Reply of `{operation.name}`: {operation.summary[:1].lower()}{operation.summary[1:]}."
        if component.name == "BaseResponse":
            return "Fields of every reply to a calculation."
        if component.meaning:
            return component.meaning.rstrip(".") + "."
        return self.contract.use_of(component.name, {one: self.names[one] for one in self.homes})

    def _type(self, field: Field) -> str:
        plain = self._plain(field.kind)
        if field.kind.ref in SENT_AGAIN or field.kind.name == "object":
            # a text as type: the reader leaves it as it came
            return f'"{plain}" = field(hash=False)' if field.required else \
                f'"{plain} | None" = field(default=None, hash=False)'
        if field.kind.null or not field.required:
            if field.kind.items and not field.kind.null:
                return f"{plain} = ()"
            return f"{plain} | None" if field.required else f"{plain} | None = None"
        return plain

    def _plain(self, kind: Kind) -> str:
        if kind.items is not None:
            return f"tuple[{self._plain(kind.items)}, ...]"
        if kind.ref:
            return SENT_AGAIN.get(kind.ref) or self.names[kind.ref]
        return "Mapping[str, Any]" if kind.name == "object" else _SCALARS[kind.name]

    def _need(self, component: Component) -> list[str]:
        """The accessor of fields that a reply may lack, typed; record.py has its code."""
        fields = [field for field in self.contract.fields_of(component.name) if _may_lack(field)]
        if not fields:
            return []
        lines = ["", "    if TYPE_CHECKING:"]
        for field in fields:
            lines += ["        @overload"] if len(fields) > 1 else []
            lines += [f'        def need(self, part: Literal["{field.name}"]) -> {self._plain(field.kind)}: ...']
        return lines + (["        def need(self, part: str) -> Any: ..."] if len(fields) > 1 else [])


def _may_lack(field: Field) -> bool:
    return field.kind.null or (not field.required and field.kind.items is None)
