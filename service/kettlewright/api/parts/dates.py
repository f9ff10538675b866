"""Dates of a batch in requests and responses."""

from __future__ import annotations

import re

from kettlewright import limits
from kettlewright.api.door.fields import Choice, Day, Text, Weekday, Whole
from kettlewright.api.door.responses import ResponsePart
from kettlewright.api.door.strict import ListOf, Part, Strict
from kettlewright.api.links import AddressTerm, Key, Sorted, shown
from kettlewright.errors import OutOfRange
from kettlewright.release.days.closed_days import WEEKDAYS, ClosedDays, Span
from kettlewright.release.days.dates import DateOptions

__all__ = ["DATES_KEYS", "BatchDays", "ClosedInput", "DatesInput", "DatesWithNotes", "StepsInput"]


class SpanInput(Strict):
    """Days in a row."""

    builds = Span

    first = Day(required=True, about="The first of them", example="2027-02-15")
    last = Day(required=True, about="The last of them", example="2027-02-19")


class ClosedInput(Strict):
    """Days on which nobody pours, cuts, packs or sells."""

    builds = ClosedDays

    weekdays = ListOf(Choice(WEEKDAYS, example="sunday"), at_most=7, about="Every week")
    dates = ListOf(Day(example="2027-01-01"), at_most=400, about="Single days")
    spans = ListOf(Part(SpanInput), at_most=100, about="Days in a row")


class StepsInput(Strict):
    """How long the steps from the pour to the release take."""

    unmould_days = Whole(bounds=limits.UNMOULD_DAYS, about="From the pour to unmoulding and cutting; default 1, for 18 "
                         "to 24 hours (common practice, no source)", unit="days", example=1)
    unmould_at_most_days = Whole(bounds=limits.UNMOULD_DAYS, about="Longest time in the mould, closed days included; "
                                 "no pour day that would exceed it is used",
                                 unit="days", example=3)
    cure_days = Whole(bounds=limits.CURE_DAYS, about="From the cut to packing; default 42, the longer end of "
                      "4 to 6 weeks (common practice, no source)", unit="days", example=42)
    packing_days = Whole(bounds=limits.PACKING_DAYS, about="Working days of packing before the release; default 0: "
                         "packed on the day of the release", unit="days", example=3)


class DatesInput(StepsInput):
    """Dates of a batch, by exactly one of release and pour."""

    exactly_one = (("release", "pour"),)

    builds = DateOptions

    release = Day(about="The day it is sold from: the other days are computed backward, as late as possible")
    pour = Day(about="The day it is poured: the other days are computed forward", example="2027-02-02")
    closed = Part(ClosedInput, about="Days when nobody works. Computed days move off them, earlier when counting "
                  "backward and later when counting forward; a day you give never moves, and is rejected if it is "
                  "closed")
    earliest = Day(about="No pour before this day, for example today. A release that is too soon is rejected with the "
                   "earliest possible one", example="2026-11-30")


class BatchDays(ResponsePart):
    """The days of a batch."""

    pour = Day(about="Poured", example="2027-02-02")
    pour_weekday = Weekday("pour")
    unmould = Day(about="Unmoulded and cut", example="2027-02-03")
    unmould_weekday = Weekday("unmould")
    cure_until = Day(about="End of the cure; curing is not only drying", example="2027-03-17")
    cure_until_weekday = Weekday("cure_until")
    pack_from = Day(about="Packing begins", example="2027-03-17")
    pack_from_weekday = Weekday("pack_from")
    release = Day(about="Sold from")
    release_weekday = Weekday("release")
    in_mould_days = Whole(about="From the pour to unmoulding, closed days included", unit="days", example=1)
    curing_days = Whole(about="From the cut to packing, closed days included", unit="days", example=42)


class DatesWithNotes(BatchDays):
    """The days of a batch, and what to know of them."""

    assumed = ListOf(Text(example="cure_days"), about="What was assumed because it was not given")
    notes = ListOf(Text(example="Curing is not only drying."), about="What to know about these dates")


def _closed(piece: AddressTerm) -> Sorted:
    """Weekdays, dates and spans of dates."""
    word = f"{piece.name}:{piece.text}" if piece.name else piece.text
    if word in WEEKDAYS:
        return Sorted(("weekdays",), word, in_list=True)
    if re.fullmatch(r"[0-9-]+", word):
        return Sorted(("dates",), word, in_list=True)
    first, dots, last = word.partition("..")
    if not dots:
        raise OutOfRange(f"{shown(word)} is neither a weekday ({', '.join(WEEKDAYS)}) nor a date such as 2027-01-01 "
                         "nor days in a row such as 2027-02-15..2027-02-19.")
    return Sorted(("spans",), {"first": first, "last": last}, in_list=True)


DATES_KEYS = (
    Key(name="dates", into=("dates",), example="release:2027-03-20", about="Dates of the batch, by its release or its "
        "pour"),
    Key(name="closed", into=("dates", "closed"), many=True, sort=_closed, example="sunday,2027-01-01", about="When "
        "nobody works: weekdays, dates, or days in a row as 2027-02-15..2027-02-19"))
