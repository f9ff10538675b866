"""A lye over the wire: what contradicts itself, heat, a minimum superfat, a cold stock."""

from __future__ import annotations

from typing import Any

import pytest
from api.bodies import LYE
from api.sending import errors_of, reply_to
from flask.testing import FlaskClient


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
    assert words in errors_of(client, "/v1/lye", body)[pointer]


def test_a_floor_says_its_cost(client: FlaskClient) -> None:
    body = {key: value for key, value in LYE.items() if key != "superfat_pct"}
    found = reply_to(client, "/v1/lye", {**body, "superfat_at_least_pct": 2})["superfat"]
    assert found["worst_case_pct"]["min"] >= 2 - 1e-9
    assert "averages" in found["floor_cost"]["message"]
    assert "floor_cost" not in reply_to(client, "/v1/lye", LYE)["superfat"]


def test_heat_and_mixing_come_with_the_temperatures(client: FlaskClient) -> None:
    cool = reply_to(client, "/v1/lye", {**LYE, "temperatures": {"water": 20, "fats": 36, "lye": 45, "pour": 38}})
    assert cool["solution"]["heat"]["basis"] == "tables"
    assert cool["solution"]["heat"]["with_half_ice"]["max"] < cool["solution"]["peak_temperature"]["min"]
    assert cool["solution"]["at_temperature"]["within_validity"] is True
    assert 36 < cool["mixing"]["batter"] < 45
    plain = reply_to(client, "/v1/lye", LYE)
    assert plain["solution"]["peak_temperature"] is None
    assert not {"heat", "at_temperature"} & plain["solution"].keys()
    assert not {"mixing", "workings"} & plain.keys()


def test_a_batter_the_lye_cannot_warm_is_reported(client: FlaskClient) -> None:
    found = reply_to(client, "/v1/lye", {**LYE, "temperatures": {"water": 20, "fats": 20, "pour": 60}})
    messages = {caution["key"]: caution["message"] for caution in found["cautions"]}
    assert "Warm the fats more" in messages["mixing-out-of-reach"]


@pytest.mark.parametrize(("celsius", "warned"), [(15, True), (20, False), (None, False)])
def test_a_cold_stock_may_have_crystallised(client: FlaskClient, celsius: float | None, warned: bool) -> None:
    stock = {"concentration_pct": 50, **({} if celsius is None else {"temperature": celsius})}
    found = reply_to(client, "/v1/lye", {**LYE, "alkalis": [{"alkali": "NaOH", "stock": stock}]})
    assert ("stock-may-crystallise" in [caution["key"] for caution in found["cautions"]]) is warned
