"""The form of a reply: by `format` or by Accept, and forms that do not go together."""

from __future__ import annotations

import pytest
from api.bodies import LYE
from api.forms import BY_LINK, rows
from api.test_bad_input import faults
from flask.testing import FlaskClient
from kettlewright.app import create_app

APP = create_app().test_client()


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return APP


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
