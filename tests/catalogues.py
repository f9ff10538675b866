"""Texts of the code and of its catalogues, for the tests of both; run as a program it brings the catalogues in step.

What is new gets an empty translation, which the tests refuse; what is no longer said is taken out.
"""

from __future__ import annotations

import re
import string
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path
from typing import Any

import kettlewright
from babel.messages.catalog import Catalog
from babel.messages.extract import extract_from_dir
from babel.messages.frontend import parse_mapping_cfg
from babel.messages.pofile import read_po, write_po
from kettlewright.languages import DOMAINS, LOCALES

HOUSE = Path(kettlewright.__file__).parent
FOREIGN = LOCALES[1:]
KEYWORDS: dict[str, Any] = {"Said": None, "_": None, "gettext": None, "ngettext": (1, 2)}
Text = str | tuple[str, str]


def _extracted(domain: str) -> Iterator[tuple[str, Text, list[str]]]:
    """File, text and remarks for translators."""
    with (HOUSE / "locale" / f"{domain}.cfg").open(encoding="utf-8") as file:
        methods, options = parse_mapping_cfg(file)
    for name, _, text, remarks, _ in extract_from_dir(str(HOUSE), methods, options, keywords=KEYWORDS,
                                                      comment_tags=("translators:",), strip_comment_tags=True):
        yield name, text, remarks


def of_the_code(domain: str) -> set[Text]:
    """Every text of ours in a domain; one that depends on a number comes as both its forms."""
    return {text for _, text, _ in _extracted(domain)}


def _file(locale: str, domain: str) -> Path:
    return HOUSE / "locale" / locale / "LC_MESSAGES" / f"{domain}.po"


def catalogue(locale: str, domain: str) -> Catalog:
    """A catalogue as it lies in the project."""
    with _file(locale, domain).open("rb") as file:
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
                texts = (message.string,) if isinstance(message.string, str) else message.string
                found += [(locale, domain, ids[min(number, len(ids) - 1)], one) for number, one in enumerate(texts)]
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


def in_step(locale: str, domain: str) -> bytes:
    """The catalogue as it would be with the texts the code has now."""
    held, wanted = catalogue(locale, domain), Catalog()
    for name, text, remarks in sorted(_extracted(domain), key=lambda found: found[0]):
        wanted.add(text, locations=[(name, None)], auto_comments=remarks)
    held.update(wanted, no_fuzzy_matching=True, update_creation_date=False)
    for message in held:
        message.flags -= {"python-format", "python-brace-format"}  # a percent sign of prose is taken for one of Python
    written = BytesIO()
    write_po(written, held, width=118, include_lineno=False, ignore_obsolete=True)
    return written.getvalue()


if __name__ == "__main__":
    for each in FOREIGN:
        for one in DOMAINS:
            _file(each, one).write_bytes(in_step(each, one))
