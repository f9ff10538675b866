"""Colourants and acids on a label: checked at load, colour index numbers in any spelling."""

from __future__ import annotations

import pytest
from kettlewright.recipe import ACIDS
from kettlewright.reference import acid_label_names, colour_index_number
from kettlewright.reference.label_names import load_acid_label_names, load_colourants
from reference.tables import table


@pytest.mark.parametrize(("before", "after"), [("CI 77492", "CI 77491"), ("Ultramarines,21", ",21"),
                                               ("yes,memory,\nCI 77891", "yes,,\nCI 77891")])
def test_a_broken_table_of_colourants_is_not_loaded(before: str, after: str) -> None:
    with pytest.raises(ValueError, match="table of colourants"):
        load_colourants(table("colourants.csv", before, after))


@pytest.mark.parametrize(("before", "after"), [("lactic,", "acetic,"), ("Sodium Lactate", "Lactate")])
def test_a_broken_table_of_salts_is_not_loaded(before: str, after: str) -> None:
    with pytest.raises(ValueError, match="table of acid names"):
        load_acid_label_names(table("salts_of_acids.csv", before, after))


def test_every_acid_of_recipes_has_a_label_name() -> None:
    assert list(acid_label_names()) == list(ACIDS)


@pytest.mark.parametrize(("text", "number"), [
    ("CI 77491", "CI 77491"), ("ci77491", "CI 77491"), ("C.I. 77491", "CI 77491"), ("CI 77268:1", "CI 77268:1"),
    ("77491", None), ("CI 7749", None), ("CI 774911", None), ("Mica", None)])
def test_a_colour_index_number_is_known_however_it_is_written(text: str, number: str | None) -> None:
    assert colour_index_number(text) == number
