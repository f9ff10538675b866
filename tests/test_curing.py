"""One cured mass: limits, pieces, bars, label and net quantity of one reply agree, whatever is stirred in."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from kettlewright.app import create_app
from kettlewright.curing import cured_mass
from kettlewright.pour.weighed_additions import largest_within_limit

CLIENT = create_app().test_client()
FINE = {"readability": 1e-6, "alkali_readability": 1e-6, "dose_readability": 1e-6}
BASE: dict[str, Any] = {
    "recipe": {"fats": [{"fat": "olive", "share_pct": 70}, {"fat": "coconut", "share_pct": 30}], "superfat_pct": 5,
               "alkalis": [{"alkali": "NaOH"}], "water": {"water_to_alkali": 2}},
    "mould": {"shape": "box", "length": 300, "width": 80, "depth": 70}, "scale": FINE}
LABEL = {"market": "EU", "sold_on": "2027-03-20", "piece_tolerance_pct": 0}
LIMONENE_PCT = 0.6


def scent(dose: float, **more: Any) -> dict[str, Any]:
    return {"name": "scent", "kind": "fragrance", "dose": dose, "basis": "pct_of_fats", "limit_pct": 9,
            "allergens": [{"name": "limonene", "pct": LIMONENE_PCT}], **more}


def madder(dose: float, strength_pct: float) -> dict[str, Any]:
    return {"name": "madder", "kind": "colourant", "dose": dose, "basis": "g_per_kg_batter", "inci": "CI 75330",
            "dispersion": {"carrier": "water", "strength_pct": strength_pct}}


def post(body: dict[str, Any], path: str = "/v1/batches") -> dict[str, Any]:
    answered = CLIENT.post(path, json=body)
    reply: dict[str, Any] = answered.get_json()
    assert answered.status_code == 200, reply
    return reply


def limonene(reply: dict[str, Any]) -> tuple[float, bool]:
    label = reply["label"]["labels"][0]
    return label["allergens"][0]["concentration_pct"], "Limonene" in label["declared"]


def test_a_bottle_of_known_cured_rest() -> None:
    # an equation of its own: 2.5 / 97.5 of 1242.44 g of cured rest is 31.857 g, where all of the dose stays
    assert largest_within_limit(2.5, 1242.44) == pytest.approx(31.857, abs=1e-3)
    # 1000 g of fats, 132 g of alkali, 264 g of water, 30 g of scent, a loss of 11 %: 1269.14 g, by hand
    assert cured_mass(1426, 11) == pytest.approx(1269.14)
    assert 100 * 0.0045 * 30 / cured_mass(1426, 11) == pytest.approx(0.010637, abs=5e-7)


def test_water_of_an_addition_does_not_hide_an_allergen() -> None:
    # the dispersion is nine tenths water, which leaves the bar as the water of the lye does
    body = {**BASE, "additions": [madder(12, 10), scent(2.0)], "label": LABEL}
    reply = post(body)
    concentration, declared = limonene(reply)
    masses = {one["key"]: one["mass"] for one in reply["additions"]}
    lye = reply["lye"]
    water = lye["solution"]["water_to_alkali"] * lye["alkalis"][0]["mass"]
    cured = reply["mould"]["fill"]["mass"] - water - 0.9 * masses["madder"]
    assert concentration == pytest.approx(100 * masses["scent"] * LIMONENE_PCT / 100 / cured, rel=1e-5)
    # counted with the loss of the batter alone it would pass unnamed
    of_batter = 1 - water / lye["batter"]["mass"]
    assert concentration > 0.01 > masses["scent"] * LIMONENE_PCT / (reply["mould"]["fill"]["mass"] * of_batter)
    assert declared


@settings(max_examples=40)
@given(loss=st.sampled_from([None, 0, 4, 10]), dose=st.floats(0.2, 5), dye=st.floats(1, 40),
       strength=st.sampled_from([10, 50]), arrangement=st.sampled_from(["layers", "mingled", "columns", "separate"]),
       cut=st.booleans(), powder=st.booleans(), naming=st.sampled_from(["as_added", "as_reacted"]),
       alkali=st.sampled_from([{"alkali": "NaOH"}, {"alkali": "NaOH", "purity_pct": 96},
                               {"alkali": "NaOH", "stock": {"concentration_pct": 45}}]))
def test_every_cured_figure_of_a_reply_is_of_one_mass(loss: float | None, dose: float, dye: float, strength: float,
                                                      arrangement: str, cut: bool, powder: bool, naming: str,
                                                      alkali: dict[str, Any]) -> None:
    portions: list[dict[str, Any]] = [
        {"name": "a", "share_pct": 40, "additions": [madder(dye, strength)]},
        {"name": "b", "share_pct": 60, "additions": [scent(dose)]}]
    if powder and arrangement in ("layers", "separate"):
        portions[1]["dusting"] = {"name": "kaolin", "coverage": 80}
    body: dict[str, Any] = {**BASE, "recipe": {**BASE["recipe"], "alkalis": [alkali]}, "portions": portions,
                            "arrangement": arrangement, "label": {**LABEL, "naming": naming}}
    if arrangement == "separate":
        body["mould"] = {**BASE["mould"], "count": 2}
    elif cut:
        body["cut"] = {"bar": {"thickness": 25}, "tolerance": {"length": 0, "width": 0, "height": 0, "density_pct": 0}}
    if loss is not None:
        body["expected_loss_pct"] = loss
    reply = post(body)
    worst = max(one["concentration_pct"] for label in reply["label"]["labels"] for one in label["allergens"])
    assert worst == pytest.approx(reply["limits"][0]["bar_pct"] * LIMONENE_PCT / 100, rel=1e-5)
    assert reply["loss_assumed"] == (loss is None) == reply["label"]["loss_assumed"]
    assert reply["label"]["loss_pct"] == reply["loss_for_limits_pct"]
    if loss is not None:
        assert reply["loss_for_limits_pct"] == pytest.approx(loss, abs=1e-9)
    if reply["cuts"]:
        bars = reply["cuts"]["bars"]
        net = reply["label"]["labels"][0]["net_quantity"]
        if loss is not None:
            assert bars["cured_mass"]["mid"] == pytest.approx(bars["mass"]["mid"] * (1 - loss / 100))
            assert net["mass"]["mid"] == pytest.approx(bars["cured_mass"]["mid"], rel=1e-6)
        else:
            stays = 1 - reply["loss_for_limits_pct"] / 100
            lost = {label["net_quantity"]["mass"]["mid"] / bars["mass"]["mid"] for label in reply["label"]["labels"]}
            assert min(lost) * 0.98 < stays < max(lost) * 1.02
    elif loss is not None and arrangement != "separate":
        assert reply["pieces"]["cured_mass"] == pytest.approx(reply["pieces"]["mass"] * (1 - loss / 100))


LYE = {"fats": [{"fat": "olive", "mass": 700}, {"fat": "coconut", "mass": 300}], "superfat_pct": 5,
       "alkalis": [{"alkali": "NaOH"}], "water": {"water_to_alkali": 2}}
PORTIONS = {"batter": {"mass": 1000, "density": 1, "fats_mass": 700}, "portions": [
    {"name": "a", "share_pct": 60}, {"name": "b", "share_pct": 40, "additions": [
        {"name": "sand", "kind": "exfoliant", "dose": 40, "basis": "pct_of_batter"}]}]}
SANDY = {**BASE, "portions": PORTIONS["portions"], "cut": {"bar": {"thickness": 25}}}
CASES: list[tuple[str, dict[str, Any], tuple[str, ...]]] = [
    ("/v1/lye", LYE, ("expected_loss_pct",)),
    ("/v1/scaling", {"recipe": BASE["recipe"], "target": {"fats_mass": 1000}}, ("expected_loss_pct",)),
    ("/v1/scaling", {"recipe": BASE["recipe"], "target": {"bars": {"count": 10, "mass": 100, "expected_loss_pct": 5}},
                     "additions": [madder(20, 10)]}, ("target", "bars", "expected_loss_pct")),
    ("/v1/portions", PORTIONS, ("expected_loss_pct",)),
    ("/v1/batches", SANDY, ("expected_loss_pct",)),
    ("/v1/batches", {**SANDY, "arrangement": "separate", "mould": {**BASE["mould"], "count": 2}, "cut": ...},
     ("expected_loss_pct",)),
    ("/v1/labels", {**SANDY, "label": LABEL}, ("expected_loss_pct",)),
    ("/v1/costs", {**SANDY, "prices": {"ingredients": [
        {"key": "olive", "price": {"amount": "7", "currency": "EUR", "per_mass": 1000}}]}}, ("expected_loss_pct",)),
    ("/v1/cure", {"batter_mass": 1390, "water_mass": 260, "promise": {"mass": 100}}, ("expected_loss_pct",))]


@pytest.mark.parametrize(("path", "body", "field"), CASES, ids=[f"{path} {number}" for number, (path, _, _)
                                                                in enumerate(CASES)])
def test_no_piece_loses_more_than_its_water(path: str, body: dict[str, Any], field: tuple[str, ...]) -> None:
    body = {name: value for name, value in body.items() if value is not ...}
    if "sold_on" in body.get("label", {}) and path == "/v1/labels":
        body["label"] = {"market": "EU"}

    def with_loss(pct: float) -> Any:
        def put(node: dict[str, Any], way: tuple[str, ...]) -> dict[str, Any]:
            return {**node, way[0]: pct if len(way) == 1 else put(node[way[0]], way[1:])}

        return CLIENT.post(path, json=put(body, field))

    refused = with_loss(45)
    assert refused.status_code == 422, refused.get_json()
    error, = refused.get_json()["errors"]
    assert error["pointer"] == "/" + "/".join(field)
    assert "more than all the water" in error["detail"]
    most = float(error["allowed"].split()[2])
    assert 8 < most < 35
    assert with_loss(most).status_code == 200  # what is allowed is accepted
    assert with_loss(most + 0.01).status_code == 422


def test_the_bound_is_the_water_of_the_piece() -> None:
    # by hand: 300 g of lye and 0.4 x 400 g of sand in 560 g of bucket: 120 g of water at most, in the bucket with sand
    error, = CLIENT.post("/v1/portions", json={**PORTIONS, "expected_loss_pct": 25}).get_json()["errors"]
    assert '"b"' in error["detail"]
    assert math.isclose(float(error["allowed"].split()[2]), 100 * 120 / 560, abs_tol=1e-3)
