"""A reply in another language: its texts change, its keys and numbers do not; what is refused is refused in English."""

from __future__ import annotations

import json
import re
import xml.etree.ElementTree as ElementTree
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from catalogues import pairs
from flask.testing import FlaskClient
from hypothesis import given, settings
from hypothesis import strategies as some
from kettlewright.api.document import openapi
from kettlewright.api.door.operations import OPERATIONS
from kettlewright.app import create_app
from kettlewright.recipe.acids import ACIDS
from kettlewright.reference import fats
from kettlewright.said import TableName

from api.bodies import BATCH, LYE, changed
from api.row_bodies import EVERYTHING

BODIES = [*((found.path, example["title"], example["body"]) for found in OPERATIONS.values() if found.method == "POST"
            for example in openapi.examples_of(found.name)), ("/v1/batches", "every kind of row", EVERYTHING)]
NAMED = [f"{path} {title}" for path, title, _ in BODIES]
DEMO = json.loads((Path(__file__).parents[2] / "client" / "examples" / "kiln_dusk.json").read_text(encoding="utf-8"))
HOSTILE = ["<script>alert(1)</script>", "{name}", "{0}{batch:.1f}", "%(name)s %s %d", '"><b>&amp;', "100 % {",
           "x {# %}", "{{ 7*7 }}"]
SPOKEN = {"message", "text", "name", "notes", "form", "doubts", "made_of", "darker_by_of", "steps_outside",
          "carrier_name", "weekday",
          *(f"{day}_weekday" for day in ("pour", "unmould", "cure_until", "pack_from", "release", "day_zero"))}
"""Fields that hold a sentence or a name wherever they are: all that may differ between two languages."""
SPOKEN_THERE = {("labels", "where"), ("limits", "bar"), ("practice", "source"), ("", "locale")}
"""The same only inside this part of a reply (empty: at its top); elsewhere such a field is a key."""
ENGLISH = [re.compile(".+".join(re.escape(part) for part in re.split(r"\{.*?\}", english)))
           for _, _, english, german in pairs()
           if english != german and "%(" not in english and re.search("[a-z]{3}", re.sub(r"\{.*?\}", "", english))]
PAGE_TEXTS = [english.replace("%%", "%") for _, _, english, german in pairs() if english != german
              and "%(" not in english and "{" not in english and english != ", "]


def posted(client: FlaskClient, path: str, body: Any, **more: Any) -> Any:
    reply = client.post(path, json={**body, **more})
    assert reply.status_code == 200, reply.text
    return reply.json


def leaves(value: Any, way: tuple[str | int, ...] = ()) -> Iterator[tuple[tuple[str | int, ...], Any]]:
    children = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else None
    if children is None:
        yield way, value
        return
    for key, child in children:
        yield from leaves(child, (*way, key))


def may_differ(way: tuple[str | int, ...]) -> bool:
    """Whether the value there is for people, and so is said in their language."""
    part, field = ["", *(step for step in way if isinstance(step, str))][-2:]
    return field in SPOKEN or (part, field) in SPOKEN_THERE


@pytest.mark.parametrize(("path", "title", "body"), BODIES, ids=NAMED)
def test_only_texts_for_people_change(client: FlaskClient, path: str, title: str, body: Any) -> None:
    english, german = (dict(leaves(posted(client, path, body, locale=locale))) for locale in ("en", "de"))
    assert list(english) == list(german)
    changed = [way for way in english if english[way] != german[way] and way[0] != "links"]  # an address of its own
    assert not [way for way in changed if not may_differ(way)]
    assert all(isinstance(german[way], str) for way in changed)
    assert german[("locale",)] == "de"


@pytest.mark.parametrize(("path", "title", "body"), BODIES, ids=NAMED)
def test_nothing_of_ours_is_left_in_english(client: FlaskClient, path: str, title: str, body: Any) -> None:
    of_request = {value for _, value in leaves(body) if isinstance(value, str)}
    for way, value in leaves(posted(client, path, body, locale="de")):
        for_people = isinstance(value, str) and may_differ(way)
        if for_people and value not in of_request and way[:2] != ("meta", "certificates"):
            assert not [one.pattern for one in ENGLISH if one.fullmatch(value)], (way, value)


@pytest.mark.parametrize(("path", "title", "body"), BODIES, ids=NAMED)
def test_fats_and_acids_of_the_tables_have_german_names(client: FlaskClient, path: str, title: str, body: Any) -> None:
    own = json.dumps(body)  # what the request calls something is not translated
    english = [str(name) for name in (*(fat.name for fat in fats().values()), *(acid.name for acid in ACIDS.values()))
               if isinstance(name, TableName) and "de" in name.others and str(name) not in own]
    reply = posted(client, path, body, locale="de")
    for way, text in leaves({key: part for key, part in reply.items() if key != "meta"}):
        if isinstance(text, str) and may_differ(way):
            assert not [name for name in english if re.search(rf"(?<!\w){re.escape(name)}(?!\w)", text)], (way, text)


@pytest.mark.parametrize(("path", "title", "body"), BODIES, ids=NAMED)
def test_english_is_the_default_language(client: FlaskClient, path: str, title: str, body: Any) -> None:
    bare, in_english = client.post(path, json=body), client.post(path, json={**body, "locale": "en"})
    if "links" not in json.loads(bare.data):  # an address that holds the language is another address
        assert bare.data == in_english.data
    assert {**json.loads(bare.data), "links": None} == {**json.loads(in_english.data), "links": None}
    assert json.loads(bare.data)["locale"] == "en"


def test_cautions_are_german_with_german_numbers(client: FlaskClient) -> None:
    body = {**LYE, "temperatures": {"water": 20}, "superfat_pct": 1}
    messages = {one["key"]: one["message"] for one in posted(client, "/v1/lye", body, locale="de")["cautions"]}
    english = {one["key"]: one["message"] for one in posted(client, "/v1/lye", body)["cautions"]}
    assert messages.keys() == english.keys()
    assert re.match(r"Die Lauge kann \d+ bis \d+ °C erreichen", messages["lye-hot"])
    # the same figures, sign for sign
    for key, message in messages.items():
        assert re.findall(r"\d+,\d+", message) == [one.replace(".", ",") for one in
                                                   re.findall(r"\d+\.\d+", english[key])], key
    assert re.search(r"zwischen -?\d+,\d und \d+,\d %", messages["superfat-may-be-negative"])
    assert " stammen " not in english["superfat-may-be-negative"]


def test_texts_for_people_are_german_in_the_superfat(client: FlaskClient) -> None:
    body = {**{key: value for key, value in LYE.items() if key != "superfat_pct"}, "superfat_at_least_pct": 2}
    found = posted(client, "/v1/lye", body, locale="de")
    assert "der Streuung" in found["superfat"]["dominant"]["message"]
    assert re.search(r"im Mittel \d+,\d %", found["superfat"]["floor_cost"]["message"])
    assert [row["name"] for row in found["weigh_list"]][:2] == ["Wasser", "Natriumhydroxid"]
    assert [row["key"] for row in found["weigh_list"]][:2] == ["water", "NaOH"]


@pytest.mark.parametrize("locale", ["fr", "DE", "de_DE", "", 3, None, ["de"], {"de": 1}])
def test_a_language_that_is_not_known_is_refused_with_those_that_are(client: FlaskClient, locale: Any) -> None:
    reply = client.post("/v1/lye", json={**LYE, "locale": locale})
    assert reply.status_code == 422
    errors = {one["pointer"]: one["detail"] for one in reply.json["errors"]}
    assert "/locale" in errors
    if isinstance(locale, str):
        assert "it is one of en, de." in errors["/locale"]


def test_problems_stay_english(client: FlaskClient) -> None:
    body = changed(LYE, "/fats/0/mass", -1)
    english, german = (client.post("/v1/lye", json={**body, "locale": locale}) for locale in ("en", "de"))
    assert english.status_code == german.status_code == 422
    assert english.data == german.data
    no_view = client.post("/v1/cure?format=ics", json={"name": "x", "weighings": [
        {"day": 0, "mass": 110}, {"day": 7, "mass": 104}, {"day": 21, "mass": 99}], "locale": "de"})
    assert no_view.status_code == 422
    assert "A calendar needs" in no_view.text


def test_the_cautions_come_in_the_requested_language(client: FlaskClient) -> None:
    english, german = client.get("/v1/cautions"), client.get("/v1/cautions?locale=de")
    assert german.json is not None
    assert english.json is not None
    assert (english.json["locale"], german.json["locale"]) == ("en", "de")
    pairs = list(zip(english.json["cautions"], german.json["cautions"], strict=True))
    assert all(one["message"] != other["message"] for one, other in pairs)
    assert all({**one, "message": ""} == {**other, "message": ""} for one, other in pairs)
    assert english.headers["ETag"] != german.headers["ETag"]
    refused = client.get("/v1/cautions?locale=fr")
    assert refused.status_code == 422
    assert "it is one of en, de." in refused.text


def test_one_language_does_not_leak_into_the_next_request(client: FlaskClient) -> None:
    before = client.post("/v1/batches", json=DEMO).data
    client.post("/v1/batches?format=html", json={**DEMO, "locale": "de"})
    client.post("/v1/batches", json={**DEMO, "locale": "de", "mould": {}})
    assert client.post("/v1/batches", json=DEMO).data == before


def test_a_plan_is_the_same_plan_in_every_language(client: FlaskClient) -> None:
    assert posted(client, "/v1/batches", DEMO, locale="de")["identity"] == posted(client, "/v1/batches", DEMO)[
        "identity"]


def page(client: FlaskClient, body: Any, form: str = "html") -> str:
    reply = client.post(f"/v1/batches?format={form}", json=body)
    assert reply.status_code == 200, reply.text
    return reply.text


def test_the_german_sheet_has_german_words_and_decimal_commas(client: FlaskClient) -> None:
    html = page(client, {**DEMO, "locale": "de"})
    plan = posted(client, "/v1/batches", DEMO, locale="de")
    assert '<html lang="de">' in html
    assert "Krug: das Alkali langsam ins Wasser geben" in html
    assert "Niemals Essig auf eine Laugenverätzung" in html
    assert "Die Lauge kann" in html
    text = " ".join(re.sub(r"<(style|svg).*?</\1>|<[^>]*>", " ", html, flags=re.DOTALL).split())
    for row in plan["weigh_list"]:
        digits = f"{row['weigh']:.{1 if row['step'] == 0.1 else 0}f}".replace(".", ",")
        assert f" {digits} {row['unit']}" in text, row
        assert ("Seifenleim" if row["kind"] == "batter" else row["name"]) in text  # under the name of its bucket
    for number, portion in enumerate(plan["portions"], 1):
        assert f"{number}. {portion['name']}" in text
        assert f"gießen bis {portion['layer']['top']:.1f} mm".replace(".", ",") in text
    assert not re.findall(r"\d\.\d", text.split("Kettlewright")[0])  # the sources after it name editions of laws
    assert "%%" not in html
    assert "%(" not in html


def test_the_english_sheet_is_english(client: FlaskClient) -> None:
    html = page(client, DEMO)
    assert '<html lang="en">' in html
    assert "Jug: add the alkali to the water, slowly" in html
    assert "pour to 14.2 mm" in html
    assert not re.search("[äöüß]", html)


def test_days_and_amounts_of_money_on_the_german_sheet(client: FlaskClient) -> None:
    [body] = [body for path, _, body in BODIES if path == "/v1/batches" and "prices" in body]
    plan, html = posted(client, "/v1/batches", body, locale="de"), page(client, {**body, "locale": "de"})
    year, month, day = plan["dates"]["release"].split("-")
    assert f"Verkauf ab <b>Sa {day}.{month}.{year}</b>" in html  # 20 March 2027 is a Saturday
    assert plan["dates"]["release"] not in html
    amount = plan["cost"]["bar"]["total"]["amount"]
    assert f">{amount.replace('.', ',')}<" in html
    assert f">{amount}<" not in html


@pytest.mark.parametrize(("path", "title", "body"), BODIES, ids=NAMED)
def test_every_other_form_comes_in_german(client: FlaskClient, path: str, title: str, body: Any) -> None:
    [found] = [one for one in OPERATIONS.values() if one.path == path and one.method == "POST"]
    for form in found.forms.keys() - {"json", "csv"}:
        english, german = (client.post(path, json={**body, "locale": locale}, headers={"Accept": found.forms[form]})
                           for locale in ("en", "de"))
        assert english.status_code == german.status_code
        if german.status_code == 200:
            assert english.data != german.data, form
            # other pages show names and words of the contract
            of_contract = form == "html" and path not in ("/v1/batches", "/v1/lye")
            left = [text for text in PAGE_TEXTS if f">{text}<" in german.text]
            assert of_contract or not left, form
            if form == "html" and not of_contract:
                assert len([text for text in PAGE_TEXTS if f">{text}<" in english.text]) > 10
            if form == "svg":
                ElementTree.fromstring(german.text)


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_names_are_words_and_nothing_else(client: FlaskClient, name: str) -> None:
    addition = {**DEMO["portions"][0]["additions"][0], "name": name, "dose": 0.01}
    first = {**DEMO["portions"][0], "name": name, "dusting": {"name": name, "coverage": 5}, "additions": [addition]}
    body = {**DEMO, "locale": "de", "portions": [first, *DEMO["portions"][1:]], "batch_number": name}
    plan, html = posted(client, "/v1/batches", body), page(client, body)
    assert any(name in one["message"] for one in plan["cautions"])
    assert f"Seifenleim für {name}" in [row["name"] for row in plan["weigh_list"]]
    assert "<script" not in html
    assert "<b>&amp;amp;" not in html
    assert ">49<" not in html
    shown = ElementTree.fromstring(re.search(r"<h1>.*?</p>", html, re.DOTALL)[0].join(("<a>", "</a>")))
    assert name in "".join(shown.itertext())


@settings(max_examples=25, deadline=None)
@given(name=some.text(some.characters(codec="utf-8", categories=("L", "N", "P", "S")), min_size=1, max_size=20).filter(
    lambda text: any(character.isalnum() for character in text) and text.isprintable()),
    mass=some.floats(50, 5000), superfat=some.floats(0, 20), water=some.floats(5, 90))
def test_numbers_are_the_same_whatever_is_requested(name: str, mass: float, superfat: float, water: float) -> None:
    client = create_app().test_client()
    body = {**LYE, "fats": [{"name": name, "saponification_value": {"min": 180, "max": 200}, "mass": mass}],
            "superfat_pct": superfat, "temperatures": {"water": water}}
    replies = [client.post("/v1/lye", json={**body, "locale": locale}) for locale in ("en", "de")]
    assert replies[0].status_code == replies[1].status_code
    english, german = (dict(leaves(reply.json)) for reply in replies)
    assert list(english) == list(german)
    assert {way: value for way, value in english.items() if not isinstance(value, str)} == {
        way: value for way, value in german.items() if not isinstance(value, str)}


def test_every_post_takes_a_language_and_every_answer_names_it() -> None:
    for found in OPERATIONS.values():
        if found.method == "POST":
            assert found.request is not None
            assert "locale" in found.request.load_fields, found.name
            assert "locale" in found.response.dump_fields, found.name
    assert BATCH  # the smallest batch takes it like any other
