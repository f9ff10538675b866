"""Which moulds to fill for an order, against every combination there is."""

from __future__ import annotations

import itertools
from typing import Any

import pytest
from flask.testing import FlaskClient
from hypothesis import given
from hypothesis import strategies as st
from kettlewright.errors import DomainError, DomainErrors
from kettlewright.pour import Box, Measured, Mould, MouldAtHand, best_filling


def at_hand(*moulds: tuple[float, int]) -> list[MouldAtHand]:
    return [MouldAtHand(f"mould {index}", Mould(Measured(volume)), times)
            for index, (volume, times) in enumerate(moulds)]


@pytest.mark.parametrize("objective", ["least_left_over", "fewest_pours"])
@given(st.lists(st.tuples(st.integers(50, 3000), st.integers(1, 4)), min_size=1, max_size=4), st.floats(0.05, 1))
def test_no_combination_is_better(objective: str, moulds: list[tuple[int, int]], part: float) -> None:
    order = part * sum(volume * times for volume, times in moulds)
    best = None
    for counts in itertools.product(*(range(times + 1) for _, times in moulds)):
        held = sum(count * volume for count, (volume, _) in zip(counts, moulds, strict=True))
        if held < order * (1 - 1e-12):
            continue
        measures = (held - order, sum(counts)) if objective == "least_left_over" else (sum(counts), held - order)
        best = measures if best is None else min(best, measures)
    found = best_filling(at_hand(*moulds), order, objective)
    assert best is not None
    assert found.proven_optimal
    got = (found.left_over_ml, found.pours_count)
    got = got if objective == "least_left_over" else got[::-1]
    assert got[0] == pytest.approx(best[0], abs=2e-2)
    assert got[1] == pytest.approx(best[1], abs=2e-2)
    assert found.volume_ml >= order * (1 - 1e-9)


def test_a_known_order() -> None:
    # 2 x 1625 + 1 x 900 = 4150 for 4100; or three of 1625 with 775 left over
    moulds = at_hand((1625, 4), (900, 2))
    found = best_filling(moulds, 4100)
    assert [(use.name, use.times) for use in found.uses] == [("mould 0", 2), ("mould 1", 1)]
    assert found.left_over_ml == pytest.approx(50)


def test_an_order_no_mould_can_meet_is_reported_by_how_much() -> None:
    with pytest.raises(DomainError, match="together hold 2500 mL, but the order needs 2600 mL: 100 mL is missing"):
        best_filling(at_hand((1000, 2), (500, 1)), 2600)


def test_moulds_have_names_of_their_own() -> None:
    one = MouldAtHand("loaf", Mould(Box(10, 10, 10)))
    with pytest.raises(DomainErrors, match='two of "loaf"'):
        best_filling([one, one], 1)


def test_a_large_order_is_bounded_by_nodes_and_says_whether_it_is_the_best() -> None:
    moulds = at_hand(*((997 + 13 * index ** 2 % 571, 50) for index in range(30)))
    first, again = best_filling(moulds, 123_456), best_filling(moulds, 123_456)
    assert first == again
    assert first.volume_ml >= 123_456


MOULDS: list[dict[str, Any]] = [
    {"name": "long loaf", "at_most": 4, "mould": {"shape": "box", "length": 250, "width": 100, "depth": 65}},
    {"name": "rounds", "at_most": 2, "mould": {"shape": "cylinder", "diameter": 75, "depth": 50, "count": 4}}]


def test_an_order_over_the_wire(client: FlaskClient) -> None:
    reply = client.post("/v1/moulds", json={"moulds": MOULDS, "order": {"mass": 4100, "density": 1.0}}).json
    assert reply is not None
    assert [(use["key"], use["times"]) for use in reply["filling"]["uses"]] == [("long_loaf", 2), ("rounds", 1)]
    # 2 x 1625 + 4 x 220.893 mL
    assert reply["volume"] == pytest.approx(3250 + 883.573, abs=0.01)
    assert reply["filling"]["left_over"] == pytest.approx(33.573, abs=0.01)
    assert reply["filling"]["proven_optimal"] is True


@pytest.mark.parametrize(("body", "pointer", "words"), [
    ({}, "/mould", "is required"), ({"moulds": MOULDS}, "/order", "is required"),
    ({"order": {"volume": 5}}, "/moulds", "is required"),
    ({"mould": MOULDS[0]["mould"], "moulds": MOULDS, "order": {"volume": 5}}, "/moulds", "not both"),
    ({"moulds": MOULDS, "order": {"mass": 5}}, "/order/density", "needs the"),
    ({"moulds": MOULDS, "order": {"volume": 5, "mass": 5, "density": 1}}, "/order", "not both"),
    ({"moulds": [{**MOULDS[0], "at_most": 0}], "order": {"volume": 5}}, "/moulds/0/at_most", "from 1 to 200"),
    ({"moulds": MOULDS, "order": {"volume": 1e6}}, "/order", "is missing")])
def test_what_is_missing_is_reported(client: FlaskClient, body: dict[str, Any], pointer: str, words: str) -> None:
    reply = client.post("/v1/moulds", json=body)
    assert reply.status_code == 422
    assert reply.json is not None
    errors = {fault["pointer"]: fault["detail"] for fault in reply.json["errors"]}
    assert words in errors[pointer], errors
