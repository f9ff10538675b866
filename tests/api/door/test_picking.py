"""One figure of a reply as text."""

from __future__ import annotations

from typing import Any

import pytest
from api.bodies import LYE, PORTIONS, changed
from api.forms import BY_LINK, figure
from api.test_bad_input import faults
from flask.testing import FlaskClient
from hypothesis import given
from hypothesis import strategies as st
from kettlewright.api.document.openapi import examples_of
from kettlewright.api.door.picking import plain_text
from kettlewright.app import create_app

APP = create_app().test_client()


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return APP


@pytest.mark.parametrize(("field", "of_reply"), [
    ("alkalis.NaOH.weigh", lambda reply: reply["alkalis"][0]["weigh"]),
    ("alkalis.0.weigh", lambda reply: reply["alkalis"][0]["weigh"]),
    ("fats.coconut.weigh", lambda reply: reply["fats"][1]["weigh"]),
    ("fats.coconut oil.weigh", lambda reply: reply["fats"][1]["weigh"]),
    ("weigh_list.olive.weigh", lambda reply: 700),
    ("superfat.likely_pct.min", lambda reply: reply["superfat"]["likely_pct"]["min"])])
def test_a_field_is_one_bare_number(client: FlaskClient, field: str, of_reply: Any) -> None:
    reply = client.post("/v1/lye", json=LYE).json
    assert reply is not None
    for got in (client.get(f"{BY_LINK}&field={field}"), client.get(f"{BY_LINK}&format=text&field={field}"),
                client.post(f"/v1/lye?format=text&field={field}", json=LYE)):
        assert float(figure(got)) == of_reply(reply)
        assert figure(got).strip() == figure(got)


def test_texts_and_yes_or_no_are_fields_too(client: FlaskClient) -> None:
    assert figure(client.post("/v1/lye?field=alkalis.0.name", json=LYE)) == "sodium hydroxide"
    assert figure(client.post("/v1/cure?field=curve.course.0.day", json=examples_of("cure")[0]["body"])) == "0.0"
    assert figure(client.post("/v1/cure?field=dates.pour", json=examples_of("cure")[2]["body"])) == "2027-02-02"
    assert figure(client.get("/v1/fats/olive?field=density.assumed")) in ("true", "false")
    assert figure(client.get("/version?field=version")) == "0.2.0"


@pytest.mark.parametrize(("field", "words"), [
    ("alkalis.NaOh.weigh", 'Did you mean "NaOH"?'), ("alkali.NaOH.weigh", 'Did you mean "alkalis"?'),
    ("alkalis.NaOH.wiegh", 'Did you mean "weigh"?'), ("alkalis", "add one of its parts to the path: NaOH"),
    ("superfat", "asked_pct, achieved_pct"), ("alkalis.1.weigh", "it has 1, counted from 0"),
    ("alkalis.-1.weigh", "no \"-1\""), ("fats.0.mass.value", "a single figure"), ("alkalis.0.lot", "(null)"),
    ("alkalis..weigh", 'no "" in'), ("acids.citric.weigh", "nothing in this reply"),
    ("solution.peak_temperature.max", "not in this response"), ("mixing.batter", 'no "mixing" in this reply'),
    ("alkalis." + "9" * 50, "no item")])
def test_a_field_that_is_not_there_says_what_is(client: FlaskClient, field: str, words: str) -> None:
    assert words in faults(client.post(f"/v1/lye?format=text&field={field}", json=LYE))["/field"]
    assert words in faults(client.get(f"{BY_LINK}&field={field}"))["/field"]


def test_an_item_that_appears_twice_is_identified_by_number(client: FlaskClient) -> None:
    body = changed(LYE, "/fats", [{"fat": "olive", "mass": 700, "lot": "L-7"},
                                  {"fat": "olive", "mass": 300, "lot": "L-8"}])
    assert "2 times in \"fats\"; give its number instead: 0, 1" in faults(
        client.post("/v1/lye?field=fats.olive.weigh", json=body))["/field"]
    assert figure(client.post("/v1/lye?field=fats.1.weigh", json=body)) == "300.0"


def test_digits_are_always_a_number_of_the_list(client: FlaskClient) -> None:
    body = changed(PORTIONS, "/portions", [{"name": "1", "share_pct": 30}, {"name": "0", "share_pct": 70}])
    assert figure(client.post("/v1/portions?field=portions.0.name", json=body)) == "1"


@given(number=st.floats(allow_nan=False, allow_infinity=False))
def test_a_number_is_written_without_an_exponent_and_reads_back(number: float) -> None:
    text = plain_text(number)
    assert "e" not in text.lower()
    assert float(text) == number
