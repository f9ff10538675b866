"""POST /v1/schedules."""

from __future__ import annotations

from datetime import date
from typing import Any

from kettlewright.api.door.operations import Face, operation
from kettlewright.api.schemas.envelope import answer
from kettlewright.api.schemas.schedules import SchedulesRequest, SchedulesResponse
from kettlewright.release.days.schedules import make_schedule
from kettlewright.views import schedule_calendar

__all__ = ["schedules"]


@operation("POST", "/v1/schedules", name="schedules", group="release", heavy=True,
           takes=SchedulesRequest, gives=SchedulesResponse,
           summary="A calendar of several batches before their releases",
           description="On which day to pour each batch so that it is cured and packed for its release, within the "
           "pours per day, the moulds, the curing places bars and the open days. If there is no such calendar, the "
           "problem says how many batches fit, and what one more of each thing would change. Solved exactly for up to "
           "1,000 possible pour days, within a limit of nodes; proven_optimal says whether the result is proven.",
           faces={"ics": Face("text/calendar", schedule_calendar)})
def schedules(batches: list[Any], moulds: list[Any], earliest: date, stamp: date | None = None,
              pours_per_day_count: int = 1, **more: Any) -> object:
    """A calendar of several batches (the loaded request)."""
    found = make_schedule(batches, moulds=moulds, earliest=earliest, pours_per_day=pours_per_day_count, **more)
    return answer("schedules", sources=("integer_program", "iso_8601", "cure_practice"), batches=found.batches,
                  fullest=found.fullest, objective=found.objective, proven_optimal=found.proven_optimal,
                  stamp=stamp or earliest, notes=found.notes)
