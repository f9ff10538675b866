"""The tables of fats: whole, and checked at load."""

from __future__ import annotations

import pytest
from kettlewright.reference import fat_source, fats, fatty_acid_constants
from kettlewright.reference.fats import load_fats, load_fatty_acids
from reference.tables import FOLDER

FATS = FOLDER.joinpath("fats.csv").read_text(encoding="utf-8")
ACIDS = FOLDER.joinpath("fatty_acids.csv").read_text(encoding="utf-8")
CONSTANTS = FOLDER.joinpath("fatty_acid_constants.csv").read_text(encoding="utf-8")
KNOWN = fatty_acid_constants()


def test_the_tables_are_whole() -> None:
    kinds = [record.kind for record in fats().values()]
    assert (len(kinds), kinds.count("triglyceride"), kinds.count("wax_ester"), kinds.count("fatty_acid")) == (
        58, 50, 3, 5)
    assert sum(len(record.fatty_acids) for record in fats().values()) == 573
    assert len(KNOWN) == 30


def test_every_figure_says_how_it_is_known() -> None:
    values = [record.saponification_value.verified for record in fats().values()]
    # SOURCES.md counts the second-hand ones among the read ones
    assert values.count("read") + values.count("second_hand") == 42
    assert (values.count("memory"), values.count("computed")) == (11, 5)
    for record in fats().values():
        assert record.source
        assert fat_source(record).how_read


def spoiled(text: str, before: str, after: str) -> str:
    assert before in text
    return text.replace(before, after, 1)


@pytest.mark.parametrize(("table", "words"), [
    (spoiled(FATS, "olive_pomace,", "olive,"), "olive appears twice"),
    (spoiled(FATS, "triglyceride", "mystery"), "kind 'mystery'"),
    (spoiled(FATS, ",248,265,", ",265,248,"), "coconut: sv runs from 265"),
    (spoiled(FATS, ",248,265,", ",24.8,265,"), "coconut: sv runs from 24.8"),
    (spoiled(FATS, ",248,265,", ",,,"), "coconut: no saponification value"),
    (spoiled(FATS, ",248,265,read", ",248,265,guessed"), "'guessed'"),
    (spoiled(FATS, "babassu,", "babassoo,"), "unknown fats: babassu"),
])
def test_a_broken_table_of_fats_is_not_loaded(table: str, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        load_fats(table, ACIDS, KNOWN)


@pytest.mark.parametrize("table", [
    spoiled(ACIDS, "coconut,C12:0,45.1,53.2", "coconut,C12:0,53.2,45.1"),
    spoiled(ACIDS, "coconut,C12:0,45.1,53.2", "coconut,C99:0,45.1,53.2"),
    spoiled(ACIDS, "coconut,C12:0,45.1,53.2", "coconut,C12:0,95,99"),
])
def test_broken_fatty_acids_are_not_loaded(table: str) -> None:
    with pytest.raises(ValueError, match="coconut"):
        load_fats(FATS, table, KNOWN)


def test_a_broken_table_of_constants_is_not_loaded() -> None:
    with pytest.raises(ValueError, match="C6:0"):
        load_fatty_acids(spoiled(CONSTANTS, "116.1585", "1161585"))
    with pytest.raises(ValueError, match="appears twice"):
        load_fatty_acids(spoiled(CONSTANTS, "C6:0,", "C4:0,"))
