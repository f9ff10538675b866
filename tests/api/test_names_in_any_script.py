"""Names in any script over the wire: marks tell names apart; text pasted from a page is the name it looks like."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient
from kettlewright.app import create_app

from api.bodies import BATCH, LYE, PORTIONS


def sent(client: FlaskClient, path: str, body: dict[str, Any]) -> dict[str, Any]:
    reply = client.post(path, json=body)
    assert reply.status_code == 200, reply.text
    return dict(reply.json or {})


def price(amount: str) -> dict[str, Any]:
    return {"amount": amount, "currency": "EUR", "per_mass": 1000}


def test_names_that_differ_by_a_vowel_sign_are_two_portions_and_two_doses(client: FlaskClient) -> None:
    dye = {"kind": "colourant", "basis": "g_per_kg_batter"}
    portions = [{"name": "नीला", "share_pct": 40, "additions": [{"name": "नीला", "dose": 3, **dye},
                                                               {"name": "नीली", "dose": 5, **dye}]},
                {"name": "नीली", "share_pct": 60}]
    found = sent(client, "/v1/portions", {**PORTIONS, "portions": portions})["portions"]
    assert [one["key"] for one in found] == ["नीला", "नीली"]
    assert [one["key"] for one in found[0]["additions"]] == ["नीला", "नीली"]


def test_costs_and_purchases_do_not_add_them_up(client: FlaskClient) -> None:
    rows = [{"name": "नीला", "mass": 100}, {"name": "नीली", "mass": 100}]
    prices = {"bars_count": 10, "ingredients": [{"key": "नीला", "price": price("10.00")},
                                                {"key": "नीली", "price": price("20.00")}]}
    cost = sent(client, "/v1/costs", {"rows": rows, "prices": prices})["cost"]
    assert cost["complete"]
    assert cost["batch"]["ingredients"]["amount"] == "3.0000"  # 100 g at 10.00 and 100 g at 20.00 a kilogram
    bought = sent(client, "/v1/purchases", {"needs": rows, "packs": [
        {"key": "नीला", "price": price("1.00")}, {"key": "नीली", "price": price("2.00")}]})
    assert [(one["key"], one["cost"]["amount"]) for one in bought["ingredients"]] == [
        ("नीला", "1.00"), ("नीली", "2.00")]


@pytest.mark.parametrize(("pasted", "plain"), [
    ("deep\u00a0red", "deep red"), ("deep\u2009red", "deep red"), ("deep\u00ad red", "deep red"),
    ("\u200ddeep red", "deep red"), ("ros\u0065\u0301", "rosé"), ("\ufeffdeep red\u200e", "deep red")])
def test_text_pasted_from_a_page_is_taken(client: FlaskClient, pasted: str, plain: str) -> None:
    body = {**PORTIONS, "portions": [{**PORTIONS["portions"][0], "name": pasted}, PORTIONS["portions"][1]]}
    found = sent(client, "/v1/portions", body)["portions"][0]
    assert found["name"] == plain
    twice = {**PORTIONS, "portions": [{**PORTIONS["portions"][0], "name": pasted},
                                      {**PORTIONS["portions"][1], "name": plain}]}
    reply = client.post("/v1/portions", json=twice)
    assert "There are two of" in reply.text
    lot = {**LYE, "fats": [{"fat": "olive", "mass": 700, "lot": pasted}, {"fat": "coconut", "mass": 300}]}
    assert sent(client, "/v1/lye", lot)["fats"][0]["lot"] == plain
    link = client.get("/v1/lye", query_string=[("fat", f"olive,mass:700,lot:{pasted}"), ("superfat_pct", "5"),
                                               ("alkali", "NaOH,purity_pct:98"), ("water", "water_to_alkali:2")])
    assert link.status_code == 200, link.text
    assert (link.json or {})["fats"][0]["lot"] == plain


@pytest.mark.parametrize("name", ["deep\nred", "deep\tred", "deep\u2028red", "red\u0007", "\u00ad\u200d", "\u0301",
                                  "deep\u202ered"])
def test_what_cannot_be_read_is_still_refused(client: FlaskClient, name: str) -> None:
    body = {**BATCH, "portions": [{"name": name, "share_pct": 100}]}
    assert client.post("/v1/batches", json=body).status_code == 422


@pytest.mark.parametrize("title", ["Blue Hour", "Zwölf Öle", "青い時間", "a\"b; c=d/e\\f"])
def test_a_saved_file_is_named_after_its_title_in_any_script(title: str) -> None:
    body = {**BATCH, "title": title}
    reply = create_app().test_client().post("/v1/batches", json=body)
    header = reply.headers["Content-Disposition"]
    assert reply.status_code == 200
    header.encode("latin-1")  # what a header can hold (RFC 9110)
    assert header.startswith('inline; filename="')
    assert header.count('"') == 2  # nothing of the title ends the plain name
