"""Units at the edge: the same batch in any units, exact factors, nine digits."""

from __future__ import annotations

import pytest
from api.bodies import BATCH, LYE
from flask.testing import FlaskClient
from kettlewright import limits
from kettlewright.api.door import fields
from kettlewright.digits import nine_digits
from kettlewright.units import OPTIONS, Units, from_base, to_base, using
from marshmallow import ValidationError


@pytest.mark.parametrize(("kind", "unit", "value", "base"), [
    ("mass", "oz", 4.25, 120.485473), ("mass", "lb", 1, 453.59237), ("mass", "kg", 1.5, 1500),
    ("length", "in", 10, 254), ("length", "cm", 3, 30), ("volume", "L", 2, 2000), ("volume", "us_fl_oz", 1, 29.5735296),
    ("temperature", "degF", 212, 100), ("temperature", "degF", 32, 0), ("dose", "oz", 1, 28.3495231)])
def test_factors_are_those_of_the_law(kind: str, unit: str, value: float, base: float) -> None:
    # exact by definition: avoirdupois pound 453.59237 g, inch 25.4 mm, US gallon 231 cubic inches
    with using(Units(**{kind: unit})):
        assert to_base(value, kind) == pytest.approx(base, rel=1e-8, abs=1e-12)
        assert from_base(to_base(value, kind), kind) == pytest.approx(value, rel=1e-12)


def test_every_unit_is_a_choice_of_the_contract(client: FlaskClient) -> None:
    for kind, options in OPTIONS.items():
        for unit in options:
            assert client.post("/v1/lye", json={**LYE, "units": {kind: unit}}).status_code in (200, 422)


def test_a_batch_is_the_same_in_other_units(client: FlaskClient) -> None:
    grams = client.post("/v1/batches", json=BATCH).json
    inches = {**BATCH, "units": {"length": "in"}, "mould": {
        "shape": "box", "length": 380 / 25.4, "width": 260 / 25.4, "depth": 60 / 25.4, "headspace": 6 / 25.4}}
    other = client.post("/v1/batches", json=inches).json
    assert grams is not None
    assert other is not None
    assert other["lye"] == grams["lye"]
    assert other["units"]["length"] == "in"
    assert other["mould"]["fill"]["depth"] * 25.4 == pytest.approx(grams["mould"]["fill"]["depth"], rel=1e-8)


def test_doses_stay_in_grams_when_masses_are_in_kilograms(client: FlaskClient) -> None:
    body = {**LYE, "fats": [{"fat": "olive", "mass": 0.7}, {"fat": "coconut", "mass": 0.3}],
            "acids": [{"acid": "lactic", "mass": 5}], "units": {"mass": "kg"}}
    reply = client.post("/v1/lye", json=body).json
    assert reply is not None
    assert reply["acids"][0]["weigh"] == 5
    rows = {row["key"]: (row["weigh"], row["unit"]) for row in reply["weigh_list"]}
    assert rows["lactic"] == (5, "g")
    assert rows["olive"] == (0.7, "kg")


@pytest.mark.parametrize(("unit", "alkali_step"), [("g", 0.1), ("kg", 0.0001), ("oz", 0.01), ("lb", 0.001)])
def test_each_mass_unit_has_its_usual_steps(client: FlaskClient, unit: str, alkali_step: float) -> None:
    fats = [{"fat": "olive", "mass": 7}, {"fat": "coconut", "mass": 3}]
    reply = client.post("/v1/lye", json={**LYE, "fats": fats, "units": {"mass": unit}}).json
    assert reply is not None
    steps = reply["alkalis"][0]["weigh"] / alkali_step
    assert steps == pytest.approx(round(steps), abs=1e-4)
    assert reply["alkalis"][0]["weigh"] <= reply["alkalis"][0]["mass"]


def test_a_scale_of_ones_own_is_in_the_mass_unit(client: FlaskClient) -> None:
    body = {**LYE, "scale": {"alkali_readability": 5}}
    reply = client.post("/v1/lye", json=body).json
    assert reply is not None
    assert reply["alkalis"][0]["weigh"] % 5 == 0


def test_numbers_have_nine_digits_at_most_and_are_finite() -> None:
    assert nine_digits(1 / 3) == 0.333333333
    assert nine_digits(123456789.4) == 123456789.0
    assert str(nine_digits(-0.0)) == "0.0"
    for value in (float("nan"), float("inf")):
        with pytest.raises(ValueError, match="not finite"):
            nine_digits(value)


def test_the_same_body_gives_the_same_bytes(client: FlaskClient) -> None:
    replies = {client.post("/v1/batches", json=BATCH).data for _ in range(3)}
    assert len(replies) == 1
    assert client.post("/v1/batches", json=BATCH).headers["Cache-Control"] == "no-store"


@pytest.mark.parametrize(("kind", "unit"), [(kind, unit) for kind in OPTIONS for unit in OPTIONS[kind]])
def test_a_value_out_of_range_is_shown_with_the_symbol_of_its_unit(kind: str, unit: str) -> None:
    field = {"mass": fields.Mass, "dose": fields.Dose, "length": fields.Length, "volume": fields.Volume,
             "temperature": fields.Temperature}[kind](bounds=limits.Bounds("A value", 0, 1, "small", kind))
    with using(Units(**{kind: unit})), pytest.raises(ValidationError) as error:
        field.deserialize(123456)
    symbol = {"degC": "°C", "degF": "°F", "us_fl_oz": "US fl oz"}.get(unit, unit)
    assert f"A value of 123456 {symbol} is not possible here" in str(error.value)
