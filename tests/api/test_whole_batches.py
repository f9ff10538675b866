"""A batch from the recipe to its sale: identity, what it rests on, what moved, days, label, cost."""

from __future__ import annotations

import copy
import json
from typing import Any

import pytest
from flask.testing import FlaskClient
from hypothesis import given
from hypothesis import strategies as st
from icalendar import Calendar
from kettlewright.app import create_app
from kettlewright.identity import identity_of

BATCH: dict[str, Any] = {
    "recipe": {"fats": [{"fat": "olive", "share_pct": 70}, {"fat": "coconut", "share_pct": 30}], "superfat_pct": 5,
               "alkalis": [{"alkali": "NaOH"}], "water": {"water_to_alkali": 2}},
    "mould": {"shape": "box", "length": 250, "width": 80, "depth": 70},
    "cut": {"bar": {"thickness": 25}, "kerf": 1, "trim": {"start": 4, "end": 4}}, "expected_loss_pct": 11,
    "additions": [{"name": "cedar", "kind": "fragrance", "dose": 2, "basis": "pct_of_fats", "limit_pct": 2.4}]}
SALE: dict[str, Any] = {
    "batch_number": "N-7", "dates": {"release": "2027-03-20", "unmould_days": 1, "cure_days": 42, "packing_days": 3},
    "label": {"market": "EU"},
    "prices": {"ingredients": [
        {"key": key, "price": {"amount": amount, "currency": "EUR", "per_mass": 1000}}
        for key, amount in (("olive", "6.40"), ("coconut", "4.90"), ("NaOH", "3.20"), ("water", "0"),
                            ("cedar", "42.00"))]}}


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return create_app().test_client()


def sent(client: FlaskClient, body: dict[str, Any]) -> dict[str, Any]:
    reply = client.post("/v1/batches", json=body)
    assert reply.status_code == 200, reply.text
    assert reply.json is not None
    return dict(reply.json)


def test_the_identity_is_that_of_a_plain_digest(client: FlaskClient) -> None:
    # worked out anew: SHA-256 of data version and request, keys in order, numbers as texts of nine digits
    import hashlib

    assert identity_of({"b": [1, 2.5], "a": "x"}, "2026.1") == identity_of({"a": "x", "b": [1.0, 2.5]}, "2026.1")
    text = '["2026.1",{"a":"x","b":["1","2.5"]}]'
    number = int.from_bytes(hashlib.sha256(text.encode()).digest(), "big")
    letters = "".join("0123456789ABCDEFGHJKMNPQRSTVWXYZ"[(number // 32 ** place) % 32] for place in range(10))
    assert identity_of({"a": "x", "b": [1, 2.5]}, "2026.1") == f"{letters[:5]}-{letters[5:]}"


@given(st.dictionaries(st.text(max_size=5), st.one_of(st.integers(-1000, 1000), st.booleans(), st.text(max_size=5),
                                                      st.lists(st.floats(-100, 100), max_size=3)), max_size=5))
def test_the_order_of_keys_does_not_matter_and_everything_else_does(asked: dict[str, Any]) -> None:
    again = json.loads(json.dumps(dict(reversed(list(asked.items())))))
    assert identity_of(asked, "1") == identity_of(again, "1")
    assert identity_of({**asked, "one more": 1}, "1") != identity_of(asked, "1")
    assert identity_of(asked, "2") != identity_of(asked, "1")
    assert identity_of({**asked, "locale": "de"}, "1", leave_out=("locale",)) == identity_of(
        {key: value for key, value in asked.items() if key != "locale"}, "1")


def test_what_changes_no_figure_changes_no_identity(client: FlaskClient) -> None:
    plain = sent(client, {**BATCH, "resolved": True})
    assert "resolved" not in sent(client, {**BATCH, "resolved": False})
    assert sent(client, BATCH)["identity"] == plain["identity"]
    assert sent(client, {**BATCH, "workings": True})["identity"] == plain["identity"]
    assert sent(client, {**BATCH, "compare_to": plain["resolved"]})["identity"] == plain["identity"]
    other = copy.deepcopy(BATCH)
    other["recipe"]["superfat_pct"] = 5.1
    assert sent(client, other)["identity"] != plain["identity"]


def test_a_remake_of_the_same_plan_has_moved_nothing(client: FlaskClient) -> None:
    plain = sent(client, {**BATCH, "resolved": True})
    found = sent(client, {**BATCH, "compare_to": plain["resolved"]})["comparison"]
    assert found["moved"] == []
    assert found["unmoved_count"] == len(plain["resolved"]["lines"])
    assert found["message"] == "The same request with the same data."


def test_a_remake_in_other_units_rests_on_the_same_values(client: FlaskClient) -> None:
    plain = sent(client, {**BATCH, "resolved": True})
    inches = copy.deepcopy(BATCH)
    inches["units"] = {"length": "cm"}
    inches["mould"].update(length=25, width=8, depth=7)
    inches["cut"] = {"bar": {"thickness": 2.5}, "kerf": 0.1, "trim": {"start": 0.4, "end": 0.4}}
    found = sent(client, {**inches, "compare_to": plain["resolved"]})["comparison"]
    assert found["moved"] == []
    assert found["message"] == "A different request with the same data."


def test_what_moved_is_reported_with_its_reason(client: FlaskClient) -> None:
    then = copy.deepcopy(sent(client, {**BATCH, "resolved": True})["resolved"])
    then["data_version"] = "2020.1"
    for line in then["lines"]:
        if line["what"] == "fats.olive.saponification_value.max":
            line["value"] += 3
        if line["what"] == "weigh.jug.alkali.NaOH":
            line["value"] += 1
    then["lines"].append({"what": "weigh.jug.acid.citric", "value": 12, "unit": "g", "rests_on": "computed"})
    found = sent(client, {**BATCH, "compare_to": then})["comparison"]
    moved = {line["what"]: line for line in found["moved"]}
    assert set(moved) == {"fats.olive.saponification_value.max", "weigh.jug.alkali.NaOH", "weigh.jug.acid.citric"}
    assert moved["fats.olive.saponification_value.max"]["message"].startswith("The tables have changed (data ")
    assert moved["fats.olive.saponification_value.max"]["then"] - 3 == pytest.approx(
        moved["fats.olive.saponification_value.max"]["now"])
    why = moved["weigh.jug.alkali.NaOH"]["message"]
    assert why == "It follows from other changes: fats.olive.saponification_value.max."
    assert moved["weigh.jug.acid.citric"]["now"] is None
    assert found["message"].startswith("The same request with different data")


def test_another_request_is_reported_as_the_reason(client: FlaskClient) -> None:
    then = sent(client, {**BATCH, "resolved": True})["resolved"]
    other = copy.deepcopy(BATCH)
    other["recipe"]["superfat_pct"] = 8
    found = sent(client, {**other, "compare_to": then})["comparison"]
    whys = {line["what"]: line["message"] for line in found["moved"]}
    assert whys["weigh.jug.alkali.NaOH"] == "It follows from a different request."
    stated = copy.deepcopy(BATCH)
    stated["recipe"]["alkalis"] = [{"alkali": "NaOH", "purity_pct": 98}]
    moved = sent(client, {**stated, "compare_to": then})["comparison"]["moved"]
    whys = {line["what"]: line["message"] for line in moved}
    assert whys["alkalis.NaOH.strength.used"] == "It was assumed then and is given now."


def test_every_value_of_the_plan_is_among_its_lines(client: FlaskClient) -> None:
    found = sent(client, {**BATCH, "resolved": True})
    lines = {line["what"]: line for line in found["resolved"]["lines"]}
    assert len(lines) == len(found["resolved"]["lines"])
    for row in found["weigh_list"]:
        what = [row["where"], row.get("portion"), row["kind"], row["key"]]
        assert lines[".".join(["weigh", *filter(None, what)])]["value"] == row["weigh"]
    assert lines["weigh.jug.alkali.NaOH"]["value"] == found["lye"]["alkalis"][0]["weigh"]
    assert lines["alkalis.NaOH.strength.used"]["rests_on"] == "assumed"
    assert lines["superfat.achieved"]["value"] == found["lye"]["superfat"]["achieved_pct"]
    assert lines["weigh.pot.addition.cedar"]["value"] == found["additions"][0]["weigh"]
    assert lines["cuts.bars.count"]["value"] == found["cuts"]["bars"]["count"]
    assert lines["fats.olive.saponification_value.min"]["rests_on"] == "table"


def test_days_label_and_cost_stand_beside_the_plan(client: FlaskClient) -> None:
    found = sent(client, {**BATCH, **SALE})
    # worked by hand: 2027-03-20 less 3, 42 and 1 days
    assert (found["dates"]["pour"], found["dates"]["unmould"], found["dates"]["pack_from"]) == (
        "2027-02-02", "2027-02-03", "2027-03-17")
    assert found["cost"]["complete"]
    assert found["cost"]["missing"] == []
    alone = client.post("/v1/labels", json={**BATCH, "label": {"market": "EU", "sold_on": "2027-03-20",
                                                               "batch_number": "N-7"}}).json
    assert alone is not None
    assert found["label"] == alone["label"]
    costs = client.post("/v1/costs", json={**BATCH, "prices": SALE["prices"]}).json
    assert costs is not None
    assert found["cost"] == costs["cost"]
    for absent in ("dates", "label", "cost", "comparison", "batch_number"):
        assert absent not in sent(client, BATCH)


def test_the_days_are_a_calendar(client: FlaskClient) -> None:
    reply = client.post("/v1/batches?format=ics", json={**BATCH, **SALE})
    assert reply.mimetype == "text/calendar"
    events = {str(event["summary"]): event["dtstart"].dt.isoformat() for event in
              Calendar.from_ical(reply.text).walk("VEVENT")}
    assert events["Pour batch N-7"] == "2027-02-02"
    assert client.post("/v1/batches?format=ics", json={**BATCH, **SALE}).data == reply.data
    without = client.post("/v1/batches?format=ics", json=BATCH)
    assert without.status_code == 422
    assert without.json is not None
    assert without.json["errors"][0]["pointer"] == "/dates"


@pytest.mark.parametrize(("change", "pointer", "words"), [
    ({"dates": {"release": "2027-03-20", "closed": {"weekdays": [
        "monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"]}}}, "/dates", "day"),
    ({"dates": {"release": "2027-02-30"}}, "/dates/release", "2027-02-30"),
    ({"label": {"market": "XX"}}, "/label/market", "EU"),
    ({"prices": {"ingredients": [{"key": "olive", "price": {"amount": "6", "currency": "EUR", "per_mass": 1000}},
                                 {"key": "coconut", "price": {"amount": "6", "currency": "USD", "per_mass": 1000}}]}},
     "/prices", "one currency"),
    ({"compare_to": {"identity": "A", "request": "B", "version": "1", "data_version": "1", "lines": []}},
     "/compare_to/lines", "at least 1")])
def test_what_cannot_be_is_reported_at_its_place(client: FlaskClient, change: dict[str, Any], pointer: str,
                                             words: str) -> None:
    reply = client.post("/v1/batches", json={**BATCH, **change})
    assert reply.status_code == 422, reply.text
    assert reply.json is not None
    told = {fault["pointer"]: fault["detail"] for fault in reply.json["errors"]}
    place = next((one for one in told if one.startswith(pointer)), None)
    assert place is not None, told
    assert words in told[place], told


def test_the_sheet_has_days_label_and_cost_and_room_to_write(client: FlaskClient) -> None:
    page = client.post("/v1/batches?format=html", json={**BATCH, **SALE}).text
    for words in ("Batch <b>N-7</b>", "planned Tue 2027-02-02", "Unmould and cut: Wed 2027-02-03",
                  "on sale <b>Sat 2027-03-20</b>",
                  "Draft of the label (EU)", "Ingredients: Olea Europaea Fruit Oil", "Costs, EUR",
                  "Local poison centre, telephone", "Lye at mixing", "Covered:", "centre only", "Weighed on",
                  "Safety assessment", "Curing is not only drying"):
        assert words in page, words
    plain = client.post("/v1/batches?format=html", json=BATCH).text
    for words in ("Draft of the label", "Costs, EUR", "on sale"):
        assert words not in plain


def test_prices_that_are_missing_are_named_on_the_sheet(client: FlaskClient) -> None:
    some = {"ingredients": SALE["prices"]["ingredients"][:1]}
    page = client.post("/v1/batches?format=html", json={**BATCH, "prices": some}).text
    assert "No price given for:" in page
    assert "coconut oil" in page[page.index("No price given for:"):]
