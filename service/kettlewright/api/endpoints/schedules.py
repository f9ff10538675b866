"""POST /v1/schedules."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

from marshmallow import ValidationError

from kettlewright import limits
from kettlewright.api.door.fields import Choice, Day, Flag, Text, Weekday, Whole, read_day
from kettlewright.api.door.operations import Face, operation
from kettlewright.api.door.responses import ResponsePart
from kettlewright.api.door.strict import ListOf, Part, Strict
from kettlewright.api.parts.dates import BatchDays, ClosedInput, StepsInput
from kettlewright.api.parts.envelope import BaseResponse, Request, answer
from kettlewright.errors import OutOfRange, WrongType
from kettlewright.release.days.schedules import SCHEDULE_OBJECTIVES, make_schedule
from kettlewright.release.days.workshop import BatchOfDesign, CuringPlaces, MouldKind, ReleaseDay
from kettlewright.views import schedule_calendar

__all__ = ["SchedulesRequest", "SchedulesResponse", "schedules"]

_LIKE_A_DATE = r"[0-9]{1,4}[-./][0-9]{1,2}[-./][0-9]{1,4}"


class MouldKindInput(Strict):
    """Moulds that are alike."""

    builds = MouldKind

    name = Text(required=True, about="Your name for them", example="slab")
    count = Whole(bounds=limits.CAVITIES_COUNT, about="How many there are; default 1", unit="moulds",
                  example=2)


class PlacesInput(Strict):
    """Room for bars that cure, by exactly one of the two."""

    exactly_one = (("batches_count", "bars_count"),)

    builds = CuringPlaces

    batches_count = Whole(bounds=limits.BATCHES_COUNT, about="Batches that lie there at once", unit="batches",
                          example=6)
    bars_count = Whole(bounds=limits.BARS_COUNT, about="Bars that lie there at once", unit="bars", example=300)


class ReleaseInput(Strict):
    """A release with a name."""

    builds = ReleaseDay

    name = Text(required=True, about="Your name for it", example="spring")
    release = Day(required=True, about="The day its bars are sold from")


class BatchOfDesignInput(StepsInput):
    """Batches of one design."""

    name = Text(required=True, about="Your name for it", example="deep red")
    count = Whole(bounds=limits.BATCHES_COUNT, about="How many batches; default 1", unit="batches", example=3)
    mould = Text(required=True, about="Name of the moulds it takes", example="slab")
    moulds_count = Whole(bounds=limits.CAVITIES_COUNT, about="How many moulds each batch takes; default 1",
                         unit="moulds", example=1)
    bars_count = Whole(bounds=limits.BARS_COUNT, about="Bars of each batch; needed if places are counted in bars",
                       unit="bars", example=48)
    release = Text(about="The day it is sold from, or the name of a release; default the only release",
                   example="spring")

    @staticmethod
    def builds(release: str | None = None, **more: Any) -> BatchOfDesign:
        """The batch, its release as a day where it is one."""
        day: Any = release
        if release is not None and re.fullmatch(_LIKE_A_DATE, release):
            try:
                day = read_day(release)
            except ValidationError as error:
                found: Any = error.messages[0]
                kind = WrongType if found["code"] == WrongType.code else OutOfRange
                raise kind(f"release {found['detail']}", field=("release",), value=release) from None
        return BatchOfDesign(release=day, **more)


class SchedulesRequest(Request):
    """Batches of several designs, and what there is to make them with."""

    batches = ListOf(Part(BatchOfDesignInput), required=True, at_least=1, at_most=40, about="What is made")
    moulds = ListOf(Part(MouldKindInput), required=True, at_least=1, at_most=12, about="What there is to pour into")
    releases = ListOf(Part(ReleaseInput), at_most=20, about="Releases with a name")
    earliest = Day(required=True, about="No pour before this day, for example today", example="2026-11-30")
    pours_per_day_count = Whole(bounds=limits.POURS_COUNT, about="Batches that can be poured on one day; default 1",
                                unit="batches", example=2)
    places = Part(PlacesInput, about="Room for curing; default unlimited")
    closed = Part(ClosedInput, about="When nobody pours, cuts, packs or sells")
    objective = Choice(SCHEDULE_OBJECTIVES, about="Pours as late as possible (default): bars are fresh, money is tied "
                       "up briefly; or as early as possible: time to spare")
    stamp = Day(about="Date stamp of the calendar file; default the earliest day",
                example="2026-11-30")


class ScheduledBatch(ResponsePart):
    """A batch in the calendar."""

    key = Text(about="A slug of the name", example="deep_red")
    name = Text(about="Your name for the design", example="deep red")
    number = Whole(about="Number of this batch in its design, in order of the pours", unit="batches", example=1)
    of_count = Whole(about="Batches of its design", unit="batches", example=3)
    mould = Text(about="Moulds it takes", example="slab")
    moulds_count = Whole(about="How many of them", unit="moulds", example=1)
    release_name = Text(allow_none=True, about="Name of the release; null if it has none", example="spring")
    dates = Part(BatchDays, about="Its days")


class FullestDay(ResponsePart):
    """How much of something is taken on its fullest day."""

    key = Text(about='"pours", "places", or a slug of the moulds\' name', example="slab")
    name = Text(about="What it is", example="slab")
    most_count = Whole(about="Used on that day", unit="pours, moulds, batches or bars", example=2)
    of_count = Whole(about="How many there are", unit="the same", example=2)
    date = Day(about="The first such day", example="2027-02-02")
    weekday = Weekday("date")


class SchedulesResponse(BaseResponse):
    """A calendar that keeps every release."""

    batches = ListOf(Part(ScheduledBatch), about="By the day they are poured, then in the order given")
    fullest = ListOf(Part(FullestDay), about="Pours, moulds and places on their fullest day")
    objective = Choice(SCHEDULE_OBJECTIVES, about="What it was optimised for")
    proven_optimal = Flag(about="No better calendar exists; false if the node limit was reached", example=True)
    stamp = Day(about="Date stamp of the calendar file", example="2026-11-30")
    notes = ListOf(Text(example="A mould is free again on the day of unmoulding."), about="What to know about it")


@operation("POST", "/v1/schedules", name="schedules", group="release", heavy=True,
           request=SchedulesRequest, response=SchedulesResponse,
           main_table="batches", summary="A calendar of several batches before their releases",
           description="On which day to pour each batch so that it is cured and packed for its release, within the "
           "pours per day, the moulds, the places for curing bars and the open days. If there is no such calendar, the "
           "problem says how many batches fit, and what one more of each thing would change. Solved exactly for up to "
           "1,000 possible pour days, within a limit of nodes; proven_optimal says whether the result is proven.",
           faces={"ics": Face("text/calendar", schedule_calendar)})
def schedules(batches: list[Any], moulds: list[Any], earliest: date, stamp: date | None = None,
              pours_per_day_count: int = 1, **more: Any) -> object:
    """A calendar of several batches (the loaded request)."""
    found = make_schedule(batches, moulds=moulds, earliest=earliest, pours_per_day=pours_per_day_count, **more)
    return answer("schedules", sources=("integer_program", "iso_8601", "cure_practice"), result=found,
                  stamp=stamp or earliest)

