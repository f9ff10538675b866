"""Writes the table of operations."""

from __future__ import annotations

from generate.contract import Contract
from generate.names import class_names
from generate.text import HEAD, WIDTH

__all__ = ["table_module"]

_WITH_METHOD = ("json", "csv", "text")  # every operation has these


def table_module(contract: Contract) -> str:
    """The module of the table.

    Parameters
    ----------
    contract : Contract
        The contract. [contract]

    Returns
    -------
    str
    """
    names = class_names(contract.components)
    lines = [f'"""Operations and media types. {HEAD}"""', "", '__all__ = ["MEDIA_TYPES", "ROWS"]', "",
             "MEDIA_TYPES = {"]
    lines += [f'    "{form}": "{media}",' for form, media in contract.media.items()]
    lines += ["}", '"""Of each form of a reply. [words]"""', "",
              "ROWS: dict[str, tuple[str, str, str, str, tuple[str, ...], tuple[str, ...]]] = {"]
    for one in contract.operations:
        summary = one.summary[:1].lower() + one.summary[1:]
        forms = tuple(form for form in one.forms if form not in _WITH_METHOD)
        parts = [_text(one.method), _text(one.path), _text(summary), _text(names[one.reply]), _tuple(forms),
                 _tuple(tuple(field.name for field in one.address))]
        line = f'    "{one.name}": ({", ".join(parts)}),'
        apart = [f'    "{one.name}": (', *(f"        {part}," for part in parts), "    ),"]
        lines += [line] if len(line) <= WIDTH else apart
    lines += ["}", '"""Method, path, summary, class of the result, forms and parameters. [words]"""', ""]
    return "\n".join(lines)


def _text(word: str) -> str:
    return '"' + word.replace("\\", "\\\\").replace('"', '\\"') + '"'


def _tuple(words: tuple[str, ...]) -> str:
    joined = ", ".join(map(_text, words))
    if len(joined) > 100:
        joined = ",\n            ".join(map(_text, words))
    return f"({joined}{',' if len(words) == 1 else ''})"
