"""Whoever does what a refusal or a sentence of the pour advises gets what it promised, in grams and in ounces."""

from __future__ import annotations

import copy
import re
from typing import Any

import pytest
from kettlewright.app import create_app

CLIENT = create_app().test_client()
GRAMS: dict[str, str] = {}
OUNCES = {"mass": "oz", "dose": "oz", "length": "in", "volume": "us_fl_oz"}
OF = {"mass": 28.349523125, "length": 25.4}  # exact by definition
SHARES = {"fats": [{"fat": "olive", "share_pct": 70}, {"fat": "coconut", "share_pct": 30}], "superfat_pct": 5,
          "alkalis": [{"alkali": "NaOH"}], "water": {"water_to_alkali": 2}}


def size(value: float, kind: str, units: dict[str, str]) -> float:
    return value / OF[kind] if units else value


def refused(path: str, body: dict[str, Any]) -> dict[str, Any]:
    reply = CLIENT.post(path, json=body)
    assert reply.status_code == 422, reply.text
    errors: list[dict[str, Any]] = reply.get_json()["errors"]
    return min(errors, key=lambda one: number(one["allowed"]))


def number(allowed: str) -> float:
    found = re.search(r"[0-9][0-9.]*", allowed)
    assert found is not None, allowed
    return float(found[0])


def accepted(path: str, body: dict[str, Any]) -> dict[str, Any]:
    reply = CLIENT.post(path, json=body)
    assert reply.status_code == 200, reply.text
    found: dict[str, Any] = reply.get_json()
    return found


def put(body: dict[str, Any], pointer: str, value: float) -> dict[str, Any]:
    made = copy.deepcopy(body)
    *way, last = pointer.strip("/").split("/")
    node: Any = made
    for part in way:
        node = node[int(part) if isinstance(node, list) else part]
    node[last] = value
    return made


def bucket(units: dict[str, str], **more: Any) -> dict[str, Any]:
    return {"units": units, "batter": {"mass": size(1000, "mass", units), "density": 1.0,
                                       "fats_mass": size(700, "mass", units)},
            "portions": [{"name": "a", "share_pct": 30}, {"name": "b", "share_pct": 70}], **more}


@pytest.mark.parametrize("units", [GRAMS, OUNCES], ids=["g", "oz"])
@pytest.mark.parametrize("stays", [{"pot": 1100}, {"kept_back": 1100}, {"pot": 300, "kept_back": 800},
                                   {"pot": 700, "kept_back": 400}])
def test_less_left_in_the_pot(units: dict[str, str], stays: dict[str, float]) -> None:
    body = bucket(units, residue={name: size(mass, "mass", units) for name, mass in stays.items()})
    error = refused("/v1/portions", body)
    most = number(error["allowed"])
    accepted("/v1/portions", put(body, error["pointer"], most * 0.99))
    assert CLIENT.post("/v1/portions", json=put(body, error["pointer"], most * 1.01)).status_code == 422


@pytest.mark.parametrize("units", [GRAMS, OUNCES], ids=["g", "oz"])
def test_less_left_in_each_bucket(units: dict[str, str]) -> None:
    body = bucket(units, residue={"portion": size(800, "mass", units)})
    most = number(refused("/v1/portions", body)["allowed"])
    accepted("/v1/portions", put(body, "/residue/portion", most * 0.99))
    assert CLIENT.post("/v1/portions", json=put(body, "/residue/portion", most * 1.01)).status_code == 422


@pytest.mark.parametrize("units", [GRAMS, OUNCES], ids=["g", "oz"])
@pytest.mark.parametrize("residue", [0.0, 40.0])
def test_make_less_so_that_the_mould_holds_it(units: dict[str, str], residue: float) -> None:
    mould = {"shape": "box", **{name: size(mm, "length", units) for name, mm in
                                (("length", 100.0), ("width", 100.0), ("depth", 60.0))}}
    body = bucket(units, mould=mould, residue={"pot": size(residue, "mass", units)})
    error = refused("/v1/portions", body)
    assert error["pointer"] == "/mould"
    room = number(error["allowed"])
    masses = [number(found) for found in re.findall(r"[0-9.]+ (?:g|oz)\b", error["detail"])]
    assert masses[1] - masses[0] == pytest.approx(room, rel=1e-3)  # to be poured, less the excess
    less = body["batter"]["mass"] - masses[0]
    accepted("/v1/portions", put(put(body, "/batter/mass", less), "/batter/fats_mass", 0.7 * less))


@pytest.mark.parametrize("units", [GRAMS, OUNCES], ids=["g", "oz"])
def test_a_layer_as_thick_as_is_left(units: dict[str, str]) -> None:
    mould = {"shape": "tapered_box", **{name: size(mm, "length", units) for name, mm in (
        ("length", 220.0), ("width", 95.0), ("base_length", 200.0), ("base_width", 80.0), ("depth", 70.0))}}
    body = {"units": units, "recipe": SHARES, "mould": mould, "portions": [
        {"name": "a", "layer_depth": size(33.333, "length", units)},
        {"name": "b", "layer_depth": size(50, "length", units)}]}
    error = refused("/v1/batches", body)
    assert error["pointer"] == "/portions/1/layer_depth"
    accepted("/v1/batches", put(body, error["pointer"], number(error["allowed"])))


@pytest.mark.parametrize("units", [GRAMS, OUNCES], ids=["g", "oz"])
@pytest.mark.parametrize("cut", [{"bar": {"thickness": 333}}, {"bar": {"thickness": 20}, "loaf": {"width": 99}}])
def test_bars_and_loaves_as_large_as_the_block_allows(units: dict[str, str], cut: dict[str, Any]) -> None:
    cut = {part: {name: size(mm, "length", units) for name, mm in dims.items()} for part, dims in cut.items()}
    body = {"units": units, "block": {name: size(mm, "length", units) for name, mm in
                                      (("length", 311.7), ("width", 83.3), ("height", 60.0))}, **cut,
            "trim": {"start": size(3.7, "length", units), "end": size(2.9, "length", units)}}
    error = refused("/v1/cuts", body)
    accepted("/v1/cuts", put(body, error["pointer"], number(error["allowed"])))


@pytest.mark.parametrize("units", [GRAMS, OUNCES], ids=["g", "oz"])
@pytest.mark.parametrize("market", ["EU", "GB", "US"])
@pytest.mark.parametrize("thickness", [18.0, 25.0, 60.0])
def test_the_net_quantity_that_is_allowed(units: dict[str, str], market: str, thickness: float) -> None:
    length = {name: size(mm, "length", units) for name, mm in (("length", 300.0), ("width", 80.0), ("depth", 70.0))}
    body = {"units": units, "recipe": SHARES, "mould": {"shape": "box", **length}, "expected_loss_pct": 11,
            "cut": {"bar": {"thickness": size(thickness, "length", units)}},
            "label": {"market": market, "net_quantity": size(900, "mass", units)}}
    error = refused("/v1/batches", body)
    assert error["pointer"] == "/label/net_quantity"
    net = accepted("/v1/batches", put(body, error["pointer"], number(error["allowed"])))["label"]["labels"][0]
    assert net["net_quantity"]["asked"]


@pytest.mark.parametrize("loss", [0, 7.3, 15])
def test_what_to_make_wet_dries_to_what_was_promised(loss: float) -> None:
    make = accepted("/v1/cure", {"expected_loss_pct": loss, "promise": {"mass": 100}})["promise"]["wet_mass"]
    block = {"block": {"length": 300, "width": 80, "height": 60}, "density": 1.02, "expected_loss_pct": loss,
             "tolerance": {"length": 0, "width": 0, "height": 0, "density_pct": 0}}
    fresh = accepted("/v1/cuts", {**block, "expected_loss_pct": 0, "bar": {"mass": make}})["bars"]["mass"]["mid"]
    assert fresh * (1 - loss / 100) == pytest.approx(100, rel=1e-6)
    cured = accepted("/v1/cuts", {**block, "bar": {"mass": 100}})["bars"]["cured_mass"]["mid"]
    assert cured == pytest.approx(100, rel=1e-6)


def test_bars_as_a_target_come_out_as_heavy_as_they_were_wanted() -> None:
    fine = {"readability": 1e-4, "alkali_readability": 1e-4}
    scaled = accepted("/v1/scaling", {"recipe": SHARES, "scale": fine, "target": {
        "bars": {"count": 12, "mass": 100, "expected_loss_pct": 11}}})
    assert scaled["lye"]["batter"]["mass"] * 0.89 == pytest.approx(1200, rel=1e-6)
