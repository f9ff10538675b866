"""Cautions of additions that borrowed batter brings along."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import kettlewright
from kettlewright.app import create_app
from kettlewright.plan import plan_portions
from kettlewright.pour import Addition, Batter, Portion
from kettlewright.recipe import Scale
from portions import half_of


def test_what_comes_along_unrequested_is_said() -> None:
    # half of b is batter of a, half of c batter of b: the scent of a comes into both, the dye of c stays there
    scent = Addition("lavender", "fragrance", 20, "g_per_kg_batter", limit_pct=3)
    dye = Addition("ochre", "colourant", 5, "g_per_kg_batter", inci="CI 77492")
    portions = [Portion("a", share_pct=40, additions=(scent,)), Portion("b", share_pct=30, borrows=half_of("a")),
                Portion("c", share_pct=30, additions=(dye,), borrows=half_of("b"))]

    def said(portions: list[Portion], additions: tuple[Addition, ...] = ()) -> dict[str, str]:
        found = plan_portions(Batter(1000, 1.0, 700), portions, Scale(), additions=additions, expected_loss_pct=10)
        return {one.pointer: one.message for one in found.cautions if one.key == "borrowed-additions"}

    found = said(portions)
    assert set(found) == {"/portions/1/borrows"}  # one caution, at the first of the buckets it names
    # by hand: 300 g of batter in b, half of it from a at 20 g/kg; in c half of that again
    of_b, of_c = found["/portions/1/borrows"].partition(".")[0].split("; ")
    assert '"b"' in of_b
    assert "3 g of lavender" in of_b
    assert '"c"' in of_c
    assert "1.5 g of lavender" in found["/portions/1/borrows"]
    assert "ochre" not in "".join(found.values())
    assert not said([replace(one, borrows=()) for one in portions])  # the advice is obeyed
    assert set(said([portions[0], replace(portions[1], additions=(scent,)), portions[2]])) == {"/portions/2/borrows"}
    assert not said(portions, (scent,))  # what is in the pot is in every bucket


def test_a_fade_carries_its_colourant_as_requested_and_a_scent_unrequested() -> None:
    client = create_app().test_client()
    example = json.loads((Path(kettlewright.__file__).parent / "api/endpoints/examples/batches.json").read_text())
    body = next(one["body"] for one in example if "fade" in one["body"])
    body = {**body, "fade": {**body["fade"], "carry_over": True}}
    keys = {one["key"] for one in client.post("/v1/batches", json=body).get_json()["cautions"]}
    assert "borrowed-additions" not in keys
    first, *rest = body["portions"]
    scented = {**first, "additions": [*first.get("additions", []), {
        "name": "lavender", "kind": "fragrance", "dose": 2, "basis": "pct_of_fats", "limit_pct": 3}]}
    reply = client.post("/v1/batches", json={**body, "portions": [scented, *rest]}).get_json()
    messages = [one["message"] for one in reply["cautions"] if one["key"] == "borrowed-additions"]
    assert messages
    assert all("lavender" in one and body["fade"]["colourant"]["name"] not in one for one in messages)
