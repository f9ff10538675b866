"""Blends over the wire: shares, prices, one fat replaced, constraints that cannot be met."""

from __future__ import annotations

from typing import Any

import pytest
from api.bodies import LYE, OWN, REPLACED
from api.sending import errors_of, reply_to
from flask.testing import FlaskClient

BLEND: dict[str, Any] = {"fats": [{"fat": "olive"}, {"fat": "coconut"}], "objective": {"kind": "most", "fat": "olive"}}


def test_a_blend_over_the_wire(client: FlaskClient) -> None:
    found = reply_to(client, "/v1/blends", {**BLEND, "fats_mass": 2000, "wishes": [
        {"property": "fatty_acid", "of": "C12:0", "min": 12}]})
    assert sum(fat["share_pct"] for fat in found["fats"]) == pytest.approx(100)
    assert sum(fat["mass"] for fat in found["fats"]) == pytest.approx(2000)
    assert [share["share_pct"] for share in found["fatty_acids"] if share["fatty_acid"] == "C12:0"] == [
        pytest.approx(12)]
    assert sum(found["groups"].values()) == pytest.approx(100)
    assert "recipe" not in found
    assert "lye" not in found


def test_prices_of_own_fats_count_and_must_be_of_one_currency(client: FlaskClient) -> None:
    price = {"amount": "4.00", "currency": "EUR", "per_mass": 1000}
    body = {"fats": [{"fat": "own_shea", "exactly_pct": 20}, {"fat": "coconut", "price": price}], "own_fats": OWN,
            "objective": {"kind": "cheapest"}}
    # 0.2 x 11.50 + 0.8 x 4.00
    assert reply_to(client, "/v1/blends", body)["price"] == {"amount": "5.5000", "currency": "EUR", "per_mass": 1000}
    # 11.50 and 4.00 for a kilogram, in ounces: 453.59237 g / 16 by definition
    ounces = {**body, "units": {"mass": "oz"}, "fats": [
        {"fat": "own_shea", "exactly_pct": 20}, {"fat": "coconut", "price": {**price, "per_mass": 16000 / 453.59237}}],
        "own_fats": [{**OWN[0], "price": {**OWN[0]["price"], "per_mass": 16000 / 453.59237}}]}
    assert reply_to(client, "/v1/blends", ounces)["price"]["amount"] == "5.5000"
    mixed = {**body, "fats": [{"fat": "own_shea"}, {"fat": "coconut", "price": {**price, "currency": "GBP"}}]}
    assert "EUR and GBP" in errors_of(client, "/v1/blends", mixed)["/fats"]


@pytest.mark.parametrize(("change", "pointer", "words"), [
    ({"objective": {"kind": "best"}}, "/objective/kind", "is not known here; it is one of cheapest"),
    ({"objective": {"kind": "least"}}, "/objective/fat", 'needs "fat"'),
    ({"objective": {"kind": "cheapest", "fat": "olive"}}, "/objective/fat", 'takes no "fat"'),
    ({"objective": {"kind": "cheapest"}}, "/objective/kind", "price for every fat"),
    ({"fats": [{"fat": "olife"}]}, "/fats/0/fat", '("olive", saponification value 184 to 196)'),
    ({"fats": [{"fat": "olive", "at_least_pct": 60, "at_most_pct": 40}]}, "/fats/0/at_least_pct", "is greater than"),
    ({"fats": [{"fat": "olive", "price": {"amount": 4, "currency": "EUR", "per_mass": 1}}]}, "/fats/0/price/amount",
     "put it in quotes"),
    ({"wishes": [{"property": "fatty_acid", "of": "C18:9", "min": 1}]}, "/wishes/0/of", "is not a known fatty acid"),
    ({"wishes": [{"property": "fatty_acid", "of": "C12:0", "min": 90}]}, "/wishes/0", "is not possible")])
def test_an_impossible_blend_is_reported(client: FlaskClient, change: dict[str, Any], pointer: str, words: str) -> None:
    assert words in errors_of(client, "/v1/blends", {**BLEND, **change})[pointer]


@pytest.mark.parametrize("at_hand", [["tallow_beef", "cocoa_butter"], ["olive", "coconut", "tallow_beef"],
                                     ["palm", "coconut", "lard", "castor"]])
def test_the_other_fats_of_a_recipe_keep_their_shares(client: FlaskClient, at_hand: list[str]) -> None:
    # "replace one fat of the recipe, all others kept": 500 and 300 of 1000 g, be they at hand or not
    found = reply_to(client, "/v1/blends", {**REPLACED, "fats": [{"fat": key} for key in at_hand]})
    shares = {fat["key"]: fat["share_pct"] for fat in found["fats"]}
    assert (shares["olive"], shares["coconut"]) == (pytest.approx(50), pytest.approx(30))
    assert "palm" not in shares
    assert sum(shares.values()) == pytest.approx(100)


@pytest.mark.parametrize(("at_hand", "pointer", "words"), [
    ([{"fat": "palm"}, {"fat": "lard", "at_most_pct": 10}], "/fats/1/at_most_pct", "Lard of at most 10 %"),
    ([{"fat": "palm"}, {"fat": "lard", "stock": 100}], "/fats/1/stock", "Lard of at most 10 %"),
    ([{"fat": "olive"}, {"fat": "coconut"}], "/fats", "keep their shares"),
    ([{"fat": "lard"}, {"fat": "coconut", "at_least_pct": 40}], "/fats/1/at_least_pct", "of at least 40 %"),
    ([{"name": "mine", "saponification_value": {"min": 190, "max": 195}}], "/objective/kind", "are not known")])
def test_the_constraint_that_makes_it_infeasible_is_pointed_at_in_the_request(
        client: FlaskClient, at_hand: list[dict[str, Any]], pointer: str, words: str) -> None:
    assert words in errors_of(client, "/v1/blends", {**REPLACED, "fats": at_hand})[pointer]


def test_a_fat_of_the_blend_that_rounds_to_nothing_is_pointed_at_among_the_fats_at_hand(client: FlaskClient) -> None:
    body = {"fats": [{"fat": "olive"}, {"fat": "lard", "exactly_pct": 0}, {"fat": "castor", "exactly_pct": 0.01}],
            "objective": {"kind": "most", "fat": "olive"}, "recipe": LYE, "fats_mass": 500}
    # 0.01 % of 500 g is 0.05 g, on a scale with a step of 1 g
    assert "castor oil" in errors_of(client, "/v1/blends", body)["/fats/2"]
