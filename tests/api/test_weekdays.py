"""Every date of a reply says its weekday, in JSON and on paper, in the language of the request."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date
from typing import Any

import pytest
from flask.testing import FlaskClient
from kettlewright.api.document import openapi
from kettlewright.api.door.operations import OPERATIONS

EXAMPLES = [(found.path, example["title"], example["body"]) for found in OPERATIONS.values() if found.method == "POST"
            for example in openapi.examples_of(found.name)]
NAMES = {"en": ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"],
         "de": ["Montag", "Dienstag", "Mittwoch", "Donnerstag", "Freitag", "Samstag", "Sonntag"]}  # from memory
DATES = {"pour", "unmould", "cure_until", "pack_from", "release", "day_zero", "date"}


def dated(value: Any) -> Iterator[tuple[str, str | None, str | None]]:
    """Each date of a reply, by its field, with its weekday."""
    for child in value.values() if isinstance(value, dict) else value if isinstance(value, list) else ():
        yield from dated(child)
    if isinstance(value, dict):
        for key in DATES & value.keys():
            if value[key] is None or (isinstance(value[key], str) and re.fullmatch(r"\d{4}-\d\d-\d\d", value[key])):
                yield key, value[key], value.get("weekday" if key == "date" else f"{key}_weekday", "missing")


@pytest.mark.parametrize("locale", NAMES)
def test_every_date_of_a_reply_has_its_weekday(client: FlaskClient, locale: str) -> None:
    count = 0
    for path, title, body in EXAMPLES:
        reply = client.post(path, json={**body, "locale": locale})
        assert reply.status_code == 200, (title, reply.text)
        for _, day, weekday in dated({key: part for key, part in (reply.json or {}).items() if key != "resolved"}):
            assert weekday == (None if day is None else NAMES[locale][date.fromisoformat(day).weekday()]), (title, day)
            count += 1
    assert count > 20


@pytest.mark.parametrize(("locale", "shown"), [("en", "Sat 2027-03-20"), ("de", "Sa 20.03.2027")])
def test_the_sheet_shows_the_weekday(client: FlaskClient, locale: str, shown: str) -> None:
    [body] = [body for path, _, body in EXAMPLES if path == "/v1/batches" and "dates" in body][:1]
    reply = client.post("/v1/batches", json={**body, "locale": locale}, headers={"Accept": "text/html"})
    assert date(2027, 3, 20).weekday() == 5
    assert shown in reply.text
