"""Catalogues say all that the code says, nothing else, and with the same values, codes and numbers."""

from __future__ import annotations

import ast
import re
from collections import Counter
from pathlib import Path
from typing import Any

import pytest
from catalogues import FOREIGN, HOUSE, braces, catalogue, in_step, is_of_a_page, of_the_code, pairs, percents
from kettlewright.cautions import CATALOGUE
from kettlewright.languages import DOMAINS, translated, using_locale
from kettlewright.said import fill_template

EACH = [(locale, domain) for locale in FOREIGN for domain in DOMAINS]
PAIRS = pairs()
SAME_WORD = {"Portion", "Allergen"}


@pytest.mark.parametrize(("locale", "domain"), EACH)
def test_every_text_of_the_code_is_translated_and_no_other(locale: str, domain: str) -> None:
    messages = {message.id if isinstance(message.id, str) else tuple(message.id): message
            for message in catalogue(locale, domain) if message.id}
    of_code = of_the_code(domain)
    assert len(of_code) > 150
    assert not of_code - messages.keys(), "make texts, then translate what is new"
    assert not messages.keys() - of_code, "make texts: these are no texts of the code any more"
    assert not [one.id for one in messages.values() if one.fuzzy]
    assert not catalogue(locale, domain).obsolete
    assert not [one.id for one in messages.values()
                if not all((one.string,) if isinstance(one.string, str) else one.string)]


@pytest.mark.parametrize(("locale", "domain"), EACH)
def test_a_catalogue_lies_as_it_would_be_written_anew(locale: str, domain: str) -> None:
    held = (HOUSE / "locale" / locale / "LC_MESSAGES" / f"{domain}.po").read_bytes()
    assert held == in_step(locale, domain), "run: make texts"


@pytest.mark.parametrize(("locale", "domain"), EACH)
def test_a_catalogue_says_who_translated_it(locale: str, domain: str) -> None:
    head = catalogue(locale, domain).header_comment
    assert "from memory, by no licensed translator" in head
    assert catalogue(locale, domain).num_plurals == 2


def test_the_safety_catalogue_holds_every_caution() -> None:
    assert {entry.text.template for entry in CATALOGUE.values()} <= of_the_code("safety")


@pytest.mark.parametrize("locale", FOREIGN)
def test_one_text_is_said_in_one_way(locale: str) -> None:
    safety, sheet = ({message.id: message.string for message in catalogue(locale, domain) if message.id}
                     for domain in DOMAINS)
    for text in safety.keys() & sheet.keys():
        assert safety[text] == sheet[text], text


@pytest.mark.parametrize(("locale", "domain", "english", "translation"), PAIRS)
def test_a_translation_takes_the_same_values(locale: str, domain: str, english: str, translation: str) -> None:
    if is_of_a_page(english):
        assert percents(english) == percents(translation)
        assert not re.sub(r"%\(\w+\)s|%%", "", translation).count("%"), "a percent sign of a page is doubled"
    else:
        assert braces(english) == braces(translation)
        assert not is_of_a_page(translation)


def _dummy(spec: str) -> Any:
    return ("one", "two") if spec == "joined" else 1.5 if spec else "name"


@pytest.mark.parametrize(("locale", "domain", "english", "translation"), PAIRS)
def test_a_translation_can_be_put_into_words(locale: str, domain: str, english: str, translation: str) -> None:
    if is_of_a_page(english):
        names = {name[2:-2]: "name" for name in percents(english)}
        made = translation % names
    else:
        made = fill_template(translation, {name: _dummy(spec) for name, spec in braces(english)})
    assert made
    assert "{" not in made
    assert "%(" not in made
    assert made.strip() == made or made == "; "


def _codes(text: str) -> Counter[str]:
    """What no translation may change: codes of hazards, keys of the contract, standards and laws, tags."""
    return Counter(re.findall(r'\bH\d{3}\b|"\w+"|ISO \d+|\d+/\d+|CFR \d+|CIEDE2000|IFRA|</?\w+>|°[CF]|\bg/kg\b|KOH/g',
                              text))


def _numbers(text: str) -> Counter[str]:
    """Numbers written out in a sentence, whatever the decimal sign; not those inside placeholders."""
    plain = re.sub(r"\{[^}]*\}|%\(\w+\)s", " ", text)
    return Counter(number.replace(",", ".") for number in re.findall(r"\d+(?:[.,]\d+)?", plain))


@pytest.mark.parametrize(("locale", "domain", "english", "translation"), PAIRS)
def test_codes_and_numbers_are_those_of_the_english_text(locale: str, domain: str, english: str,
                                                         translation: str) -> None:
    assert _codes(english) == _codes(translation)
    assert _numbers(english) == _numbers(translation)


@pytest.mark.parametrize(("locale", "domain", "english", "translation"), PAIRS)
def test_no_sentence_is_left_in_english(locale: str, domain: str, english: str, translation: str) -> None:
    words = re.findall(r"[a-z]{3,}", re.sub(r"\{[^}]*\}|%\(\w+\)s|<[^>]*>|mg KOH", " ", english))
    assert translation != english or not words or english in SAME_WORD


@pytest.mark.parametrize("key", CATALOGUE)
def test_what_must_never_be_done_is_forbidden_in_every_language(key: str) -> None:
    english = CATALOGUE[key].text
    for locale in FOREIGN:
        with using_locale(locale):
            german = translated(english)
        # a negation lost in translation is the worst a safety text can suffer
        if re.search(r"\b(never|not|no|neither|without)\b", english, re.IGNORECASE):
            assert re.search(r"\b(nie|niemals|nicht|kein\w*|weder|ohne|nur noch)\b", german, re.IGNORECASE), german


def _calls(file: Path) -> list[ast.Call]:
    return [node for node in ast.walk(ast.parse(file.read_text(encoding="utf-8")))
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "Said"]


def test_every_template_is_written_out_where_it_is_said() -> None:
    # what is put together at run time no catalogue can know
    files = [file for file in HOUSE.rglob("*.py") if file.name != "said.py"]
    calls = [(file, call) for file in files for call in _calls(file)]
    assert len(calls) > 250
    for file, call in calls:
        assert len(call.args) == 1, f"{file.name}:{call.lineno}"
        assert isinstance(call.args[0], ast.Constant), f"{file.name}:{call.lineno}"
        assert isinstance(call.args[0].value, str), f"{file.name}:{call.lineno}"


def test_nothing_is_said_where_it_cannot_be_found() -> None:
    # texts are read out of the code call by call, and one inside another is passed over: give it a name first
    found = of_the_code("safety") | of_the_code("sheet")
    for file in HOUSE.rglob("*.py"):
        if file.name != "said.py" and "api" not in file.relative_to(HOUSE).parts:
            texts = [call.args[0].value for call in _calls(file) if isinstance(call.args[0], ast.Constant)]
            assert not {text for text in texts if text} - found, file.name


def test_nothing_is_glued_to_what_is_said() -> None:
    for file in HOUSE.rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Add):
                for side in (node.left, node.right):
                    said = isinstance(side, ast.Call) and isinstance(side.func, ast.Name) and side.func.id == "Said"
                    assert not said, f"{file.name}:{node.lineno}"
