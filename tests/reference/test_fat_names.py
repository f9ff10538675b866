"""Names of fats: every name that the service prints is accepted, and no name is taken for another fat."""

from __future__ import annotations

import re

import pytest
from kettlewright.errors import UnknownIngredient
from kettlewright.languages import translated, using_locale
from kettlewright.reference import FatRecord, fat, fats, fats_called

PRINTED = [(record.key, name) for record in fats().values()
           for name in (record.key, record.name, record.key.replace("_", " "), *(one.name for one in record.aliases))]
SEVERAL = {"Rapsöl", "tallow", "Talg"}  # names that two rows bear on purpose


def variants(name: str) -> set[str]:
    return {name, name.upper(), name.lower(), name.replace(" ", ""), name.replace(" ", "-"), name.replace(" ", "_"),
            name.replace("-", " "), f"  {name} ", re.sub(r"\s*\boil$", "", name)}


@pytest.mark.parametrize(("key", "name"), [pair for pair in PRINTED if pair[1] not in SEVERAL])
def test_every_name_that_is_printed_is_accepted(key: str, name: str) -> None:
    for written in variants(name):
        if re.search(r"[^\W\d_]", written):
            assert fat(written).key == key, written


@pytest.mark.parametrize("record", fats().values(), ids=lambda record: record.key)
def test_the_german_name_is_the_first_german_alias_and_names_this_fat_alone(record: FatRecord) -> None:
    german = [alias.name for alias in record.aliases if alias.language == "de"]
    with using_locale("de"):
        assert translated(record.name) == (german[0] if german else str(record.name))
    with using_locale("en"):
        assert translated(record.name) == record.name
    if german:
        assert fat(german[0]).key == record.key


@pytest.mark.parametrize("record", fats().values(), ids=lambda record: record.key)
def test_a_final_oil_or_butter_does_not_matter(record: FatRecord) -> None:
    stem = record.key.removesuffix("_butter")
    for name in (stem, stem.replace("_", " ")):
        assert fat(f"{name} oil").key == record.key
        if not re.search(r"\boil\b", record.name):
            assert fat(f"{name} butter").key == record.key


@pytest.mark.parametrize("record", [one for one in fats().values() if re.search(r"\boil\b", one.name)],
                         ids=lambda record: record.key)
def test_a_butter_is_not_taken_for_an_oil(record: FatRecord) -> None:
    # "peanut butter" is half fat; "olive butter" holds hardened fat: common practice, no source
    with pytest.raises(UnknownIngredient) as caught:
        fat(f"{record.key.replace('_', ' ')} butter")
    assert f'("{record.key}"' in caught.value.detail


@pytest.mark.parametrize(("given", "meant"), [
    ("shea butter", "shea"), ("Shea-Butter", "shea"), ("almond oil", "almond_sweet"), ("Sweet Almond", "almond_sweet"),
    ("Kokosöl", "coconut"), ("kokosoel", "coconut"), ("SONNENBLUMENÖL", "sunflower"),
    ("süßes Mandelöl", "almond_sweet"),
    ("linseed", "flaxseed"), ("soya", "soybean"), ("grape seed oil", "grapeseed"), ("palm kernel", "palm_kernel"),
    ("palm\u00a0oil", "palm"), ("olive\u00ad oil", "olive"), ("Kokoso\u0308l", "coconut"), ("palm", "palm"),
    ("sunflower", "sunflower"), ("Cocos Nucifera Oil", "coconut")])
def test_a_name_of_exactly_one_fat_is_taken(given: str, meant: str) -> None:
    assert fat(given).key == meant


@pytest.mark.parametrize(("given", "candidates"), [
    ("rapeseed", ["canola", "rapeseed_high_erucic"]), ("Rapeseed Oil", ["canola", "rapeseed_high_erucic"]),
    ("Rapsöl", ["canola", "rapeseed_high_erucic"]), ("tallow", ["tallow_beef", "tallow_mutton"]),
    ("Helianthus Annuus Seed Oil", ["sunflower_high_oleic", "sunflower", "sunflower_mid_oleic"]),
    ("high oleic", ["safflower_high_oleic", "sunflower_high_oleic"]), ("bitter almond oil", ["almond_sweet"]),
    ("shae butter", ["shea"]), ("olive pomice", ["olive", "olive_pomace"]), ("ricin bran", ["rice_bran"]),
    ("grape oil extra", []), ("stearic", ["stearic_acid"])])
def test_any_other_name_is_answered_with_whole_words_first(given: str, candidates: list[str]) -> None:
    with pytest.raises(UnknownIngredient) as caught:
        fat(given)
    assert re.findall(r'\("(\w+)", saponification value', caught.value.detail) == candidates


def test_a_candidate_is_listed_with_its_name_key_and_saponification_value() -> None:
    # ranges: Codex CXS 210 (canola read, high erucic from memory), as in the table
    with pytest.raises(UnknownIngredient) as caught:
        fat("rapeseed")
    assert caught.value.detail == (
        'No fat called "rapeseed". Did you mean rapeseed oil, low erucic (canola) ("canola", saponification value 182 '
        'to 193) or rapeseed oil, high erucic ("rapeseed_high_erucic", saponification value 168 to 181)? Give its key. '
        "The list is at /v1/fats.")


@pytest.mark.parametrize("name", ["qqqq", "oil", "fat", "seed oil", "kernel", "virgin", "xyzzy oil", "nut butter",
                                  "black cumin"])
def test_nothing_is_guessed_from_words_that_say_nothing(name: str) -> None:
    with pytest.raises(UnknownIngredient) as caught:
        fat(name)
    assert caught.value.detail == f'No fat called "{name}". The list is at /v1/fats.'


@pytest.mark.parametrize(("word", "kept"), [("cocoa", False), ("cocoa butter", True), ("olive oil", True),
                                            ("rapeseed", False)])
def test_where_something_else_may_be_meant_a_name_is_not_cut(word: str, kept: bool) -> None:
    assert bool(fats_called(word, whole=True)) == kept


def test_a_fat_is_found_by_its_key() -> None:
    olive = fat("olive")
    assert (olive.saponification_value.min, olive.saponification_value.max) == (184, 196)
    assert olive.label_names.inci_name == "Olea Europaea Fruit Oil"


@pytest.mark.parametrize(("name", "meant"), [
    ("olive pomice", "olive_pomace"), ("coconut palm", "coconut"), ("ricin bran", "rice_bran"),
    ("cocoa buttre", "cocoa_butter")])
def test_an_unknown_fat_is_rejected_with_the_nearest_names(name: str, meant: str) -> None:
    with pytest.raises(UnknownIngredient) as caught:
        fat(name)
    assert f'No fat called "{name}".' in caught.value.detail
    assert f'"{meant}"' in caught.value.detail


def test_nothing_near_is_not_guessed() -> None:
    with pytest.raises(UnknownIngredient) as caught:
        fat("qqqq")
    assert caught.value.detail == 'No fat called "qqqq". The list is at /v1/fats.'
