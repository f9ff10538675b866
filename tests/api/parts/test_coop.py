"""Requests refer to the co-op's data by key, own values win, replies say what was taken, and identities hold it."""

from __future__ import annotations

import copy
import csv
import io
import json
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest
from api.bodies import BOX, LYE, changed
from api.coop.folders import EXAMPLE, write_folder
from flask.testing import FlaskClient
from kettlewright.app import create_app
from kettlewright.settings import Settings

BY_KEY: dict[str, Any] = {
    **LYE, "fats": [{"fat": "olive oil", "lot": "L-7", "mass": 700}, {"fat": "village_shea", "mass": 300}]}
BY_VALUE: dict[str, Any] = {  # the same, as a maker without a co-op writes it; values copied from the files by hand
    **LYE, "own_fats": [{"key": "village_shea", "name": "shea, invented village press", "density": 0.9,
                         "saponification_value": {"min": 176, "max": 184}}],
    "fats": [{"fat": "olive", "lot": "L-7", "mass": 700, "certificate": {
        "value": 189.4, "tolerance": 0.8, "acid_value": 0.6, "date": "2026-10-01"}},
        {"fat": "village_shea", "mass": 300}]}
SCENT = {"name": "cedar and lavender", "kind": "fragrance", "dose": 2, "basis": "pct_of_fats"}
RED = {"name": "red iron oxide", "kind": "colourant", "dose": 5, "basis": "g_per_kg_batter"}
BATCH: dict[str, Any] = {"recipe": {**{name: part for name, part in BY_KEY.items() if name != "fats"}, "fats": [
    {"fat": "olive", "lot": "L-7", "share_pct": 70}, {"fat": "village_shea", "share_pct": 30}]}, "mould": BOX,
    "additions": [SCENT, RED]}
LABEL = {"market": "EU", "sold_on": "2027-03-20"}

Client = Callable[..., FlaskClient]


@pytest.fixture(scope="module")
def example() -> FlaskClient:
    return create_app(Settings(data=str(EXAMPLE))).test_client()


@pytest.fixture
def with_files(tmp_path: Path) -> Client:
    """Makes a client of a service whose folder has other files."""
    def made(**files: str | None) -> FlaskClient:
        folder = tmp_path / f"data{len(list(tmp_path.iterdir()))}"
        return create_app(Settings(data=str(write_folder(folder, **files)))).test_client()
    return made


def sent(client: FlaskClient, path: str, body: Mapping[str, Any], status: int = 200) -> dict[str, Any]:
    reply = client.post(path, json=body)
    assert reply.status_code == status, reply.text
    found: dict[str, Any] = reply.json
    return found


def taken(reply: Mapping[str, Any]) -> list[tuple[str, str]]:
    return [(one["file"], one["key"]) for one in reply["meta"].get("from_coop", [])]


def figures(reply: Mapping[str, Any]) -> dict[str, Any]:
    """A reply without what names the data: versions, links, pages of text."""
    return {name: part for name, part in reply.items() if name not in ("meta", "links", "identity")}


def pinned(body: Mapping[str, Any], reply: Mapping[str, Any]) -> dict[str, Any]:
    """A body with the values of a reply's `meta.from_coop`, each at its pointer."""
    made: dict[str, Any] = copy.deepcopy(dict(body))
    for one in reply["meta"]["from_coop"]:
        if "pointer" in one:
            list_of_fats = one["pointer"].startswith("/own_fats")
            if list_of_fats:
                made.setdefault("own_fats", [])
                assert one["pointer"] == f"/own_fats/{len(made['own_fats'])}"
            made = changed(made, "/own_fats/-" if list_of_fats else one["pointer"], one["value"])
    return made


@pytest.mark.parametrize("name", ["village_shea", "Shea, invented village press", "shea invented village-press"])
def test_a_fat_is_found_by_key_or_name_and_counts_as_its_values_do(example: FlaskClient, client: FlaskClient,
                                                                   name: str) -> None:
    found = sent(example, "/v1/lye", changed(BY_KEY, "/fats/1/fat", name))
    assert figures(found) == figures(sent(client, "/v1/lye", BY_VALUE))
    assert found["meta"]["coop_data"] == example.get("/version").json["coop_data"]
    assert taken(found) == [("fats", "village_shea"), ("certificates", "olive")]
    assert [one["pointer"] for one in found["meta"]["from_coop"]] == ["/own_fats/0", "/fats/0/certificate"]


@pytest.mark.parametrize("more", [{}, {"locale": "de"}, {"units": {"mass": "oz", "dose": "oz"}},
                                  {"units": {"mass": "lb", "temperature": "degF"}, "locale": "de"}])
def test_key_and_value_give_the_same_in_every_unit_language_and_form(example: FlaskClient, client: FlaskClient,
                                                                     more: dict[str, Any]) -> None:
    by_key, by_value = {**BY_KEY, **more}, {**BY_VALUE, **more}
    for form in ("?format=csv", "?format=csv&table=fats", "?format=text&field=superfat.likely_pct.min"):
        found, wanted = (one.post(f"/v1/lye{form}", json=body) for one, body in (
            (example, by_key), (client, by_value)))
        assert (found.status_code, found.text) == (200, wanted.text)
    sheets = [one.post("/v1/lye?format=html", json=body).text for one, body in ((example, by_key), (client, by_value))]
    assert sheets[0].split("<main>")[1].partition('<p class="small">')[0] == sheets[1].split("<main>")[1].partition(
        "</main>")[0]


LIQUID = {"name": "cream", "mass": 50, "water_pct": 60, "fat_pct": 30, "fat": "village_shea"}
OIL = {**RED, "contains": {"fat_pct": 60, "fat": "village_shea"}}
STIRRED = {**RED, "dispersion": {"carrier": "oil", "strength_pct": 20, "fat": "village_shea"}}
SHARES = [{"fat": "olive", "share_pct": 70}, {"fat": "coconut", "share_pct": 30}]
OTHER = {name: part for name, part in LYE.items() if name != "fats"}
WHERE_FATS_ARE = {
    "liquid": ("/v1/lye", {**LYE, "liquids": [LIQUID]}),
    "scaling": ("/v1/scaling", {"recipe": {**LYE, "fats": [{"fat": "village_shea", "mass": 9}]},
                                "target": {"limiting": {"kind": "fat", "key": "village_shea", "mass": 90}}}),
    "blend": ("/v1/blends", {"fats": [{"fat": "village_shea", "at_least_pct": 5}, {"fat": "olive"}],
                             "objective": {"kind": "least", "fat": "village_shea"}}),
    "batch": ("/v1/batches", {"recipe": {**OTHER, "fats": SHARES}, "mould": BOX, "additions": [OIL]}),
    "bucket": ("/v1/batches", {"recipe": {**OTHER, "fats": SHARES}, "mould": BOX, "portions": [
        {"name": "a", "share_pct": 100, "additions": [STIRRED]}]}),
    "label": ("/v1/labels", {**BATCH, "label": LABEL}),
    "cost": ("/v1/costs", BATCH),
    "portions": ("/v1/portions", {"batter": {"mass": 5000, "density": 1.0, "fats_mass": 3500}, "portions": [
        {"name": "a", "share_pct": 100, "additions": [STIRRED]}]}),
}


@pytest.mark.parametrize("place", WHERE_FATS_ARE)
def test_a_fat_of_the_folder_is_accepted_wherever_a_fat_is(example: FlaskClient, client: FlaskClient,
                                                           place: str) -> None:
    path, body = WHERE_FATS_ARE[place]
    assert ("fats", "village_shea") in taken(sent(example, path, body))
    assert "village_shea" in client.post(path, json=body).get_json()["errors"][0]["detail"]


def test_a_fat_of_the_folder_is_found_by_name_in_needs_and_recipes_rescue(example: FlaskClient) -> None:
    found = sent(example, "/v1/purchases", {"needs": [{"name": "shea, invented village press", "mass": 700}]})
    assert [one["key"] for one in found["ingredients"]] == ["village_shea"]
    plan = sent(example, "/v1/batches", BATCH)
    sent(example, "/v1/batches/actuals", {"plan": BATCH, "identity": plan["identity"], "stage": "fats",
                                          "rescue_with": "Shea, invented village press"})


def test_a_misspelt_key_is_compared_with_the_folder_too(example: FlaskClient) -> None:
    detail = sent(example, "/v1/lye", changed(BY_KEY, "/fats/1/fat", "vilage_shea"), 422)["errors"][0]["detail"]
    assert 'has "village_shea"' in detail


OWN_SHEA = {"key": "village_shea", "saponification_value": {"min": 190, "max": 191}}
WINS = {  # a request's own value: its place, and what is then not taken
    "fat": ("/own_fats", [OWN_SHEA], "fats"),
    "fat by name": ("/own_fats", [{**OWN_SHEA, "key": "mine", "name": "Village shea oil"}], "fats"),
    "certificate": ("/fats/0/certificate", {"value": 188}, "certificates"),
}


@pytest.mark.parametrize("what", WINS)
def test_a_value_of_the_request_wins(example: FlaskClient, what: str) -> None:
    pointer, value, file = WINS[what]
    found = sent(example, "/v1/lye", changed(BY_KEY, pointer, value))
    assert file not in [one for one, _ in taken(found)]


def test_an_acid_value_of_the_request_wins_over_that_of_the_certificate(example: FlaskClient) -> None:
    found = sent(example, "/v1/lye", changed(BY_KEY, "/fats/0/acid_value", 2))
    assert "acid_value" not in found["meta"]["from_coop"][1]["value"]


def test_a_certificate_is_of_one_fat_and_one_lot(example: FlaskClient) -> None:
    for fat in ({"fat": "olive", "mass": 700}, {"fat": "olive", "lot": "L-8", "mass": 700},
                {"fat": "coconut", "lot": "L-7", "mass": 700}):
        assert taken(sent(example, "/v1/lye", {**LYE, "fats": [fat]})) == []
    both = sent(example, "/v1/lye", {**LYE, "fats": [{"fat": "village_shea", "lot": "VS-3", "mass": 700}]})
    assert taken(both) == [("fats", "village_shea"), ("certificates", "village_shea")]
    value = both["saponification_value"]
    assert (value["min"], value["max"]) == (180.2 - 0.5, 180.2 + 0.5)


def test_no_data_no_word_of_them(client: FlaskClient) -> None:
    for reply in (client.get("/version"), client.get("/readyz"), client.post("/v1/lye", json=BY_VALUE)):
        assert "coop" not in reply.text


def test_a_composition_is_taken_by_the_name_of_a_fragrance(example: FlaskClient, client: FlaskClient) -> None:
    body = {**BATCH, "label": LABEL, "additions": [SCENT]}
    found = sent(example, "/v1/labels", body)
    assert ("fragrances", "cedar_and_lavender") in taken(found)
    # 78-70-6 is linalool (ECHA); Regulation (EU) 2023/1545 lists both
    assert {one["name"] for one in found["label"]["labels"][0]["allergens"]} == {"Linalool", "Limonene"}
    by_hand = {**SCENT, "allergens": [{"cas": "78-70-6", "pct": 12}, {"name": "Limonene", "pct": 0.6}]}
    plain = {**body, "recipe": {**OTHER, "fats": SHARES}, "additions": [by_hand]}
    alike = sent(example, "/v1/labels", {**plain, "additions": [SCENT]})
    assert figures(alike) == figures(sent(client, "/v1/labels", plain))
    own = sent(example, "/v1/labels", {**body, "additions": [{**SCENT, "allergens": []}]})
    assert "fragrances" not in [file for file, _ in taken(own)]
    petals = sent(example, "/v1/labels", {**body, "additions": [{**SCENT, "kind": "botanical"}]})
    assert "fragrances" not in [file for file, _ in taken(petals)]


def test_a_composition_is_taken_in_a_bucket_in_german_and_of_a_name_in_capitals(example: FlaskClient) -> None:
    body = {**BATCH, "locale": "de", "label": LABEL, "additions": [], "portions": [
        {"name": "a", "share_pct": 100, "additions": [{**SCENT, "name": "Cedar and Lavender"}]}]}
    assert ("fragrances", "cedar_and_lavender") in taken(sent(example, "/v1/batches", body))


def test_label_names_are_taken_and_own_ones_win(example: FlaskClient) -> None:
    body = {**BATCH, "label": LABEL}
    found = sent(example, "/v1/batches", body)
    named = {one["name"]: one["named_by"] for one in found["label"]["labels"][0]["ingredients"]}
    assert named["Butyrospermum Parkii Butter"] == named["CI 77491"] == "coop"
    assert named["Olea Europaea Fruit Oil"] == "table"
    assert [key for file, key in taken(found) if file == "names"] == ["village_shea", "red iron oxide"]
    [red] = [one for one in found["label"]["labels"][0]["ingredients"] if one["name"] == "CI 77491"]
    assert red["colour_status"] == "stated"
    own = {**LABEL, "names": [{"key": "village_shea", "inci": "Shea of my own"}]}
    mine = sent(example, "/v1/labels", {**BATCH, "label": own})
    named = {one["name"]: one["named_by"] for one in mine["label"]["labels"][0]["ingredients"]}
    assert named["Shea of my own"] == "you"
    # a row of one's own without the soap's name does not hide that of the folder
    soap = sent(example, "/v1/labels", {**BATCH, "label": {**own, "naming": "as_reacted"}})
    named = {one["name"]: one["named_by"] for one in soap["label"]["labels"][0]["ingredients"]}
    assert named["Sodium Shea Butterate"] == "coop"
    german = example.post("/v1/batches", json={**body, "locale": "de"}).text
    assert "Die gemeinsame Liste gibt an" in german


def test_prices_that_are_left_out_are_those_of_the_first_packs(example: FlaskClient) -> None:
    rows = [{"name": "olive oil", "mass": 500}, {"name": "shea, invented village press", "mass": 200},
            {"key": "NaOH", "name": "sodium hydroxide", "mass": 100}]
    found = sent(example, "/v1/costs", {"rows": rows, "prices": {"bars_count": 10}})
    # 34.50 EUR for 5000 g, 11.80 for 1000 g, 5.40 for 1000 g: 3.45 + 2.36 + 0.54 EUR
    assert {one["key"]: one["cost"]["amount"] for one in found["cost"]["ingredients"]} == {
        "olive": "3.4500", "village_shea": "2.3600", "NaOH": "0.5400"}
    assert set(taken(found)) == {("packs", "olive"), ("packs", "village_shea"), ("packs", "NaOH")}
    own = {"key": "olive", "price": {"amount": "10", "currency": "EUR", "per_mass": 1000}}
    mine = sent(example, "/v1/costs", {"rows": rows, "prices": {"bars_count": 10, "ingredients": [own]}})
    assert {one["key"]: one["cost"]["amount"] for one in mine["cost"]["ingredients"]}["olive"] == "5.0000"
    assert ("packs", "olive") not in taken(mine)


def test_prices_are_per_gram_whatever_the_units_of_the_request(example: FlaskClient) -> None:
    # 1 oz is 28.349523125 g (NIST Handbook 44, appendix C)
    ounces = sent(example, "/v1/costs", {"units": {"mass": "oz"}, "prices": {"bars_count": 10}, "rows": [
        {"name": "olive oil", "mass": 500 / 28.349523125}]})
    assert ounces["cost"]["batch"]["total"]["amount"] == "3.4500"
    packs = sent(example, "/v1/purchases", {"units": {"mass": "oz"}, "needs": [
        {"name": "olive oil", "mass": 6000 / 28.349523125}]})
    [olive] = packs["ingredients"]
    assert [(round(one["mass"] * 28.349523125), one["count"]) for one in olive["packs"]] == [(5000, 1), (1000, 1)]


def test_prices_in_another_currency_than_the_requests_are_not_mixed_in(example: FlaskClient) -> None:
    rows = [{"name": "olive oil", "mass": 500}, {"key": "NaOH", "name": "lye", "mass": 100}]
    dollars = {"key": "olive", "price": {"amount": "10", "currency": "USD", "per_mass": 1000}}
    found = sent(example, "/v1/costs", {"rows": rows, "prices": {"bars_count": 10, "ingredients": [dollars]}})
    assert (found["cost"]["currency"], taken(found)) == ("USD", [])
    assert [one["key"] for one in found["cost"]["missing"]] == ["NaOH"]
    pack = {"key": "olive", "price": {"amount": "10", "currency": "USD", "per_mass": 1000}}
    bought = sent(example, "/v1/purchases", {"needs": [{**row, "mass": 10} for row in rows], "packs": [pack]})
    assert [one["key"] for one in bought["missing"]] == ["NaOH"]


def test_packs_that_are_left_out_are_the_folders(example: FlaskClient) -> None:
    needs = [{"name": "olive oil", "mass": 5900}, {"key": "paper_band", "name": "band", "count": 120},
             {"name": "castor oil", "mass": 5}]
    found = sent(example, "/v1/purchases", {"needs": needs})
    # the can and the bottle: 34.50 + 8.40; two packs of 100 bands: 24.00
    assert found["goods"]["amount"] == "66.90"
    assert [one["key"] for one in found["missing"]] == ["castor"]
    assert taken(found) == [("packs", "olive"), ("packs", "paper_band")]
    own = {"key": "olive", "price": {"amount": "1.00", "currency": "EUR", "per_mass": 6000}}
    mine = sent(example, "/v1/purchases", {"needs": needs, "packs": [own]})
    assert (mine["goods"]["amount"], taken(mine)) == ("25.00", [("packs", "paper_band")])


def test_needs_with_too_many_packs_are_refused_in_plain_words(with_files: Client) -> None:
    rows = [f"thing_{one},,{mass},,{mass},EUR,," for one in range(40) for mass in range(1, 21)]
    many = with_files(packs="\n".join([PACKS.splitlines()[0], *rows]))
    needs = [{"key": f"thing_{one}", "name": "x", "mass": 100} for one in range(40)]
    [error] = sent(many, "/v1/purchases", {"needs": needs}, 422)["errors"]
    assert (error["pointer"], error["code"]) == ("/needs", "out_of_range")
    assert "800 packs are sold" in error["detail"]
    assert len(sent(many, "/v1/purchases", {"needs": needs[:2]})["ingredients"]) == 2


def test_of_a_request_with_terms_only_packs_of_those_suppliers_are_taken(example: FlaskClient) -> None:
    needs = [{"name": "olive oil", "mass": 900}, {"name": "coconut oil", "mass": 10}, {"key": "NaOH", "name": "lye",
                                                                                       "mass": 10}]
    terms = [{"name": "invented mill", "shipping": {"amount": "5.00", "currency": "EUR"}}]
    found = sent(example, "/v1/purchases", {"needs": needs, "suppliers": terms})
    assert [one["key"] for one in found["missing"]] == ["NaOH"]
    assert found["shipping"]["amount"] == "5.00"


def test_without_a_folder_prices_and_packs_are_required(client: FlaskClient) -> None:
    for path, body, field in (("/v1/costs", {"rows": [{"name": "olive oil", "mass": 500}]}, "prices"),
                              ("/v1/purchases", {"needs": [{"name": "olive oil", "mass": 500}]}, "packs")):
        assert [one["pointer"] for one in sent(client, path, body, 422)["errors"]] == [f"/{field}"]


PACKS = (EXAMPLE / "packs.csv").read_text(encoding="utf-8")
NEW = {
    "packs": PACKS.replace("34.50", "99.99"),
    "names": (EXAMPLE / "names.csv").read_text(encoding="utf-8").replace("Kaolin", "Kaolin Clay"),
    "fragrances": (EXAMPLE / "fragrances.csv").read_text(encoding="utf-8").replace("0.6", "0.9"),
    "version": "date\n2027-01-02\n",
}
CHANGED = {
    "fats": (EXAMPLE / "fats.csv").read_text(encoding="utf-8").replace("176,184", "177,184"),
    "certificates": (EXAMPLE / "certificates.csv").read_text(encoding="utf-8").replace("189.4", "189.9"),
}
SALE = {**BATCH, "label": LABEL, "prices": {}}


@pytest.mark.parametrize("file", NEW)
def test_an_identity_does_not_depend_on_prices_names_compositions_or_the_digest(
        example: FlaskClient, with_files: Client, file: str) -> None:
    plan = sent(example, "/v1/batches", SALE)
    later = with_files(**{file: NEW[file]})
    again = sent(later, "/v1/batches", SALE)
    assert again["meta"]["coop_data"]["digest"] != plan["meta"]["coop_data"]["digest"]
    assert again["identity"] == plan["identity"]
    if file == "packs":
        assert again["cost"]["batch"]["total"] != plan["cost"]["batch"]["total"]
    sent(later, "/v1/batches/actuals", {"plan": SALE, "identity": plan["identity"], "stage": "fats"})


@pytest.mark.parametrize("file", CHANGED)
def test_a_plan_keeps_the_values_it_was_made_with(example: FlaskClient, with_files: Client, client: FlaskClient,
                                                  file: str) -> None:
    plan = sent(example, "/v1/batches", {**SALE, "resolved": True})
    later = with_files(**{file: CHANGED[file]})
    moved = sent(later, "/v1/batches", {**SALE, "compare_to": plan["resolved"]})
    assert moved["identity"] != plan["identity"]
    assert "The co-op's data are different now." in {one["message"] for one in moved["comparison"]["moved"]}
    refused = sent(later, "/v1/batches/actuals", {"plan": SALE, "identity": plan["identity"], "stage": "fats"}, 422)
    [error] = refused["errors"]
    assert error["pointer"] == "/identity"
    assert "meta.from_coop" in error["detail"]
    # with its values it is the same plan, on any service, by its link too
    kept = pinned(SALE, plan)
    assert sent(later, "/v1/batches", kept)["identity"] == plan["identity"]
    sent(later, "/v1/batches/actuals", {"plan": kept, "identity": plan["identity"], "stage": "fats"})
    by_link = later.get(plan["links"]["self"]).get_json()
    assert by_link["identity"] == plan["identity"]
    assert by_link["weigh_list"] == plan["weigh_list"]
    elsewhere = sent(client, "/v1/batches", {name: part for name, part in kept.items() if name != "prices"})
    assert elsewhere["weigh_list"] == plan["weigh_list"]


def test_a_certificate_that_came_later_leaves_a_batch_in_the_making_alone(with_files: Client) -> None:
    before, after = with_files(certificates=None), with_files()
    body = {"recipe": {**OTHER, "fats": [{"fat": "olive", "lot": "L-7", "share_pct": 100}]}, "mould": BOX}
    plan = sent(before, "/v1/batches", body)
    found = sent(after, "/v1/batches/actuals", {"plan": body, "identity": plan["identity"], "stage": "fats"})
    assert taken(found) == []
    assert found["as_weighed"]["superfat"] == plan["lye"]["superfat"]
    assert ("certificates", "olive") in taken(sent(after, "/v1/batches", body))


def test_a_request_that_names_nothing_of_the_folder_has_the_identity_it_has_without(
        example: FlaskClient, client: FlaskClient) -> None:
    body = {"recipe": {**OTHER, "fats": SHARES}, "mould": BOX}
    assert sent(example, "/v1/batches", body)["identity"] == sent(client, "/v1/batches", body)["identity"]


def test_resolved_says_what_the_folder_gave(example: FlaskClient) -> None:
    body = changed(BATCH, "/recipe/fats/1/density", 0.95)
    lines = {one["what"]: one["rests_on"] for one in sent(example, "/v1/batches", {**body, "resolved": True})[
        "resolved"]["lines"]}
    assert lines["fats.olive.lot_L-7.saponification_value.mid"] == "coop"
    assert lines["fats.olive.lot_L-7.density"] == "table"
    assert lines["fats.village_shea.saponification_value.mid"] == "coop"
    assert lines["fats.village_shea.density"] == "request"


@pytest.mark.parametrize(("locale", "words"), [("en", "Co-op data {} of "), ("de", "Daten der Gemeinschaft {} vom ")])
def test_sheet_record_and_page_name_the_data(example: FlaskClient, locale: str, words: str) -> None:
    digest = example.get("/version").get_json()["coop_data"]["digest"]
    body = {**BATCH, "locale": locale}
    identity = sent(example, "/v1/batches", body)["identity"]
    actuals = {"plan": body, "identity": identity, "stage": "fats", "locale": locale}
    link = f"/v1/lye?fat=village_shea,mass:700&superfat_pct=5&alkali=NaOH&water=water_to_alkali:2&locale={locale}"
    for page in (example.post("/v1/batches?format=html", json=body), example.get(f"{link}&format=html"),
                 example.post("/v1/batches/actuals?format=html", json=actuals)):
        assert page.status_code == 200, page.text
        assert words.format(digest) in page.text.replace("&#39;", "'")
        assert "village_shea" in page.text
    sheet = example.post("/v1/batches?format=html", json=body).text.replace("&#39;", "'")
    listed = {"en": "fats village_shea; certificates olive (lot L-7); fragrances cedar_and_lavender.",
              "de": "Fette village_shea; Zertifikate olive (Charge L-7); Duftstoffe cedar_and_lavender."}
    assert listed[locale] in sheet
    assert "(from the co-op's data)" in sheet
    assert "(given in the request)" not in sheet


def test_a_table_of_what_was_taken(example: FlaskClient) -> None:
    reply = example.post("/v1/batches?format=csv&table=meta.from_coop", json=BATCH)
    rows = list(csv.DictReader(io.StringIO(reply.text)))
    assert [(row["file"], row["key"], row["lot"]) for row in rows][:2] == [
        ("fats", "village_shea", ""), ("certificates", "olive", "L-7")]
    assert json.loads(rows[1]["value"])["value"] == 189.4


def test_errors_stay_at_the_places_of_the_request(example: FlaskClient) -> None:
    wrong = {**BATCH, "recipe": {**BATCH["recipe"], "fats": [{"fat": "village_shea", "lot": 3, "share_pct": 70},
                                                            {"fat": ["olive"], "share_pct": 30}, 7]},
             "own_fats": [{"key": "x"}], "additions": "none"}
    pointers = {one["pointer"] for one in sent(example, "/v1/batches", wrong, 422)["errors"]}
    assert pointers == {"/recipe/fats/0/lot", "/recipe/fats/1/fat", "/recipe/fats/2", "/additions",
                        "/own_fats/0/saponification_value"}
    for body in ({"plan": 3}, {"plan": {"recipe": [], "own_fats": {}}}):
        sent(example, "/v1/batches/actuals", body, 422)
