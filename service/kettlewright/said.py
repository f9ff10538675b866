"""Text for people: a template with named values, so that it can be translated when it leaves the service."""

from __future__ import annotations

import string
from collections.abc import Callable, Mapping
from typing import Any

from kettlewright.amounts import Amount

__all__ = ["NO_TEXT", "EnglishText", "Said", "TableName", "Value", "fill_template", "sentences"]

Value = str | float | Amount | tuple[str | Amount, ...]
"""A name (never translated, unless it is a `Said` itself), a number, a quantity with its unit, or several of them."""


class _Several(tuple[str | Amount, ...]):
    """Several names; the format spec is what joins them."""

    __slots__ = ()

    def __format__(self, joint: str) -> str:
        return joint.join(map(str, self))


class _Words(string.Formatter):
    """`str.format`, but the spec of a tuple joins it, and each value passes through a function."""

    def __init__(self, say: Callable[[str], str], number: Callable[[str], str],
                 amount: Callable[[Amount], str]) -> None:
        self.say, self.number, self.amount = say, number, amount

    def format_field(self, value: Any, format_spec: str) -> str:
        if isinstance(value, tuple):
            return format_spec.join(self.format_field(one, "") for one in value)
        if isinstance(value, Amount):
            return self.amount(value)
        if isinstance(value, str):
            return self.say(value)
        return self.number(format(value, format_spec))


def fill_template(template: str, values: Mapping[str, Value], *, say: Callable[[str], str] = str,
           number: Callable[[str], str] = str, amount: Callable[[Amount], str] = str) -> str:
    """Fill a template with its values.

    Parameters
    ----------
    template : str
        As for `str.format`, with named fields only; for a tuple the format spec joins the items: `{names:, }`. [text]
    values : mapping
        By name. [text, numbers]
    say : callable
        Applied to each text among the values. [function of text]
    number : callable
        Applied to each number after formatting. [function of text]
    amount : callable
        Writes each quantity. [function of `Amount`]

    Returns
    -------
    str : [text]
    """
    return _Words(say, number, amount).vformat(template, (), values)


class Said(str):
    """Text for people. It is an English `str` that remembers its template and values, so that it can be translated.

    Adding to it or putting it into an f-string gives an ordinary `str`, which stays English. So never glue texts
    together: pass one as a value of the next.

    Parameters
    ----------
    template : str
        The English sentence with `{name}` or `{name:.1f}` for the values; a literal at the call, because the catalogues
        are extracted from the source. [text]
    values
        By name. [text, numbers]
    """

    __slots__ = ("template", "values")
    template: str
    values: Mapping[str, Value]

    def __new__(cls, template: str, /, **values: Value) -> Said:
        # the same as `fill_template`, but with the built-in `str.format`: a batch makes some hundred texts
        text = template
        if "{" in template:
            shown: Mapping[str, object] = values
            if tuple in map(type, values.values()):
                shown = {name: _Several(value) if isinstance(value, tuple) else value for name, value in values.items()}
            text = template.format(**shown)
        made = super().__new__(cls, text)
        made.template, made.values = template, values
        return made

    def __getnewargs_ex__(self) -> tuple[tuple[str], dict[str, Value]]:
        return (self.template,), dict(self.values)


class EnglishText(Said):
    """Text that is not translated, such as a problem's; its quantities are still written in the request's units.
    """

    __slots__ = ()


class TableName(Said):
    """The English name of a row of a table, with its names in other languages.

    Parameters
    ----------
    name : str
        In English. [text]
    others : mapping
        Names by language (ISO 639-1). [text]
    """

    __slots__ = ("others",)
    others: Mapping[str, str]

    def __new__(cls, name: str, /, others: Mapping[str, str]) -> TableName:
        made = str.__new__(cls, name)
        made.template, made.values, made.others = "{name}", {"name": str(name)}, others
        return made

    def __getnewargs_ex__(self) -> tuple[tuple[str, Mapping[str, str]], dict[str, Value]]:  # type: ignore[override]  # of __new__ here
        return (str(self), dict(self.others)), {}

    def in_language(self, locale: str) -> str:
        """The name in a language; the English one where no other is known (`locale` [key]). [text]"""
        return self.others.get(locale, str(self))


NO_TEXT = Said("")
"""The empty text."""


def sentences(*said: Said) -> Said:
    """Join texts with spaces (`said` [text]); empty ones are left out. [text]"""
    texts = tuple(one for one in said if one)
    return texts[0] if len(texts) == 1 else Said("{sentences: }", sentences=texts)
