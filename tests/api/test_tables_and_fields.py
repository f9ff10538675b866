"""One figure of a reply as text, and its lists as CSV."""

from __future__ import annotations

import csv
import io
from typing import Any

import pytest
from flask.testing import FlaskClient
from hypothesis import given
from hypothesis import strategies as st
from kettlewright.api.document.openapi import examples_of
from kettlewright.api.door.operations import OPERATIONS
from kettlewright.api.door.picking import plain_text
from kettlewright.api.door.tables import as_csv, safe_cell
from kettlewright.app import create_app
from werkzeug.test import TestResponse

from api.bodies import BATCH, CUTS, LYE, PORTIONS, changed
from api.test_bad_input import faults

APP = create_app().test_client()
FORMULA = '=HYPERLINK("http://soap.example";"olive")'
BY_LINK = "/v1/lye?fat=olive,mass:700&fat=coconut,mass:300&superfat_pct=5&alkali=NaOH,purity:98&water=water_to_alkali:2"
POSTS = [(name, told["title"], told["body"]) for name, found in OPERATIONS.items() if found.method == "POST"
         for told in examples_of(name)]
STARTS = ("=", "+", "-", "@", "\t", "\r")


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return APP


def rows(reply: TestResponse) -> list[list[str]]:
    """The lines of a CSV that was asked."""
    assert reply.status_code == 200, reply.text
    assert reply.content_type == "text/csv; charset=utf-8; header=present"
    return lines_of(reply.data.decode("utf-8"))


def lines_of(text: str) -> list[list[str]]:
    """The lines of a CSV, its form checked as RFC 4180 has it."""
    assert not text.startswith("\ufeff")
    assert text.endswith("\r\n")
    assert "\n" not in text.replace("\r\n", "")
    found = list(csv.reader(io.StringIO(text, newline=""), strict=True))
    assert {len(row) for row in found} == {len(found[0])}
    return found


def figure(reply: TestResponse) -> str:
    assert reply.status_code == 200, reply.text
    assert reply.content_type == "text/plain; charset=utf-8"
    return reply.text


@pytest.mark.parametrize(("field", "told"), [
    ("alkalis.NaOH.weigh", lambda reply: reply["alkalis"][0]["weigh"]),
    ("alkalis.0.weigh", lambda reply: reply["alkalis"][0]["weigh"]),
    ("fats.coconut.weigh", lambda reply: reply["fats"][1]["weigh"]),
    ("fats.coconut oil.weigh", lambda reply: reply["fats"][1]["weigh"]),
    ("weigh_list.olive.weigh", lambda reply: 700),
    ("superfat.likely_pct.min", lambda reply: reply["superfat"]["likely_pct"]["min"])])
def test_a_field_is_one_bare_number(client: FlaskClient, field: str, told: Any) -> None:
    reply = client.post("/v1/lye", json=LYE).json
    assert reply is not None
    for got in (client.get(f"{BY_LINK}&field={field}"), client.get(f"{BY_LINK}&format=text&field={field}"),
                client.post(f"/v1/lye?format=text&field={field}", json=LYE)):
        assert float(figure(got)) == told(reply)
        assert figure(got).strip() == figure(got)


def test_texts_and_yes_or_no_are_fields_too(client: FlaskClient) -> None:
    assert figure(client.post("/v1/lye?field=alkalis.0.name", json=LYE)) == "sodium hydroxide"
    assert figure(client.post("/v1/cure?field=curve.course.0.day", json=examples_of("cure")[0]["body"])) == "0.0"
    assert figure(client.post("/v1/cure?field=dates.pour", json=examples_of("cure")[2]["body"])) == "2027-02-02"
    assert figure(client.get("/v1/fats/olive?field=density.assumed")) in ("true", "false")
    assert figure(client.get("/version?field=version")) == "0.2.0"


@pytest.mark.parametrize(("field", "words"), [
    ("alkalis.NaOh.weigh", 'Did you mean "NaOH"?'), ("alkali.NaOH.weigh", 'Did you mean "alkalis"?'),
    ("alkalis.NaOH.wiegh", 'Did you mean "weigh"?'), ("alkalis", "add one of its parts to the path: NaOH"),
    ("superfat", "asked_pct, achieved_pct"), ("alkalis.1.weigh", "it has 1, counted from 0"),
    ("alkalis.-1.weigh", "no \"-1\""), ("fats.0.mass.value", "a single figure"), ("alkalis.0.lot", "(null)"),
    ("alkalis..weigh", 'no "" in'), ("acids.citric.weigh", "nothing in this reply"),
    ("solution.peak_temperature.max", "not in this response"), ("mixing.batter", 'no "mixing" in this reply'),
    ("alkalis." + "9" * 50, "no item")])
def test_a_field_that_is_not_there_says_what_is(client: FlaskClient, field: str, words: str) -> None:
    assert words in faults(client.post(f"/v1/lye?format=text&field={field}", json=LYE))["/field"]
    assert words in faults(client.get(f"{BY_LINK}&field={field}"))["/field"]


def test_an_item_that_appears_twice_is_identified_by_number(client: FlaskClient) -> None:
    body = changed(LYE, "/fats", [{"fat": "olive", "mass": 700, "lot": "L-7"},
                                  {"fat": "olive", "mass": 300, "lot": "L-8"}])
    assert "2 times in \"fats\"; give its number instead: 0, 1" in faults(
        client.post("/v1/lye?field=fats.olive.weigh", json=body))["/field"]
    assert figure(client.post("/v1/lye?field=fats.1.weigh", json=body)) == "300.0"


def test_digits_are_always_a_number_of_the_list(client: FlaskClient) -> None:
    body = changed(PORTIONS, "/portions", [{"name": "1", "share_pct": 30}, {"name": "0", "share_pct": 70}])
    assert figure(client.post("/v1/portions?field=portions.0.name", json=body)) == "1"


@pytest.mark.parametrize(("query", "pointer", "words"), [
    ("format=text", "/field", "is needed for text"), ("format=text&field=", "/field", "is needed for text"),
    ("format=json&field=water.weigh", "/field", "belongs to format=text"),
    ("format=csv&field=water.weigh", "/field", "belongs to format=text"),
    ("table=fats&field=water.weigh", "/table", "belongs to format=csv"),
    ("format=json&table=fats", "/table", "belongs to format=csv"),
    ("format=xml", "/format", "is not one of json, html, csv, text"),
    ("format=csv&table=fatz", "/table", 'Did you mean "fats"? Its tables: weigh_list, fats, acids'),
    ("field=a&field=b", "/field", "appears twice"), ("format=csv&format=csv", "/format", "appears twice"),
    ("fields=water.weigh", "/fields", "")])
def test_forms_that_do_not_go_together_are_refused(client: FlaskClient, query: str, pointer: str, words: str) -> None:
    assert words in faults(client.post(f"/v1/lye?{query}", json=LYE))[pointer]
    assert pointer in faults(client.get(f"{BY_LINK}&{query}"))


def test_accept_can_ask_for_a_table_but_a_text_needs_its_field(client: FlaskClient) -> None:
    assert rows(client.get(BY_LINK, headers={"Accept": "text/csv"}))[0][3] == "key"
    reply = client.get(BY_LINK, headers={"Accept": "text/plain"})
    assert "says which figure" in faults(reply)["/field"]
    assert client.get(BY_LINK, headers={"Accept": "text/html,*/*;q=0.8"}).mimetype == "text/html"
    assert client.get("/v1/fats", headers={"Accept": "text/html,*/*;q=0.8"}).mimetype == "application/json"
    assert client.get(BY_LINK, headers={"Accept": "image/png"}).status_code == 406
    assert client.get("/healthz?format=csv").status_code == 422


@given(number=st.floats(allow_nan=False, allow_infinity=False))
def test_a_number_is_written_without_an_exponent_and_reads_back(number: float) -> None:
    text = plain_text(number)
    assert "e" not in text.lower()
    assert float(text) == number


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
    """How many items a list has, over all the lists it stands in."""
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
