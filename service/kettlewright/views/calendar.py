"""The calendar (iCalendar, RFC 5545): the days with work to do, as all-day events.

The same reply gives the same bytes: UIDs and time stamps depend only on the reply. A UID depends on names and days, not
on sentences: a calendar imported again, in another language or after a text was reworded, replaces its events.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from icalendar import Calendar, Event

from kettlewright.cautions import CATALOGUE
from kettlewright.errors import Unsolvable
from kettlewright.languages import current_locale, in_language_of_response, translated
from kettlewright.said import Said, sentences

__all__ = ["DayEvent", "batch_calendar", "cure_calendar", "schedule_calendar"]

_DAYS = ("pour", "unmould", "cure_until", "pack_from", "release")


@dataclass(frozen=True, slots=True)
class DayEvent:
    """An all-day event.

    Parameters
    ----------
    step, summary, words : str
        Step of the batch; title; description. [text]
    first, last : date
        First and last day, both included. [day]
    """

    step: str
    summary: str
    words: str
    first: date
    last: date


@in_language_of_response
def cure_calendar(reply: Mapping[str, Any]) -> str:
    """The days of one batch.

    Parameters
    ----------
    reply : mapping
        JSON reply of /v1/cure. [as in JSON]

    Returns
    -------
    str : iCalendar text with the line ends of RFC 5545

    Raises
    ------
    Unsolvable : the reply has no dates.
    """
    if reply["dates"] is None:
        raise Unsolvable('A calendar needs "dates": give the release or the pour of the batch.', field=("dates",))
    name = reply["name"] or translated(Said("the batch"))
    steps = _steps(reply["dates"], name, reply.get("remarks", ()))
    return _written(reply, [(name, [*steps, _release(reply["dates"]["release"], name)])])


@in_language_of_response
def batch_calendar(reply: Mapping[str, Any]) -> str:
    """The days of one planned batch.

    Parameters
    ----------
    reply : mapping
        JSON reply of /v1/batches. [as in JSON]

    Returns
    -------
    str : iCalendar text with the line ends of RFC 5545

    Raises
    ------
    Unsolvable : the reply has no dates.
    """
    dates = reply.get("dates")
    known_as = reply.get("batch_number") or reply["identity"]
    number = translated(Said("batch {number}", number=known_as))
    name = translated(Said("{title} ({batch})", title=reply["title"], batch=number)) if "title" in reply else number
    made_by = [translated(Said("Made by {maker}.", maker=reply["maker"]))] if "maker" in reply else []
    return cure_calendar({"meta": reply["meta"], "dates": dates, "stamp": dates and dates["pour"], "name": name,
                          "known_as": known_as, "remarks": [*made_by, *reply.get("notes", ())]})


@in_language_of_response
def schedule_calendar(reply: Mapping[str, Any]) -> str:
    """The days of several batches, and one event for each release.

    Parameters
    ----------
    reply : mapping
        JSON reply of /v1/schedules. [as in JSON]

    Returns
    -------
    str : iCalendar text with the line ends of RFC 5545
    """
    named = []
    sold: dict[str, list[str]] = {}
    titles: dict[str, str] = {}
    for batch in reply["batches"]:
        name = batch["name"] if batch["of_count"] == 1 else f"{batch['name']} {batch['number']}/{batch['of_count']}"
        named.append((name, list(_steps(batch["dates"], name))))
        day = batch["dates"]["release"]
        names = sold.setdefault(day, [])
        if batch["name"] not in names:
            names.append(batch["name"])
        if batch["release_name"]:
            titles[day] = f"{batch['release_name']}: "
    named += [(day, [_release(day, titles.get(day, "") + ", ".join(names))]) for day, names in sorted(sold.items())]
    return _written(reply, named)


def _steps(dates: Mapping[str, Any], name: str, remarks: Sequence[str] = ()) -> Iterator[DayEvent]:
    day = {key: date.fromisoformat(dates[key]) for key in _DAYS}
    words = "\n".join([translated(CATALOGUE["alkali-corrosive"].text), *remarks])
    yield DayEvent("pour", translated(Said("Pour {batch}", batch=name)), words, day["pour"], day["pour"])
    yield DayEvent("unmould", translated(Said("Unmould and cut {batch}", batch=name)),
                   translated(CATALOGUE["raw-soap-gloves"].text), day["unmould"], day["unmould"])
    yield DayEvent("cured", translated(Said("{batch}: planned cure is over, weigh a bar", batch=name)),
                   translated(sentences(Said("Curing is not only drying."), CATALOGUE["ph-not-proof"].text)),
                   day["cure_until"], day["cure_until"])
    # packing ends the day before the release, unless it is packed on that day
    last = max(day["pack_from"], day["release"] - timedelta(days=1))
    yield DayEvent("pack", translated(Said("Pack {batch}", batch=name)), "", day["pack_from"], last)


def _release(day: str, name: str) -> DayEvent:
    return DayEvent("release", translated(Said("Release of {batch}", batch=name)),
                    translated(CATALOGUE["local-law"].text), date.fromisoformat(day), date.fromisoformat(day))


def _written(reply: Mapping[str, Any], named: list[tuple[str, list[DayEvent]]]) -> str:
    calendar = Calendar()
    calendar.add("prodid", f"-//Kettlewright//Kettlewright {reply['meta']['version']}//{current_locale.get().upper()}")
    calendar.add("version", "2.0")
    stamp = datetime.combine(date.fromisoformat(reply["stamp"]), time(), tzinfo=UTC)
    known_as = reply.get("known_as", reply.get("name"))
    batches = reply.get("batches", [{"name": known_as, "number": 1, "dates": reply.get("dates")}])
    identified_by = [[one["name"], one["number"], *(one["dates"][key] for key in _DAYS)] for one in batches]
    whole = hashlib.sha256(json.dumps(identified_by).encode()).hexdigest()[:24]
    for number, (_, events) in enumerate(named):
        for one in events:
            event = Event()
            event.add("uid", f"{whole}-{number}-{one.step}@kettlewright")
            event.add("dtstamp", stamp)
            event.add("dtstart", one.first)
            event.add("dtend", one.last + timedelta(days=1))
            event.add("summary", one.summary)
            if one.words:
                event.add("description", one.words)
            event.add("transp", "TRANSPARENT")
            calendar.add_component(event)
    return str(calendar.to_ical().decode("utf-8"))
