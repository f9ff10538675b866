"""Purchases over the wire: needs, weigh lists as batches give them, and the errors."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from api.bodies import changed
from api.sending import errors_of, reply_to
from flask.testing import FlaskClient

EXAMPLES = Path(__file__).parents[3] / "client" / "examples"


def pack(key: str, amount: str, **content: float) -> dict[str, Any]:
    return {"key": key, "price": {"amount": amount, "currency": "EUR", **content}}


NEEDS: dict[str, Any] = {"needs": [{"name": "paper band", "count": 240}, {"name": "olive oil", "mass": 7300}],
                         "packs": [pack("paper_band", "9.00", per_count=100), pack("paper_band", "4.00", per_count=40),
                                   pack("olive oil", "35.00", per_mass=5000), pack("olive", "9.00", per_mass=1000)]}


def price(amount: str, per_mass: float = 1000, currency: str = "EUR") -> dict[str, Any]:
    return {"amount": amount, "currency": currency, "per_mass": per_mass}


def eur(amount: str) -> dict[str, str]:
    return {"amount": amount, "currency": "EUR"}


BODY: dict[str, Any] = {
    "needs": [{"key": "olive", "name": "olive oil", "mass": 7600}, {"name": "Coconut", "mass": 2600}],
    "at_hand": [{"key": "olive", "mass": 300}],
    "packs": [{"key": "olive", "price": price("9.00")}, {"key": "olive", "name": "can", "price": price("35.00", 5000)},
              {"key": "coconut", "price": price("6.20", 500)}, {"key": "coconut", "price": price("10.50")},
              {"key": "coconut", "price": price("24.00", 2500), "supplier": "mill"}]}


def sent(client: FlaskClient, body: dict[str, Any], path: str = "/v1/purchases") -> dict[str, Any]:
    reply = client.post(path, json=body)
    assert reply.status_code == 200, reply.text
    assert reply.json is not None
    return dict(reply.json)


def test_packs_for_two_oils(client: FlaskClient) -> None:
    found = sent(client, BODY)
    olive, coconut = found["ingredients"]
    assert (olive["needed_mass"], olive["at_hand_mass"], olive["short_mass"]) == (7600, 300, 7300)
    assert olive["packs"] == [
        {"mass": 1000, "count": 3, "price": eur("9.00"), "cost": eur("27.00")},
        {"mass": 5000, "name": "can", "count": 1, "price": eur("35.00"), "cost": eur("35.00")}]
    assert (olive["bought_mass"], olive["left_over_mass"], olive["cost"]) == (8000, 700, eur("62.00"))
    assert coconut["key"] == "coconut"
    assert coconut["packs"][1]["supplier"] == "mill"
    assert (found["goods"], found["shipping"], found["cost"]) == (eur("92.20"), eur("0.00"), eur("92.20"))
    assert (found["packs_count"], found["left_over_mass"]) == (6, 1100)
    assert found["complete"] is found["proven_optimal"] is True
    assert found["missing"] == found["orders"] == found["cautions"] == []
    assert "batches" not in found


def test_a_weigh_list_can_be_sent_as_a_batch_gave_it(client: FlaskClient) -> None:
    body = json.loads((EXAMPLES / "kiln_dusk.json").read_text(encoding="utf-8"))
    rows = sent(client, body, "/v1/batches")["weigh_list"]
    wanted: dict[str, float] = {}
    for row in rows:
        if row["kind"] != "batter":
            wanted[row["buy"]] = wanted.get(row["buy"], 0) + 3 * row["weigh"]
    packs = [{"key": key, "price": price("5.00", 100)} for key in wanted]
    found = sent(client, {"batches": [{"weigh_list": rows, "batches_count": 3}], "packs": packs})
    assert {one["key"]: one["needed_mass"] for one in found["ingredients"]} == pytest.approx(wanted)
    assert found["batches"] == [{"batches_count": 3}]
    assert found["complete"] is True


def test_rows_bear_their_own_units_and_add_up_with_needs(client: FlaskClient) -> None:
    row = {"kind": "fat", "buy": "olive", "name": "olive oil", "where": "pot", "weigh": 2, "unit": "lb"}
    body = {"units": {"mass": "kg"}, "needs": [{"key": "olive", "name": "olive oil", "mass": 1}],
            "batches": [{"weigh_list": [row]}], "packs": [{"key": "olive", "price": price("9.00", 1)}]}
    one, = sent(client, body)["ingredients"]
    assert one["needed_mass"] == pytest.approx(1 + 2 * 0.45359237)
    assert [(pack["mass"], pack["count"]) for pack in one["packs"]] == [(1, 2)]


def test_ice_is_water_a_stock_is_no_dry_alkali_and_batter_is_bought_by_its_parts(client: FlaskClient) -> None:
    def row(kind: str, name: str, weigh: float, buy: str | None = None) -> dict[str, Any]:
        found = {"kind": kind, "key": "any", "name": name, "where": "jug", "weigh": weigh, "unit": "g", "step": 1}
        return found if buy is None else {**found, "buy": buy}

    rows = [row("water", "Wasser", 200, "water"), row("ice", "Eis, vom Wasser", 100, "water"),
            row("stock", "Vorratslauge (Natriumhydroxid)", 280, "NaOH_stock"), row("alkali", "Kali", 20, "KOH"),
            row("batter", "batter for red", 900), row("addition", "red", 5, "red"), row("kept_back", "kept back", 60),
            row("dispersion", "zest", 30), row("addition", "zest", 2, "zest"), row("spray", "spirit", 0, "spirit")]
    found = sent(client, {"batches": [{"weigh_list": rows}], "packs": []})
    assert {one["key"]: one["mass"] for one in found["missing"]} == {
        "water": 300, "NaOH_stock": 280, "KOH": 20, "red": 5, "zest": 2}


def test_an_order_of_bars_says_how_many_batches(client: FlaskClient) -> None:
    row = {"kind": "fat", "buy": "olive", "name": "olive oil", "where": "pot", "weigh": 700, "unit": "g"}
    order = {"bars_count": 120, "bars_per_batch_count": 10, "broken_pct": 5}
    found = sent(client, {"batches": [{"weigh_list": [row], "order": order}, {"weigh_list": [row]}],
                          "packs": BODY["packs"]})
    assert found["batches"] == [{"batches_count": 13}, {"batches_count": 1}]
    assert found["ingredients"][0]["needed_mass"] == 14 * 700


@pytest.mark.parametrize(("bars", "kept", "broken", "batches"), [
    (120, 0, 0, 12), (120, 1, 0, 14), (120, 1, 5, 15), (119, 1.5, 5, None), (120, 9, 5, 240), (120, 10, 0, None)])
def test_bars_kept_back_of_each_batch_are_not_sold(client: FlaskClient, bars: int, kept: float, broken: float,
                                                   batches: int | None) -> None:
    """Ten bars a batch, by hand: 120 / 9 = 13.3; 120 / (9.5 - 1) = 14.1; 120 / (9.5 - 9) = 240."""
    order = {"bars_count": bars, "bars_per_batch_count": 10, "broken_pct": broken, "kept_back_count": kept}
    reply = client.post("/v1/purchases", json={"batches": [{"weigh_list": [ROW], "order": order}], "packs": []})
    assert reply.json is not None
    if batches is None:
        assert reply.json["errors"][0]["pointer"] == "/batches/0/order/kept_back_count"
        return
    assert reply.json["batches"] == [{"batches_count": batches}]
    cost = sent(client, {"rows": [{"name": "a", "mass": 1}], "prices": {
        "ingredients": [{"key": "a", "price": price("1.00")}], "bars_count": 10, "broken_pct": broken,
        "kept_back_count": kept}}, "/v1/costs")["cost"]
    assert cost["bars"]["good"] * batches >= bars > cost["bars"]["good"] * (batches - 1)


def test_what_is_sold_in_no_pack_is_named_at_once(client: FlaskClient) -> None:
    found = sent(client, {**BODY, "needs": [*BODY["needs"], {"name": "castor oil", "mass": 50},
                                            {"name": "tea", "mass": 5}]})
    assert [one["key"] for one in found["missing"]] == ["castor", "tea"]
    assert found["complete"] is False
    assert found["cost"] == eur("92.20")
    assert [one["cost"] for one in found["ingredients"][2:]] == [None, None]
    assert [(one["key"], one["pointer"]) for one in found["cautions"]] == [("pack-missing", "/packs")]
    assert "castor oil (castor), tea" in found["cautions"][0]["message"]
    nothing = sent(client, {**BODY, "packs": []})
    assert nothing["cost"] is nothing["goods"] is nothing["shipping"] is None


def test_orders_carry_their_shipping(client: FlaskClient) -> None:
    body = {"needs": [{"key": "olive", "name": "olive oil", "mass": 900}],
            "packs": [{"key": "olive", "supplier": "The Mill", "price": price("9.00")},
                      {"key": "olive", "supplier": "shop", "price": price("10.00")}],
            "suppliers": [{"name": "the mill", "shipping": eur("4.00"), "free_from": eur("50.00"),
                           "minimum_order": eur("5.00")}, {"name": "shop", "shipping": eur("1.00")}]}
    found = sent(client, body)
    assert found["orders"] == [{"name": "shop", "goods": eur("10.00"), "shipping": eur("1.00")}]
    assert found["cost"] == eur("11.00")


ROW = {"kind": "fat", "key": "a", "name": "a", "where": "pot", "weigh": 1, "unit": "g", "buy": "a"}
WRONG: list[tuple[str, str, Any, str, str]] = [
    ("nothing needed", "/needs", [], "/needs", "Nothing is needed"),
    ("no packs", "/packs", ..., "/packs", "is required"),
    ("a pack of nothing", "/packs/0/price/per_mass", 0, "/packs/0/price/per_mass", "A mass of 0 g is not possible"),
    ("a pack for nothing anybody pays", "/packs/0/price/amount", "9.005", "/packs/0/price/amount", "cannot be paid"),
    ("two currencies", "/packs/0/price/currency", "USD", "", "EUR and USD"),
    ("too few packs", "/packs/0", {"key": "olive", "price": price("1"), "at_most": 0}, "/packs/0/at_most", "from 1 to"),
    ("no terms", "/suppliers", [{"name": "shop"}], "/packs/4/supplier", 'No terms are given for "mill"'),
    ("a supplier twice", "/suppliers", [{"name": "mill"}, {"name": "Mill!"}], "/suppliers/1/name", '"mill" appears'),
    ("packs too small", "/packs/0/price/per_mass", 0.01, "/packs/0/price/per_mass", "Is the unit right?"),
    ("count and order", "/batches", [{"weigh_list": [ROW], "batches_count": 2,
                                     "order": {"bars_count": 5, "bars_per_batch_count": 5}}],
     "/batches/0/order", "not both"),
    ("too many batches", "/batches", [{"weigh_list": [ROW], "order": {"bars_count": 100_000,
                                                                     "bars_per_batch_count": 1}}],
     "/batches/0/order/bars_count", "A number of batches of 100000"),
    ("an empty weigh list", "/batches", [{"weigh_list": []}], "/batches/0/weigh_list", "at least 1 item"),
    ("a row without a unit", "/batches", [{"weigh_list": [changed(ROW, "/unit", ...)]}],
     "/batches/0/weigh_list/0/unit", "is required"),
    ("a row that does not say what it is", "/batches", [{"weigh_list": [changed(ROW, "/kind", ...)]}],
     "/batches/0/weigh_list/0/kind", "is required"),
    ("a row that does not say how it is bought", "/batches", [{"weigh_list": [changed(ROW, "/buy", ...)]}],
     "/batches/0/weigh_list/0/buy", "the key of its packs, is required"),
    ("a negative stock", "/at_hand/0/mass", -1, "/at_hand/0/mass", "from 0 to 1,000 kg"),
]


@pytest.mark.parametrize(("spoiled", "value", "pointer", "words"), [row[1:] for row in WRONG],
                         ids=[row[0] for row in WRONG])
def test_what_is_wrong_is_reported_at_its_place(client: FlaskClient, spoiled: str, value: Any, pointer: str,
                                            words: str) -> None:
    reply = client.post("/v1/purchases", json=changed(BODY, spoiled, value))
    assert reply.status_code == 422, reply.text
    assert reply.json is not None
    errors = {fault["pointer"]: fault["detail"] for fault in reply.json["errors"]}
    assert words in errors.get(pointer, ""), errors


def test_packs_that_do_not_come_to_the_need_are_reported_with_what_is_missing(client: FlaskClient) -> None:
    few = [{"key": "olive", "price": price("9.00"), "at_most": 2}, {"key": "coconut", "price": price("9.00"),
                                                                   "at_most": 1}]
    reply = client.post("/v1/purchases", json={**BODY, "packs": few})
    assert reply.json is not None
    assert [(fault["pointer"], fault["detail"].split(".")[0]) for fault in reply.json["errors"]] == [
        ("/packs", "All the packs of olive that you may buy are 5300 g short of the 7300 g you need"),
        ("/packs", "All the packs of coconut that you may buy are 1600 g short of the 2600 g you need")]


def test_the_same_body_gives_the_same_bytes(client: FlaskClient) -> None:
    assert client.post("/v1/purchases", json=BODY).data == client.post("/v1/purchases", json=BODY).data


@pytest.mark.parametrize("units", [{}, {"mass": "oz"}, {"mass": "kg"}])
def test_wraps_are_bought_in_whole_packs(client: FlaskClient, units: dict[str, str]) -> None:
    body = {**NEEDS, "units": units, "needs": NEEDS["needs"][:1], "packs": NEEDS["packs"][:2],
            "at_hand": [{"key": "paper_band", "count": 20}]}
    [found] = reply_to(client, "/v1/purchases", body)["counted"]
    # 220 short: 1 x 100 + 3 x 40 = 220 for 21.00; 2 x 100 + 1 x 40 = 240 for 22.00; 6 x 40 = 240 for 24.00
    assert [(one["pieces_count"], one["count"], one["cost"]["amount"]) for one in found["packs"]] == [
        (100, 1, "9.00"), (40, 3, "12.00")]
    assert (found["needed_count"], found["at_hand_count"], found["short_count"], found["bought_count"],
            found["left_over_count"]) == (240, 20, 220, 220, 0)
    assert found["cost"]["amount"] == "21.00"


def test_mass_and_count_are_bought_together_and_distinguished(client: FlaskClient) -> None:
    found = reply_to(client, "/v1/purchases", NEEDS)
    assert [one["key"] for one in found["ingredients"]] == ["olive"]
    assert [one["key"] for one in found["counted"]] == ["paper_band"]
    # 5 kg + 3 x 1 kg = 62.00 for 7.3 kg; 240 bands: 2 x 100 + 40 = 22.00, 6 x 40 = 24.00
    assert found["cost"]["amount"] == "84.00"
    assert found["left_over_mass"] == pytest.approx(700)
    assert found["complete"]


def test_a_thing_without_a_pack_is_missing_by_its_count(client: FlaskClient) -> None:
    found = reply_to(client, "/v1/purchases", {**NEEDS, "packs": NEEDS["packs"][2:]})
    assert found["missing"] == [{"key": "paper_band", "name": "paper band", "count": 240}]
    assert not found["complete"]


@pytest.mark.parametrize(("change", "pointer", "words"), [
    ({"needs": [{"name": "paper band", "count": 5, "mass": 5}]}, "/needs/0/mass", "both were given"),
    ({"needs": [{"name": "paper band"}]}, "/needs/0/mass", "neither was given"),
    ({"packs": [pack("paper_band", "4.00", per_mass=40)]}, "/packs/0/price/per_count", "needed by count"),
    ({"at_hand": [{"key": "olive", "count": 3}]}, "/at_hand/0/mass", "needed by mass"),
    ({"packs": [pack("paper_band", "4.00")]}, "/packs/0/price/per_mass", "neither was given"),
    ({"needs": [*NEEDS["needs"], {"name": "paper band", "mass": 5}]}, "/needs", "by mass and by count"),
    ({"needs": [{"name": "paper band", "count": 2.5}]}, "/needs/0/count", "not a whole number"),
    ({"packs": [{**pack("paper_band", "4.00", per_count=40), "at_most": 2}]}, "/packs", "160 pieces short")])
def test_what_is_wrong_with_a_count_is_said_where_it_is(client: FlaskClient, change: dict[str, Any], pointer: str,
                                                        words: str) -> None:
    assert words in errors_of(client, "/v1/purchases", {**NEEDS, **change})[pointer]
