"""The tables: loaded whole, checked at load, searched, converted; a changed figure needs a new data version."""

from __future__ import annotations

import hashlib
from importlib import resources

import pytest
from kettlewright.errors import UnknownIngredient
from kettlewright.reference import (
    DATA_VERSION,
    SOURCES,
    FatFilter,
    Figure,
    density_at_40,
    density_from_figure,
    fat,
    fat_source,
    fats,
    fatty_acid_constants,
    find_fats,
    water_density,
)
from kettlewright.reference.fats import load_fats, load_fatty_acids
from kettlewright.reference.lye_tables import (
    Grid,
    TableCurve,
    naoh_boiling_point,
    naoh_density,
    naoh_heat_capacity,
    naoh_heat_of_solution,
)

FOLDER = resources.files("kettlewright.reference")
FATS = FOLDER.joinpath("fats.csv").read_text(encoding="utf-8")
ACIDS = FOLDER.joinpath("fatty_acids.csv").read_text(encoding="utf-8")
CONSTANTS = FOLDER.joinpath("fatty_acid_constants.csv").read_text(encoding="utf-8")
KNOWN = fatty_acid_constants()


def test_a_changed_figure_changes_the_data_version() -> None:
    digest = hashlib.sha256()
    for name in sorted(item.name for item in FOLDER.iterdir() if item.name.endswith(".csv")):
        digest.update(name.encode() + FOLDER.joinpath(name).read_bytes())
    assert (DATA_VERSION, digest.hexdigest()[:16]) == ("2026.5", "1e234fc88718c76e"), \
        "a table changed: raise DATA_VERSION, list before and after in the changelog, then pin both here"


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


def test_sources_say_how_they_were_read() -> None:
    for key, source in SOURCES.items():
        assert source.key == key
        assert any(word in source.how_read for word in ("read", "computed", "memory", "second-hand", "own decision",
                                                       "common practice"))


def test_a_fat_is_found_by_its_key() -> None:
    olive = fat("olive")
    assert (olive.saponification_value.min, olive.saponification_value.max) == (184, 196)
    assert olive.label_names.inci_name == "Olea Europaea Fruit Oil"


@pytest.mark.parametrize(("asked", "meant"), [
    ("olive pomice", "olive_pomace"), ("coconut palm", "coconut"), ("ricin bran", "rice_bran"),
    ("cocoa buttre", "cocoa_butter")])
def test_an_unknown_fat_is_rejected_with_the_nearest_names(asked: str, meant: str) -> None:
    with pytest.raises(UnknownIngredient) as caught:
        fat(asked)
    assert f'No fat called "{asked}".' in caught.value.detail
    assert f'"{meant}"' in caught.value.detail


def test_nothing_near_is_not_guessed() -> None:
    with pytest.raises(UnknownIngredient) as caught:
        fat("qqqq")
    assert caught.value.detail == 'No fat called "qqqq". The list is at /v1/fats.'


def test_fats_are_found_by_part_of_a_name_and_by_kind() -> None:
    assert [record.key for record in find_fats(FatFilter(search="SUNFLOWER"))] == [
        "sunflower_high_oleic", "sunflower", "sunflower_mid_oleic"]
    assert [record.key for record in find_fats(FatFilter(kind="wax_ester"))] == ["jojoba", "beeswax", "lanolin"]
    assert [record.key for record in find_fats(FatFilter(search="cocos nucifera", kind="triglyceride"))] == ["coconut"]
    assert len(find_fats(FatFilter())) == 58
    assert find_fats(FatFilter(search="nothing of the kind")) == ()


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


@pytest.mark.parametrize(("temperature", "density"), [(5, 0.99997), (20, 0.99820), (25, 0.99705), (40, 0.99222),
                                                      (60, 0.98320)])
def test_water_weighs_what_is_published(temperature: float, density: float) -> None:
    # from memory: CRC Handbook, density of water (IAPWS-95), g/mL
    assert water_density(temperature) == pytest.approx(density, abs=5e-5)


@pytest.mark.parametrize(("figure", "density"), [
    # 0.9145 x 0.99820 at 40 degC: nothing to move
    (Figure(0.908, 0.921, "read", "40 degC / water 20 degC"), 0.91285),
    # 0.913 x 0.99820 = 0.91136 at 20 degC; 20 K warmer takes off 0.0132
    (Figure(0.910, 0.916, "read", "20 degC / water 20 degC"), 0.89816),
    # 0.895 x 0.99820 = 0.89339 at 50 degC; 10 K cooler adds 0.0066
    (Figure(0.891, 0.899, "read", "50 degC / water 20 degC"), 0.89999),
    # relative to water of 15.5 degC, 0.99902 g/mL: 0.9175 x 0.99902 = 0.91660 less 24.5 K x 0.00066
    (Figure(0.915, 0.920, "read", "15.5 degC / water 15.5 degC"), 0.90043),
    # no water named: g/mL as it stands
    (Figure(0.912, 0.912, "read", "25 degC (d25)"), 0.9021),
    (Figure(0.960, 0.960, "memory", "about, 20 degC"), 0.9468),
])
def test_densities_are_brought_to_40_degrees(figure: Figure, density: float) -> None:
    found = density_from_figure(figure)
    assert found.value_g_per_ml == pytest.approx(density, abs=3e-5)
    assert not found.assumed
    assert found.from_memory == (figure.verified == "memory")


def test_a_density_nobody_stated_is_assumed() -> None:
    for figure in (None, Figure(0.9017, 0.9087, "read", "temperature not stated")):
        found = density_from_figure(figure)
        assert (found.value_g_per_ml, found.assumed) == (0.905, True)


def test_a_condition_that_cannot_be_read_is_an_error() -> None:
    with pytest.raises(ValueError, match="cannot be read"):
        density_from_figure(Figure(0.9, 0.91, "read", "warm"))


def test_every_fat_has_a_plausible_density() -> None:
    for record in fats().values():
        assert 0.84 < density_at_40(record).value_g_per_ml < 0.96, record.key


def test_curves_and_grids_hold_at_their_points_between_and_beyond() -> None:
    curve = TableCurve((1, 2, 4), (10, 20, 60))
    assert [curve.at(x) for x in (1, 1.5, 2, 3, 4, 0, 9)] == [10, 15, 20, 40, 60, 10, 60]
    grid = Grid((0, 10), (0, 2), ((0, 2), (10, 12)))
    assert [grid.at(0, 0), grid.at(10, 2), grid.at(5, 1), grid.at(-1, 9)] == [0, 12, 6, 2]
    with pytest.raises(ValueError, match="ascending"):
        TableCurve((1, 1), (2, 3))
    with pytest.raises(ValueError, match="every row"):
        Grid((0, 10), (0, 2), ((0, 2),))


def test_the_lye_tables_hold_what_is_printed() -> None:
    assert naoh_density().at(50, 20) == 1.5253
    assert naoh_density().at(32, 40) == 1.3362
    assert naoh_heat_of_solution().at(4) == 34.43
    assert naoh_heat_capacity().at(30) == 3.601
    assert naoh_boiling_point().at(40) == 128
