"""A maker's own fats and certificates travel with a request; fats are called by their names."""

from __future__ import annotations

import pytest
from api.bodies import BATCH, LYE, OWN, REPLACED
from api.sending import errors_of, reply_to
from flask.testing import FlaskClient


def test_own_fats_are_named_by_their_keys_wherever_a_fat_is(client: FlaskClient) -> None:
    body = {**LYE, "own_fats": OWN, "fats": [{"fat": "own_olive", "mass": 700}, {"fat": "own_shea", "mass": 300}],
            "liquids": [{"name": "cream", "mass": 50, "water_pct": 60, "fat_pct": 30, "fat": "own_shea"}]}
    reply = reply_to(client, "/v1/lye", body)
    assert [(fat["key"], fat["name"]) for fat in reply["fats"]] == [("own_olive", "own_olive"),
                                                                   ("own_shea", "shea, village press")]
    assert [one["title"] for one in reply["meta"]["certificates"]] == ["Certificate of shea, village press, 2026-09-30"]
    assert {one["key"] for one in reply["meta"]["certificates"]} <= set(reply["meta"]["sources"])
    assert "C18:1" not in client.post("/v1/lye", json=body).text  # no fatty acids on the sheet or in the lye


def test_the_scaled_recipe_of_own_fats_can_be_posted_again_unchanged(client: FlaskClient) -> None:
    recipe = {name: LYE[name] for name in ("superfat_pct", "alkalis", "water")}
    recipe["fats"] = [{"fat": "own_olive", "mass": 700}, {"fat": "own_shea", "mass": 300, "lot": "S-3"}]
    recipe["liquids"] = [{"name": "milk", "pct_of_fats": 8, "water_pct": 87, "fat_pct": 4, "fat": "butterfat"}]
    scaled = reply_to(client, "/v1/scaling", {"recipe": recipe, "target": {"factor": 2}, "own_fats": OWN})
    again = reply_to(client, "/v1/lye", scaled["recipe"])
    assert [row["weigh"] for row in again["weigh_list"]] == [row["weigh"] for row in scaled["lye"]["weigh_list"]]


def test_what_is_wrong_with_an_own_fat_is_reported_at_its_place(client: FlaskClient) -> None:
    errors = errors_of(client, "/v1/lye", {**LYE, "own_fats": [
        {"key": "olive", "certificate": {"value": 190}}, {"key": "mine", "certificate": {"value": 0.135}}]})
    assert "is a key of the table" in errors["/own_fats/0/key"]
    assert "looks like grams of alkali" in errors["/own_fats/1/certificate/value"]


def test_one_request_does_not_see_the_fats_of_another(client: FlaskClient) -> None:
    body = {**LYE, "fats": [{"fat": "own_shea", "mass": 300}]}
    assert reply_to(client, "/v1/lye", {**body, "own_fats": OWN})
    assert 'No fat called "own_shea"' in errors_of(client, "/v1/lye", body)["/fats/0/fat"]


def test_workings_and_own_fats_work_in_a_whole_batch(client: FlaskClient) -> None:
    recipe = {**BATCH["recipe"], "fats": [{"fat": "own_olive", "share_pct": 60}, {"fat": "coconut", "share_pct": 40}]}
    found = reply_to(client, "/v1/batches", {**BATCH, "recipe": recipe, "own_fats": OWN, "workings": True})
    assert any(line["figure"] == "own_olive takes" for line in found["workings"])
    assert found["lye"]["fats"][0]["key"] == "own_olive"


def test_a_fat_is_called_by_its_name_everywhere(client: FlaskClient) -> None:
    lye = {**LYE, "fats": [{"fat": "Olive Oil", "mass": 700}, {"fat": "kokosöl", "mass": 300}]}
    assert [fat["key"] for fat in reply_to(client, "/v1/lye", lye)["fats"]] == ["olive", "coconut"]
    milk = {**LYE, "liquids": [{"name": "milk", "mass": 50, "water_pct": 87, "fat_pct": 4, "fat": "milk fat"}]}
    by_key = {**LYE, "liquids": [{"name": "milk", "mass": 50, "water_pct": 87, "fat_pct": 4, "fat": "butterfat"}]}
    assert reply_to(client, "/v1/lye", milk)["alkalis"] == reply_to(client, "/v1/lye", by_key)["alkalis"]
    left = {"recipe": LYE, "target": {"limiting": {"kind": "fat", "key": "coconut oil", "mass": 450}}}
    assert reply_to(client, "/v1/scaling", left)["factor"] == pytest.approx(1.5)
    blend = {**REPLACED, "objective": {"kind": "replace", "fat": "Palm oil"}, "fats": [{"fat": "Beef Tallow"}]}
    assert {fat["key"] for fat in reply_to(client, "/v1/blends", blend)["fats"]} == {"olive", "coconut", "tallow_beef"}
    pack = {"key": "Shea Butter", "price": {"amount": "9.00", "currency": "EUR", "per_mass": 1000}}
    bought = reply_to(client, "/v1/purchases", {"needs": [{"name": "shea butter", "mass": 500}], "packs": [pack]})
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
    assert 'your own "my_shea" or "shea" of the table' in errors_of(client, "/v1/lye", body)["/fats/0/fat"]
    named = {**LYE, "own_fats": [{**own[0], "name": "village press"}],
             "fats": [{"fat": "Village Press", "mass": 500}, {"fat": "shea", "mass": 500}]}
    assert [fat["key"] for fat in reply_to(client, "/v1/lye", named)["fats"]] == ["my_shea", "shea"]


def test_a_certificate_replaces_the_range_of_a_table_fat_and_nothing_else(client: FlaskClient) -> None:
    plain = {**LYE, "fats": [{"fat": "shea", "mass": 1000, "lot": "L-7"}]}
    certified = {**LYE, "fats": [{"fat": "shea", "mass": 1000, "lot": "L-7", "certificate": {"value": 180}}]}
    before, after = reply_to(client, "/v1/lye", plain), reply_to(client, "/v1/lye", certified)
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
    found = reply_to(client, "/v1/blends", blend)
    assert found["fatty_acids"] == reply_to(client, "/v1/blends", {**blend, "fats": [{"fat": "shea"}]})["fatty_acids"]
    assert found["saponification_value"]["mid"] == pytest.approx(180)
    label = {"recipe": {**LYE, "fats": [{"fat": "shea", "share_pct": 100, "certificate": {"value": 180}}]},
             "mould": {"shape": "box", "length": 100, "width": 100, "depth": 60}, "label": {"market": "EU"}}
    assert "Butyrospermum Parkii Butter" in reply_to(client, "/v1/labels", label)["label"]["labels"][0]["text"]
    assert "/fats/0/profile" in errors_of(client, "/v1/lye", {**LYE, "fats": [
        {"fat": "shea", "mass": 9, "certificate": {"value": 180},
         "profile": {"fatty_acids": [{"fatty_acid": "C18:1", "share_pct": 100}]}}]})
