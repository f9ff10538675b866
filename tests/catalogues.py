"""Texts of the code and of its catalogues, for the tests of both."""

from __future__ import annotations

import re
import string
from pathlib import Path
from typing import Any

import kettlewright
from babel.messages.catalog import Catalog
from babel.messages.extract import extract_from_dir
from babel.messages.frontend import parse_mapping_cfg
from babel.messages.pofile import read_po
from kettlewright.languages import DOMAINS, LOCALES

HOUSE = Path(kettlewright.__file__).parent
FOREIGN = LOCALES[1:]
KEYWORDS: dict[str, Any] = {"Said": None, "_": None, "gettext": None, "ngettext": (1, 2)}
Text = str | tuple[str, str]


def of_the_code(domain: str) -> set[Text]:
    """Every text of ours in a domain; one that depends on a number comes as both its forms."""
    with (HOUSE / "locale" / f"{domain}.cfg").open(encoding="utf-8") as file:
        methods, options = parse_mapping_cfg(file)
    return {found[2] for found in extract_from_dir(str(HOUSE), methods, options, keywords=KEYWORDS)}


def catalogue(locale: str, domain: str) -> Catalog:
    """A catalogue as it lies in the project."""
    with (HOUSE / "locale" / locale / "LC_MESSAGES" / f"{domain}.po").open("rb") as file:
        return read_po(file, locale=locale, domain=domain)


def pairs() -> list[tuple[str, str, str, str]]:
    """Locale, domain, English, translated: one for each form of each text."""
    found = []
    for locale in FOREIGN:
        for domain in DOMAINS:
            for message in catalogue(locale, domain):
                if not message.id:
                    continue
                ids = (message.id,) if isinstance(message.id, str) else message.id
                told = (message.string,) if isinstance(message.string, str) else message.string
                found += [(locale, domain, ids[min(number, len(ids) - 1)], one) for number, one in enumerate(told)]
    return found


def braces(text: str) -> list[tuple[str, str]]:
    """Names of the values of a template and how they are formatted; what joins several is the language's own."""
    return sorted((name, "joined" if spec and not re.search(r"[0-9fg]", spec) else spec or "")
                  for _, name, spec, _ in string.Formatter().parse(text) if name is not None)


def percents(text: str) -> list[str]:
    """The values a template of a page takes, and its doubled percent signs."""
    return sorted(re.findall(r"%\(\w+\)s", text))


def is_of_a_page(text: str) -> bool:
    """Whether a text is one of a page: those put values in by percent signs, and double the sign itself."""
    return "%(" in text or "%%" in text
