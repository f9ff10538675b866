"""Every shape there is, from the request to the picture: contract, links, client, README, both languages."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ElementTree
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

import pytest
from client.in_process import in_process, over
from flask.testing import FlaskClient
from kettlewright.api.document.openapi import document
from kettlewright.pour import SHAPES, Shape
from kettlewright.pour.mould.shapes import PIECE_FORMS
from kettlewright.views.cutting_plan import pieces_in_words

from api.contract import committed

ROOT = Path(__file__).parents[2]
RECIPE = {"fats": [{"fat": "olive", "share_pct": 70}, {"fat": "coconut", "share_pct": 30}], "superfat_pct": 5,
          "alkalis": [{"alkali": "NaOH"}], "water": {"water_to_alkali": 2}}
PORTIONS = [{"name": "deep", "share_pct": 40, "colour": "#7d2f22"}, {"name": "pale", "share_pct": 60}]

every_shape = pytest.mark.parametrize("made", SHAPES.values(), ids=SHAPES)


def body_of(made: type[Shape]) -> dict[str, Any]:
    """The example of a shape, as a request has it."""
    return {"shape": made.key, **{one.key: one.example for one in made.dimensions if one.in_example}}


@every_shape
def test_a_request_makes_the_shape(client: FlaskClient, made: type[Shape]) -> None:
    reply = client.post("/v1/moulds", json={"mould": body_of(made)})
    assert reply.status_code == 200, reply.text
    assert reply.json is not None
    assert reply.json["brim_volume"] == pytest.approx(made.example().brim_ml, rel=1e-8)


@every_shape
def test_what_is_missing_is_reported_at_its_field(client: FlaskClient, made: type[Shape]) -> None:
    for one in made.dimensions:
        if one.required:
            reply = client.post("/v1/moulds", json={
                "mould": {key: value for key, value in body_of(made).items() if key != one.key}})
            assert reply.status_code == 422
            assert [error["pointer"] for error in reply.json["errors"]] == [f"/mould/{one.key}"]


@every_shape
def test_the_contract_says_its_dimensions(made: type[Shape]) -> None:
    schemas = committed()["components"]["schemas"]
    found = schemas[f"{made.__name__}Mould"]
    around = {"shape", "count", "liner", "headspace"}
    assert set(found["properties"]) == around | {one.key for one in made.dimensions}
    assert set(found["required"]) == {"shape"} | {one.key for one in made.dimensions if one.required}
    assert found["properties"]["shape"]["const"] == made.key
    for one in made.dimensions:
        assert found["properties"][one.key]["examples"] == [one.example]


@every_shape
def test_an_address_says_the_same_as_a_body(client: FlaskClient, made: type[Shape]) -> None:
    body = body_of(made)
    parts = ",".join([body["shape"], *(f"{key}:{value}" for key, value in body.items() if key != "shape")])
    by_address = client.get(f"/v1/moulds?{urlencode({'mould': parts, 'fill': 'depth:20'})}")
    assert by_address.status_code == 200, by_address.text
    by_body = client.post("/v1/moulds", json={"mould": body, "fill": {"depth": 20}})
    assert {**by_address.json, "links": None} == {**by_body.json, "links": None}


@every_shape
def test_the_client_sends_it(client: FlaskClient, made: type[Shape]) -> None:
    caller = over(in_process(client))[0]
    found = caller.moulds(mould=body_of(made), fill={"depth": 20})
    assert found.brim_volume == pytest.approx(made.example().brim_ml, rel=1e-8)
    if made.cut_as:
        cut = caller.batches(recipe=RECIPE, mould=body_of(made), cut={"bar": {"count": 4}}).cuts
        assert cut is not None
        assert (cut.bars.count, cut.bars.form) == (4, made.piece)
        assert len(cut.bars.face) >= 4


@pytest.mark.parametrize("locale", ["en", "de"])
@pytest.mark.parametrize("arrangement", ["layers", "mingled", "columns", "separate"])
@every_shape
def test_it_is_drawn_and_put_on_paper(client: FlaskClient, made: type[Shape], arrangement: str, locale: str) -> None:
    body = {"recipe": RECIPE, "portions": PORTIONS, "arrangement": arrangement, "locale": locale,
            "mould": {**body_of(made), "count": 2 if arrangement == "separate" else 1}}
    if made.cut_as and arrangement != "separate":
        body["cut"] = {"bar": {"count": 4}}
    reply = client.post("/v1/batches?format=svg", json=body)
    assert reply.status_code == 200, reply.text
    svg = ElementTree.fromstring(reply.text)
    assert len([one for one in svg.iter() if one.get("class") == "body"]) == 2
    sheet = client.post("/v1/batches?format=html", json=body)
    assert sheet.status_code == 200, sheet.text
    if "cut" in body and made.piece != "bar":
        words = pieces_in_words(client.post("/v1/batches", json=body).json["cuts"]["bars"], "mm")
        assert 'class="face"' in sheet.text
        assert (str(words) in sheet.text) == (locale == "en")


def test_every_form_of_a_piece_has_words_and_a_shape() -> None:
    bars = {"count": 4, "length": 80, "thickness": 25, "height": 40}
    said = {form: pieces_in_words({**bars, "form": form}, "mm") for form in PIECE_FORMS}
    assert len(set(said.values())) == len(PIECE_FORMS)
    assert {made.piece for made in SHAPES.values() if made.cut_as} == set(PIECE_FORMS)


@every_shape
def test_the_readme_names_it(made: type[Shape]) -> None:
    row = next(line for line in (ROOT / "README.md").read_text(encoding="utf-8").splitlines()
               if line.startswith("| `POST /v1/moulds`"))
    assert f"`{made.key}`" in row


def test_a_shape_nobody_knows_is_refused_with_all_there_are(client: FlaskClient) -> None:
    reply = client.post("/v1/moulds", json={"mould": {"shape": "egg", "depth": 30}})
    assert reply.status_code == 422
    detail = reply.json["errors"][0]["detail"]
    assert set(SHAPES) <= set(re.findall(r"\w+", detail))


def test_the_contract_is_of_this_code() -> None:
    schemas = document()["components"]["schemas"]
    assert schemas["MouldsRequest"]["properties"]["mould"]["$ref"] == "#/components/schemas/MouldInput"
    union = schemas["MouldInput"]
    assert set(union["discriminator"]["mapping"]) == set(SHAPES)
