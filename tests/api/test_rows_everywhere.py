"""Every row of a weigh list, with what its bottle holds, is on the sheet, in the table and in the client's result; and
what a batch is said to cost is what is bought for it, in every language."""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from dataclasses import asdict
from typing import Any

import pytest
from flask.testing import FlaskClient
from html_tree import tree_of
from hypothesis import HealthCheck, given, settings
from kettlewright_client.reading import read
from kettlewright_client.results import Batch

from api.row_bodies import EVERYTHING, WHOLE, batches, in_ounces

HOW = {"en": {}, "de": {"locale": "de"}, "oz": {}}
BOTTLE_KINDS = ("addition", "dispersion", "dusting", "spray")
WORDS = {
    "en": {"dusting": "(sift on top)", "spray": "(spray on top)", "diluted": ", diluted", "batter": "batter",
           "pot": "pot", "jug": "B Jug: add the alkali to the water, slowly", "vessel": "C Pot",
           "jug of each mix": "Jug of each mix: add the alkali to the water, slowly",
           "pot of each mix": "Pot of each mix",
           "aside": "Set aside first, for a test or a repair"},
    "de": {"dusting": "(obenauf sieben)", "spray": "(obenauf sprühen)", "diluted": ", verdünnt", "batter": "Seifenleim",
           "pot": "Topf", "jug": "B Krug: das Alkali langsam ins Wasser geben", "vessel": "C Topf",
           "jug of each mix": "Krug je Teilansatz: das Alkali langsam ins Wasser geben",
           "pot of each mix": "Topf je Teilansatz",
           "aside": "Zuerst beiseitestellen, für einen Test oder eine Ausbesserung"}}
IDENTITY = ("where", "portion", "kind", "key", "lot")


def body_of(name: str, how: str) -> dict[str, Any]:
    return in_ounces(WHOLE[name]) if how == "oz" else {**WHOLE[name], **HOW[how]}


def sent(client: FlaskClient, path: str, body: dict[str, Any]) -> dict[str, Any]:
    reply = client.post(path, json=body)
    assert reply.status_code == 200, reply.text
    assert reply.json is not None
    return dict(reply.json)


def on_scale(row: dict[str, Any], mass: float, locale: str) -> str:
    decimals = len(f"{row['step']:.9f}".rstrip("0").partition(".")[2])
    shown = f"{mass:.{decimals}f} {row['unit']}"
    return shown.replace(".", ",") if locale == "de" else shown


def weighings(page: str) -> Counter[tuple[str, ...]]:
    """Everything a sheet says to weigh: its place, what it is, its lot, and its mass.

    The place is the section of a table, the jar, the vessel a cup is for, or the name of a bucket.
    """
    found: Counter[tuple[str, ...]] = Counter()
    place = ""
    for node in tree_of(page).walk():
        if node.tag == "h2" or (node.tag == "tr" and "vessel" in node.classes):
            place = node.text()
        elif node.tag == "tr" and node.find("tick"):
            _, what, lot, mass, *_ = [cell.text() for cell in node.children if cell.tag == "td"]
            if not node.find("from-cup"):
                found[place, what, lot, mass] += 1
        elif "bottle" in node.classes:
            what, lot = node.find("stuff")[0].text(), node.find("lot")[0].text()
            for number, cup in enumerate(node.find("cup")):
                label, mass = cup.find("for")[0].text(), cup.find("dose")[0].text()
                if "in-jar" in cup.classes:  # the lot is that of the dye; then comes what it is stirred into
                    found["jar", label, "" if number else lot, mass] += 1
                else:  # a form that not all cups of the bottle have is at its cup
                    whose = cup.find("whose")[0].text()
                    found[f"cup for {whose}", what + label.removeprefix(whose), lot, mass] += 1
        elif "bucket" in node.classes:
            whose = next(one for one in node.walk() if one.tag == "h3").text().partition(". ")[2]
            for line in node.find("into")[0].children:
                if line.find("weigh"):
                    found[f"bucket {whose}", line.find("for")[0].text(), "", line.find("weigh")[0].text()] += 1
    return found


def on_paper(plan: dict[str, Any]) -> Counter[tuple[str, ...]]:
    """What a sheet has to say of each row of a plan, as in `weighings`.

    Of a dose too little for the scale the mass of its dilution is where the others have theirs.
    """
    locale, words = plan["locale"], WORDS[plan["locale"]]
    names = {one["key"]: one["name"] for one in plan["portions"]}
    alone = len(names) == 1
    mixes = plan["mixes"]["count"] if "mixes" in plan else 1

    found: Counter[tuple[str, ...]] = Counter()
    for row in plan["weigh_list"]:
        if row["where"] == "jug" and not row["weigh"]:
            continue  # water, where the stock or the ice holds all of it
        what, lot = ", ".join(filter(None, [row["name"], row.get("form")])), row.get("lot", "")
        mass = on_scale(row, row.get("each_mix", row["weigh"]), locale)
        on_top = "" if row["where"] != "mould" else words["dusting" if row["kind"] == "dusting" else "spray"]
        if row["kind"] in BOTTLE_KINDS and row["where"] != "jar":
            whose = words["pot"] if "portion" not in row else names[row["portion"]]
            mass = mass if "take" not in row else on_scale(row, row["take"], locale) + words["diluted"]
            times = f"{mixes} × " if mixes > 1 and "each_mix" in row else ""
            found[f"cup for {whose}", f"{what} {on_top}".strip(), lot, times + mass] += 1
        elif row["where"] == "bucket":
            own = row["key"] == row["portion"]
            name = "" if alone else words["batter"] if own else row["name"]
            found[f"bucket {names[row['portion']]}" if not alone else "bucket ", name, "", mass] += 1
        else:
            place = row["where"] if row["where"] not in ("jug", "pot") or mixes == 1 else f"{row['where']} of each mix"
            found[words["vessel"] if place == "pot" else words.get(place, place), what, lot, mass] += 1
    return found


def uses(page: str) -> Counter[tuple[str, str]]:
    """What a sheet says to stir into the pot and the buckets or to put on top of them, out of which cup: name, mass."""
    found: Counter[tuple[str, str]] = Counter()
    for node in tree_of(page).walk():
        if node.tag == "tr" and node.find("from-cup"):
            found[node.find("name")[0].text(), node.find("weigh")[0].text()] += 1
        elif "from-cup" in node.classes and node.tag == "p":
            found[node.find("name")[0].text(), node.find("dose")[0].text()] += 1
    return found


def check_sheet(client: FlaskClient, body: dict[str, Any]) -> None:
    plan = sent(client, "/v1/batches", body)
    reply = client.post("/v1/batches?format=html", json=body)
    assert reply.status_code == 200, reply.text
    assert weighings(reply.text) == on_paper(plan)
    stirred = Counter()
    for row in plan["weigh_list"]:
        if row["kind"] in BOTTLE_KINDS and row["where"] != "jar":
            mass = row.get("take", row.get("each_mix", row["weigh"]))
            stirred[row["name"], on_scale(row, mass, plan["locale"])
                    + (WORDS[plan["locale"]]["diluted"] if "take" in row else "")] += 1
    assert uses(reply.text) == stirred


@pytest.mark.parametrize("how", HOW)
@pytest.mark.parametrize("name", WHOLE)
def test_every_row_is_on_the_sheet_with_its_form(client: FlaskClient, name: str, how: str) -> None:
    check_sheet(client, body_of(name, how))


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(body=batches())
def test_every_row_of_any_batch_is_on_the_sheet_with_its_form(client: FlaskClient, body: dict[str, Any]) -> None:
    for how in ({}, {"locale": "de"}, {"units": {"mass": "lb", "dose": "oz"}, "residue": {"kept_back": 0.1}}):
        check_sheet(client, {**body, **how})


def test_a_row_is_under_its_vessel_its_jar_or_its_portion(client: FlaskClient) -> None:
    page = client.post("/v1/batches?format=html", json=EVERYTHING).text
    found = [(place, what) for place, what, _, _ in weighings(page)]
    for place, what in [
            ("B Jug:", "sodium hydroxide stock, 50 % solution"), ("B Jug:", "goat milk, frozen"),
            ("C Pot", "stearic acid, 95 % pure"), ("cup for pot", "red, 20 % in olive oil (virgin, refined)"),
            ("jar", "red, dry"), ("jar", "sunflower, own press"), ("Set aside first", "plain batter to keep back"),
            ("cup for red", "blue, 12.5 % in sunflower, own press"), ("cup for red", "red (sift on top)"),
            ("bucket blue", "batter from red"), ("cup for blue", "mist (spray on top)"),
            ("cup for jug", "fog, 5 % in water (spray on top)"), ("cup for pot", "mist (spray on top)")]:
        assert any(one.startswith(place) and name == what for one, name in found), (place, what, found)


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
