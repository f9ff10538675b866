"""Results: equal, hashable, short to print, tables in a notebook, dicts and DataFrames."""

from __future__ import annotations

import base64
import copy
import json
import pickle
import sys
from typing import Any

import pytest
from kettlewright_client import Batch, ClientError, Money
from kettlewright_client.operations import OPERATIONS
from kettlewright_client.reading import read
from kettlewright_client.testing import StubClient, recorded

RAW: Any = recorded()["batches"].replies["json"]
BODY: Any = recorded()["batches"].body


@pytest.fixture
def plan() -> Batch:
    return StubClient().batches(**BODY)


@pytest.mark.parametrize("name", OPERATIONS)
def test_every_reply_comes_back_as_it_was_and_can_be_a_key(name: str) -> None:
    raw = recorded()[name].replies["json"]
    found = read(OPERATIONS[name].result, raw, "abc")
    again = read(OPERATIONS[name].result, json.loads(json.dumps(raw)), "xyz")
    assert found.to_dict() == raw
    assert found == again == pickle.loads(pickle.dumps(found)) == copy.deepcopy(found)
    assert {found: 1}[again] == 1
    assert len(repr(found)) <= 200


def test_another_figure_makes_another_result(plan: Batch) -> None:
    other = read(Batch, {**RAW, "residue_mass": RAW["residue_mass"] + 1})
    assert other != plan
    with pytest.raises(AttributeError):
        plan.residue_mass = 1  # frozen: that is what is tested


def test_a_part_that_is_needed_is_there_or_says_so(plan: Batch) -> None:
    assert plan.need("cuts") is plan.cuts
    with pytest.raises(ClientError, match=r"has no comparison here \(Batch\.comparison\)"):
        plan.need("comparison")
    with pytest.raises(ClientError, match='has no field "cut"'):
        plan.need("cut")


def test_a_batch_in_a_notebook_has_its_picture_its_weigh_list_and_its_cautions(plan: Batch) -> None:
    html = plan._repr_html_()
    picture = base64.b64decode(html.partition("base64,")[2].partition('"')[0]).decode()
    assert picture == recorded()["batches"].replies["svg"]
    for row in plan.weigh_list:
        assert row.name.replace("'", "&#x27;") in html
    assert html.count("<li>") == len(plan.cautions)
    assert "<script" not in html


def test_a_picture_that_cannot_be_had_is_no_reason_to_fail() -> None:
    client = StubClient()
    plan = client.batches(**BODY)
    client.close()
    assert "No picture" in plan._repr_html_()
    assert read(Batch, RAW)._repr_html_().startswith("<p><b>Batch")


def test_every_text_in_a_notebook_is_escaped() -> None:
    evil = "<script>alert(1)</script>"
    raw = json.loads(json.dumps(RAW))
    raw["weigh_list"][0]["name"] = raw["weigh_list"][0]["form"] = raw["cautions"][0]["message"] = evil
    raw["identity"] = raw["arrangement"] = evil
    plan = read(Batch, raw)
    for part in (plan, plan.weigh_list[0], plan.cautions[0], plan.mould, plan.units):
        assert "<script" not in part._repr_html_()


def test_texts_know_their_form_and_only_pictures_are_drawn() -> None:
    client = StubClient()
    svg, page = client.cut_face(**BODY), client.batch_sheet(**BODY)
    assert (svg.form, svg.request_id) == ("svg", "stub")
    assert (svg._repr_html_() or "").startswith("<img ")
    assert page._repr_html_() is None
    assert page.startswith("<!doctype html>")


def test_a_list_becomes_a_table_of_pandas(plan: Batch, monkeypatch: pytest.MonkeyPatch) -> None:
    frame = plan.to_frame()
    assert frame["weigh"].tolist() == [row.weigh for row in plan.weigh_list]
    assert plan.to_frame("cautions")["key"].tolist() == [one.key for one in plan.cautions]
    assert plan.to_frame("lye.fats")["key"].tolist() == [one.key for one in plan.lye.fats]
    with pytest.raises(ClientError, match='has no list "soap"'):
        plan.to_frame("soap")
    monkeypatch.setitem(sys.modules, "pandas", None)
    with pytest.raises(ClientError, match="pip install pandas"):
        plan.to_frame()


def test_money_is_exact() -> None:
    money = Money(amount="1.10", currency="EUR")
    assert (str(money), str(money.decimal), repr(money)) == ("1.10 EUR", "1.10", "Money(amount='1.10', currency='EUR')")
