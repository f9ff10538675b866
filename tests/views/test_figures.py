"""Figures on paper: their decimals and units."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient
from kettlewright.views.figures import floored, on_scale, plain
from views.on_paper import DEMO, sheet


def test_numbers_on_paper_are_plain_and_never_promise_more() -> None:
    assert [plain(value) for value in (1596.0, 9.600000000000001, 0.05, 1234567.0, None)] == [
        "1596", "9.6", "0.05", "1234567", "–"]
    assert [floored(value) for value in (5.09, 4.9999, 5.0, -0.01)] == ["5.0", "4.9", "5.0", "-0.1"]


@pytest.mark.parametrize(("value", "step", "text"), [
    (2, 0.1, "2.0"), (2138, 1, "2138"), (1.25, 0.05, "1.25"), (40, 5, "40"), (0.7, 0.001, "0.700"),
    (0.00012, 0.00001, "0.00012"), (30, 10, "30")])
def test_a_weight_has_the_decimals_the_scale_shows(value: float, step: float, text: str) -> None:
    assert on_scale(value, step) == text


def test_the_sheet_shows_a_whole_gram_on_a_scale_of_tenths_with_its_zero(client: FlaskClient) -> None:
    text = sheet(client, {**DEMO, "additions": [{"name": "sugar", "kind": "sugar", "dose": 2, "basis": "mass"}]})
    assert '>2.0 <span class="unit">g' in text


def test_units_are_written_as_people_write_them(client: FlaskClient) -> None:
    body = {**DEMO, "units": {"temperature": "degF", "volume": "us_fl_oz"}}
    body["recipe"] = {**DEMO["recipe"], "temperatures": {"water": 46, "fats": 97}}
    text = sheet(client, body)
    assert "degF" not in text
    assert "degC" not in text
    assert "us_fl_oz" not in text
    # the scale of the request alone: water of 46 degF is 7.8 degC, so 90.1 to 93.9 degC
    assert "194 to 201 °F" in text
    assert "°C" not in text.replace("everything at 40 °C", "")  # a title of a source
