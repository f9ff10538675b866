r"""The grammar of a value in an address, the same for every operation.

    fat=olive,mass:700          a first word says what it is; every number after it is named
    water=lye_concentration:33  where nothing has to be named first, there are parts only
    fat=shea\, lot 7,sv:178-182,mass:200

Commas part the parts, a colon parts name and value. A backslash before one of them (or before a backslash) takes that
meaning away. A number without a name is refused: two that are swapped would be lye-heavy in silence.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from kettlewright.errors import DomainError, OutOfRange, WrongType

__all__ = ["AddressTerm", "read_flag", "read_number", "read_range", "shown", "split_value",
           "without_comma"]

_NUMBER = re.compile(r"-?(0|[1-9][0-9]*)(\.[0-9]+)?([eE][+-]?[0-9]+)?")
_DIGITS_MAX = 40
_ESCAPED = "\\,:"


@dataclass(frozen=True, slots=True)
class AddressTerm:
    """One part of a value.

    Parameters
    ----------
    name : str
        Before the colon; empty of a word without one. [text]
    text : str
        After it, or the word. [text]
    """

    name: str
    text: str


def shown(text: str) -> str:
    """A text as a message quotes it (`text`). [text]"""
    return f'"{text}"' if len(text) <= 60 else f'"{text[:57]}..."'


def split_value(value: str, *, like: str) -> tuple[AddressTerm, ...]:
    """The parts of a value.

    Parameters
    ----------
    value : str
        As decoded. [text]
    like : str
        How this key is written, for who wrote it otherwise. [text]

    Returns
    -------
    tuple of AddressTerm

    Raises
    ------
    DomainError : an empty part, a second colon in one, a backslash before anything else.
    """
    return tuple(_piece(words, like) for words in _words(value))


def _words(value: str) -> list[list[str]]:
    """Parts, each a list of what its colons part."""
    parts: list[list[str]] = [[""]]
    characters = iter(value)
    for character in characters:
        if character == "\\":
            following = next(characters, "")
            if not following or following not in _ESCAPED:
                raise WrongType(f"In {shown(value)} a backslash may only be before a comma, a colon or another "
                                "backslash.")
            parts[-1][-1] += following
        elif character == ",":
            parts.append([""])
        elif character == ":":
            parts[-1].append("")
        else:
            parts[-1][-1] += character
    return parts


def _piece(words: list[str], like: str) -> AddressTerm:
    if len(words) > 2:
        raise WrongType(f"{shown(':'.join(words))} has more than one colon. Name every part separately, with commas "
                        f"between: {like}. A colon inside a text is written \\:")
    if not words[-1]:
        name = f'"{words[0]}" has no value' if len(words) == 2 else "There is nothing between two commas, or at an end"
        raise WrongType(f"{name}; leave the part out, its comma too. A comma inside a text is written \\,")
    if len(words) == 2 and not words[0]:
        raise WrongType(f"{shown(words[1])} has a colon and no name before it; write {like}.")
    return AddressTerm(words[0], words[1]) if len(words) == 2 else AddressTerm("", words[0])


def read_number(text: str) -> int | float:
    """A number as JSON writes it (`text`). [as given]

    Raises
    ------
    DomainError : says how to write it.
    """
    if not _NUMBER.fullmatch(text):
        raise WrongType(f"{shown(text)} is not a number{_how(text)}")
    if len(text) > _DIGITS_MAX:
        raise OutOfRange(f"A number has {len(text)} digits; at most {_DIGITS_MAX} are read.")
    number = float(text) if re.search("[.eE]", text) else int(text)
    if not math.isfinite(number):
        raise OutOfRange(f"{shown(text)} is too large to compute with.")
    return number


def _how(text: str) -> str:
    if any(character.isdecimal() and not character.isascii() for character in text):
        return "; write the digits 0 to 9."
    if re.fullmatch(r"-?[0-9]+,[0-9]+", text):
        return f": a comma parts things here; {without_comma(*text.split(','))}."
    if re.fullmatch(r"-?[0-9]{1,3}([,. '’\u00a0\u202f][0-9]{3})+([.,][0-9]+)?", text):
        return "; write it without thousands separators, with a point for decimals."
    return "; write digits and a point for decimals, such as 12.5 or 0.5, with nothing before or after."


def without_comma(before: str, after: str) -> str:
    """How a number with a comma in it is written (`before`, `after`: what the comma parts). [text]"""
    decimal = f"write a point for decimals: {before}.{after}"
    return f"{decimal}; or, if it parts thousands, {before}{after}" if len(after) == 3 else decimal


def read_range(text: str) -> dict[str, int | float]:
    """A range such as 180-185; one number is a range without width (`text`). [as given]

    Raises
    ------
    DomainError : says how to write it.
    """
    low, dash, high = text.partition("-")
    try:
        ends = {"min": read_number(low), "max": read_number(high if dash else low)}
    except DomainError:
        raise WrongType(f"{shown(text)} is not a range; write both ends with a hyphen between them and a point for "
                        "decimals, such as 180-185.") from None
    return ends


def read_flag(text: str) -> bool:
    """Yes or no (`text`). [yes or no]

    Raises
    ------
    DomainError : neither true nor false.
    """
    if text not in ("true", "false"):
        raise WrongType(f"{shown(text)} is neither true nor false.")
    return text == "true"
