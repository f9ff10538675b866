"""The page of a recipe: cautions before the scale, every weighing with its form, in the language of the request."""

from __future__ import annotations

import html
import re
from typing import Any

import pytest
from flask.testing import FlaskClient
from kettlewright.api.document.openapi import examples_of
from kettlewright.app import create_app
from kettlewright.languages import LOCALES


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return create_app().test_client()


BODIES = [{**example["body"], "locale": locale} for example in examples_of("lye") for locale in LOCALES]


def text_of(page: str) -> str:
    """What a reader sees of a page."""
    return " ".join(html.unescape(re.sub(r"<style>.*?</style>|<[^>]+>", " ", page, flags=re.DOTALL)).split())


@pytest.mark.parametrize("body", BODIES)
def test_the_page_says_what_the_json_says(client: FlaskClient, body: dict[str, Any]) -> None:
    reply = client.post("/v1/lye", json=body).json
    page = client.post("/v1/lye?format=html", json=body)
    assert (page.status_code, page.mimetype) == (200, "text/html")
    assert reply is not None
    shown = text_of(page.text)
    known = {one["key"]: one["message"] for one in client.get(f"/v1/cautions?locale={body['locale']}").json["cautions"]}
    for text in [*(caution["message"] for caution in reply["cautions"]),
                 *(known[key] for key in reply["standing_cautions"])]:
        assert " ".join(text.split()) in shown, text
    for row in reply["weigh_list"]:
        assert row["name"] in shown
        assert row.get("form", "") in shown
    assert shown.count(" g") + shown.count(" oz") >= len(reply["weigh_list"])
    before = text_of(page.text.partition("<table>")[0])
    for caution in ("alkali-into-water", "alkali-corrosive"):
        assert known[caution] in before


def test_it_has_no_script_and_loads_nothing(client: FlaskClient) -> None:
    page = client.post("/v1/lye?format=html", json=BODIES[0])
    assert not re.search(r"<script|<img|<link|https?://|style=|onclick", page.text)
    assert "style-src 'sha256-" in page.headers["Content-Security-Policy"]
    fat = {"name": "<b>my</b> fat", "mass": 500, "saponification_value": {"min": 185, "max": 190}}
    body = {**BODIES[0], "fats": [fat]}
    assert "<b>my</b>" not in client.post("/v1/lye?format=html", json=body).text
