"""Every row of a weigh list, with what its bottle holds, is on the sheet, in the table and in the client's result; and
what a batch is said to cost is what is bought for it, in every language."""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from dataclasses import asdict
from html.parser import HTMLParser
from typing import Any

import pytest
from flask.testing import FlaskClient
from hypothesis import HealthCheck, given, settings
from kettlewright_client.reading import read
from kettlewright_client.results import Batch

from api.row_bodies import EVERYTHING, WHOLE, batches, in_ounces

HOW = {"en": {}, "de": {"locale": "de"}, "oz": {}}
ON_TOP = {"en": {"dusting": "(sift on top)", "spray": "(spray on top)"},
          "de": {"dusting": "(obenauf sieben)", "spray": "(obenauf sprühen)"}}
DILUTED = {"en": ", diluted", "de": ", verdünnt"}
IDENTITY = ("where", "portion", "kind", "key", "lot")


def body_of(name: str, how: str) -> dict[str, Any]:
    return in_ounces(WHOLE[name]) if how == "oz" else {**WHOLE[name], **HOW[how]}


def sent(client: FlaskClient, path: str, body: dict[str, Any]) -> dict[str, Any]:
    reply = client.post(path, json=body)
    assert reply.status_code == 200, reply.text
    assert reply.json is not None
    return dict(reply.json)


class Lines(HTMLParser):
    """The lines of all tables of a page: the texts of their cells, and the heading of the vessel they are under."""

    def __init__(self) -> None:
        super().__init__()
        self.lines: list[tuple[str, list[str]]] = []
        self.vessel = ""
        self._cells: list[str] | None = None
        self._heads = self._ticked = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "tr":
            self._cells, self._heads, self._ticked = [], ("class", "vessel") in attrs, False
        elif tag == "td" and self._cells is not None:
            self._cells.append("")
            self._ticked |= ("class", "tick") in attrs

    def handle_data(self, data: str) -> None:
        if self._cells:
            self._cells[-1] += data

    def handle_endtag(self, tag: str) -> None:
        if tag == "tr" and self._cells is not None:
            cells = [" ".join(cell.split()) for cell in self._cells]
            if self._heads:
                self.vessel = cells[0]
            elif self._ticked and cells[1]:  # then: what, lot, mass, room for what was really weighed in each mix
                self.lines.append((self.vessel, cells[1:4]))
            self._cells = None


def lines_of(page: str) -> list[tuple[str, list[str]]]:
    parser = Lines()
    parser.feed(page)
    return parser.lines


def on_paper(plan: dict[str, Any]) -> list[tuple[dict[str, Any], tuple[str, ...]]]:
    """Each row of a plan, and its what, lot and mass as a sheet has to show them.

    Of a dose too little for the scale the mass of its dilution is shown where the others have theirs.
    """
    locale = plan["locale"]

    def on_scale(row: dict[str, Any], mass: float) -> str:
        decimals = len(f"{row['step']:.9f}".rstrip("0").partition(".")[2])
        text = f"{mass:.{decimals}f} {row['unit']}"
        return text.replace(".", ",") if locale == "de" else text

    found = []
    for row in plan["weigh_list"]:
        mass = on_scale(row, row.get("each_mix", row["weigh"]))
        if "take" not in row:
            what, shown = [row["name"], row.get("form")], mass
        else:
            what, shown = [row["name"], mass, row.get("form")], on_scale(row, row["take"]) + DILUTED[locale]
        on_top = "" if row["where"] != "mould" else ON_TOP[locale]["dusting" if row["kind"] == "dusting" else "spray"]
        found.append((row, (" ".join(f"{', '.join(filter(None, what))} {on_top}".split()), row.get("lot", ""), shown)))
    return found


def check_sheet(client: FlaskClient, body: dict[str, Any]) -> None:
    plan = sent(client, "/v1/batches", body)
    reply = client.post("/v1/batches?format=html", json=body)
    assert reply.status_code == 200, reply.text
    lines = lines_of(reply.text)
    wanted = on_paper(plan)
    assert Counter(tuple(cells) for _, cells in lines) == Counter(cells for _, cells in wanted)
    names = {one["key"]: one["name"] for one in plan["portions"]}
    vessels = {tuple(cells): vessel for vessel, cells in lines}
    for row, shown in wanted:
        vessel = vessels[shown]
        if "portion" in row:  # where two rows read alike, the last one was kept
            assert any(name in vessel for name in names.values()), (row, vessel)


@pytest.mark.parametrize("how", HOW)
@pytest.mark.parametrize("name", WHOLE)
def test_every_row_is_on_the_sheet_with_its_form(client: FlaskClient, name: str, how: str) -> None:
    check_sheet(client, body_of(name, how))


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(body=batches())
def test_every_row_of_any_batch_is_on_the_sheet_with_its_form(client: FlaskClient, body: dict[str, Any]) -> None:
    for how in ({}, {"locale": "de"}, {"units": {"mass": "lb", "dose": "oz"}, "residue": {"kept_back": 0.1}}):
        check_sheet(client, {**body, **how})


def test_a_row_is_listed_under_its_vessel_its_jar_or_its_portion(client: FlaskClient) -> None:
    lines = lines_of(client.post("/v1/batches?format=html", json=EVERYTHING).text)
    found = [(vessel, cells[0]) for vessel, cells in lines]
    for vessel, what in [
            ("Jug:", "sodium hydroxide stock, 50 % solution"), ("Jug:", "goat milk, frozen"),
            ("Pot", "stearic acid, 95 % pure"), ("Pot", "red, 20 % in olive oil (virgin, refined)"),
            ("Jar of red in olive oil", "red, dry"), ("Jar of blue in sunflower, own press", "sunflower, own press"),
            ("Set aside first", "plain batter to keep back"), ("1. red", "blue, 12.5 % in sunflower, own press"),
            ("1. red", "red (sift on top)"), ("2. blue", "batter from red"), ("2. blue", "mist (spray on top)"),
            ("3. jug", "fog, 5 % in water (spray on top)"), ("On top of everything", "mist (spray on top)")]:
        assert any(one.startswith(vessel) and cell == what for one, cell in found), (vessel, what, found)


@pytest.mark.parametrize("how", HOW)
@pytest.mark.parametrize("name", WHOLE)
def test_every_row_is_in_the_table_with_its_form(client: FlaskClient, name: str, how: str) -> None:
    body = body_of(name, how)
    rows = sent(client, "/v1/batches", body)["weigh_list"]
    table = list(csv.DictReader(io.StringIO(client.post("/v1/batches?format=csv", json=body).text)))
    assert [(line["where"], line["portion"], line["kind"], line["key"], line["lot"], line["name"], line["form"],
             line["buy"], line["unit"]) for line in table] == [
        (*(row.get(name, "") for name in IDENTITY), row["name"], row.get("form", ""), row.get("buy", ""), row["unit"])
        for row in rows]


@pytest.mark.parametrize("name", WHOLE)
def test_every_row_is_in_the_result_of_the_client_with_its_form(client: FlaskClient, name: str) -> None:
    reply = sent(client, "/v1/batches", WHOLE[name])
    rows = [{field: value for field, value in asdict(row).items() if value is not None}
            for row in read(Batch, reply).weigh_list]
    assert rows == reply["weigh_list"]


def check_rows(client: FlaskClient, body: dict[str, Any]) -> None:
    english, german = (sent(client, "/v1/batches", {**body, "locale": locale})["weigh_list"] for locale in ("en", "de"))
    assert not [one for one, count in Counter(
        tuple(row.get(field) for field in IDENTITY) for row in english).items() if count > 1]
    translated = {"name": "", "form": ""}
    assert [{**row, **translated} for row in english] == [{**row, **translated} for row in german]
    assert [("form" in one, "name" in one) for one in english] == [("form" in one, "name" in one) for one in german]


@pytest.mark.parametrize("name", WHOLE)
def test_rows_are_distinguished_and_are_the_same_in_every_language(client: FlaskClient, name: str) -> None:
    check_rows(client, WHOLE[name])


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(body=batches())
def test_rows_of_any_batch_are_distinguished(client: FlaskClient, body: dict[str, Any]) -> None:
    check_rows(client, body)


def check_bought(client: FlaskClient, body: dict[str, Any]) -> None:
    """What the cost counts, what the rows say and what is bought for them, by key, in grams or the requested unit."""
    plain = {name: value for name, value in body.items()
             if name not in ("prices", "label", "dates", "cut", "batch_number", "compare_to", "locale")}
    rows = sent(client, "/v1/batches", plain)["weigh_list"]
    keys = dict.fromkeys(row["buy"] for row in rows if "buy" in row)
    unit = plain.get("units", {}).get("mass", "g")
    packs = [{"key": key, "price": {"amount": "3.00", "currency": "EUR", "per_mass": 0.5 if unit != "g" else 40}}
             for key in keys]
    cost = sent(client, "/v1/costs", {**plain, "prices": {"ingredients": packs, "bars_count": 10}})["cost"]
    assert cost["missing"] == []
    counted = {line["key"]: line["mass"] for line in cost["ingredients"]}
    assert counted.keys() <= keys.keys()
    for locale in ("en", "de"):
        weigh_list = sent(client, "/v1/batches", {**plain, "locale": locale})["weigh_list"]
        found = sent(client, "/v1/purchases", {
            "locale": locale, "units": plain.get("units", {}), "packs": packs, "batches": [{"weigh_list": weigh_list}]})
        assert found["missing"] == []
        assert {one["key"]: one["needed_mass"] for one in found["ingredients"]} == pytest.approx(counted)


@pytest.mark.parametrize("how", ["en", "oz"])
@pytest.mark.parametrize("name", WHOLE)
def test_what_a_batch_costs_is_what_is_bought_for_it(client: FlaskClient, name: str, how: str) -> None:
    check_bought(client, body_of(name, how))


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(body=batches())
def test_what_any_batch_costs_is_what_is_bought_for_it(client: FlaskClient, body: dict[str, Any]) -> None:
    check_bought(client, body)


def test_what_is_dispersed_is_bought_once_and_what_is_kept_back_not_at_all(client: FlaskClient) -> None:
    """By hand: 5 g/kg of about 1.4 kg of batter, a tenth to spare, are 7.6 g of dye; it is sold in 10 g at 38 EUR."""
    body = {"recipe": {"fats": [{"fat": "olive", "mass": 700}, {"fat": "coconut", "mass": 300}], "superfat_pct": 5,
                       "alkalis": [{"alkali": "NaOH", "stock": {"concentration_pct": 50}}],
                       "water": {"lye_concentration_pct": 33}},
            "mould": {"shape": "box", "length": 250, "width": 80, "depth": 90}, "residue": {"kept_back": 60},
            "portions": [{"name": "only", "share_pct": 100, "additions": [
                {"name": "saffron dye", "kind": "colourant", "dose": 5, "basis": "g_per_kg_batter",
                 "dispersion": {"carrier": "glycerol", "strength_pct": 20}}]}], "locale": "de"}
    rows = sent(client, "/v1/batches", body)["weigh_list"]
    assert [row["name"] for row in rows if row["kind"] == "stock"] == ["Vorratslauge (Natriumhydroxid)"]
    packs = [{"key": key, "price": {"amount": amount, "currency": "EUR", "per_mass": mass}} for key, amount, mass in (
        ("saffron_dye", "38.00", 10), ("NaOH_stock", "3.00", 1000), ("NaOH", "5.00", 1000))]
    found = {one["key"]: one for one in sent(client, "/v1/purchases", {
        "batches": [{"weigh_list": rows}], "packs": packs})["ingredients"]}
    assert found["saffron_dye"]["needed_mass"] == pytest.approx(7.6)
    assert found["saffron_dye"]["cost"]["amount"] == "38.00"
    assert found.keys() == {"water", "NaOH_stock", "olive", "coconut", "saffron_dye", "glycerol"}


def test_no_row_is_called_after_its_form(client: FlaskClient) -> None:
    """A strength that is in the name as well would be read twice."""
    for row in sent(client, "/v1/batches", EVERYTHING)["weigh_list"]:
        assert not re.search(r"\d+ ?%", row["name"]), row


def check_weighed(client: FlaskClient, body: dict[str, Any]) -> None:
    """Every row of the list in the hand can be reported as it was weighed, whatever language it was printed in."""
    plan = {name: value for name, value in body.items() if name != "locale"}
    for locale in ("en", "de"):
        reply = sent(client, "/v1/batches", {**plan, "locale": locale})
        rows = [row for row in reply["weigh_list"] if row["weigh"]]
        found = sent(client, "/v1/batches/actuals", {
            "plan": plan, "identity": reply["identity"], "stage": "poured", "weighed": [
                {"mass": row["weigh"], **{name: row[name] for name in IDENTITY if name in row}} for row in rows]})
        states = {tuple(line.get(name) for name in IDENTITY): line["state"] for line in found["difference"]}
        assert {tuple(row.get(name) for name in IDENTITY) for row in rows} <= states.keys()
        assert {states[tuple(row.get(name) for name in IDENTITY)] for row in rows} == {"as_planned"}


@pytest.mark.parametrize("how", ["en", "oz"])
@pytest.mark.parametrize("name", WHOLE)
def test_every_row_can_be_reported_as_it_was_weighed(client: FlaskClient, name: str, how: str) -> None:
    check_weighed(client, body_of(name, how))


@settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(body=batches())
def test_every_row_of_any_batch_can_be_reported_as_it_was_weighed(client: FlaskClient, body: dict[str, Any]) -> None:
    check_weighed(client, body)
