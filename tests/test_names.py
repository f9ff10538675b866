"""Names in any script: marks are kept, invisible characters do not count, and the client makes the same keys."""

from __future__ import annotations

import unicodedata
from pathlib import Path

import kettlewright
import pytest
from hypothesis import given
from hypothesis import strategies as st
from kettlewright.names import did_you_mean, nearest, or_nearest, slug, tidy
from kettlewright_client.own_table import key_of


@pytest.mark.parametrize(("one", "other"), [
    ("नीला", "नीली"), ("कमल", "कमला"), ("ก่า", "ก้า"), ("மலர்", "மலரி"), ("rosé", "rose")])
def test_names_that_differ_by_a_mark_are_two_names(one: str, other: str) -> None:
    assert slug(one) != slug(other)


@pytest.mark.parametrize(("typed", "pasted"), [
    ("deep red", "deep\u00a0red"), ("deep red", "deep\u202fred"), ("lavender", "la\u00advender"),
    ("lavender", "laven\u200dder"), ("lavender", "\ufefflavender"), ("rosé", "rose\u0301"), ("Å", "A\u030a"),
    ("lot 7", "lot\u20077")])
def test_what_is_pasted_from_a_page_is_the_same_name(typed: str, pasted: str) -> None:
    assert tidy(pasted) == tidy(typed)
    assert slug(pasted) == slug(typed)


def test_line_breaks_and_control_characters_are_left_to_be_refused() -> None:
    assert tidy("a\nb\u2028c\x00é") == "a\nb\u2028c\x00é"


@given(st.text(max_size=40))
def test_a_key_is_a_key_of_itself_and_the_client_makes_the_same(name: str) -> None:
    key = slug(name)
    assert slug(key) == key == key_of(name)
    assert tidy(tidy(name)) == tidy(name)
    assert slug(unicodedata.normalize("NFD", name)) == key


@given(st.text(st.characters(categories=("L", "Mn", "Mc", "N")), min_size=1, max_size=20))
def test_no_letter_mark_or_digit_is_lost(name: str) -> None:
    assert slug(name) == unicodedata.normalize("NFC", unicodedata.normalize("NFC", name).casefold())


@pytest.mark.parametrize(("written", "known", "meant"), [
    ("naoh", ["NaOH", "KOH"], "NaOH"), ("OLIVE", ["coconut", "olive"], "olive"),
    ("thicknes", ["thickness", "count"], "thickness")])
def test_the_nearest_name_is_found_in_upper_and_lower_case(written: str, known: list[str], meant: str) -> None:
    assert nearest(written, known) == [meant]
    assert or_nearest(written, known) == f' Did you mean "{meant}"?'


def test_without_a_similar_name_nothing_is_suggested() -> None:
    assert nearest("xyz", ["olive"]) == []
    assert or_nearest("xyz", ["olive"]) == did_you_mean([]) == ""
    assert did_you_mean(["a", "b"]) == ' Did you mean "a" or "b"?'


def test_the_question_is_written_in_one_place() -> None:
    house = Path(kettlewright.__file__).parent
    # of fats the candidates are listed with their saponification values, so that you can tell them apart
    places = {str(file.relative_to(house)) for file in house.rglob("*.py") if "Did you mean" in file.read_text()
              and "api/document" not in str(file)}
    assert places == {"names.py", "reference/fat_names.py"}
