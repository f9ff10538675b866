"""The batch sheet: everything is on it, once, and nothing else."""

from __future__ import annotations

import base64
import hashlib
import re
from html.parser import HTMLParser
from importlib import resources
from typing import Any

import pytest
from flask.testing import FlaskClient
from html_tree import tree_of
from icalendar import Calendar
from kettlewright.api.document.openapi import examples_of
from kettlewright.views.figures import on_scale
from pages.shown import SHOWN
from views.on_paper import DEMO, SVG, bodies, picture_of, sheet

HOSTILE = ["<script>alert(1)</script>", "x" * 200, 'a"b\'c&d', "\u05e9\u05dc\u05d5\u05dd", "red ]]> 5"]


class Tags(HTMLParser):
    """Collects tags, attributes and texts."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str | None]] = []
        self.texts: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += attrs

    def handle_data(self, data: str) -> None:
        self.texts.append(data)


def parsed(html: str) -> Tags:
    parser = Tags()
    parser.feed(html)
    return parser


def test_every_weighing_is_on_the_sheet(client: FlaskClient) -> None:
    plan = client.post("/v1/batches", json=DEMO).json
    assert plan is not None
    text = " ".join(" ".join(parsed(sheet(client, DEMO)).texts).split())
    for row in plan["weigh_list"]:
        assert f" {row['weigh']:.{1 if row['step'] == 0.1 else 0}f} {row['unit']}" in text, row
    for portion in plan["portions"]:
        assert f"pour to {portion['layer']['top']:.1f} mm" in text


def test_cautions_are_shown_where_they_are_needed(client: FlaskClient) -> None:
    html = sheet(client, DEMO)
    cups, jug, pour, cut = (html.index(heading) for heading in ("Set out before you make the lye",
                                                                "Jug: add the alkali", "Buckets, in the order",
                                                                "Unmould and cut"))
    water = html.index("sodium hydroxide", jug)
    assert cups < html.index("fragrance and essential oils") < jug
    assert cups < html.index("Fine powder: wear a dust mask") < jug
    assert jug < html.index("The lye may reach") < water < pour
    assert jug < html.index("Never put vinegar on a lye burn") < water
    assert cut < html.index("fresh soap is caustic")
    assert "Local poison centre" in html


def test_every_caution_is_on_the_sheet_once(client: FlaskClient) -> None:
    for body in (DEMO, *SHOWN.values(), *(one["body"] for one in examples_of("batches"))):
        plan, page = client.post("/v1/batches", json=body).json, " ".join(parsed(sheet(client, body)).texts)
        assert plan is not None
        said = [sentence for one in plan["cautions"] for sentence in one["message"].split(". ")]
        assert len(said) == len(set(said))
        text = " ".join(page.split())
        for one in plan["cautions"]:
            assert text.count(" ".join(one["message"].split())) == 1, one["key"]


def test_a_bucket_says_its_full_mass_and_its_depth_below_the_rim(client: FlaskClient) -> None:
    plan = client.post("/v1/batches", json=DEMO).json
    assert plan is not None
    text = " ".join(" ".join(parsed(sheet(client, DEMO)).texts).split())
    deep = DEMO["mould"]["depth"] - DEMO["mould"]["liner"]  # up to the rim of the lined mould
    for portion in plan["portions"]:
        assert portion["layer"]["top"] + portion["layer"]["below_rim"] == pytest.approx(deep)
        assert f"{portion['layer']['below_rim']:.1f} mm below the rim" in text
        assert f"total in bucket {portion['mass']:.0f} g" in text
    assert "box: length 400 mm, width 300 mm, depth 60 mm, liner 1 mm" in text


def test_cups_add_up_to_the_weigh_list(client: FlaskClient) -> None:
    for body in (DEMO, *(one["body"] for one in examples_of("batches"))):
        plan = client.post("/v1/batches", json=body).json
        assert plan is not None
        kinds = ("dispersion", "addition", "dusting", "spray")
        rows = [row for row in plan["weigh_list"] if row["kind"] in kinds and row["where"] != "jar"]
        assert sum(one["total"] for one in plan["set_out"]) == pytest.approx(sum(row["weigh"] for row in rows))
        assert sum(len(one["cups"]) for one in plan["set_out"]) == len(rows)


def test_free_oil_shifts_the_superfat_of_its_bucket(client: FlaskClient) -> None:
    # by hand: fats that need d, 6 % of it left over; oil that needs e as well: 1 - 0.94 d / (d + e)
    oil = {"name": "ochre", "kind": "colourant", "inci": "CI 77492", "dose": 30, "basis": "mass",
           "contains": {"fat_pct": 100, "saponification_value": {"min": 190, "max": 190}}}
    body = {"recipe": {"fats": [{"name": "own", "saponification_value": {"min": 190, "max": 190}, "mass": 1000}],
                       "superfat_pct": 6, "alkalis": [{"alkali": "NaOH"}], "water": {"water_to_alkali": 2}},
            "mould": {"shape": "box", "length": 250, "width": 90, "depth": 80},
            "portions": [{"name": "a", "share_pct": 50, "additions": [oil]}, {"name": "b", "share_pct": 50}]}
    plan = client.post("/v1/batches", json=body).json
    assert plan is not None
    with_oil, plain = plan["portions"]
    achieved = plan["lye"]["superfat"]["achieved_pct"] / 100
    assert with_oil["superfat_pct"] == pytest.approx(100 * (1 - (1 - achieved) * 500 / 530), rel=1e-6)
    assert with_oil["free_fat_mass"] == 30
    assert "superfat_pct" not in plain
    assert "Free fat on top of the superfat" in str(plan["cautions"])


NAMED = {"title": '<b>Dusk</b> / "Käse"', "maker": "<u>A.</u> Example", "notes": ["<i>line</i> the mould", "a; b, c"]}


def test_title_maker_and_notes_are_text_wherever_they_go(client: FlaskClient) -> None:
    body = {**DEMO, **NAMED, "dates": {"pour": "2027-02-01", "cure_days": 42}}
    for form in ("format=html", "form=card"):
        reply = client.post(f"/v1/batches?{form}", json=body)
        page = parsed(reply.text)
        assert NAMED["title"] in page.texts
        assert any(NAMED["maker"] in text for text in page.texts)
        for note in NAMED["notes"]:
            assert note in page.texts
        assert not {"i", "u"} & set(page.tags)
        assert "K%C3%A4se" in reply.headers["Content-Disposition"]
        assert "/" not in reply.headers["Content-Disposition"]
    events = Calendar.from_ical(client.post("/v1/batches?format=ics", json=body).text).walk("VEVENT")
    assert len(events) == 5
    assert all(NAMED["title"] in str(event["SUMMARY"]) for event in events)
    pour = next(event for event in events if str(event["SUMMARY"]).startswith("Pour"))
    assert [NAMED["maker"] in line for line in str(pour["DESCRIPTION"]).splitlines()].count(True) == 1
    assert str(pour["DESCRIPTION"]).splitlines()[-2:] == NAMED["notes"]


def test_the_label_draft_has_the_title(client: FlaskClient) -> None:
    body = next(one["body"] for one in examples_of("batches") if "label" in one["body"])
    plan = client.post("/v1/batches", json={**body, "title": NAMED["title"]}).json
    assert plan is not None
    assert plan["label"]["title"] == NAMED["title"]
    draft = [node.text() for node in tree_of(sheet(client, {**body, "title": NAMED["title"]})).find("label")]
    assert draft
    assert all(one.startswith(NAMED["title"]) for one in draft)


@pytest.mark.parametrize("field", list(NAMED))
def test_identity_and_figures_depend_on_no_name(client: FlaskClient, field: str) -> None:
    plain, named = (client.post("/v1/batches", json={**DEMO, **more}).json for more in ({}, {field: NAMED[field]}))
    assert plain is not None
    assert named is not None
    assert named.pop(field) == NAMED[field]
    assert named.pop("links") != plain.pop("links")  # a link holds the whole request
    assert named == plain  # the identity too


@pytest.mark.parametrize("field", list(NAMED))
@pytest.mark.parametrize("text", ["two\nlines", "two\rlines", "two\r\nBEGIN:VEVENT", "two\u2028lines", "two\x85lines",
                                  "turned \u202e round", "bell\x07"])
def test_a_line_break_or_control_character_is_refused_at_its_place(client: FlaskClient, field: str, text: str) -> None:
    reply = client.post("/v1/batches", json={**DEMO, field: [text] if field == "notes" else text})
    assert reply.status_code == 422
    assert reply.json is not None
    assert [one["pointer"] for one in reply.json["errors"]] == [f"/{field}/0" if field == "notes" else f"/{field}"]
    assert "line break" in reply.json["errors"][0]["detail"]


def test_a_card_keeps_figures_and_the_keys_of_dangers(client: FlaskClient) -> None:
    plan, card = client.post("/v1/batches", json=DEMO).json, client.post("/v1/batches?form=card", json=DEMO)
    assert plan is not None
    assert card.mimetype == "text/html"
    text = " ".join(" ".join(parsed(card.text).texts).split())
    for row in plan["weigh_list"]:
        shown = row.get("take", row["weigh"])
        assert on_scale(shown, row["step"]) in text, row
    for key in ("alkali-corrosive", "alkali-into-water", "first-aid-water", "lye-hot"):
        assert key in text
    assert "Wear goggles" not in text
    style = card.text.split("<style>")[1].split("</style>")[0]
    assert "size: 105mm 148mm" in style
    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    assert digest in card.headers["Content-Security-Policy"]
    assert client.post("/v1/lye?form=card", json=DEMO["recipe"]).status_code == 422
    assert client.post("/v1/batches?form=card&format=csv", json=DEMO).status_code == 422


def test_nothing_printed_is_below_eight_points() -> None:
    for name in ("batch_sheet.css", "batch_card.css"):
        css = resources.files("kettlewright.views").joinpath("templates", name).read_text(encoding="utf-8")
        for size, unit in re.findall(r"font(?:-size)?: ([\d.]+)(pt|px)", css):
            assert float(size) * (1 if unit == "pt" else 0.75) >= 8, (name, size, unit)
    for name in ("section.svg.j2", "cut_plan.svg.j2"):
        svg = resources.files("kettlewright.views").joinpath("templates", name).read_text(encoding="utf-8")
        for size in re.findall(r'font-size="(\d+)"', svg):  # 620 units are 186 mm wide on paper
            assert float(size) * 186 / 620 / 25.4 * 72 >= 8, (name, size)


def test_only_the_way_water_was_requested_is_shown(client: FlaskClient) -> None:
    assert "Water to alkali 2.1 to 1" in sheet(client, DEMO)
    assert "Lye concentration" not in sheet(client, DEMO)
    body = {**DEMO, "recipe": {**DEMO["recipe"], "water": {"lye_concentration_pct": 33}}}
    assert "Lye concentration 33 %" in sheet(client, body)
    assert "Water to alkali" not in sheet(client, body)


def test_the_sheet_has_no_script_and_asks_nothing_of_anyone(client: FlaskClient) -> None:
    tags = parsed(sheet(client, DEMO))
    assert not {"script", "link", "img", "iframe", "object", "form"} & set(tags.tags)
    assert not [name for name, _ in tags.attributes if name in ("style", "src", "href") or name.startswith("on")]
    assert "http" not in "".join(value or "" for name, value in tags.attributes if name != "xmlns")


def test_its_style_is_let_through_by_its_hash_alone(client: FlaskClient) -> None:
    reply = client.post("/v1/batches", json=DEMO, headers={"Accept": "text/html"})
    style = reply.text.split("<style>")[1].split("</style>")[0]
    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    assert f"style-src 'sha256-{digest}'" in reply.headers["Content-Security-Policy"]
    assert "default-src 'none'" in reply.headers["Content-Security-Policy"]


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_names_are_words_and_nothing_else(client: FlaskClient, name: str) -> None:
    first = {**DEMO["portions"][0], "name": name, "dusting": {"name": name, "coverage": 5}}
    body = {**DEMO, "portions": [first, *DEMO["portions"][1:]]}
    tags = parsed(sheet(client, body))
    assert "script" not in tags.tags
    assert name in " ".join(tags.texts)
    titles = [element.text for element in picture_of(client, body).iter(f"{SVG}title")]
    assert name in titles


@pytest.mark.parametrize("change", [
    {"cut": None},
    {"arrangement": "mingled", "portions": [{"name": "a", "share_pct": 50}, {"name": "b", "share_pct": 50}]},
    {"cut": None, "mould": {"shape": "measured", "volume": 6000}, "portions": [{"name": "a", "share_pct": 100}]},
    {"units": {"mass": "oz", "length": "in", "temperature": "degF"}, "cut": None, "residue": {"pot": 0.5},
     "mould": {"shape": "box", "length": 15, "width": 11, "depth": 2.5}, "recipe": {
         **DEMO["recipe"], "temperatures": {"water": 46}}}])
def test_every_kind_of_batch_has_a_sheet_and_a_picture(client: FlaskClient, change: dict[str, Any]) -> None:
    body = {key: value for key, value in {**DEMO, **change}.items() if value is not None}
    assert "Unmould and cut" in sheet(client, body)
    assert bodies(picture_of(client, body))


OF_MIXES = {
    "recipe": {"fats": [{"fat": "olive", "mass": 3500}, {"fat": "coconut", "mass": 1500}], "superfat_pct": 5,
               "alkalis": [{"alkali": "NaOH", "purity_pct": 98}], "water": {"water_to_alkali": 2}},
    "mould": {"shape": "box", "length": 400, "width": 300, "depth": 80},
    "portions": [{"name": "red", "share_pct": 40}, {"name": "plain", "share_pct": 60}],
    "additions": [{"name": "red earth", "kind": "colourant", "dose": 40, "basis": "g_per_kg_fats",
                   "dispersion": {"carrier": "oil", "fat": "olive", "strength_pct": 50}}]}


@pytest.mark.parametrize("locale", ["en", "de"])
@pytest.mark.parametrize(("units", "pot"), [({"mass": "g"}, 4000), ({"mass": "oz", "dose": "oz"}, 1700)])
def test_a_sheet_of_several_mixes_lists_what_each_mix_takes(client: FlaskClient, locale: str, units: dict[str, str],
                                                            pot: float) -> None:
    fats = [{**fat, "mass": fat["mass"] / (28.349523125 if units["mass"] == "oz" else 1)}
            for fat in OF_MIXES["recipe"]["fats"]]
    body = {**OF_MIXES, "recipe": {**OF_MIXES["recipe"], "fats": fats}, "units": units, "pot_volume": pot,
            "locale": locale}
    reply = client.post("/v1/batches", json=body).json
    count = reply["mixes"]["count"]
    assert count > 1
    assert "several-mixes" in {one["key"] for one in reply["cautions"] if one["severity"] == "warning"}
    each = {(row["where"], row["kind"], row["key"]): row for row in reply["mixes"]["weigh_list"]}
    split = [row for row in reply["weigh_list"] if row["where"] in ("jug", "pot")]
    assert {(row["where"], row["kind"], row["key"]) for row in split} == set(each)
    text = parsed(sheet(client, body)).texts
    for row in split:
        one = each[row["where"], row["kind"], row["key"]]
        assert one["weigh"] == row["each_mix"] == pytest.approx(row["weigh"] / count)
        shown = {mass: on_scale(row[mass], row["step"]) for mass in ("weigh", "each_mix")}
        if locale == "de":
            shown = {mass: digits.replace(".", ",") for mass, digits in shown.items()}
        shows = [one.strip() for one in text]
        assert shown["each_mix"] in shows, row["name"]
        assert shown["weigh"] not in shows, row["name"]  # no figure of the whole batch to weigh by mistake
    assert reply["vessels"]["pot"] < pot + 250  # of one mix, in whole steps of 250 mL
    assert all("each_mix" not in row for row in reply["weigh_list"] if row["where"] not in ("jug", "pot"))
    actual = "Mix {}, actual" if locale == "en" else "Teilansatz {}, tatsächlich"
    for number in range(1, count + 1):
        assert actual.format(number) in text
