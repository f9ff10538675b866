"""Fats are found by what they are."""

from __future__ import annotations

from pathlib import Path

import pytest
from api.bodies import LYE
from api.coop.folders import write_folder
from flask.testing import FlaskClient
from kettlewright.app import create_app
from kettlewright.settings import Settings


@pytest.mark.parametrize(("query", "found"), [
    ("saponification_value_min=240", {"coconut", "babassu", "palm_kernel", "palm_kernel_stearin"}),
    ("fatty_acid=C18:1-OH", {"castor"}), ("iodine_value_min=150&iodine_value_max=200", {"flaxseed", "hemp"})])
def test_fats_are_found_by_what_they_are(client: FlaskClient, query: str, found: set[str]) -> None:
    reply = client.get(f"/v1/fats?{query}")
    assert reply.json is not None
    keys = {fat["key"] for fat in reply.json["fats"]}
    assert found <= keys
    assert len(keys) < 15


@pytest.mark.parametrize(("query", "words"), [
    ("iodine_value_min=1,5", "point for decimals"), ("iodine_value_min=1e2", "not a number"),
    ("fatty_acid_min_pct=5", "such as C18:1"), ("fatty_acid=oleic", 'Did you mean "C18:1"')])
def test_a_filter_that_cannot_be_read_is_reported(client: FlaskClient, query: str, words: str) -> None:
    reply = client.get(f"/v1/fats?{query}")
    assert reply.status_code == 422
    assert words in reply.text.replace("\\", "")


def test_the_fats_and_lots_of_the_data_folder_are_listed_and_can_be_used(tmp_path: Path, client: FlaskClient) -> None:
    folder = write_folder(tmp_path / "data", packs=None, names=None, fragrances=None,
                          fats="key,name,saponification_value_min,saponification_value_max\n"
                               "own_lard,our lard,195,201\n",
                          certificates="fat,lot,value\nown_lard,A-1,198.5\nolive,B-2,189.4\n")
    of_coop = create_app(Settings(data=str(folder))).test_client()
    found = of_coop.get("/v1/fats?search=nothing like it").get_json()
    assert found["fats"] == []
    assert found["coop_fats"] == [{"key": "own_lard", "name": "our lard",
                                   "saponification_value": {"min": 195, "max": 201}}]
    assert found["coop_certificates"] == [{"fat": "own_lard", "lot": "A-1"}, {"fat": "olive", "lot": "B-2"}]
    for certificate in found["coop_certificates"]:
        reply = of_coop.post("/v1/lye", json={**LYE, "fats": [{**certificate, "mass": 500}]}).get_json()
        assert {one["file"] for one in reply["meta"]["from_coop"]} >= {"certificates"}
    assert not {"coop_fats", "coop_certificates"} & client.get("/v1/fats").get_json().keys()
