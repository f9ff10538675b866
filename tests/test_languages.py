"""Languages at the edge: numbers as a published table has them, texts out of catalogues, one request apart from the
next.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as some
from kettlewright.languages import (
    LOCALES,
    current_locale,
    day_on_paper,
    figure,
    gettext,
    in_language_of_response,
    ngettext,
    translated,
    using_locale,
    warm_up,
)
from kettlewright.said import Said, sentences


@pytest.mark.parametrize(("digits", "german"), [
    # Unicode CLDR, numbers of de: decimal comma, groups of three parted by a full stop, ASCII minus (from memory)
    ("0.905", "0,905"), ("12", "12"), ("610.20", "610,20"), ("-0.3", "-0,3"), ("1234.5", "1234,5"),
    ("1,234", "1.234"), ("1,234,567.8", "1.234.567,8"), ("0", "0"), ("-0", "-0"), ("1.5e+06", "1500000"),
    ("1e-05", "0,00001")])
def test_a_number_keeps_its_digits_and_changes_its_signs(digits: str, german: str) -> None:
    with using_locale("de"):
        assert figure(digits) == german
    assert figure(digits) == digits


@given(some.decimals(-10**9, 10**9, allow_nan=False, allow_infinity=False, places=4))
def test_a_german_number_read_back_is_the_number(value: Any) -> None:
    with using_locale("de"):
        assert figure(f"{value:.4f}").replace(",", ".") == f"{value:.4f}"
        assert figure(f"{value:,.4f}").replace(".", "").replace(",", ".") == f"{value:.4f}"


def test_a_day_is_written_as_people_there_write_it() -> None:
    assert day_on_paper("2027-03-02") == "Tue 2027-03-02"
    with using_locale("de"):
        assert day_on_paper("2027-03-02") == "Di 02.03.2027"  # Unicode CLDR, de, medium (from memory)


def test_a_text_is_said_with_its_values_at_every_depth() -> None:
    text = sentences(Said("With half of the water as ice: {reached}.", reached=Said(
        "{celsius:.0f} °C, {fahrenheit:.0f} °F", celsius=56.4, fahrenheit=133.52)), Said(
        "No price is given for {named:, }. The true cost is higher, and there is no selling price without it. Give "
        "each a price; 0 if it costs nothing.", named=("x", Said("water"))))
    with using_locale("de"):
        assert translated(text).startswith(
            "Mit der Hälfte des Wassers als Eis: 56 °C, 134 °F. Kein Preis angegeben für x, Wasser. ")
    assert translated(text) == text
    assert type(translated(text)) is str


def test_names_and_unknown_texts_stay_as_they_are() -> None:
    with using_locale("de"):
        assert translated("water") == "water"  # a maker's word, though there is a text of ours that is the same
        assert translated(Said("water")) == "Wasser"
        assert translated(Said("No catalogue has this {n:.1f}.", n=1.5)) == "No catalogue has this 1,5."
        assert gettext("no text of ours") == "no text of ours"
        assert gettext("") == ""  # not the header of a catalogue


def test_a_text_that_depends_on_a_number_has_both_its_forms() -> None:
    one, many = "Draft of the label (%(market)s)", "Draft of the labels (%(market)s)"
    with using_locale("de"):
        assert ngettext(one, many, 1) == "Entwurf des Etiketts (%(market)s)"
        assert ngettext(one, many, 2) == ngettext(one, many, 0) == "Entwurf der Etiketten (%(market)s)"
    assert ngettext(one, many, 1) == one


def test_a_language_ends_with_its_block_even_after_an_error() -> None:
    with pytest.raises(RuntimeError), using_locale("de"):
        raise RuntimeError
    assert current_locale.get() == "en"


def test_part_of_a_reply_speaks_as_the_whole() -> None:
    @in_language_of_response
    def part(_: Mapping[str, Any]) -> str:
        return translated(Said("water"))

    @in_language_of_response
    def whole(reply: Mapping[str, Any]) -> str:
        return part(reply["inner"])

    assert whole({"locale": "de", "inner": {}}) == "Wasser"
    assert whole({"locale": "en", "inner": {}}) == "water"
    assert part({}) == "water"
    assert current_locale.get() == "en"


def test_every_catalogue_can_be_read_at_the_start() -> None:
    warm_up()
    for locale in LOCALES[1:]:
        with using_locale(locale):
            assert translated(Said("water")) != "water"
