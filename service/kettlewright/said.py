"""What the maths says to people: a template with named values, so that it can be said in another language."""

from __future__ import annotations

import string
from collections.abc import Callable, Mapping
from typing import Any

from kettlewright.amounts import Amount

__all__ = ["UNSAID", "EnglishText", "Said", "Value", "sentences", "worded"]

Value = str | float | Amount | tuple[str | Amount, ...]
"""A name (never translated, unless it is a `Said` itself), a number, a quantity with its unit, or several of them."""


class _Several(tuple[str | Amount, ...]):
    """Several names, joined by what stands after their colon."""

    __slots__ = ()

    def __format__(self, joint: str) -> str:
        return joint.join(map(str, self))


class _Words(string.Formatter):
    """`str.format`, but a tuple is joined by what stands after its colon, and every value goes through a function."""

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


def worded(template: str, values: Mapping[str, Value], *, say: Callable[[str], str] = str,
           number: Callable[[str], str] = str, amount: Callable[[Amount], str] = str) -> str:
    """A template with its values put in.

    Parameters
    ----------
    template : str
        As for `str.format`, by names only; the words after the colon of several names join them: `{names:, }`. [text]
    values : mapping
        By name. [text, numbers]
    say : callable
        What is done to each text among them. [function of text]
    number : callable
        What is done to each number, once it has its digits. [function of text]
    amount : callable
        How each quantity is written. [function of `Amount`]

    Returns
    -------
    str : [text]
    """
    return _Words(say, number, amount).vformat(template, (), values)


class Said(str):
    """A sentence for people. It is its English text, and remembers of what it was made.

    A text made of it by adding or by an f-string is an ordinary one and stays English; so nothing is glued to what was
    said, it becomes a value of what is said next.

    Parameters
    ----------
    template : str
        The English sentence with `{name}` or `{name:.1f}` where values stand; written out at the call, since
        catalogues are made by reading the code. [text]
    values
        By name. [text, numbers]
    """

    __slots__ = ("template", "values")
    template: str
    values: Mapping[str, Value]

    def __new__(cls, template: str, /, **values: Value) -> Said:
        # as `worded`, but by the built-in way: a batch says some hundred things
        made = super().__new__(cls, template.format(**{
            name: _Several(value) if isinstance(value, tuple) else value for name, value in values.items()}))
        made.template, made.values = template, values
        return made

    def __getnewargs_ex__(self) -> tuple[tuple[str], dict[str, Value]]:
        return (self.template,), dict(self.values)


class EnglishText(Said):
    """A sentence that no catalogue translates, such as that of a problem; its quantities are written in the request's
    units all the same.
    """

    __slots__ = ()


UNSAID = Said("")
"""Nothing to say."""


def sentences(*said: Said) -> Said:
    """One after the other (`said` [text]); what is empty is left out. [text]"""
    told = tuple(one for one in said if one)
    return told[0] if len(told) == 1 else Said("{sentences: }", sentences=told)
