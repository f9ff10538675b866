"""The lists of a reply as CSV."""

from __future__ import annotations

from typing import Any

import pytest
from api.bodies import BATCH, CUTS, LYE, PORTIONS, changed
from api.forms import BY_LINK, figure, lines_of, rows
from flask.testing import FlaskClient
from hypothesis import given
from hypothesis import strategies as st
from kettlewright.api.document.openapi import examples_of
from kettlewright.api.door.operations import OPERATIONS
from kettlewright.api.door.tables import as_csv, safe_cell
from kettlewright.app import create_app

APP = create_app().test_client()
FORMULA = '=HYPERLINK("http://soap.example";"olive")'
POSTS = [(name, example["title"], example["body"]) for name, found in OPERATIONS.items() if found.method == "POST"
         for example in examples_of(name)]
STARTS = ("=", "+", "-", "@", "\t", "\r")


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return APP


def test_a_weigh_list_is_a_table_with_its_units(client: FlaskClient) -> None:
    assert rows(client.get(f"{BY_LINK}&format=csv")) == [
        ["kind", "where", "portion", "key", "name", "form", "lot", "weigh [g]", "step [g]", "unit", "each_mix [g]",
         "take [g]", "buy"],
        ["water", "jug", "", "water", "water", "", "", "290.0", "1.0", "g", "", "", "water"],
        ["alkali", "jug", "", "NaOH", "sodium hydroxide", "98 % pure", "", "145.0", "0.1", "g", "", "", "NaOH"],
        ["fat", "pot", "", "olive", "olive oil (virgin, refined)", "", "", "700.0", "1.0", "g", "", "", "olive"],
        ["fat", "pot", "", "coconut", "coconut oil", "", "", "300.0", "1.0", "g", "", "", "coconut"]]
    header = rows(client.get(f"{BY_LINK}&format=csv&units=oz"))[0]
    assert header[7:10] == ["weigh [in this row's unit]", "step [in this row's unit]", "unit"]
    assert "mass [oz]" in rows(client.get(f"{BY_LINK}&table=fats&units=oz"))[0]
    assert "mass [g]" in rows(client.get(f"{BY_LINK}&table=acids&units=oz"))[0]


def test_a_list_in_a_list_says_to_what_each_line_belongs(client: FlaskClient) -> None:
    additions = [{"name": name, "kind": "clay", "dose": 5, "basis": "g_per_kg_batter"} for name in ("white", "green")]
    body = changed(PORTIONS, "/portions/1/additions", additions)
    header, *lines = rows(client.post("/v1/portions?format=csv&table=portions.additions", json=body))
    assert header[:4] == ["portions.key", "portions.name", "key", "name"]
    assert [line[:4] for line in lines] == [["plain", "plain", "white", "white"], ["plain", "plain", "green", "green"]]
    layers = changed(BATCH, "/cut", {"bar": {"thickness": 25}})
    header, *lines = rows(client.post("/v1/batches?table=cuts.kinds.layers", json=layers))
    assert header == ["cuts.kinds.number", "key", "share_pct [% of bar]"]
    assert lines[0][0] == "0"


def test_what_is_absent_is_an_empty_table_with_its_header(client: FlaskClient) -> None:
    assert len(rows(client.get(f"{BY_LINK}&table=workings"))) == 1
    assert len(rows(client.get(f"{BY_LINK}&table=workings&workings=true"))) > 3
    assert rows(client.post("/v1/cuts?table=positions.bar", json=CUTS))[0] == ["bar [mm]"]


def test_figures_are_the_fields_that_can_be_requested(client: FlaskClient) -> None:
    header, *lines = rows(client.get(f"{BY_LINK}&table=figures"))
    assert header == ["field", "value", "unit"]
    assert ["solution.volume", figure(client.get(f"{BY_LINK}&field=solution.volume")), "mL"] in lines
    for field, value, _ in lines:
        if value:
            assert figure(client.get(f"{BY_LINK}&field={field}")) == value


@pytest.mark.parametrize(("name", "title", "body"), POSTS, ids=[f"{name} {title}" for name, title, _ in POSTS])
def test_every_table_of_every_example_is_whole(name: str, title: str, body: Any) -> None:
    found = OPERATIONS[name]
    assert found.tables
    reply = APP.post(found.path, json=body).json
    assert reply is not None
    for table in found.tables:
        lines = lines_of(as_csv(found.tables[table], reply))
        assert table == "figures" or len(lines) - 1 == count(reply, table), table
        assert len(set(lines[0])) == len(lines[0])
    main = rows(APP.post(f"{found.path}?format=csv", json=body))
    assert main == lines_of(as_csv(found.tables[next(iter(found.tables))], reply))
    assert len(main) > 1


def count(found: Any, table: str) -> int:
    """How many items a list has, over all the lists it is in."""
    here = [found]
    for step in table.split("."):
        there = [item.get(step) for item in here if isinstance(item, dict)]
        here = [inner for item in there for inner in (item if isinstance(item, list) else [item]) if inner is not None]
    return len(here)


def test_every_table_of_the_reference_is_whole(client: FlaskClient) -> None:
    assert len(rows(client.get("/v1/fats?format=csv"))) == 59
    assert rows(client.get("/v1/fats/olive?format=csv"))[0][0] == "notation"
    assert len(rows(client.get("/v1/cautions?format=csv"))) > 20
    assert client.get("/v1/fats?format=csv&kind=wax_ester").data.count(b"\r\n") == 4


@pytest.mark.parametrize("begin", ["=", "+", "-", "@", "＝", "＠", "=1+", "-1+", "+1"])
def test_a_name_never_begins_a_formula(client: FlaskClient, begin: str) -> None:
    name = f'{begin}HYPERLINK("x",1)'
    body = {**changed(LYE, "/fats/1", {"name": name, "mass": 300, "lot": f"{begin}1,2",
                                       "saponification_value": {"min": 250, "max": 255}})}
    for table in ("weigh_list", "fats", "meta.certificates", "superfat.inputs"):
        lines = rows(client.post(f"/v1/lye?table={table}", json=body))
        for cell in (cell for line in lines for cell in line):
            assert not cell.startswith((*STARTS, "＝", "＠")), cell
    assert f"'{name}" in client.post("/v1/lye?table=fats", json=body).text.replace('""', '"')


def test_a_hyperlink_as_a_name_never_begins_a_cell(client: FlaskClient) -> None:
    body = changed(changed(BATCH, "/portions", [{"name": FORMULA, "share_pct": 100, "additions": [
        {"name": "@SUM(1)", "kind": "clay", "dose": 5, "basis": "g_per_kg_batter", "lot": "=1"}]}]),
        "/recipe/fats/0/lot", "+cmd|' /C calc'!A0")
    seen = 0
    for table in OPERATIONS["batches"].tables:
        for line in rows(client.post(f"/v1/batches?table={table}", json=body)):
            for cell in line:
                seen += cell[1:] in (FORMULA, "@SUM(1)", "=1", "+cmd|' /C calc'!A0")
                assert not cell.startswith(STARTS) or cell.lstrip("-").replace(".", "").isdigit(), cell
    assert seen > 3


@given(start=st.sampled_from(["", *STARTS, "\n"]), rest=st.text(st.characters(codec="utf-8"), max_size=12))
def test_no_cell_begins_a_formula_unless_it_is_a_number(start: str, rest: str) -> None:
    text = start + rest
    cell = safe_cell(text)
    assert cell in (text, f"'{text}")
    if cell.startswith((*STARTS, "\n")):
        assert cell[0] == "-"
        float(cell)


@pytest.mark.parametrize(("text", "cell"), [
    ("-3.2", "-3.2"), ("-3", "-3"), ("-", "'-"), ("-3-2", "'-3-2"), ("-3.", "'-3."), ("+3", "'+3"), ("=3", "'=3"),
    ("-٣", "'-٣"), ("a=3", "a=3"), ("", ""), ("-1\n", "'-1\n")])
def test_a_number_below_zero_stays_a_number(text: str, cell: str) -> None:
    assert safe_cell(text) == cell
