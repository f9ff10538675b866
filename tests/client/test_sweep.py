"""What-if tables: rows in order, paths that are checked, requests that fail, all as rows, CSV and DataFrame."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from typing import Any

import pytest
from client.in_process import in_process, over
from kettlewright.app import create_app
from kettlewright_client import Client, ClientError
from kettlewright_client.sweep import Sweep
from kettlewright_client.testing import AsyncStubClient, StubClient, recorded

EXAMPLES = Path(__file__).parents[2] / "client" / "examples"
BODY = json.loads((EXAMPLES / "kiln_dusk.json").read_text(encoding="utf-8"))
FIGURES = ["cuts.bars.count", "lye.superfat.achieved_pct", "weigh_list.NaOH.weigh"]


@pytest.fixture(scope="module")
def client() -> Client:
    return over(in_process(create_app().test_client()))[0]


def test_each_row_is_the_plan_with_that_value(client: Client) -> None:
    reported: list[tuple[int, int | None]] = []
    found = client.sweep(BODY, "recipe.superfat_pct", [3, 4, 5], figures=FIGURES,
                         progress=lambda done, of: reported.append((done, of)))
    assert [row["recipe.superfat_pct"] for row in found] == [3, 4, 5]
    for row in found:
        plan = client.batches(**{**BODY, "recipe": {**BODY["recipe"], "superfat_pct": row["recipe.superfat_pct"]}})
        assert row["cuts.bars.count"] == plan.need("cuts").bars.count
        assert row["lye.superfat.achieved_pct"] == plan.lye.superfat.achieved_pct >= row["recipe.superfat_pct"]
        assert row["weigh_list.NaOH.weigh"] == next(one.weigh for one in plan.weigh_list if one.key == "NaOH")
        assert row["problem"] == ""
    alkali = [row["weigh_list.NaOH.weigh"] for row in found]
    assert alkali == sorted(alkali, reverse=True)  # more superfat, less alkali
    assert reported == [(0, 3), (1, 3), (2, 3), (3, 3)]
    assert json.loads((EXAMPLES / "kiln_dusk.json").read_text(encoding="utf-8")) == BODY


def test_a_grid_has_every_combination_and_a_row_that_fails_says_why(client: Client) -> None:
    found = client.sweep(BODY, {"recipe.superfat_pct": [5, 60], "recipe.water.water_to_alkali": [2, 2.2]},
                         figures=FIGURES)
    assert [tuple(row[name] for name in found.fields) for row in found] == [(5, 2), (5, 2.2), (60, 2), (60, 2.2)]
    assert [row["cuts.bars.count"] is None for row in found] == [False, False, True, True]
    assert ["from 0 to 50" in row["problem"] for row in found] == [False, False, True, True]


def test_a_figure_that_the_reply_lacks_is_a_reason(client: Client) -> None:
    found = client.sweep(BODY, "expected_loss_pct", [10], figures=["cost.bar.total.amount", "weigh_list.KOH.weigh"])
    assert found.rows[0]["problem"] == "the reply has no cost"
    assert found.rows[0]["weigh_list.KOH.weigh"] is None


@pytest.mark.parametrize(("field", "figures", "words"), [
    ("recipe.supefat_pct", FIGURES, 'did you mean "recipe.superfat_pct"'),
    ("recipe.fats.9.share_pct", FIGURES, 'no item is called or numbered "9"'),
    ("recipe.fats.olive.shre_pct", FIGURES, 'did you mean "recipe.fats.olive.share_pct"'),
    ("mould.lenght", FIGURES, 'did you mean "mould.length"'),
    ("recipe.superfat_pct.x", FIGURES, "Known there: nothing"),
    ("recipe.superfat_pct", ["cuts.bars.cont"], 'did you mean "cuts.bars.count"'),
    ("recipe.superfat_pct", ["weigh_list.0.wiegh"], 'did you mean "weigh_list.0.weigh"'),
    ("recipe.superfat_pct", ["cuts.bars"], "not a single value"), ("recipe.superfat_pct", [], "list of paths"),
    ("recipe.superfat_pct", "cuts.bars.count", "list of paths"), ({}, FIGURES, "1 row|list|rows")])
def test_an_unknown_path_is_refused_before_anything_is_sent(field: Any, figures: Any, words: str) -> None:
    stub = StubClient()
    with pytest.raises(ClientError, match=words):
        stub.sweep(BODY, field, None if isinstance(field, dict) else [1], figures=figures) if field else \
            stub.sweep(BODY, {"recipe.superfat_pct": []}, figures=figures)
    assert not stub.sent


def test_a_sweep_has_a_field_and_its_values_or_a_mapping_and_a_body() -> None:
    stub = StubClient()
    for given in (("recipe.superfat_pct",), ({"recipe.superfat_pct": [1]}, [1])):
        with pytest.raises(ClientError, match="Give a field and its values"):
            stub.sweep(BODY, *given, figures=FIGURES)
    with pytest.raises(ClientError, match="takes no body"):
        stub.sweep({}, "a", [1], figures=["a"], operation="fats")


def test_it_can_be_any_calculation_and_any_item_of_a_list() -> None:
    stub = StubClient()
    body = recorded()["lye"].body or {}
    stub.sweep(body, "fats.olive.mass", [400, 500], figures=["alkalis.NaOH.weigh"], operation="lye", workers=1)
    assert [sent.body["fats"][0]["mass"] for sent in stub.sent] == [400, 500]


async def _sweep(**more: Any) -> Sweep:
    return await AsyncStubClient().sweep(recorded()["batches"].body or {}, "recipe.superfat_pct", [3, 4],
                                         figures=FIGURES, **more)


def test_the_asynchronous_client_gives_the_same_table() -> None:
    import asyncio
    same = StubClient().sweep(recorded()["batches"].body or {}, "recipe.superfat_pct", [3, 4], figures=FIGURES)
    assert asyncio.run(_sweep()) == same


def test_the_table_as_csv_and_for_pandas() -> None:
    found = Sweep(("a",), ("b", "c"), ({"a": 1, "b": 2.5, "c": None, "problem": ""},
                                       {"a": 2, "b": None, "c": "=1+1", "problem": 'no, "really"'}))
    assert list(csv.reader(io.StringIO(found.to_csv(), newline=""))) == [
        ["a", "b", "c", "problem"], ["1", "2.5", "", ""], ["2", "", "'=1+1", 'no, "really"']]
    assert found.to_csv().endswith("\r\n")
    frame = found.to_frame()
    assert list(frame.columns) == ["a", "b", "c", "problem"]
    assert frame["b"].tolist()[0] == 2.5
    assert "&quot;really&quot;" in found._repr_html_()
    assert len(found) == 2
