"""A calendar imported again replaces its events: by RFC 5545, 3.8.4.7, a UID names an event for good (from memory)."""

from __future__ import annotations

from typing import Any

import pytest
from icalendar import Calendar
from kettlewright.api.document.openapi import examples_of
from kettlewright.app import create_app
from kettlewright.languages import LOCALES

CLIENT = create_app().test_client()
DATED = [(name, example["body"]) for name in ("batches", "cure", "schedules") for example in examples_of(name)
         if name == "schedules" or "dates" in example["body"]]


def events(name: str, body: dict[str, Any]) -> list[Any]:
    reply = CLIENT.post(f"/v1/{name}?format=ics", json=body)
    assert reply.status_code == 200, reply.text
    return list(Calendar.from_ical(reply.text).walk("VEVENT"))


@pytest.mark.parametrize(("name", "body"), DATED, ids=[name for name, _ in DATED])
def test_a_uid_depends_on_no_sentence(name: str, body: dict[str, Any]) -> None:
    # in another language every sentence of the reply is another, as after rewording
    found = {locale: events(name, {**body, "locale": locale}) for locale in LOCALES}
    assert len({str([str(event["SUMMARY"]) for event in each]) for each in found.values()}) == len(LOCALES)
    uids = [[str(event["UID"]) for event in each] for each in found.values()]
    assert all(each == uids[0] for each in uids)
    assert len(set(uids[0])) == len(uids[0])


def test_every_form_of_dates_is_among_the_examples() -> None:
    assert {name for name, _ in DATED} == {"batches", "cure", "schedules"}
