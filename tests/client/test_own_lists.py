"""A maker's files of fats, label names and fragrances: read as saved, refused with their lines, taken by the service.

Every value is invented, but the CAS numbers: 78-70-6 is linalool and 5989-27-5 is (R)-limonene (CAS registry; from
memory, their check digits agree).
"""

from __future__ import annotations

import copy
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from client.in_process import in_process, over
from kettlewright.app import create_app
from kettlewright_client import (
    AllergenListError,
    Client,
    ClientError,
    FatListError,
    InvalidInput,
    NameListError,
    parse_allergens,
    parse_fats,
    parse_names,
    read_allergens,
    read_fats,
    read_names,
)

RANGE = "saponification_value_min,saponification_value_max"
FATS = f"""key,name,{RANGE},density,inci,inci_as_reacted,pack_mass,price,currency
own_shea,"shea, village press",178,182,0.90,Butyrospermum Parkii Butter,Sodium Shea Butterate,1000,11.80,eur
own_tallow,,190.5,190.5,,,,,,
"""
NAMES = """key,inci,inci_as_reacted,permitted_in
kaolin,Kaolin,,
own_shea,Butyrospermum Parkii Butter,Sodium Shea Butterate,
sea blue powder,CI 77007,,EU gb
"""
ALLERGENS = """fragrance,cas,name,pct
cedar and lavender,78-70-6,,12
cedar_and_lavender,,Limonene,0.6
other scent,5989-27-5,,3
"""
SCENT = {"name": "Cedar and Lavender", "kind": "fragrance", "dose": 3, "basis": "pct_of_fats"}
BATCH: dict[str, Any] = {
    "recipe": {"fats": [{"fat": "olive", "share_pct": 60}, {"fat": "own_shea", "share_pct": 40}], "superfat_pct": 5,
               "alkalis": [{"alkali": "NaOH"}], "water": {"water_to_alkali": 2}},
    "mould": {"shape": "box", "length": 250, "width": 90, "depth": 70},
    "expected_loss_pct": 10,
    "portions": [{"name": "scented", "share_pct": 50, "additions": [SCENT]},
                 {"name": "blue", "share_pct": 50, "additions": [
                     {"name": "sea blue powder", "kind": "colourant", "dose": 3, "basis": "g_per_kg_batter"}],
                  "dusting": {"name": "kaolin", "coverage": 60}}]}
WAYS: list[Callable[[str], str]] = [
    lambda text: text.replace(",", ";").replace('"shea; village press"', '"shea, village press"'),
    lambda text: text.replace(",", "\t").replace('"shea\t village press"', '"shea, village press"'),
    lambda text: "\ufeff" + text.replace("\n", "\r\n"),
    lambda text: "\n" + text + "\n,,,\n"]


@pytest.fixture
def client() -> Client:
    return over(in_process(create_app().test_client()))[0]


def test_fats_come_as_requests_take_them() -> None:
    assert parse_fats(FATS).own_fats == [
        {"key": "own_shea", "name": "shea, village press", "density": 0.9,
         "saponification_value": {"min": 178, "max": 182}, "inci": "Butyrospermum Parkii Butter",
         "inci_as_reacted": "Sodium Shea Butterate",
         "price": {"amount": "11.80", "currency": "EUR", "per_mass": 1000}},
        {"key": "own_tallow", "saponification_value": {"min": 190.5, "max": 190.5}}]


def test_names_come_as_requests_take_them() -> None:
    assert parse_names(NAMES).names == [
        {"key": "kaolin", "inci": "Kaolin"},
        {"key": "own_shea", "inci": "Butyrospermum Parkii Butter", "inci_as_reacted": "Sodium Shea Butterate"},
        {"key": "sea blue powder", "inci": "CI 77007", "permitted_in": ["EU", "GB"]}]


def test_fragrances_are_found_by_name_and_by_key() -> None:
    found = parse_allergens(ALLERGENS)
    for word in ("cedar and lavender", "Cedar and Lavender", "cedar_and_lavender"):
        assert found.of(word) == [{"cas": "78-70-6", "pct": 12}, {"name": "Limonene", "pct": 0.6}]
    assert found.of("cedar") == []


def test_substances_go_to_the_additions_of_that_name_and_nowhere_else() -> None:
    substances = [{"name": "Citral", "pct": 1}]
    body = {"recipe": {}, "additions": [SCENT, {"name": "clay", "kind": "powder"}, {**SCENT, "allergens": substances}],
            "portions": [{"name": "plain"}, {"name": "red", "additions": [SCENT]}]}
    before = copy.deepcopy(body)
    found = parse_allergens(ALLERGENS).put_into(body)
    assert body == before
    full = {**SCENT, "allergens": [{"cas": "78-70-6", "pct": 12}, {"name": "Limonene", "pct": 0.6}]}
    assert found == {"recipe": {}, "additions": [full, {"name": "clay", "kind": "powder"},
                                                 {**SCENT, "allergens": substances}],
                     "portions": [{"name": "plain"}, {"name": "red", "additions": [full]}]}


def test_fragrances_without_composition_are_named() -> None:
    found = parse_allergens(ALLERGENS)
    rose = {"name": "rose", "kind": "fragrance"}
    body = {"additions": [rose, SCENT, {"name": "clay", "kind": "powder"}],
            "portions": [{"additions": [rose, {"name": "mint", "kind": "fragrance"}]}, {"name": "plain"},
                         {"additions": [{"name": "fir", "kind": "fragrance", "allergens": []}]}]}
    assert found.without_composition(body) == ("rose", "mint")
    assert found.without_composition(BATCH) == found.without_composition({}) == ()


def test_the_service_takes_all_three_and_the_label_shows_them(client: Client) -> None:
    body = {**parse_allergens(ALLERGENS).put_into(BATCH), "own_fats": parse_fats(FATS).own_fats}
    label = client.labels(**body, label={"market": "EU", "sold_on": "2027-03-20", "names": parse_names(NAMES).names})
    text = " ".join(each.text for each in label.label.labels)
    for name in ("Butyrospermum Parkii Butter", "Kaolin", "CI 77007", "Linalool"):
        assert name in text
    # rinsed off, a label names what the bar holds more than 0.01 % of (Regulation (EC) 1223/2009, Annex III, from
    # memory); 0.6 % of a scent of less than 3 % in half of the bar is less than 0.009 %
    known = {one.name: one.above_limit for each in label.label.labels for one in each.allergens}
    assert known == {"Linalool": True, "Limonene": False}
    without = client.labels(**{**BATCH, "own_fats": parse_fats(FATS).own_fats}, label={"market": "EU"}).label
    assert all("Linalool" not in each.text and "Kaolin" not in each.text for each in without.labels)


def test_the_range_of_the_file_is_what_the_lye_rests_on(client: Client) -> None:
    found = client.lye(fats=[{"fat": "own_tallow", "mass": 1000}], own_fats=parse_fats(FATS).own_fats,
                       alkalis=[{"alkali": "NaOH"}], water={"water_to_alkali": 2}, superfat_pct=0)
    # 1000 g x 190.5 mg KOH/g x 39.997 / 56.105 = 135.81 g (molar masses of NaOH and KOH from IUPAC's atomic weights)
    assert found.alkalis[0].mass == pytest.approx(135.81, abs=0.01)


@pytest.mark.parametrize("way", WAYS)
def test_the_ways_of_spreadsheets_are_read_alike(way: Callable[[str], str]) -> None:
    assert parse_fats(way(FATS)) == parse_fats(FATS)
    assert parse_names(way(NAMES)) == parse_names(NAMES)
    assert parse_allergens(way(ALLERGENS)) == parse_allergens(ALLERGENS)


@pytest.mark.parametrize(("read", "parse", "text", "error"), [
    (read_fats, parse_fats, FATS, FatListError), (read_names, parse_names, NAMES, NameListError),
    (read_allergens, parse_allergens, ALLERGENS, AllergenListError)])
def test_a_file_is_read_from_its_path(tmp_path: Path, read: Callable[[Path], object], parse: Callable[[str], object],
                                      text: str, error: type[ClientError]) -> None:
    path = tmp_path / "list.csv"
    path.write_bytes("\ufeff".encode() + text.encode())
    assert read(path) == parse(text)
    path.write_bytes((text + "é,,,\n").encode("latin-1"))
    with pytest.raises(error, match="save it from the spreadsheet as CSV UTF-8"):
        read(path)
    with pytest.raises(error, match="The file is empty"):
        parse("\n")


def test_commas_in_numbers_are_rejected_with_the_reason() -> None:
    head = "key;saponification_value_min;saponification_value_max;density\n"
    with pytest.raises(FatListError) as caught:
        parse_fats(f"{head}a;184,5;190;0,91\n")
    assert str(caught.value) == (
        'line 2: saponification_value_min "184,5" contains a comma, which may mean decimals or thousands; '
        'write decimals with a point: 184.5; line 2: density "0,91" contains a comma, which may mean decimals or '
        "thousands; write decimals with a point: 0.91")
    with pytest.raises(FatListError, match=r"^line 2: 5 cells for 4 columns; commas separate the columns here: "
                                           r"write decimals with a point"):
        parse_fats(head.replace(";", ",") + "a,184,5,190,0.91\n")
    with pytest.raises(AllergenListError, match=r'line 2: pct "0,6" contains a comma.* 0\.6$'):
        parse_allergens('fragrance,name,pct\nscent,Limonene,"0,6"\n')


HEAD = f"key,{RANGE},acid_value,density,pack_mass,price,currency\n"


@pytest.mark.parametrize(("rows", "words"), [
    ("a,190,184,,,,,", "line 2: saponification_value_min 190 is above saponification_value_max 184"),
    ("Own Shea,178,182,,,,,",
     'line 2: key "Own Shea" may contain lower-case letters, digits and _, such as "own_shea"'),
    ("karité,178,182,,,,,", 'such as "karit"'), (f"{'a' * 61},178,182,,,,,", "may contain lower-case letters"),
    ("a,178,182,,,,,\nb,1,2,,,,,\na,178,182,,,,,", 'line 4: key "a" is already on line 2'),
    ("a,178,182,,,,11.80,EUR", "line 2: pack_mass is missing beside price and currency"),
    ("a,178,182,,,1000,,", "line 2: price and currency is missing beside pack_mass"),
    ("a,0,182,,-1,0,x,EUR", 'line 2: saponification_value_min "0" is not a number above 0, such as 184.5; '
                            'line 2: density "-1" .*; line 2: pack_mass "0" .*; line 2: price "x" '),
    ("a,1e2,NaN,,,,,", 'saponification_value_min "1e2" .*saponification_value_max "NaN"'),
    (",178,,,,,,\nb,178,182,few,,,,", 'line 2: key is empty; line 2: saponification_value_max is empty; '
                                      'line 3: acid_value "few"')])
def test_errors_in_fats_have_their_lines(rows: str, words: str) -> None:
    with pytest.raises(FatListError, match=words):
        parse_fats(HEAD + rows + "\n")


def test_a_fat_may_cost_nothing_and_hold_no_free_acid() -> None:
    found = parse_fats(f"{HEAD}a,178,182,0,,1000,0.00,EUR\n{'a' * 60},178,182,,,,,\n").own_fats
    assert found[0]["acid_value"] == 0
    assert found[0]["price"] == {"amount": "0.00", "currency": "EUR", "per_mass": 1000}
    assert len(found) == 2


@pytest.mark.parametrize(("rows", "words"), [
    ("kaolin,,,", "line 2: the row has no name; give inci, inci_as_reacted or permitted_in"),
    (",Kaolin,,", "line 2: key is empty"), ("?,Kaolin,,", 'line 2: key "." contains no letter and no digit'),
    ("red clay,Kaolin,,\nRed_Clay,Illite,,", 'line 3: key "Red_Clay" is already on line 2')])
def test_errors_in_names_have_their_lines(rows: str, words: str) -> None:
    with pytest.raises(NameListError, match=words):
        parse_names(f"key,inci,inci_as_reacted,permitted_in\n{rows}\n")


@pytest.mark.parametrize(("rows", "words"), [
    ("scent,78-70-6,Linalool,1\nscent,,,1", "line 2: give the substance by cas or by name.*; line 3: give the"),
    ("scent,06.07.1978,,1",
     'line 2: cas "06.07.1978" is not a CAS number such as 5989-27-5; if a spreadsheet turned it into a'),
    ("scent,1978-07-06,,1", 'cas "1978-07-06"'), (",78-70-6,,1", "line 2: fragrance is empty"),
    ("-,78-70-6,,1", 'fragrance "-" contains no letter'),
    ("red scent,,Limonene,1\nRed_Scent,,limonene,2", 'line 3: "limonene" of "Red_Scent" is already on line 2'),
    ("scent,,Limonene,1-5", 'line 2: pct "1-5" is a range or a limit; write its upper end'),
    ("scent,,Limonene,<0.1", 'pct "<0.1" is a range or a limit'),
    ("scent,,Limonene,0", 'pct "0" is not a number above 0'),
    ("scent,,Limonene,", "line 2: pct is empty")])
def test_errors_in_fragrances_have_their_lines(rows: str, words: str) -> None:
    with pytest.raises(AllergenListError, match=words):
        parse_allergens(f"fragrance,cas,name,pct\n{rows}\n")


@pytest.mark.parametrize(("head", "words"), [
    ("key,inci,colour", 'line 1: "colour" is not a known column. Columns are key, inci, inci_as_reacted'),
    ("\ninci", 'line 2: no column "key"'), ("key,inci,Key", 'column "key" appears twice')])
def test_wrong_columns_are_reported(head: str, words: str) -> None:
    with pytest.raises(NameListError, match=words):
        parse_names(f"{head}\n")


def test_an_open_quote_is_reported_with_the_errors_before_it() -> None:
    with pytest.raises(NameListError, match=r"^line 2: the row has no name.*; line 3: "):
        parse_names('key,inci\nkaolin,\nclay,"Illite\n')


def test_what_only_the_service_knows_it_says(client: Client) -> None:
    own = parse_fats(f"key,{RANGE}\nolive,184,196\nown_shea,178,182\n").own_fats
    with pytest.raises(InvalidInput, match='"olive" is a key of the table'):
        client.batches(**BATCH, own_fats=own)
    wrong = parse_allergens("fragrance,cas,pct\ncedar and lavender,78-70-7,12\n")
    with pytest.raises(InvalidInput) as caught:
        client.batches(**wrong.put_into({**BATCH, "own_fats": own[1:]}))
    assert [fault.pointer for fault in caught.value.errors] == ["/portions/0/additions/0/allergens/0/cas"]
