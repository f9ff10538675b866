"""Cure over the wire: dates, curve, promise; wrong dates, bad fits; picture and calendar."""

from __future__ import annotations

import itertools
import xml.etree.ElementTree as ElementTree
from datetime import date, timedelta
from typing import Any

import pytest
from flask.testing import FlaskClient
from icalendar import Calendar

SIX = [{"day": day, "mass": mass} for day, mass in (
    (0, 128.0), (7, 121.6), (14, 117.9), (21, 115.8), (28, 114.6), (42, 113.5))]
DATES = {"release": "2027-03-20", "unmould_days": 1, "cure_days": 42, "packing_days": 3}
CURE: dict[str, Any] = {"name": "deep red", "dates": DATES, "weighings": SIX, "on": [{"day": 42}],
                        "until": {"daily_loss": 0.1, "within_pct": 1}, "promise": {"mass": 110}}
SVG = "{http://www.w3.org/2000/svg}"


def sent(client: FlaskClient, body: dict[str, Any]) -> dict[str, Any]:
    reply = client.post("/v1/cure", json=body)
    assert reply.status_code == 200, reply.text
    assert reply.json is not None
    return dict(reply.json)


def test_dates_and_curve_come_together(client: FlaskClient) -> None:
    found = sent(client, CURE)
    assert {key: found["dates"][key] for key in ("pour", "unmould", "cure_until", "pack_from", "release")} == {
        "pour": "2027-02-02", "unmould": "2027-02-03", "cure_until": "2027-03-17", "pack_from": "2027-03-17",
        "release": "2027-03-20"}
    assert found["day_zero"] == "2027-02-03"
    assert found["on"][0]["loss_pct"] == pytest.approx(11.33, rel=1e-3)
    assert found["on"][0]["date"] == "2027-03-17"
    assert found["until"]["daily_loss"] == {"day": pytest.approx(31.22, rel=1e-3), "date": "2027-03-07",
                                            "weekday": "Sunday"}
    assert found["promise"]["wet_mass"] == pytest.approx(110 / (1 - found["promise"]["loss_pct"] / 100))
    assert found["curve"]["errors"]["rate_per_day"] > 0
    assert found["practice"]["source"] == "common practice, no source"
    assert {"raw-soap-gloves", "ph-not-proof", "local-law"} <= set(found["standing_cautions"])
    assert set(found["meta"]["sources"]) == {"iso_8601", "first_order_drying",
                                                                     "cure_practice"}


def test_each_part_alone_will_do(client: FlaskClient) -> None:
    for part in ({}, {"dates": DATES}, {"weighings": SIX}, {"batter_mass": 1410, "water_mass": 280},
                 {"promise": {"mass": 110}, "expected_loss_pct": 11.5}):
        found = sent(client, part)
        assert (found["dates"] is None) == ("dates" not in part)
        assert (found["curve"] is None) == ("weighings" not in part)
        assert (found["loss_bound_pct"] is None) == ("batter_mass" not in part)
        assert ("promise" in found) == ("promise" in part)


def test_the_loss_goes_where_a_loss_is_expected(client: FlaskClient) -> None:
    loss = sent(client, CURE)["on"][0]["loss_pct"]
    bars = {"block": {"length": 400, "width": 80, "height": 60}, "bar": {"thickness": 25}, "density": 1.0,
            "expected_loss_pct": loss}
    cuts = client.post("/v1/cuts", json=bars).json
    assert cuts is not None
    # 25 x 80 x 60 mm at 1 g/mL is 120 g; the wet bar of the curve's own loss
    assert cuts["bars"]["cured_mass"]["mid"] == pytest.approx(120 * (1 - loss / 100))


def test_ounces_in_are_ounces_out(client: FlaskClient) -> None:
    ounce = 28.349523125
    in_ounces = sent(client, {**CURE, "units": {"mass": "oz"}, "until": {"daily_loss": 0.1 / ounce, "within_pct": 1},
                              "weighings": [{**row, "mass": row["mass"] / ounce} for row in SIX],
                              "promise": {"mass": 110 / ounce}})
    in_grams = sent(client, CURE)
    for place in ("equilibrium_mass", "scatter_mass"):
        assert in_ounces["curve"][place] * ounce == pytest.approx(in_grams["curve"][place], rel=1e-5)
    assert in_ounces["on"][0]["band"]["min"] * ounce == pytest.approx(in_grams["on"][0]["band"]["min"])
    assert in_ounces["until"]["daily_loss"]["day"] == pytest.approx(in_grams["until"]["daily_loss"]["day"])
    assert in_ounces["promise"]["wet_mass"] * ounce == pytest.approx(in_grams["promise"]["wet_mass"])


@pytest.mark.parametrize(("change", "pointer", "words"), [
    ({"weighings": SIX[:2]}, "/weighings", "2 are given"),
    ({"weighings": [SIX[0], {"day": 7, "mass": 130}, {"day": 14, "mass": 131}]}, "/weighings", "loses nothing"),
    ({"weighings": [SIX[0], SIX[2], {"day": 21, "mass": 121}, SIX[4]]}, "/weighings/2/mass", "rises from 117.9"),
    ({"weighings": [SIX[0], SIX[1], {"day": 14, "mass": 115.2}]}, "/weighings", "is not getting smaller"),
    ({"weighings": [*SIX, {"day": 14, "mass": 117.8}]}, "/weighings/6", "appears twice"),
    ({"weighings": [{"mass": 3}]}, "/weighings/0/day", "Give either"),
    ({"weighings": [{"day": 1501, "mass": 3}, *SIX]}, "/weighings/0/day", "from 0 to 1,500"),
    ({"weighings": [{"day": 1, "date": "2027-01-01", "mass": 3}, *SIX]}, "/weighings/0/day", "Give either"),
    ({"weighings": [*SIX[:5], {"date": "2027-01-01", "mass": 113}]}, "/weighings", "or all by"),
    ({"water_mass": 100, "batter_mass": 1410}, "/weighings", "all the water of its batter"),
    ({"water_mass": 100}, "/batter_mass", "is missing"),
    ({"dates": {**DATES, "release": "2027-02-30"}}, "/dates/release", "not a day of the calendar"),
    ({"dates": {**DATES, "release": "2027-2-3"}}, "/dates/release", "year-month-day"),
    ({"dates": {**DATES, "release": "20.03.2027"}}, "/dates/release", "year-month-day"),
    ({"dates": {**DATES, "release": "２０２７-03-20"}}, "/dates/release", "year-month-day"),
    ({"dates": {**DATES, "release": "2027-03-20T10:00"}}, "/dates/release", "year-month-day"),
    ({"dates": {**DATES, "release": 20270320}}, "/dates/release", "write it in quotes"),
    ({"dates": {**DATES, "release": "1999-12-31"}}, "/dates/release", "2000 to 2199"),
    ({"dates": {**DATES, "release": "2200-01-01"}}, "/dates/release", "2000 to 2199"),
    ({"dates": {**DATES, "pour": "2027-01-01"}}, "/dates/release", "Give either"),
    ({"dates": {}}, "/dates/release", "Give either"),
    ({"dates": {**DATES, "cure_days": 42.5}}, "/dates/cure_days", "not a whole number"),
    ({"dates": {**DATES, "cure_days": 1501}}, "/dates/cure_days", "from 0 to 1,500"),
    ({"dates": {**DATES, "earliest": "2027-03-01"}}, "/dates/release", "The earliest release is 2027-04-16"),
    ({"dates": {**DATES, "closed": {"dates": ["2027-03-20"]}}}, "/dates/release", "2027-03-19 and 2027-03-21"),
    ({"dates": {**DATES, "closed": {"weekdays": ["mondays"]}}}, "/dates/closed/weekdays/0", 'mean "monday"'),
    ({"dates": {**DATES, "closed": {"weekdays": ["monday", "tuesday", "wednesday", "thursday", "friday", "saturday",
                                                 "sunday"]}}}, "/dates/closed/weekdays", "All seven days"),
    ({"dates": {**DATES, "closed": {"spans": [{"first": "2000-01-01", "last": "2199-12-31"}]}}}, "/dates/closed",
     "Every day is closed"),
    ({"dates": {**DATES, "closed": {"spans": [{"first": "2027-02-02", "last": "2027-02-01"}]}}},
     "/dates/closed/spans/0/last", "earlier day first"),
    ({"until": {}}, "/until/daily_loss", "what counts as dry"),
    ({"on": [{"date": "2027-02-02"}]}, "/on/0/date", "before day 0"),
    ({"expected_loss_pct": 11}, "/expected_loss_pct", "is computed from the weighings"),
    ({"expected_loss_pct": 61}, "/expected_loss_pct", "from 0 to 60"),
    ({"stamp": "today"}, "/stamp", "year-month-day"),
    ({"releases": []}, "/releases", "Unknown field")])
def test_what_is_wrong_is_reported_where_it_is(client: FlaskClient, change: dict[str, Any], pointer: str,
                                           words: str) -> None:
    reply = client.post("/v1/cure", json={**CURE, **change})
    assert reply.status_code == 422, reply.text
    assert reply.json is not None
    errors = {fault["pointer"]: fault["detail"] for fault in reply.json["errors"]}
    assert words in errors.get(pointer, ""), errors


def test_dates_and_weighings_that_are_wrong_are_reported_at_once(client: FlaskClient) -> None:
    wrong = {"dates": {"release": "2027-02-30", "cure_days": -1}, "weighings": [{"day": -1, "mass": 0}]}
    reply = client.post("/v1/cure", json=wrong).json
    assert reply is not None
    assert {fault["pointer"] for fault in reply["errors"]} == {"/dates/release", "/dates/cure_days",
                                                              "/weighings/0/day", "/weighings/0/mass"}


def drawn(client: FlaskClient, body: dict[str, Any]) -> ElementTree.Element:
    reply = client.post("/v1/cure?format=svg", json=body)
    assert reply.status_code == 200, reply.text
    return ElementTree.fromstring(reply.text)


def test_the_curve_shows_weighings_band_and_end(client: FlaskClient) -> None:
    picture = drawn(client, {**CURE, "on": [{"day": 60}]})
    points = [mark for mark in picture.iter(f"{SVG}circle") if mark.get("class") == "weighing"]
    assert len(points) == 6
    across = [float(point.attrib["cx"]) for point in points]
    # weighed 0, 7, 14, 21, 28, 42 days after day 0
    steps = [later - at for at, later in itertools.pairwise(across)]
    assert steps[:4] == pytest.approx([steps[0]] * 4)
    assert steps[4] == pytest.approx(2 * steps[0])
    upward = [float(point.attrib["cy"]) for point in points]
    # y runs downward: 6.4 g, 3.7 g, 2.1 g, 1.2 g, 1.1 g
    falls = [(later - at) / (upward[1] - upward[0]) for at, later in itertools.pairwise(upward)]
    assert falls == pytest.approx([1, 3.7 / 6.4, 2.1 / 6.4, 1.2 / 6.4, 1.1 / 6.4], rel=1e-4)
    kinds = {mark.get("class") for mark in picture.iter()}
    assert {"band", "curve", "carried", "asked"} <= kinds
    title, words = picture.find(f"{SVG}title"), picture.find(f"{SVG}desc")
    assert title is not None
    assert words is not None
    assert "6 weighings" in (words.text or "")
    assert "112.97 g" in (words.text or "")
    assert "Curing is not only drying" in (words.text or "")


def test_three_weighings_have_no_band_in_the_picture(client: FlaskClient) -> None:
    picture = drawn(client, {"weighings": SIX[::2][:3]})
    assert "band" not in {mark.get("class") for mark in picture.iter()}
    assert "no error can be estimated" in "".join(picture.itertext())


def test_a_picture_holds_no_script_no_style_and_nothing_outside_itself(client: FlaskClient) -> None:
    for few in (SIX, SIX[:4], [{"day": 0, "mass": 128}, {"day": 6, "mass": 118}, {"day": 15, "mass": 118.4},
                               {"day": 22, "mass": 112}]):
        picture = drawn(client, {"weighings": few, "on": [{"day": 1500}]})
        for mark in picture.iter():
            assert mark.tag.removeprefix(SVG) not in ("script", "style", "a", "image")
            assert not {"style", "href"} & mark.attrib.keys()
            if mark.tag in (f"{SVG}polyline", f"{SVG}polygon"):
                for point in mark.attrib["points"].split():
                    x, y = (float(part) for part in point.split(","))
                    assert 0 <= x <= 620
                    assert 0 <= y <= 390


def read(client: FlaskClient, body: dict[str, Any]) -> tuple[str, list[Any]]:
    reply = client.post("/v1/cure", json=body, headers={"Accept": "text/calendar"})
    assert reply.status_code == 200, reply.text
    assert reply.headers["Content-Type"] == "text/calendar; charset=utf-8"
    text = reply.data.decode("utf-8")
    return text, list(Calendar.from_ical(text).walk("VEVENT"))


def test_the_calendar_has_the_days_of_the_batch(client: FlaskClient) -> None:
    _, events = read(client, CURE)
    shown = {str(event["SUMMARY"]): (event.decoded("DTSTART"), event.decoded("DTEND")) for event in events}
    day = timedelta(days=1)
    assert shown == {
        "Pour deep red": (date(2027, 2, 2), date(2027, 2, 3)),
        "Unmould and cut deep red": (date(2027, 2, 3), date(2027, 2, 4)),
        "deep red: planned cure is over, weigh a bar": (date(2027, 3, 17), date(2027, 3, 18)),
        "Pack deep red": (date(2027, 3, 17), date(2027, 3, 20)),
        "Release of deep red": (date(2027, 3, 20), date(2027, 3, 20) + day)}
    words = {str(event["SUMMARY"]): str(event.get("DESCRIPTION", "")) for event in events}
    assert "Wear goggles" in words["Pour deep red"]
    assert "not only drying" in words["deep red: planned cure is over, weigh a bar"]


def test_packed_on_the_day_of_the_release_is_one_day(client: FlaskClient) -> None:
    _, events = read(client, {"dates": {"release": "2027-03-20"}})
    pack = next(event for event in events if str(event["SUMMARY"]) == "Pack the batch")
    assert (pack.decoded("DTSTART"), pack.decoded("DTEND")) == (date(2027, 3, 20), date(2027, 3, 21))


def test_the_calendar_file_is_as_its_standard_wants(client: FlaskClient) -> None:
    # RFC 5545 (from memory): CRLF, at most 75 octets a line, UID and DTSTAMP in every event, text escaped
    name = "rosé, oat; " + "ü" * 120 + r" \n"
    text, events = read(client, {**CURE, "name": name})
    assert text.endswith("END:VCALENDAR\r\n")
    assert "\n" not in text.replace("\r\n", "")
    assert max(len(line.encode()) for line in text.split("\r\n")) <= 75
    assert str(events[0]["SUMMARY"]) == f"Pour {name}"
    assert "VERSION:2.0" in text
    assert len({str(event["UID"]) for event in events}) == len(events) == 5
    assert {event.decoded("DTSTAMP").isoformat() for event in events} == {"2027-02-02T00:00:00+00:00"}
    assert text.count("DTSTART;VALUE=DATE:") == 5


def test_the_same_dates_give_the_same_bytes_and_others_other_events(client: FlaskClient) -> None:
    once, _ = read(client, CURE)
    assert read(client, CURE)[0] == once
    def uids(change: dict[str, Any]) -> set[str]:
        return {str(event["UID"]) for event in read(client, {**CURE, **change})[1]}
    same = uids({})
    assert uids({"weighings": SIX[:4]}) == same
    assert not uids({"dates": {**DATES, "release": "2027-03-21"}}) & same
    assert not uids({"name": "oat"}) & same
    stamped, events = read(client, {**CURE, "stamp": "2026-11-30"})
    assert stamped != once
    assert {event.decoded("DTSTAMP").date() for event in events} == {date(2026, 11, 30)}


@pytest.mark.parametrize(("form", "body", "pointer"), [("ics", {"weighings": SIX}, "/dates"),
                                                       ("svg", {"dates": DATES}, "/weighings")])
def test_a_form_that_has_nothing_to_show_says_what_it_needs(client: FlaskClient, form: str, body: dict[str, Any],
                                                            pointer: str) -> None:
    reply = client.post(f"/v1/cure?format={form}", json=body)
    assert reply.status_code == 422
    assert reply.json is not None
    assert [fault["pointer"] for fault in reply.json["errors"]] == [pointer]
