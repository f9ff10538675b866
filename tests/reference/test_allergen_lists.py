"""Fragrance allergens: the list is whole and checked at load; a CAS number keeps its check digit."""

from __future__ import annotations

import pytest
from kettlewright.errors import DomainError, UnknownIngredient
from kettlewright.reference import allergen_named, allergen_of_cas, allergens, check_cas
from kettlewright.reference.allergen_lists import load_allergens
from reference.tables import table


def test_the_list_of_allergens_is_whole() -> None:
    rows = allergens().values()
    # 26 of 2003 (two of them now prohibited) and 57 more make 83 rows, 81 of them live
    assert len(rows) == 83
    assert sum(row.in_first_list for row in rows) == 26
    assert [row.label_name for row in rows if row.prohibited] == [
        "Hydroxyisohexyl 3-Cyclohexene Carboxaldehyde", "Butylphenyl Methylpropional"]
    assert all(row.in_first_list for row in rows if row.prohibited)
    assert {row.rinse_off_pct for row in rows} == {0.01}


@pytest.mark.parametrize("cas", ["7732-18-5", "64-17-5", "50-00-0", "58-08-2", "78-70-6", "5989-27-5"])
def test_real_registry_numbers_pass(cas: str) -> None:
    # water, ethanol, formaldehyde, caffeine, linalool, limonene: numbers that any catalogue of chemicals prints
    assert check_cas(cas) == cas


@pytest.mark.parametrize("cas", ["7732-18-4", "64-71-5", "78-70-5", "5998-27-5"])
def test_a_wrong_digit_or_two_that_changed_places_are_found(cas: str) -> None:
    with pytest.raises(DomainError, match="its check digit does not fit"):
        check_cas(cas)


@pytest.mark.parametrize("cas", ["", "78706", "78-706", "1-70-6", "78-70-66", "12345678-70-6", "78-70-6 "])
def test_what_has_not_the_form_of_a_number_is_rejected(cas: str) -> None:
    with pytest.raises(DomainError, match="two hyphens"):
        check_cas(cas)


def test_every_number_of_an_entry_leads_to_it() -> None:
    for row in allergens().values():
        for cas in (*row.cas_numbers, *row.also_sold_as):
            assert allergen_of_cas(cas) is row
        assert allergen_named(row.label_name.upper()) is row
    mirror = allergen_of_cas("126-91-0")  # read on supplier sheets, not in the entry
    assert mirror is not None
    assert mirror.label_name == "Linalool"
    assert allergen_of_cas("7732-18-5") is None


def test_a_name_that_is_not_on_the_list_is_rejected_with_the_nearest() -> None:
    with pytest.raises(UnknownIngredient, match='Did you mean "Limonene"'):
        allergen_named("limonen")
    with pytest.raises(UnknownIngredient, match="CAS number"):
        allergen_named("zzzz")


@pytest.mark.parametrize(("before", "after", "words"), [
    ("78-70-6", "78-70-5", "does not fit"), ("Geraniol,", "Linalool,", "appears twice"),
    ("annex_III", "listed", "invalid"), ("106-24-1", "78-70-6", "78-70-6 appears twice"),
    ("0.01,entry", "1.5,entry", "invalid")])
def test_a_broken_table_of_allergens_is_not_loaded(before: str, after: str, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        load_allergens(table("allergens.csv", before, after))
