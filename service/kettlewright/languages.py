"""Translation. The maths writes all texts in English and grams, as templates with values; here they are rewritten in
the language and the units of the request.
"""

from __future__ import annotations

import gettext as catalogues
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import date
from decimal import Decimal
from functools import cache, lru_cache, wraps
from importlib import resources
from io import BytesIO
from typing import Any, Concatenate, ParamSpec

from babel import Locale
from babel.dates import format_date
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po
from babel.numbers import format_decimal

from kettlewright.amounts import Amount
from kettlewright.said import Said, TableName, fill_template
from kettlewright.units import Units, current_units, default_units, in_current_units, using

__all__ = [
    "DOMAINS",
    "LOCALES",
    "current_locale",
    "day_on_paper",
    "default_locale",
    "figure",
    "gettext",
    "in_english",
    "in_language_of_response",
    "ngettext",
    "translated",
    "using_locale",
    "warm_up",
    "weekday_name",
]

More = ParamSpec("More")

LOCALES = ("en", "de")
"""The first is the language of the templates and needs no catalogue."""
DOMAINS = ("safety", "sheet")
"""Catalogues: cautions, and everything else."""

default_locale = LOCALES[0]
current_locale: ContextVar[str] = ContextVar("current_locale", default=default_locale)


@contextmanager
def using_locale(locale: str) -> Iterator[None]:
    """Use this language for everything written inside the block (`locale`: one of `LOCALES` [key])."""
    token = current_locale.set(locale)
    try:
        yield
    finally:
        current_locale.reset(token)


def in_language_of_response(render: Callable[Concatenate[Mapping[str, Any], More], str]
                            ) -> Callable[Concatenate[Mapping[str, Any], More], str]:
    """Make a view render in the language and units of the response (`render`); a part without its own keeps those of
    the whole. [function]
    """
    @wraps(render)
    def rendered(reply: Mapping[str, Any], /, *args: More.args, **kwargs: More.kwargs) -> str:
        units = reply.get("units")
        with using_locale(reply.get("locale", current_locale.get())), \
                using(Units(**units) if units else current_units.get()):
            return render(reply, *args, **kwargs)

    return rendered


@cache
def _translations(locale: str) -> catalogues.NullTranslations:
    """All catalogues of a language, safety texts first; compiled here, so that the project contains no binary file."""
    found = catalogues.NullTranslations()
    if locale == default_locale:
        return found
    folder = resources.files("kettlewright").joinpath("locale", locale, "LC_MESSAGES")
    for domain in reversed(DOMAINS):
        compiled = BytesIO()
        with folder.joinpath(f"{domain}.po").open("rb") as file:
            write_mo(compiled, read_po(file, locale=locale))
        compiled.seek(0)
        one = catalogues.GNUTranslations(compiled)
        one.add_fallback(found)
        found = one
    return found


def warm_up() -> None:
    """Read every catalogue, so that an invalid one stops the start rather than a request."""
    for locale in LOCALES:
        _translations(locale)


def gettext(text: str) -> str:
    """Translate a fixed text into the current language; English if there is no translation (`text`). [text]"""
    # a catalogue's header has the empty text as its key
    locale = current_locale.get()
    return text if locale == default_locale or not text else _translations(locale).gettext(text)


def ngettext(one: str, many: str, count: int) -> str:
    """Translate a text that depends on a number (`one`, `many` [text], `count`). [text]"""
    return _translations(current_locale.get()).ngettext(one, many, count)


def translated(text: str) -> str:
    """Write a `Said` in the current language and units; any other text, such as a name, stays as it is.

    Parameters
    ----------
    text : str
        A `Said`, or any other text. [text]

    Returns
    -------
    str : [text]
    """
    if not isinstance(text, Said):
        return text
    if isinstance(text, TableName):
        return text.in_language(current_locale.get())
    if current_locale.get() == default_locale and current_units.get() == default_units:
        return str(text)
    return fill_template(gettext(text.template), text.values, say=translated, number=figure, amount=_amount)


def in_english(text: str) -> str:
    """Write a text in English and in the current units, as problems are (`text`). [text]"""
    with using_locale(default_locale):
        return translated(text)


def _amount(amount: Amount) -> str:
    digits, symbol = in_current_units(amount)
    return figure(digits) if amount.bare else f"{figure(digits)} {symbol}"


def figure(digits: str) -> str:
    """A formatted number with the separators of the current language (`digits`: such as "1,234.50"). [text]
    """
    locale = current_locale.get()
    return digits if locale == default_locale else _figure(digits, locale)


@lru_cache(maxsize=4096)
def _figure(digits: str, locale: str) -> str:
    plain = digits.replace(",", "")
    number = Decimal(plain)
    if not number.is_finite():
        return digits
    places = -int(number.as_tuple().exponent)
    pattern = ("#,##0" if "," in digits else "0") + ("." + "0" * places if places > 0 else "")
    return str(format_decimal(number, pattern, locale=Locale.parse(locale)))


def day_on_paper(day: str) -> str:
    """A day of a response with its weekday, as people write it (`day`: ISO 8601; stays so in English). [text]"""
    locale, found = current_locale.get(), date.fromisoformat(day)
    written = day if locale == default_locale else format_date(found, "medium", Locale.parse(locale))
    return f"{str(format_date(found, 'EEE', Locale.parse(locale))).rstrip('.')} {written}"


def weekday_name(day: date) -> str:
    """The weekday of a day, in the language of the request (`day`). [text]"""
    return str(format_date(day, "EEEE", Locale.parse(current_locale.get())))
