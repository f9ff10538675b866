"""A batch from the recipe to its sale: days, label, cost, calendar and sheet."""

from __future__ import annotations

from typing import Any

import pytest
from api.whole_batch import BATCH, SALE, sent
from flask.testing import FlaskClient
from icalendar import Calendar


def test_days_label_and_cost_come_with_the_plan(client: FlaskClient) -> None:
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
    errors = {fault["pointer"]: fault["detail"] for fault in reply.json["errors"]}
    place = next((one for one in errors if one.startswith(pointer)), None)
    assert place is not None, errors
    assert words in errors[place], errors


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
