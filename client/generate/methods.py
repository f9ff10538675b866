"""Writes the methods of both clients, with real keyword parameters."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable

from generate.contract import Contract, Field, Operation
from generate.inputs import INPUT_ALIASES, input_type, inputs_used
from generate.names import ALSO_TAKES, class_names
from generate.text import HEAD, WIDTH, about, exports, from_import

__all__ = ["methods_module"]

NO_BREAK = "\0"
_OPTIONS = ("timeout: Timeout | None = None", "headers: Mapping[str, str] | None = None")
_PICTURE_OF_BATCH, _SHEET_OF_BATCH = "cut_face", "batch_sheet"
_RAISES = """\
Raises
------
InvalidInput, NotFound, TooLarge, Refused, Busy, ServerFault : the service answered with a problem.
Unreachable, TimedOut : no reply.
"""
_FORM = """\
The reply of an operation in another form, as text.

Parameters
----------
operation : str
    Such as "cuts".
word : str
    Name of the form: json, svg, html, ics, csv or text.
body : dict or bytes, optional
    Arguments of that method. Bytes of JSON are sent unchanged.
timeout, headers : optional
    For this call, as in {client}.
**address : str
    Further query parameters, such as table or field; for "fat" its `key`.

Returns
-------
Text : a complete reply. Lines may end in CR LF: write it with newline="".

Raises
------
as `lye` does
"""
_SHORT = {
    "picture": "The picture of a reply as SVG, with the arguments of the operation's own method. Raises as `lye` does.",
    "calendar": """The calendar of a reply (iCalendar), with the arguments of the operation's own method.

Write it to a file in UTF-8 and with newline="", because RFC 5545 prescribes its line ends. Raises as `lye` does.""",
    _SHEET_OF_BATCH: "The batch sheet as HTML, with the arguments of `batches`. Raises as `lye` does.",
    _PICTURE_OF_BATCH: "The cut face as SVG, with the arguments of `batches`. Raises as `lye` does."}


def methods_module(contract: Contract, *, waits: bool) -> str:
    """The module with the methods of a client.

    Parameters
    ----------
    contract : Contract
        The contract. [contract]
    waits : bool
        True for those of the asynchronous client. [yes or no]

    Returns
    -------
    str
    """
    writer = _Writer(contract, waits=waits)
    body = [line for one in contract.operations for line in writer.method(one)]
    body += writer.forms()
    name = "AsyncMethods" if waits else "Methods"
    text = "\n".join(body)
    results = sorted({class_names(contract.components)[one.reply] for one in contract.operations}
                     | {name for name in ALSO_TAKES.values() if name in writer.types})
    inputs = sorted(name for name in (*inputs_used(contract), *INPUT_ALIASES)
                    if re.search(rf"\b{name}\b", writer.types))
    lines = [f'"""A method for each operation. {HEAD}"""', "", "from __future__ import annotations", "",
             f"from collections.abc import Mapping{', Sequence' if 'Sequence[' in text else ''}",
             "from typing import TYPE_CHECKING, Any, Literal, overload", "",
             "from kettlewright_client.forms import as_text", "from kettlewright_client.keywords import checked", "",
             "if TYPE_CHECKING:", "    from typing import Unpack", ""]
    lines += [f"    {line}" for line in from_import("kettlewright_client.inputs", inputs)]
    lines += [f"    {line}" for line in from_import("kettlewright_client.results", results)]
    lines += ["    from kettlewright_client.values import Text, Timeout", "", *exports([name]), "", "",
              f"class {name}:",
              '    """One method for each operation, with keyword arguments named as in the contract."""', "",
              *_signature(f"    {writer.start} _call(", ["self", "operation: str", "word: str", "body: Any",
                                                         "address: Mapping[str, Any]", "timeout: Timeout | None",
                                                         "headers: Mapping[str, str] | None"], "Any"),
              "        raise NotImplementedError"]
    return "\n".join([*lines, *body, ""])


class _Writer:
    def __init__(self, contract: Contract, *, waits: bool) -> None:
        self.contract = contract
        self.names = class_names(contract.components)
        self.start = "async def" if waits else "def"
        self.wait = "await " if waits else ""
        self.client = "`AsyncClient`" if waits else "`Client`"
        self.types = ""

    def method(self, operation: Operation) -> list[str]:
        """Lines of the method of an operation."""
        fields = self.contract.fields_of(operation.request) if operation.request else operation.address
        fields = tuple(sorted(fields, key=lambda one: not one.required))
        gives = self.names[operation.reply]
        first = [one for one in fields if f"{{{one.name}}}" in operation.path]
        named = [self._parameter(one) for one in fields if one not in first]
        parameters = ["self", *(self._parameter(one) for one in first), "*", *named, *_OPTIONS]
        lines = ["", "    @checked", *_signature(f"    {self.start} {operation.name}(", parameters, gives),
                 *self._docstring(operation, fields)]
        given = [f'"{one.name}": {one.name}' for one in fields]
        values = textwrap.wrap(f"{{{', '.join(given)}}}", WIDTH - 13) or ["{}"]  # a comma follows
        body, address = (values, ["{}"]) if operation.request else (["None"], values)
        call = [*(f"            {line}" for line in [*body[:-1], f"{body[-1]},", *address[:-1], f"{address[-1]},"]),
                "            timeout, headers)"]
        return [*lines, f"        found: {gives} = {self.wait}self._call(", f'            "{operation.name}", "json",',
                *call, "        return found"]

    def _parameter(self, field: Field) -> str:
        plain = re.sub(r'"(\w+ \| \w+)"', r"\1", input_type(field.kind))
        self.types += f"{plain} "
        return f"{field.name}: {plain}" if field.required else f"{field.name}: {plain} | None = None"

    def _docstring(self, operation: Operation, fields: Iterable[Field]) -> list[str]:
        said = re.sub(r"\s+", " ", operation.about).strip()
        head = f"{operation.summary}."
        rules = self.contract.components[operation.request].rules if operation.request else ()
        lines = [head, "", *textwrap.wrap(" ".join([said, *rules]).strip(), WIDTH - 8)]
        lines += ["", "Parameters", "----------"]
        for one in fields:
            lines += [f"{one.name} : {input_type(one.kind)}{'' if one.required else ', optional'}",
                      *(f"    {line}" for line in textwrap.wrap(about(one, words=False), WIDTH - 12))]
        lines += ["timeout, headers : optional", f"    For this call, as in {self.client}.", "", "Returns", "-------",
                  self.names[operation.reply], "", *_RAISES.splitlines()]
        return _indented(_short_types(lines))

    def forms(self) -> list[str]:
        """Lines of `form` and of the methods for one form each."""
        lines: list[str] = []
        for one in self.contract.operations:
            self.types += f"{one.request} "
            words = ", ".join(f'"{word}"' for word in one.forms)
            body = f"body: {one.request} | bytes" if one.request else "body: None = None"
            lines += [*([""] if not lines else []), "    @overload",
                      *_signature(f"    {self.start} form(", ["self", f'operation: Literal["{one.name}"]',
                                                      f"word: Literal[{words}]", body, "*", *_OPTIONS,
                                                      "**address: str"], "Text", end=" ...")]
        lines += ["", *_signature(f"    {self.start} form(", ["self", "operation: str", "word: str", "body: Any = None",
                                                              "*", *_OPTIONS, "**address: str"], "Text"),
                  *_indented(_FORM.format(client=self.client).splitlines()),
                  f"        return as_text({self.wait}self._call(operation, word, body, address, timeout, headers))"]
        for name, word in (("picture", "svg"), ("calendar", "ics")):
            lines += [""]
            for one in self.contract.operations:
                if word in one.forms and one.request:
                    lines += ["    @overload", *_signature(
                        f"    {self.start} {name}(", ["self", f'operation: Literal["{one.name}"]', "*", *_OPTIONS,
                                              f"**body: Unpack[{one.request}]"], "Text", end=" ...")]
            lines += ["", *_signature(f"    {self.start} {name}(",
                                  ["self", "operation: str", "*", *_OPTIONS, "**body: Any"], "Text"),
                      *self._one_form(name, "operation", word)]
        for name, word in ((_SHEET_OF_BATCH, "html"), (_PICTURE_OF_BATCH, "svg")):
            lines += ["", *_signature(f"    {self.start} {name}(",
                                  ["self", "*", *_OPTIONS, "**body: Unpack[BatchesRequest]"], "Text"),
                      *self._one_form(name, '"batches"', word)]
        return lines

    def _one_form(self, name: str, operation: str, word: str) -> list[str]:
        text = [part for line in _SHORT[name].splitlines() for part in textwrap.wrap(line, WIDTH - 12) or [""]]
        return [*_indented(text),
                f'        found: Text = {self.wait}self._call({operation}, "{word}", body, {{}}, timeout, headers)',
                "        return found"]


def _signature(start: str, parameters: Iterable[str], gives: str, end: str = "") -> list[str]:
    text = f"{', '.join(one.replace(' ', NO_BREAK) for one in parameters)}){NO_BREAK}->{NO_BREAK}{gives}:{end}"
    return [line.replace(NO_BREAK, " ") for line in textwrap.wrap(
        text, WIDTH, initial_indent=start, subsequent_indent=" " * len(start), break_long_words=False,
        break_on_hyphens=False)]


def _indented(lines: list[str]) -> list[str]:
    if len(lines) == 1:
        return [f'        """{lines[0]}"""']
    middle = (f"        {line}".rstrip() for line in lines[1:])
    return [f'        """{lines[0]}', *middle, '        """']


def _short_types(lines: list[str]) -> list[str]:
    """Types in the words of a docstring: choices as they are, lists as "sequence of"."""
    def shorter(found: re.Match[str]) -> str:
        words = found.group(2).replace("Sequence[", "sequence of ").replace("Literal[", "").replace("]", "")
        return found.group(1) + re.sub(r'"(\w+ \| \w+)"', r"\1", words)

    return [re.sub(r"^(\w+ : )(.*)$", shorter, line) for line in lines]
