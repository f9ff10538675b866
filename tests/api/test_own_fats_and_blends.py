"""A maker's own list of fats that travels with a request, the finer ways to say a recipe, and blends over the wire."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient
from kettlewright.app import create_app

from api.bodies import BATCH, LYE

OWN = [{"key": "own_shea", "name": "shea, village press", "certificate": {"value": 181, "date": "2026-09-30"},
        "density": 0.9, "price": {"amount": "11.50", "currency": "EUR", "per_mass": 1000}},
       {"key": "own_olive", "profile": {"fatty_acids": [{"fatty_acid": "C18:1", "share_pct": 75},
                                                        {"fatty_acid": "C16:0", "share_pct": 15},
                                                        {"fatty_acid": "C18:2", "share_pct": 10}]}}]


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return create_app().test_client()


def sent(client: FlaskClient, path: str, body: dict[str, Any], status: int = 200) -> dict[str, Any]:
    reply = client.post(path, json=body)
    assert reply.status_code == status, reply.text
    assert reply.json is not None
    return dict(reply.json)


def faults(client: FlaskClient, path: str, body: dict[str, Any]) -> dict[str, str]:
    return {fault["pointer"]: fault["detail"] for fault in sent(client, path, body, 422)["errors"]}


def test_own_fats_are_named_by_their_keys_wherever_a_fat_is(client: FlaskClient) -> None:
    body = {**LYE, "own_fats": OWN, "fats": [{"fat": "own_olive", "mass": 700}, {"fat": "own_shea", "mass": 300}],
            "liquids": [{"name": "cream", "mass": 50, "water_pct": 60, "fat_pct": 30, "fat": "own_shea"}]}
    reply = sent(client, "/v1/lye", body)
    assert [(fat["key"], fat["name"]) for fat in reply["fats"]] == [("own_olive", "own_olive"),
                                                                   ("own_shea", "shea, village press")]
    assert [one["title"] for one in reply["meta"]["certificates"]] == ["Certificate of shea, village press, 2026-09-30"]
    assert {one["key"] for one in reply["meta"]["certificates"]} <= set(reply["meta"]["sources"])
    assert "C18:1" not in client.post("/v1/lye", json=body).text  # no fatty acids on the sheet or in the lye


def test_the_scaled_recipe_of_own_fats_can_be_posted_again_as_it_stands(client: FlaskClient) -> None:
    recipe = {name: LYE[name] for name in ("superfat_pct", "alkalis", "water")}
    recipe["fats"] = [{"fat": "own_olive", "mass": 700}, {"fat": "own_shea", "mass": 300, "lot": "S-3"}]
    recipe["liquids"] = [{"name": "milk", "pct_of_fats": 8, "water_pct": 87, "fat_pct": 4, "fat": "butterfat"}]
    scaled = sent(client, "/v1/scaling", {"recipe": recipe, "target": {"factor": 2}, "own_fats": OWN})
    again = sent(client, "/v1/lye", scaled["recipe"])
    assert [row["weigh"] for row in again["weigh_list"]] == [row["weigh"] for row in scaled["lye"]["weigh_list"]]


def test_what_is_wrong_with_an_own_fat_is_reported_at_its_place(client: FlaskClient) -> None:
    told = faults(client, "/v1/lye", {**LYE, "own_fats": [
        {"key": "olive", "certificate": {"value": 190}}, {"key": "mine", "certificate": {"value": 0.135}}]})
    assert "is a key of the table" in told["/own_fats/0/key"]
    assert "looks like grams of alkali" in told["/own_fats/1/certificate/value"]


def test_one_request_does_not_see_the_fats_of_another(client: FlaskClient) -> None:
    body = {**LYE, "fats": [{"fat": "own_shea", "mass": 300}]}
    assert sent(client, "/v1/lye", {**body, "own_fats": OWN})
    assert 'No fat called "own_shea"' in faults(client, "/v1/lye", body)["/fats/0/fat"]


@pytest.mark.parametrize(("change", "pointer", "words"), [
    ({"superfat_at_least_pct": 2}, "/superfat_pct", "both were given"),
    ({"superfat_pct": ...}, "/superfat_pct", "neither was given"),
    ({"alkalis": [{"alkali": "NaOH", "stock": {"concentration_pct": 50}, "count_impurity_as_water": True}]},
     "/alkalis/0/count_impurity_as_water", "already counts its water"),
    ({"alkalis": [{"alkali": "NaOH", "count_impurity_as_water": "yes"}]}, "/alkalis/0/count_impurity_as_water",
     "neither true nor false"),
    ({"acids": [{"acid": "citric_anhydrous", "mass": 1001}]}, "/acids", "acids weigh 1001 g"),
    ({"fats": [{"name": "x", "mass": 100, "saponification_value": {"min": 195, "max": 190}}]},
     "/fats/0/saponification_value/min", "195"),
    ({"fats": [{"name": "x", "mass": 100, "profile": {"fatty_acids": [{"fatty_acid": "C18:1", "share_pct": 90}]}}]},
     "/fats/0/profile/fatty_acids", "add up to 90"),
    ({"liquids": [{"name": "milk", "mass": 100, "water_pct": 110}]}, "/liquids/0/water_pct", "from 0 to 100"),
    ({"liquids": [{"name": "milk", "mass": 100, "water_pct": 98, "fat_pct": 3, "fat": "butterfat"}]},
     "/liquids/0/water_pct", "more than 100 % together"),
    ({"liquids": [{"name": "milk", "mass": 900, "water_pct": 87}]}, "/water", "g of milk fits. Use less of it"),
    ({"water": {"water_to_alkali": 2, "ice_pct": 101}}, "/water/ice_pct", "cannot be more ice than water"),
    ({"temperatures": {"water": -1}}, "/temperatures/water", "from 0 to 100 °C"),
    ({"temperatures": {"lye": 101}}, "/temperatures/lye", "from 0 to 100 °C")])
def test_contradictions_are_reported(client: FlaskClient, change: dict[str, Any], pointer: str, words: str) -> None:
    body = {key: value for key, value in {**LYE, **change}.items() if value is not ...}
    assert words in faults(client, "/v1/lye", body)[pointer]


def test_a_floor_says_its_cost(client: FlaskClient) -> None:
    body = {key: value for key, value in LYE.items() if key != "superfat_pct"}
    found = sent(client, "/v1/lye", {**body, "superfat_at_least_pct": 2})["superfat"]
    assert found["worst_case_pct"]["min"] >= 2 - 1e-9
    assert "averages" in found["floor_cost"]["message"]
    assert "floor_cost" not in sent(client, "/v1/lye", LYE)["superfat"]


def test_heat_and_mixing_come_with_the_temperatures(client: FlaskClient) -> None:
    cool = sent(client, "/v1/lye", {**LYE, "temperatures": {"water": 20, "fats": 36, "lye": 45, "pour": 38}})
    assert cool["solution"]["heat"]["basis"] == "tables"
    assert cool["solution"]["heat"]["with_half_ice"]["max"] < cool["solution"]["peak_temperature"]["min"]
    assert cool["solution"]["at_temperature"]["within_validity"] is True
    assert 36 < cool["mixing"]["batter"] < 45
    plain = sent(client, "/v1/lye", LYE)
    assert plain["solution"]["peak_temperature"] is None
    assert not {"heat", "at_temperature"} & plain["solution"].keys()
    assert not {"mixing", "workings"} & plain.keys()


def test_a_batter_the_lye_cannot_warm_is_reported(client: FlaskClient) -> None:
    found = sent(client, "/v1/lye", {**LYE, "temperatures": {"water": 20, "fats": 20, "pour": 60}})
    told = {caution["key"]: caution["message"] for caution in found["cautions"]}
    assert "Warm the fats more" in told["mixing-out-of-reach"]


@pytest.mark.parametrize(("celsius", "warned"), [(15, True), (20, False), (None, False)])
def test_a_cold_stock_may_have_crystallised(client: FlaskClient, celsius: float | None, warned: bool) -> None:
    stock = {"concentration_pct": 50, **({} if celsius is None else {"temperature": celsius})}
    found = sent(client, "/v1/lye", {**LYE, "alkalis": [{"alkali": "NaOH", "stock": stock}]})
    assert ("stock-may-crystallise" in [caution["key"] for caution in found["cautions"]]) is warned


def test_workings_and_own_fats_work_in_a_whole_batch(client: FlaskClient) -> None:
    recipe = {**BATCH["recipe"], "fats": [{"fat": "own_olive", "share_pct": 60}, {"fat": "coconut", "share_pct": 40}]}
    found = sent(client, "/v1/batches", {**BATCH, "recipe": recipe, "own_fats": OWN, "workings": True})
    assert any(line["figure"] == "own_olive takes" for line in found["workings"])
    assert found["lye"]["fats"][0]["key"] == "own_olive"


BLEND: dict[str, Any] = {"fats": [{"fat": "olive"}, {"fat": "coconut"}], "objective": {"kind": "most", "fat": "olive"}}


def test_a_blend_over_the_wire(client: FlaskClient) -> None:
    found = sent(client, "/v1/blends", {**BLEND, "fats_mass": 2000, "wishes": [
        {"property": "fatty_acid", "of": "C12:0", "min": 12}]})
    assert sum(fat["share_pct"] for fat in found["fats"]) == pytest.approx(100)
    assert sum(fat["mass"] for fat in found["fats"]) == pytest.approx(2000)
    assert [share["share_pct"] for share in found["fatty_acids"] if share["fatty_acid"] == "C12:0"] == [
        pytest.approx(12)]
    assert sum(found["groups"].values()) == pytest.approx(100)
    assert "recipe" not in found
    assert "lye" not in found


def test_prices_of_own_fats_count_and_must_be_of_one_currency(client: FlaskClient) -> None:
    price = {"amount": "4.00", "currency": "EUR", "per_mass": 1000}
    body = {"fats": [{"fat": "own_shea", "exactly_pct": 20}, {"fat": "coconut", "price": price}], "own_fats": OWN,
            "objective": {"kind": "cheapest"}}
    # 0.2 x 11.50 + 0.8 x 4.00
    assert sent(client, "/v1/blends", body)["price"] == {"amount": "5.5000", "currency": "EUR", "per_mass": 1000}
    # 11.50 and 4.00 for a kilogram, in ounces: 453.59237 g / 16 by definition
    ounces = {**body, "units": {"mass": "oz"}, "fats": [
        {"fat": "own_shea", "exactly_pct": 20}, {"fat": "coconut", "price": {**price, "per_mass": 16000 / 453.59237}}],
        "own_fats": [{**OWN[0], "price": {**OWN[0]["price"], "per_mass": 16000 / 453.59237}}]}
    assert sent(client, "/v1/blends", ounces)["price"]["amount"] == "5.5000"
    mixed = {**body, "fats": [{"fat": "own_shea"}, {"fat": "coconut", "price": {**price, "currency": "GBP"}}]}
    assert "EUR and GBP" in faults(client, "/v1/blends", mixed)["/fats"]


@pytest.mark.parametrize(("change", "pointer", "words"), [
    ({"objective": {"kind": "best"}}, "/objective/kind", "is not known here; it is one of cheapest"),
    ({"objective": {"kind": "least"}}, "/objective/fat", 'needs "fat"'),
    ({"objective": {"kind": "cheapest", "fat": "olive"}}, "/objective/fat", 'takes no "fat"'),
    ({"objective": {"kind": "cheapest"}}, "/objective/kind", "price for every fat"),
    ({"fats": [{"fat": "olife"}]}, "/fats/0/fat", '("olive", saponification value 184 to 196)'),
    ({"fats": [{"fat": "olive", "at_least_pct": 60, "at_most_pct": 40}]}, "/fats/0/at_least_pct", "is greater than"),
    ({"fats": [{"fat": "olive", "price": {"amount": 4, "currency": "EUR", "per_mass": 1}}]}, "/fats/0/price/amount",
     "put it in quotes"),
    ({"wishes": [{"property": "fatty_acid", "of": "C18:9", "min": 1}]}, "/wishes/0/of", "is not a known fatty acid"),
    ({"wishes": [{"property": "fatty_acid", "of": "C12:0", "min": 90}]}, "/wishes/0", "is not possible")])
def test_an_impossible_blend_is_reported(client: FlaskClient, change: dict[str, Any], pointer: str, words: str) -> None:
    assert words in faults(client, "/v1/blends", {**BLEND, **change})[pointer]


@pytest.mark.parametrize(("query", "found"), [
    ("saponification_value_min=240", {"coconut", "babassu", "palm_kernel", "palm_kernel_stearin"}),
    ("fatty_acid=C18:1-OH", {"castor"}), ("iodine_value_min=150&iodine_value_max=200", {"flaxseed", "hemp"})])
def test_fats_are_found_by_what_they_are(client: FlaskClient, query: str, found: set[str]) -> None:
    reply = client.get(f"/v1/fats?{query}")
    assert reply.json is not None
    keys = {fat["key"] for fat in reply.json["fats"]}
    assert found <= keys
    assert len(keys) < 15


@pytest.mark.parametrize(("query", "words"), [
    ("iodine_value_min=1,5", "point for decimals"), ("iodine_value_min=1e2", "not a number"),
    ("fatty_acid_min_pct=5", "such as C18:1"), ("fatty_acid=oleic", 'Did you mean "C18:1"')])
def test_a_filter_that_cannot_be_read_is_reported(client: FlaskClient, query: str, words: str) -> None:
    reply = client.get(f"/v1/fats?{query}")
    assert reply.status_code == 422
    assert words in reply.text.replace("\\", "")


REPLACED: dict[str, Any] = {
    "recipe": {**LYE, "fats": [{"fat": "olive", "mass": 500}, {"fat": "coconut", "mass": 300},
                               {"fat": "palm", "mass": 200}]},
    "objective": {"kind": "replace", "fat": "palm"}}


@pytest.mark.parametrize("at_hand", [["tallow_beef", "cocoa_butter"], ["olive", "coconut", "tallow_beef"],
                                     ["palm", "coconut", "lard", "castor"]])
def test_the_other_fats_of_a_recipe_keep_their_shares(client: FlaskClient, at_hand: list[str]) -> None:
    # "replace one fat of the recipe, all others kept": 500 and 300 of 1000 g, be they at hand or not
    found = sent(client, "/v1/blends", {**REPLACED, "fats": [{"fat": key} for key in at_hand]})
    shares = {fat["key"]: fat["share_pct"] for fat in found["fats"]}
    assert (shares["olive"], shares["coconut"]) == (pytest.approx(50), pytest.approx(30))
    assert "palm" not in shares
    assert sum(shares.values()) == pytest.approx(100)


@pytest.mark.parametrize(("at_hand", "pointer", "words"), [
    ([{"fat": "palm"}, {"fat": "lard", "at_most_pct": 10}], "/fats/1/at_most_pct", "Lard of at most 10 %"),
    ([{"fat": "palm"}, {"fat": "lard", "stock": 100}], "/fats/1/stock", "Lard of at most 10 %"),
    ([{"fat": "olive"}, {"fat": "coconut"}], "/fats", "keep their shares"),
    ([{"fat": "lard"}, {"fat": "coconut", "at_least_pct": 40}], "/fats/1/at_least_pct", "of at least 40 %"),
    ([{"name": "mine", "saponification_value": {"min": 190, "max": 195}}], "/objective/kind", "are not known")])
def test_what_stands_in_the_way_is_pointed_at_where_the_request_has_it(
        client: FlaskClient, at_hand: list[dict[str, Any]], pointer: str, words: str) -> None:
    assert words in faults(client, "/v1/blends", {**REPLACED, "fats": at_hand})[pointer]


def test_a_fat_of_the_blend_that_rounds_to_nothing_is_pointed_at_among_the_fats_at_hand(client: FlaskClient) -> None:
    body = {"fats": [{"fat": "olive"}, {"fat": "lard", "exactly_pct": 0}, {"fat": "castor", "exactly_pct": 0.01}],
            "objective": {"kind": "most", "fat": "olive"}, "recipe": LYE, "fats_mass": 500}
    # 0.01 % of 500 g is 0.05 g, on a scale with a step of 1 g
    assert "castor oil" in faults(client, "/v1/blends", body)["/fats/2"]


def test_a_fat_is_called_by_its_name_everywhere(client: FlaskClient) -> None:
    lye = {**LYE, "fats": [{"fat": "Olive Oil", "mass": 700}, {"fat": "kokosöl", "mass": 300}]}
    assert [fat["key"] for fat in sent(client, "/v1/lye", lye)["fats"]] == ["olive", "coconut"]
    milk = {**LYE, "liquids": [{"name": "milk", "mass": 50, "water_pct": 87, "fat_pct": 4, "fat": "milk fat"}]}
    by_key = {**LYE, "liquids": [{"name": "milk", "mass": 50, "water_pct": 87, "fat_pct": 4, "fat": "butterfat"}]}
    assert sent(client, "/v1/lye", milk)["alkalis"] == sent(client, "/v1/lye", by_key)["alkalis"]
    left = {"recipe": LYE, "target": {"limiting": {"kind": "fat", "key": "coconut oil", "mass": 450}}}
    assert sent(client, "/v1/scaling", left)["factor"] == pytest.approx(1.5)
    blend = {**REPLACED, "objective": {"kind": "replace", "fat": "Palm oil"}, "fats": [{"fat": "Beef Tallow"}]}
    assert {fat["key"] for fat in sent(client, "/v1/blends", blend)["fats"]} == {"olive", "coconut", "tallow_beef"}
    pack = {"key": "Shea Butter", "price": {"amount": "9.00", "currency": "EUR", "per_mass": 1000}}
    bought = sent(client, "/v1/purchases", {"needs": [{"name": "shea butter", "mass": 500}], "packs": [pack]})
    assert (bought["ingredients"][0]["key"], bought["ingredients"][0]["packs"][0]["count"]) == ("shea", 1)
    link = client.get("/v1/lye?fat=olive+oil,mass:700&fat=Coconut,mass:300&superfat_pct=5&alkali=NaOH,purity_pct:98"
                      "&water=water_to_alkali:2")
    assert link.status_code == 200, link.text
    assert [fat["key"] for fat in (link.json or {})["fats"]] == ["olive", "coconut"]
    assert (client.get("/v1/fats/shea-butter").json or {})["key"] == "shea"
    assert client.get("/v1/fats/rapeseed").status_code == 404


def test_a_name_that_is_the_makers_own_and_the_tables_is_questioned(client: FlaskClient) -> None:
    own = [{"key": "my_shea", "name": "Shea butter", "certificate": {"value": 180}}]
    body = {**LYE, "own_fats": own, "fats": [{"fat": "shea butter", "mass": 500}, {"fat": "my_shea", "mass": 500}]}
    assert 'your own "my_shea" or "shea" of the table' in faults(client, "/v1/lye", body)["/fats/0/fat"]
    named = {**LYE, "own_fats": [{**own[0], "name": "village press"}],
             "fats": [{"fat": "Village Press", "mass": 500}, {"fat": "shea", "mass": 500}]}
    assert [fat["key"] for fat in sent(client, "/v1/lye", named)["fats"]] == ["my_shea", "shea"]


def test_a_certificate_replaces_the_range_of_a_table_fat_and_nothing_else(client: FlaskClient) -> None:
    plain = {**LYE, "fats": [{"fat": "shea", "mass": 1000, "lot": "L-7"}]}
    certified = {**LYE, "fats": [{"fat": "shea", "mass": 1000, "lot": "L-7", "certificate": {"value": 180}}]}
    before, after = sent(client, "/v1/lye", plain), sent(client, "/v1/lye", certified)
    # pure NaOH = 0.95 x 1000 x 180 / 56105.6 x 39.9971, at 98 %; handbook A2
    assert after["alkalis"][0]["mass"] == pytest.approx(0.95 * 180000 / 56105.6 * 39.9971 / 0.98, rel=1e-4)
    assert (after["saponification_value"]["min"], after["saponification_value"]["max"]) == (179, 181)
    assert after["fats"][0]["name"] == before["fats"][0]["name"]
    assert after["fats"][0]["key"] == "shea"
    assert after["superfat"]["likely_pct"]["max"] - after["superfat"]["likely_pct"]["min"] < 3 \
        < before["superfat"]["likely_pct"]["max"] - before["superfat"]["likely_pct"]["min"]
    assert {one["key"] for one in before["cautions"]} - {one["key"] for one in after["cautions"]} >= {
        "lot-value-needed", "value-and-acids-disagree"}
    assert after["batter"]["density"] == pytest.approx(before["batter"]["density"], rel=0.01)  # the fat's is the row's
    blend = {"fats": [{"fat": "shea", "certificate": {"value": 180}}], "objective": {"kind": "most", "fat": "shea"}}
    found = sent(client, "/v1/blends", blend)
    assert found["fatty_acids"] == sent(client, "/v1/blends", {**blend, "fats": [{"fat": "shea"}]})["fatty_acids"]
    assert found["saponification_value"]["mid"] == pytest.approx(180)
    label = {"recipe": {**LYE, "fats": [{"fat": "shea", "share_pct": 100, "certificate": {"value": 180}}]},
             "mould": {"shape": "box", "length": 100, "width": 100, "depth": 60}, "label": {"market": "EU"}}
    assert "Butyrospermum Parkii Butter" in sent(client, "/v1/labels", label)["label"]["labels"][0]["text"]
    assert "/fats/0/profile" in faults(client, "/v1/lye", {**LYE, "fats": [
        {"fat": "shea", "mass": 9, "certificate": {"value": 180},
         "profile": {"fatty_acids": [{"fatty_acid": "C18:1", "share_pct": 100}]}}]})
