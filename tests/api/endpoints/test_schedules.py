"""Schedules over the wire: a calendar, what is missing, the calendar file."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from flask.testing import FlaskClient
from icalendar import Calendar

MOULDS = [{"name": "slab", "count": 2}, {"name": "long loaf"}]
RED = {"name": "deep red", "count": 3, "mould": "slab", "cure_days": 42, "unmould_days": 1, "packing_days": 3}
OAT = {"name": "oat", "mould": "long loaf", "cure_days": 28, "unmould_days": 2}
PLAN: dict[str, Any] = {"earliest": "2027-01-04", "releases": [{"name": "spring", "release": "2027-03-20"}],
                        "moulds": MOULDS, "batches": [RED, OAT], "closed": {"weekdays": ["sunday"]}}


def sent(client: FlaskClient, body: dict[str, Any]) -> dict[str, Any]:
    reply = client.post("/v1/schedules", json=body)
    assert reply.status_code == 200, reply.text
    assert reply.json is not None
    return dict(reply.json)


def test_every_batch_is_ready_for_its_release(client: FlaskClient) -> None:
    found = sent(client, PLAN)
    assert found["proven_optimal"] is True
    rows = [(row["name"], row["number"], row["dates"]["pour"]) for row in found["batches"]]
    # red: packed from 17 March, cut by Wednesday 3 February, so poured by Tuesday 2, Monday 1; Saturday 30 January
    # would be unmoulded on Monday. Oat: packed on 20 March, cut by 20 February, poured by 18 February
    assert rows == [("deep red", 1, "2027-01-30"), ("deep red", 2, "2027-02-01"), ("deep red", 3, "2027-02-02"),
                    ("oat", 1, "2027-02-18")]
    assert {row["release_name"] for row in found["batches"]} == {"spring"}
    assert [(load["key"], load["most_count"], load["of_count"]) for load in found["fullest"]] == [
        ("pours", 1, 1), ("slab", 1, 2), ("long_loaf", 1, 1)]
    assert found["stamp"] == "2027-01-04"
    assert found["standing_cautions"] == ["raw-soap-gloves"]
    early = sent(client, {**PLAN, "objective": "early_pours"})
    assert [row["dates"]["pour"] for row in early["batches"]] == ["2027-01-04", "2027-01-05", "2027-01-06",
                                                                  "2027-01-07"]


def test_a_release_is_identified_by_name_or_by_date(client: FlaskClient) -> None:
    by_name = sent(client, {**PLAN, "batches": [{**RED, "release": "Spring"}]})
    by_date = sent(client, {**PLAN, "batches": [{**RED, "release": "2027-03-20"}]})
    alone = sent(client, {**PLAN, "batches": [RED]})
    days = [[row["dates"] for row in found["batches"]] for found in (by_name, by_date, alone)]
    assert days[0] == days[1] == days[2]
    assert by_date["batches"][0]["release_name"] is None


@pytest.mark.parametrize(("change", "pointer", "words"), [
    ({"moulds": [{"name": "slab", "count": 0}]}, "/moulds/0/count", "from 1 to 500"),
    ({"moulds": []}, "/moulds", "at least 1 item"),
    ({"batches": []}, "/batches", "at least 1 item"),
    ({"batches": [{**RED, "mould": "slap"}]}, "/batches/0/mould", "the moulds are slab, long loaf"),
    ({"batches": [{**RED, "release": "2027-02-30"}]}, "/batches/0/release", "not a day of the calendar"),
    ({"batches": [{**RED, "release": "20.3.2027"}]}, "/batches/0/release", "year-month-day"),
    ({"batches": [{**RED, "release": "summer"}]}, "/batches/0/release", "(spring)"),
    ({"batches": [{**RED, "count": 0}]}, "/batches/0/count", "from 1 to 200"),
    ({"earliest": "2027-02-30"}, "/earliest", "not a day of the calendar"),
    ({"earliest": "2027-03-10"}, "/batches/0/release", "The earliest release is 2027-04-26"),
    ({"earliest": "2025-03-10"}, "/batches/0/release", "at most 400"),
    ({"pours_per_day_count": 0}, "/pours_per_day_count", "from 1 to 100"),
    ({"places": {}}, "/places/batches_count", "Give either"),
    ({"places": {"bars_count": 50}}, "/batches/0/bars_count", "give the number of bars"),
    ({"closed": {"weekdays": ["saturday"]}}, "/batches/0/release", "2027-03-19 and 2027-03-21"),
    ({"closed": {"weekdays": ["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"]}},
     "/closed/weekdays", "All seven days"),
    ({"closed": {"spans": [{"first": "2000-01-01", "last": "2199-12-31"}]}}, "/batches/0/release", "Every day"),
    ({"places": {"batches_count": 2}}, "/places/batches_count", "room for 4 curing batches instead of 2"),
    ({"places": {"batches_count": 2}}, "/batches", "At most 2 can be ready"),
    ({"earliest": "2027-02-01"}, "/pours_per_day_count", "2 pours a day instead of 1"),
    ({"earliest": "2027-02-01"}, "/earliest", "starting 2 days earlier, on 2027-01-30"),
    ({"earliest": "2027-02-01"}, "/releases/0/release", "2 days later, on 2027-03-22")])
def test_what_is_wrong_or_missing_is_reported_where_it_is(client: FlaskClient, change: dict[str, Any], pointer: str,
                                                      words: str) -> None:
    reply = client.post("/v1/schedules", json={**PLAN, **change})
    assert reply.status_code == 422, reply.text
    assert reply.json is not None
    errors = {fault["pointer"]: fault["detail"] for fault in reply.json["errors"]}
    assert words in errors.get(pointer, ""), errors


def test_what_would_do_does(client: FlaskClient) -> None:
    short = {**PLAN, "earliest": "2027-02-01"}
    assert client.post("/v1/schedules", json=short).status_code == 422
    assert sent(client, {**short, "pours_per_day_count": 2})["batches"]
    assert sent(client, {**short, "earliest": "2027-01-30"})["batches"]
    assert sent(client, {**short, "releases": [{"name": "spring", "release": "2027-03-22"}]})["batches"]


def test_the_calendar_file_has_every_batch_and_each_release_once(client: FlaskClient) -> None:
    reply = client.post("/v1/schedules?format=ics", json=PLAN)
    assert reply.headers["Content-Type"] == "text/calendar; charset=utf-8"
    assert client.post("/v1/schedules?format=ics", json=PLAN).data == reply.data
    events = list(Calendar.from_ical(reply.data.decode()).walk("VEVENT"))
    days = {str(event["SUMMARY"]): event.decoded("DTSTART") for event in events}
    assert len(events) == len(days) == 4 * 4 + 1
    assert len({str(event["UID"]) for event in events}) == len(events)
    assert days["Pour deep red 1/3"] == date(2027, 1, 30)
    assert days["Unmould and cut deep red 3/3"] == date(2027, 2, 3)
    assert days["Pack oat"] == date(2027, 3, 20)
    assert days["Release of spring: deep red, oat"] == date(2027, 3, 20)
    assert {event.decoded("DTSTAMP").date() for event in events} == {date(2027, 1, 4)}
