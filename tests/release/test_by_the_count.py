"""Wraps and other things that are bought by the count. Examples are invented; expected values are worked by hand."""

from __future__ import annotations

from typing import Any

import pytest
from api.bodies import BATCH
from flask.testing import FlaskClient
from kettlewright.app import create_app


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return create_app().test_client()


def sent(client: FlaskClient, path: str, body: dict[str, Any], status: int = 200) -> dict[str, Any]:
    reply = client.post(path, json=body)
    assert reply.status_code == status, reply.text
    return dict(reply.json or {})


def pack(key: str, amount: str, **content: float) -> dict[str, Any]:
    return {"key": key, "price": {"amount": amount, "currency": "EUR", **content}}


NEEDS: dict[str, Any] = {"needs": [{"name": "paper band", "count": 240}, {"name": "olive oil", "mass": 7300}],
                         "packs": [pack("paper_band", "9.00", per_count=100), pack("paper_band", "4.00", per_count=40),
                                   pack("olive oil", "35.00", per_mass=5000), pack("olive", "9.00", per_mass=1000)]}


@pytest.mark.parametrize("units", [{}, {"mass": "oz"}, {"mass": "kg"}])
def test_wraps_are_bought_in_whole_packs(client: FlaskClient, units: dict[str, str]) -> None:
    body = {**NEEDS, "units": units, "needs": NEEDS["needs"][:1], "packs": NEEDS["packs"][:2],
            "at_hand": [{"key": "paper_band", "count": 20}]}
    [found] = sent(client, "/v1/purchases", body)["counted"]
    # 220 short: 1 x 100 + 3 x 40 = 220 for 21.00; 2 x 100 + 1 x 40 = 240 for 22.00; 6 x 40 = 240 for 24.00
    assert [(one["pieces_count"], one["count"], one["cost"]["amount"]) for one in found["packs"]] == [
        (100, 1, "9.00"), (40, 3, "12.00")]
    assert (found["needed_count"], found["at_hand_count"], found["short_count"], found["bought_count"],
            found["left_over_count"]) == (240, 20, 220, 220, 0)
    assert found["cost"]["amount"] == "21.00"


def test_mass_and_count_are_bought_together_and_distinguished(client: FlaskClient) -> None:
    found = sent(client, "/v1/purchases", NEEDS)
    assert [one["key"] for one in found["ingredients"]] == ["olive"]
    assert [one["key"] for one in found["counted"]] == ["paper_band"]
    # 5 kg + 3 x 1 kg = 62.00 for 7.3 kg; 240 bands: 2 x 100 + 40 = 22.00, 6 x 40 = 24.00
    assert found["cost"]["amount"] == "84.00"
    assert found["left_over_mass"] == pytest.approx(700)
    assert found["complete"]


def test_a_thing_without_a_pack_is_missing_by_its_count(client: FlaskClient) -> None:
    found = sent(client, "/v1/purchases", {**NEEDS, "packs": NEEDS["packs"][2:]})
    assert found["missing"] == [{"key": "paper_band", "name": "paper band", "count": 240}]
    assert not found["complete"]


@pytest.mark.parametrize(("change", "pointer", "words"), [
    ({"needs": [{"name": "paper band", "count": 5, "mass": 5}]}, "/needs/0/mass", "both were given"),
    ({"needs": [{"name": "paper band"}]}, "/needs/0/mass", "neither was given"),
    ({"packs": [pack("paper_band", "4.00", per_mass=40)]}, "/packs/0/price/per_count", "needed by count"),
    ({"at_hand": [{"key": "olive", "count": 3}]}, "/at_hand/0/mass", "needed by mass"),
    ({"packs": [pack("paper_band", "4.00")]}, "/packs/0/price/per_mass", "neither was given"),
    ({"needs": [*NEEDS["needs"], {"name": "paper band", "mass": 5}]}, "/needs", "by mass and by count"),
    ({"needs": [{"name": "paper band", "count": 2.5}]}, "/needs/0/count", "not a whole number"),
    ({"packs": [{**pack("paper_band", "4.00", per_count=40), "at_most": 2}]}, "/packs", "160 pieces short")])
def test_what_is_wrong_with_a_count_is_said_where_it_is(client: FlaskClient, change: dict[str, Any], pointer: str,
                                                        words: str) -> None:
    found = {one["pointer"]: one["detail"] for one in sent(client, "/v1/purchases", {**NEEDS, **change}, 422)["errors"]}
    assert words in found[pointer]


def test_packaging_may_be_priced_by_the_pack(client: FlaskClient) -> None:
    def bar(packaging: dict[str, Any]) -> str:
        prices = {"packaging": [packaging], "bars_count": 10, "ingredients": []}
        return str(sent(client, "/v1/costs", {"rows": [{"name": "olive oil", "mass": 500}], "prices": {
            **prices, "ingredients": [{"key": "olive", "price": {"amount": "6.40", "currency": "EUR",
                                                                  "per_mass": 1000}}]}})["cost"]["bar"]["packaging"][
            "amount"])

    pack_of_30 = {"amount": "10.00", "currency": "EUR", "per_count": 30}
    # 10.00 / 30 = 0.3333 a bar; two a bar 0.6667
    assert bar({"name": "band", "price": pack_of_30}) == "0.3333"
    assert bar({"name": "band", "price": pack_of_30, "per_bar_count": 2}) == "0.6667"
    assert bar({"name": "band", "per_bar": {"amount": "0.35", "currency": "EUR"}}) == "0.3500"


@pytest.mark.parametrize(("packaging", "pointer", "words"), [
    ({"name": "band"}, "/prices/packaging/0/per_bar", "neither was given"),
    ({"name": "band", "per_bar": {"amount": "1", "currency": "EUR"}, "per_bar_count": 2},
     "/prices/packaging/0/per_bar_count", "how many pieces"),
    ({"name": "band", "per_bar": {"amount": "1", "currency": "EUR"},
      "price": {"amount": "1", "currency": "EUR", "per_count": 10}}, "/prices/packaging/0/per_bar", "both were given")])
def test_packaging_that_contradicts_itself_is_refused(client: FlaskClient, packaging: dict[str, Any], pointer: str,
                                                      words: str) -> None:
    body = {**BATCH, "prices": {"packaging": [packaging]}}
    found = {one["pointer"]: one["detail"] for one in sent(client, "/v1/costs", body, 422)["errors"]}
    assert words in found[pointer]
