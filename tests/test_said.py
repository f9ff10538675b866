"""What is said is its English text, and can be said in other words without losing a value."""

from __future__ import annotations

import copy
import pickle
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as some
from kettlewright.cautions import CATALOGUE
from kettlewright.said import NO_TEXT, Said, fill_template, sentences


def test_what_is_said_is_its_english_text() -> None:
    said = Said("{name} holds {part:.1f} % of {total:,.0f} g.", name="ochre", part=2.25, total=1234.6)
    assert said == "ochre holds 2.2 % of 1,235 g."
    assert isinstance(said, str)
    assert said.template == "{name} holds {part:.1f} % of {total:,.0f} g."


def test_several_names_are_joined_by_the_text_after_the_colon() -> None:
    assert Said("No price of {named:, }.", named=("a", "b", "c")) == "No price of a, b, c."
    assert fill_template("Ohne: {named:; }.", {"named": ("a", "b")}) == "Ohne: a; b."


def test_a_hand_is_laid_on_each_text_and_each_number_once() -> None:
    said = Said("{name}: {part:.2f}, {inner}, {many:/}", name="A", part=1.5, inner=Said("b {n}", n=3), many=("x", "y"))
    filled = fill_template(said.template, said.values, say=lambda text: f"<{text}>", number=lambda text: f"[{text}]")
    assert filled == "<A>: [1.50], <b 3>, <x>/<y>"


@given(some.text(max_size=40))
def test_a_name_with_braces_or_percent_signs_is_only_a_name(name: str) -> None:
    assert Said("({name})", name=name) == f"({name})"
    assert Said("({names:, })", names=(name, name)) == f"({name}, {name})"
    assert Said("({inner})", inner=Said("[{name}]", name=name)) == f"([{name}])"


@given(some.floats(-1e6, 1e6), some.text(max_size=9), some.lists(some.text(max_size=5), max_size=4))
def test_english_is_what_its_template_says(number: float, name: str, names: list[str]) -> None:
    values = {"number": number, "name": name, "names": tuple(names), "inner": Said("<{name}>", name=name)}
    for template in ("{number:.3g} {name}", "{names:; }|{inner}", "{{{number:,.0f}}}", "{name}{name}", ""):
        assert Said(template, **values) == fill_template(template, values)


def test_what_is_empty_is_left_out_of_sentences() -> None:
    one, two = Said("One."), Said("Two {n}.", n=2)
    assert sentences(one, NO_TEXT, two) == "One. Two 2."
    assert sentences(NO_TEXT, two) is two
    assert sentences(NO_TEXT) == ""
    assert not NO_TEXT


def test_copies_remember_what_they_were_made_of() -> None:
    said = Said("{a:.1f} {{of}} {b}", a=1.0, b="{c}")
    for made in (copy.copy(said), copy.deepcopy(said), pickle.loads(pickle.dumps(said))):
        assert (made, made.template, dict(made.values)) == (said, said.template, dict(said.values))
    entry = CATALOGUE["dust"]
    assert replace(entry, severity="warning").text.template == entry.text.template


def test_a_value_that_is_missing_is_no_text() -> None:
    with pytest.raises(KeyError):
        Said("{name}")
