"""Costs over the wire: of a batch, of rows, in other units, and the errors."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from api.bodies import BATCH, LYE, changed
from api.sending import errors_of, reply_to
from flask.testing import FlaskClient

KEYS = ("olive", "coconut", "NaOH", "water", "red_iron_oxide", "cedar", "kaolin")


def price(amount: str, per_mass: float = 1000, currency: str = "EUR") -> dict[str, Any]:
    return {"amount": amount, "currency": currency, "per_mass": per_mass}


def eur(amount: str) -> dict[str, str]:
    return {"amount": amount, "currency": "EUR"}


PRICES: dict[str, Any] = {"ingredients": [{"key": key, "price": price(amount)} for key, amount in zip(
    KEYS, ("6.40", "4.90", "3.20", "0", "30.00", "42.00", "5.00"), strict=True)]}
RED = {"name": "red iron oxide", "kind": "colourant", "dose": 6, "basis": "g_per_kg_batter", "inci": "CI 77491"}
PORTIONS = [{"name": "red", "share_pct": 30, "additions": [RED]},
            {"name": "plain", "share_pct": 70, "dusting": {"name": "kaolin", "coverage": 60}}]
SCENT = {"name": "cedar", "kind": "fragrance", "dose": 3, "basis": "pct_of_fats", "limit_pct": 50}
WHOLE: dict[str, Any] = {**BATCH, "portions": PORTIONS, "additions": [SCENT], "residue": {"pot": 20, "portion": 4},
                         "cut": {"bar": {"thickness": 25}, "loaf": {"width": 80}}, "prices": PRICES}
ROWS: dict[str, Any] = {"rows": [{"key": "olive", "name": "olive oil", "mass": 500}, {"name": "Coconut", "mass": 300}],
                        "prices": {**PRICES, "bars_count": 8}}


def sent(client: FlaskClient, body: dict[str, Any], path: str = "/v1/costs") -> dict[str, Any]:
    reply = client.post(path, json=body)
    assert reply.status_code == 200, reply.text
    assert reply.json is not None
    return dict(reply.json)


def faults(client: FlaskClient, body: dict[str, Any]) -> dict[str, str]:
    reply = client.post("/v1/costs", json=body)
    assert reply.status_code == 422, reply.text
    assert reply.json is not None
    return {fault["pointer"]: fault["detail"] for fault in reply.json["errors"]}


def test_a_batch_costs_what_its_weigh_list_weighs(client: FlaskClient) -> None:
    cost = sent(client, WHOLE)["cost"]
    batch = sent(client, {name: value for name, value in WHOLE.items() if name != "prices"}, "/v1/batches")
    weighed: dict[str, float] = {}
    for row in batch["weigh_list"]:
        if row["kind"] != "batter":  # made of the other rows
            weighed[row["buy"]] = weighed.get(row["buy"], 0) + row["weigh"]
    assert {line["key"]: line["mass"] for line in cost["ingredients"]} == pytest.approx(weighed)
    assert set(weighed) == set(KEYS)
    per_kg = {one["key"]: Decimal(one["price"]["amount"]) for one in PRICES["ingredients"]}
    by_hand = sum(Decimal(str(mass)) * per_kg[key] / 1000 for key, mass in weighed.items())
    assert Decimal(cost["batch"]["total"]["amount"]) == pytest.approx(by_hand, abs=Decimal("0.0001"))
    assert cost["complete"] is True
    assert cost["bars"]["made"] == batch["cuts"]["bars"]["count"] == 45


def test_portions_and_what_stays_in_the_pot_carry_all_ingredients(client: FlaskClient) -> None:
    cost = sent(client, WHOLE)["cost"]
    shares = {line["key"]: Decimal(line["cost"]["amount"]) for line in cost["portions"]}
    assert sum(shares.values()) + Decimal(cost["residue"]["amount"]) == Decimal(cost["batch"]["ingredients"]["amount"])
    assert [line["key"] for line in cost["portions"]] == ["plain", "red"]
    batch = sent(client, {name: value for name, value in WHOLE.items() if name != "prices"}, "/v1/batches")
    by_key = {line["key"]: Decimal(line["cost"]["amount"]) for line in cost["ingredients"]}
    own = by_key["red_iron_oxide"]
    pot = sum(by_key.values()) - own - by_key["kaolin"]
    weighs = {one["key"]: Decimal(str(one["weigh"])) for one in batch["portions"]}
    whole = sum(weighs.values()) + Decimal(str(batch["residue_mass"]))
    assert shares["red"] == pytest.approx(own + pot * weighs["red"] / whole, abs=Decimal("0.0003"))
    assert shares["plain"] == pytest.approx(by_key["kaolin"] + pot * weighs["plain"] / whole, abs=Decimal("0.0003"))


def test_a_spray_on_the_batch_is_shared_by_the_portions(client: FlaskClient) -> None:
    spray = {"name": "alcohol", "kind": "spray", "dose": 30, "basis": "mass"}
    prices = {"ingredients": [*PRICES["ingredients"], {"key": "alcohol", "price": price("100.00")}]}
    with_it = sent(client, {**WHOLE, "additions": [SCENT, spray], "prices": prices})["cost"]
    without = sent(client, WHOLE)["cost"]
    assert with_it["residue"] == without["residue"]
    more = Decimal(with_it["batch"]["total"]["amount"]) - Decimal(without["batch"]["total"]["amount"])
    assert more == pytest.approx(Decimal(3), abs=Decimal("0.001"))
    red = [Decimal(next(line["cost"]["amount"] for line in cost["portions"] if line["key"] == "red"))
           for cost in (with_it, without)]
    assert red[0] - red[1] == pytest.approx(Decimal("0.9"), abs=Decimal("0.002"))


def test_what_has_no_price_is_named_at_once_and_no_price_is_reported(client: FlaskClient) -> None:
    prices = {"ingredients": PRICES["ingredients"][:2], "selling": {"margin_pct": 40}}
    found = sent(client, {**WHOLE, "prices": prices})
    assert [one["key"] for one in found["cost"]["missing"]] == [
        "water", "NaOH", "cedar", "red_iron_oxide", "kaolin"]
    assert found["cost"]["complete"] is False
    assert found["cost"]["selling"] == []
    assert [(one["key"], one["severity"], one["pointer"]) for one in found["cautions"]] == [
        ("price-missing", "warning", "/prices/ingredients")]
    assert "water, sodium hydroxide (NaOH), cedar, red iron oxide (red_iron_oxide), kaolin" in found["cautions"][0][
        "message"]


def test_a_price_under_a_mistyped_key_is_pointed_out(client: FlaskClient) -> None:
    found = sent(client, changed(ROWS, "/rows/0/key", "olive_oil"))
    assert "olive oil (its key is \"olive_oil\"; you gave \"olive\")" in found["cautions"][0]["message"]


def test_a_danger_of_the_batch_is_reported_here_as_well(client: FlaskClient) -> None:
    hot = changed(WHOLE, "/recipe/temperatures", {"water": 60})
    found = sent(client, changed(hot, "/recipe/water", {"water_to_alkali": 1.5}))
    assert [one["key"] for one in found["cautions"]] == ["lye-hot"]
    assert sent(client, changed(WHOLE, "/recipe/temperatures", {"water": 20}))["cautions"] == []


def test_a_stock_has_a_price_of_its_own_and_ice_is_water(client: FlaskClient) -> None:
    stock = changed(WHOLE, "/recipe/alkalis", [{"alkali": "NaOH", "stock": {"concentration_pct": 50}}])
    found = sent(client, stock)["cost"]
    assert [(one["key"], one["name"]) for one in found["missing"]] == [("NaOH_stock", "sodium hydroxide stock")]
    assert "NaOH" not in [line["key"] for line in found["ingredients"]]
    iced = sent(client, changed(WHOLE, "/recipe/water", {"water_to_alkali": 2, "ice_pct": 50}))["cost"]
    plain = sent(client, changed(WHOLE, "/recipe/water", {"water_to_alkali": 2}))["cost"]
    assert iced["ingredients"] == plain["ingredients"]


def test_rows_are_found_by_key_or_by_their_name(client: FlaskClient) -> None:
    cost = sent(client, ROWS)["cost"]
    assert [(line["key"], line["cost"]) for line in cost["ingredients"]] == [
        ("olive", eur("3.2000")), ("coconut", eur("1.4700"))]
    assert cost["bar"]["total"] == eur("0.5838")
    assert cost["portions"] == []
    assert "residue" not in cost


def test_an_own_fat_may_bring_its_price(client: FlaskClient) -> None:
    own = [{"key": "own_olive", "name": "my olive", "saponification_value": {"min": 186, "max": 192},
            "price": price("8.00")}]
    recipe = {**BATCH["recipe"], "fats": [{"fat": "own_olive", "share_pct": 100}]}
    body = {**BATCH, "recipe": recipe, "own_fats": own, "prices": PRICES}
    line = sent(client, body)["cost"]["ingredients"][0]
    assert line["key"] == "own_olive"
    assert Decimal(line["cost"]["amount"]) == Decimal(str(line["mass"])) * 8 / 1000
    listed = {"ingredients": [*PRICES["ingredients"], {"key": "own_olive", "price": price("9.00")}]}
    again = sent(client, {**body, "prices": listed})["cost"]["ingredients"][0]
    assert Decimal(again["cost"]["amount"]) == Decimal(str(line["mass"])) * 9 / 1000


def test_the_price_of_an_own_fat_is_in_the_units_of_the_request(client: FlaskClient) -> None:
    own = [{"key": "own_olive", "saponification_value": {"min": 186, "max": 192}, "price": price("8.00", 2)}]
    recipe = {**BATCH["recipe"], "fats": [{"fat": "own_olive", "mass": 2.5}]}
    body = {"units": {"mass": "lb"}, "recipe": recipe, "own_fats": own, "prices": PRICES,
            "mould": {"shape": "measured", "volume": 3000}}
    assert sent(client, body)["cost"]["ingredients"][0]["cost"] == eur("10.0000")


def test_units_change_no_money(client: FlaskClient) -> None:
    pounds = {"units": {"mass": "lb"}, "rows": [{"key": "olive", "name": "olive oil", "mass": 2.5}],
              "prices": {"bars_count": 1, "ingredients": [{"key": "olive", "price": price("4.10", 1)}]}}
    cost = sent(client, pounds)["cost"]
    assert cost["batch"]["total"] == eur("10.2500")
    assert cost["ingredients"][0]["mass"] == 2.5


def test_bars_are_chosen_by_the_cut_else_by_the_maker_else_by_the_cavities(client: FlaskClient) -> None:
    uncut = {name: value for name, value in WHOLE.items() if name != "cut"}
    assert sent(client, {**uncut, "mould": {**uncut["mould"], "count": 3}})["cost"]["bars"]["made"] == 3
    assert sent(client, changed(uncut, "/prices/bars_count", 40))["cost"]["bars"]["made"] == 40
    assert sent(client, changed(WHOLE, "/prices/bars_count", 45))["cost"]["bars"]["made"] == 45
    assert "The cut makes 45 bars" in faults(client, changed(WHOLE, "/prices/bars_count", 44))["/prices/bars_count"]


def test_a_price_of_a_bar_with_tax_fees_and_an_ending(client: FlaskClient) -> None:
    # olive 3.20 and coconut 1.47 are 4.67; 8 bars, one kept back: 0.667143 a bar
    selling = {"margin_pct": 40, "sales_tax": {"rate_pct": 20}, "fees": {
        "of_gross_pct": 3, "fixed_per_order": eur("0.30"), "bars_per_order": 3},
        "price_step": {"step": "1", "ends_on": "0.90"}}
    prices = {**ROWS["prices"], "kept_back_count": 1, "selling": selling}
    one, = sent(client, {**ROWS, "prices": prices})["cost"]["selling"]
    # (0.667143 + 0.10) / (1 - 0.40 - 0.036) = 1.360182, with tax 1.63: goes up to 1.90
    assert one["net_exact"] == eur("1.3602")
    assert one["tag"] == eur("1.90")
    assert one["batch_gross"] == eur("13.30")
    parts = {name: Decimal(one[name]["amount"]) for name in ("gross", "net", "sales_tax", "fees", "cost", "profit")}
    assert parts["net"] + parts["sales_tax"] == parts["gross"]
    assert parts["cost"] + parts["fees"] + parts["profit"] == parts["net"]
    assert one["margin_pct"] > 40


WRONG: list[tuple[str, dict[str, Any], str, Any, str, str]] = [
    ("two currencies", ROWS, "/prices/ingredients/0/price/currency", "USD", "/prices",
     "EUR and USD. Exchange rates"),
    ("no such currency", ROWS, "/prices/ingredients/0/price/currency", "EUX",
     "/prices/ingredients/0/price/currency", "not an ISO 4217 currency"),
    ("a currency of a fee", ROWS, "/prices/selling", {"margin_pct": 4, "fees": {"fixed_per_order": {
        "amount": "1", "currency": "USD"}}}, "/prices", "EUR and USD"),
    ("an amount as a number", ROWS, "/prices/ingredients/0/price/amount", 6.4, "/prices/ingredients/0/price/amount",
     "put it in quotes"),
    ("an amount with a comma", ROWS, "/prices/ingredients/0/price/amount", "6,40",
     "/prices/ingredients/0/price/amount", 'an amount such as "6.40"'),
    ("a negative amount", ROWS, "/prices/ingredients/0/price/amount", "-1", "/prices/ingredients/0/price/amount",
     'an amount such as "6.40"'),
    ("a pack of nothing", ROWS, "/prices/ingredients/0/price/per_mass", 0, "/prices/ingredients/0/price/per_mass",
     "A mass of 0 g is not possible"),
    ("a price twice", ROWS, "/prices/ingredients/1/key", "olive", "/prices/ingredients/1/key", '"olive" appears twice'),
    ("a margin of all", ROWS, "/prices/selling", {"margin_pct": 100}, "/prices/selling/margin_pct",
     "a margin of 100 % would leave nothing for the cost"),
    ("a price without a rule", ROWS, "/prices/selling", {}, "/prices/selling/margin_pct", "(of the net price)"),
    ("fees that eat the price", ROWS, "/prices/selling", {"margin_pct": 60, "markup_pct": 5,
                                                         "fees": {"of_gross_pct": 50}},
     "/prices/selling/margin_pct", "together take 110 % of the net price"),
    ("an ending beyond the step", ROWS, "/prices/selling", {"margin_pct": 4, "price_step": {
        "step": "0.50", "ends_on": "0.90"}}, "/prices/selling/price_step/ends_on", "is not within a step"),
    ("an ending finer than the coin", ROWS, "/prices/selling", {"margin_pct": 4, "price_step": {"step": "0.005"}},
     "/prices/selling/price_step/step", "cannot be paid"),
    ("all bars kept back", ROWS, "/prices/kept_back_count", 8, "/prices/kept_back_count", "no bar is left"),
    ("no number of bars", ROWS, "/prices/bars_count", ..., "/prices/bars_count",
     "the number of bars that the rows make"),
    ("No price is given", ROWS, "/prices", {"bars_count": 3}, "/prices/ingredients", "No price is given"),
    ("no prices", ROWS, "/prices", ..., "/prices", "is required"),
    ("rows beside a recipe", ROWS, "/recipe", LYE, "/recipe", 'give the batch or "rows", not both'),
    ("neither rows nor a batch", ROWS, "/rows", ..., "/recipe", 'or "rows" in place'),
    ("a batch without a mould", WHOLE, "/mould", ..., "/mould", 'or "rows" in place'),
    ("hours without end", ROWS, "/prices/labour", {"work_hours": 10_001, "per_hour": {
        "amount": "1", "currency": "EUR"}}, "/prices/labour/work_hours", "from 0 to 10,000"),
    ("a mistyped field", ROWS, "/prices/overheads_pct", 5, "/prices/overheads_pct", 'Did you mean "overhead_pct"?'),
    ("a batch that overfills", WHOLE, "/recipe", {**LYE, "fats": [{"fat": "olive", "mass": 9000}]}, "/mould",
     "overfills the mould"),
]


@pytest.mark.parametrize(("right", "spoiled", "value", "pointer", "words"), [row[1:] for row in WRONG],
                         ids=[row[0] for row in WRONG])
def test_what_is_wrong_is_reported_at_its_place(client: FlaskClient, right: dict[str, Any], spoiled: str, value: Any,
                                            pointer: str, words: str) -> None:
    errors = faults(client, changed(right, spoiled, value))
    assert words in errors.get(pointer, ""), errors


def test_all_errors_are_reported_at_once(client: FlaskClient) -> None:
    body = changed(changed(changed(ROWS, "/prices/ingredients/0/price/amount", "x"), "/prices/overhead_pct", -1),
                   "/rows/0/mass", 0)
    assert set(faults(client, body)) == {"/prices/ingredients/0/price/amount", "/prices/overhead_pct", "/rows/0/mass"}


def test_the_largest_and_the_smallest_of_everything_have_an_answer(client: FlaskClient) -> None:
    huge = {"rows": [{"name": f"oil {index}", "mass": 1e6} for index in range(300)], "prices": {
        "ingredients": [{"key": f"oil_{index}", "price": price("999999999.999999", 1e-6)} for index in range(300)],
        "packaging": [{"name": "band", "per_bar": eur("999999999.999999")}], "overhead_pct": 1000, "broken_pct": 99,
        "labour": {"work_hours": 10_000, "per_hour": eur("999999999.999999")}, "bars_count": 1,
        "selling": {"margin_pct": 99.9, "markup_pct": 100_000, "sales_tax": {"rate_pct": 100},
                    "fees": {"fixed_per_order": eur("999999999")}, "price_step": {"step": "0.01"}}}}
    found = sent(client, huge)["cost"]
    assert len(found["selling"]) == 2
    assert sum(Decimal(line["cost"]["amount"]) for line in found["ingredients"]) == Decimal(
        found["batch"]["ingredients"]["amount"])
    tiny = {"rows": [{"name": "oil", "mass": 1e-6}], "prices": {
        "ingredients": [{"key": "oil", "price": price("0.000001", 1e6)}], "bars_count": 100_000,
        "selling": {"margin_pct": 0}}}
    assert sent(client, tiny)["cost"]["bar"]["total"] == eur("0.0000")


def test_packaging_may_be_priced_by_the_pack(client: FlaskClient) -> None:
    def bar(packaging: dict[str, Any]) -> str:
        prices = {"packaging": [packaging], "bars_count": 10, "ingredients": []}
        return str(reply_to(client, "/v1/costs", {"rows": [{"name": "olive oil", "mass": 500}], "prices": {
            **prices, "ingredients": [{"key": "olive", "price": {"amount": "6.40", "currency": "EUR",
                                                                  "per_mass": 1000}}]}})["cost"]["bar"]["packaging"][
            "amount"])

    pack_of_30 = {"amount": "10.00", "currency": "EUR", "per_count": 30}
    # 10.00 / 30 = 0.3333 a bar; two a bar 0.6667
    assert bar({"name": "band", "price": pack_of_30}) == "0.3333"
    assert bar({"name": "band", "price": pack_of_30, "per_bar_count": 2}) == "0.6667"
    assert bar({"name": "band", "per_bar": {"amount": "0.35", "currency": "EUR"}}) == "0.3500"


@pytest.mark.parametrize(("packaging", "pointer", "words"), [
    ({"name": "band"}, "/prices/packaging/0/per_bar", "neither was given"),
    ({"name": "band", "per_bar": {"amount": "1", "currency": "EUR"}, "per_bar_count": 2},
     "/prices/packaging/0/per_bar_count", "how many pieces"),
    ({"name": "band", "per_bar": {"amount": "1", "currency": "EUR"},
      "price": {"amount": "1", "currency": "EUR", "per_count": 10}}, "/prices/packaging/0/per_bar", "both were given")])
def test_packaging_that_contradicts_itself_is_refused(client: FlaskClient, packaging: dict[str, Any], pointer: str,
                                                      words: str) -> None:
    body = {**BATCH, "prices": {"packaging": [packaging]}}
    assert words in errors_of(client, "/v1/costs", body)[pointer]
