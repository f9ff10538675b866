"""A maker's file of prices: read as spreadsheets save it, refused with its lines, taken by the service."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from kettlewright.app import create_app
from kettlewright_client import PriceListError, parse_prices, read_prices

FILE = """key,name,pack_mass,price,currency
olive,"olive oil, can",5000,32.00,EUR
coconut,,3000,14.70,eur
olive,bottle,1000,9.00,EUR
"""


def test_a_file_gives_packs_and_the_price_of_the_first_pack() -> None:
    found = parse_prices(FILE)
    assert found.ingredients == [
        {"key": "olive", "name": "olive oil, can", "price": {"amount": "32.00", "currency": "EUR", "per_mass": 5000}},
        {"key": "coconut", "price": {"amount": "14.70", "currency": "EUR", "per_mass": 3000}}]
    assert [(pack["key"], pack["price"]["per_mass"]) for pack in found.packs] == [
        ("olive", 5000), ("coconut", 3000), ("olive", 1000)]


def test_the_service_takes_it_as_it_is() -> None:
    found, service = parse_prices(FILE), create_app().test_client()
    rows = [{"key": "olive", "name": "olive oil", "mass": 500}, {"key": "coconut", "name": "coconut oil", "mass": 300}]
    prices = {"ingredients": found.ingredients, "bars_count": 1}
    costs = service.post("/v1/costs", json={"rows": rows, "prices": prices})
    assert costs.json is not None
    assert costs.json["cost"]["batch"]["total"]["amount"] == "4.6700"
    bought = service.post("/v1/purchases", json={"needs": rows, "packs": found.packs})
    assert bought.json is not None
    assert bought.json["cost"]["amount"] == "23.70"


@pytest.mark.parametrize("text", [
    FILE.replace(",", ";").replace('"olive oil; can"', '"olive oil, can"').replace(".", ","),
    FILE.replace(",", "\t").replace('"olive oil\t can"', '"olive oil, can"'),
    "\ufeff" + FILE.replace("\n", "\r\n"), "\n" + FILE + "\n,,,,\n",
    FILE.replace("key,name", "Key, Name"), FILE.replace("32.00", " 32.00 ")])
def test_the_ways_of_spreadsheets_are_read_alike(text: str) -> None:
    assert parse_prices(text).packs == parse_prices(FILE).packs


def test_a_file_is_read_from_its_path(tmp_path: Path) -> None:
    path = tmp_path / "prices.csv"
    path.write_bytes("\ufeff".encode() + FILE.encode())
    assert read_prices(path) == parse_prices(FILE)
    path.write_bytes(FILE.replace("bottle", "fläschchen").encode("latin-1"))
    with pytest.raises(PriceListError, match="save it from the spreadsheet as CSV UTF-8"):
        read_prices(path)


@pytest.mark.parametrize("example", ["kiln_dusk", "ember_round"])
def test_the_invented_prices_cover_the_demo_batches(example: str) -> None:
    examples, service = Path(__file__).parents[2] / "client" / "examples", create_app().test_client()
    body = json.loads((examples / f"{example}.json").read_text(encoding="utf-8"))
    prices = {"ingredients": read_prices(examples / "invented_prices.csv").ingredients}
    found = service.post("/v1/costs", json={**body, "prices": prices})
    assert found.json is not None
    assert found.json["cost"]["complete"] is True


def test_supplier_and_the_most_that_may_be_bought_may_follow() -> None:
    found = parse_prices("at_most,supplier,currency,price,pack_mass,key\n3,mill,EUR,9,1000,olive\n,,EUR,9,1000,olive\n")
    price = {"amount": "9", "currency": "EUR", "per_mass": 1000}
    assert found.packs == [{"key": "olive", "price": price, "supplier": "mill", "at_most": 3},
                           {"key": "olive", "price": price}]


@pytest.mark.parametrize(("text", "words"), [
    ("", "The file is empty"), ("\n\n", "The file is empty"),
    ("key,name\n", 'no column "pack_mass"; no column "price"'),
    ("key,pack_mass,price,currency,colour\n", '"colour" is not a known column'),
    ("key,key,pack_mass,price,currency\n", 'column "key" appears twice'),
    ("key,pack_mass,price,currency\nolive,1000\n", "line 2: 2 cells for 4 columns"),
    ("key,pack_mass,price,currency\nolive,1000,1,234,EUR\n", "line 2: 5 cells for 4 columns"),
    ("key,pack_mass,price,currency\n,1000,nine,EUR\nolive,0,9,\n",
     'line 2: key is empty; line 2: price "nine" .*; line 3: currency is empty; line 3: pack_mass "0"'),
    ("key,pack_mass,price,currency\nolive,-5,9,EUR\n", 'pack_mass "-5"'),
    ("key,pack_mass,price,currency\nolive,5,1e3,EUR\n", 'price "1e3"'),
    ("key,pack_mass,price,currency\nolive,5,NaN,EUR\n", 'price "NaN"'),
    ("key;pack_mass;price;currency\nolive;5;1.234,50;EUR\n", 'price "1.234,50"'),
    ("key,pack_mass,price,currency,at_most\nolive,5,1,EUR,2.5\n", 'at_most "2.5" is not a whole number'),
    ('key,pack_mass,price,currency\n"olive,5,1,EUR\n', "line 2: ")])
def test_errors_in_prices_have_their_lines(text: str, words: str) -> None:
    with pytest.raises(PriceListError, match=words):
        parse_prices(text)
