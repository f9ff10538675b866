"""Every value a plan depends on, compared with a remake."""

from __future__ import annotations

import copy

import pytest
from api.whole_batch import BATCH, sent
from flask.testing import FlaskClient


def test_what_changes_no_figure_changes_no_identity(client: FlaskClient) -> None:
    plain = sent(client, {**BATCH, "resolved": True})
    assert "resolved" not in sent(client, {**BATCH, "resolved": False})
    assert sent(client, BATCH)["identity"] == plain["identity"]
    assert sent(client, {**BATCH, "workings": True})["identity"] == plain["identity"]
    assert sent(client, {**BATCH, "compare_to": plain["resolved"]})["identity"] == plain["identity"]
    other = copy.deepcopy(BATCH)
    other["recipe"]["superfat_pct"] = 5.1
    assert sent(client, other)["identity"] != plain["identity"]


def test_a_remake_of_the_same_plan_has_moved_nothing(client: FlaskClient) -> None:
    plain = sent(client, {**BATCH, "resolved": True})
    found = sent(client, {**BATCH, "compare_to": plain["resolved"]})["comparison"]
    assert found["moved"] == []
    assert found["unmoved_count"] == len(plain["resolved"]["lines"])
    assert found["message"] == "The same request with the same data."


def test_a_remake_in_other_units_rests_on_the_same_values(client: FlaskClient) -> None:
    plain = sent(client, {**BATCH, "resolved": True})
    inches = copy.deepcopy(BATCH)
    inches["units"] = {"length": "cm"}
    inches["mould"].update(length=25, width=8, depth=7)
    inches["cut"] = {"bar": {"thickness": 2.5}, "kerf": 0.1, "trim": {"start": 0.4, "end": 0.4}}
    found = sent(client, {**inches, "compare_to": plain["resolved"]})["comparison"]
    assert found["moved"] == []
    assert found["message"] == "A different request with the same data."


def test_what_moved_is_reported_with_its_reason(client: FlaskClient) -> None:
    then = copy.deepcopy(sent(client, {**BATCH, "resolved": True})["resolved"])
    then["data_version"] = "2020.1"
    for line in then["lines"]:
        if line["what"] == "fats.olive.saponification_value.max":
            line["value"] += 3
        if line["what"] == "weigh.jug.alkali.NaOH":
            line["value"] += 1
    then["lines"].append({"what": "weigh.jug.acid.citric", "value": 12, "unit": "g", "rests_on": "computed"})
    found = sent(client, {**BATCH, "compare_to": then})["comparison"]
    moved = {line["what"]: line for line in found["moved"]}
    assert set(moved) == {"fats.olive.saponification_value.max", "weigh.jug.alkali.NaOH", "weigh.jug.acid.citric"}
    assert moved["fats.olive.saponification_value.max"]["message"].startswith("The tables have changed (data ")
    assert moved["fats.olive.saponification_value.max"]["then"] - 3 == pytest.approx(
        moved["fats.olive.saponification_value.max"]["now"])
    why = moved["weigh.jug.alkali.NaOH"]["message"]
    assert why == "It follows from other changes: fats.olive.saponification_value.max."
    assert moved["weigh.jug.acid.citric"]["now"] is None
    assert found["message"].startswith("The same request with different data")


def test_another_request_is_reported_as_the_reason(client: FlaskClient) -> None:
    then = sent(client, {**BATCH, "resolved": True})["resolved"]
    other = copy.deepcopy(BATCH)
    other["recipe"]["superfat_pct"] = 8
    found = sent(client, {**other, "compare_to": then})["comparison"]
    whys = {line["what"]: line["message"] for line in found["moved"]}
    assert whys["weigh.jug.alkali.NaOH"] == "It follows from a different request."
    stated = copy.deepcopy(BATCH)
    stated["recipe"]["alkalis"] = [{"alkali": "NaOH", "purity_pct": 98}]
    moved = sent(client, {**stated, "compare_to": then})["comparison"]["moved"]
    whys = {line["what"]: line["message"] for line in moved}
    assert whys["alkalis.NaOH.strength.used"] == "It was assumed then and is given now."


def test_every_value_of_the_plan_is_among_its_lines(client: FlaskClient) -> None:
    found = sent(client, {**BATCH, "resolved": True})
    lines = {line["what"]: line for line in found["resolved"]["lines"]}
    assert len(lines) == len(found["resolved"]["lines"])
    for row in found["weigh_list"]:
        what = [row["where"], row.get("portion"), row["kind"], row["key"]]
        assert lines[".".join(["weigh", *filter(None, what)])]["value"] == row["weigh"]
    assert lines["weigh.jug.alkali.NaOH"]["value"] == found["lye"]["alkalis"][0]["weigh"]
    assert lines["alkalis.NaOH.strength.used"]["rests_on"] == "assumed"
    assert lines["superfat.achieved"]["value"] == found["lye"]["superfat"]["achieved_pct"]
    assert lines["weigh.pot.addition.cedar"]["value"] == found["additions"][0]["weigh"]
    assert lines["cuts.bars.count"]["value"] == found["cuts"]["bars"]["count"]
    assert lines["fats.olive.saponification_value.min"]["rests_on"] == "table"
