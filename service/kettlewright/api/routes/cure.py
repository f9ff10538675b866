"""POST /v1/cure."""

from __future__ import annotations

from datetime import date
from typing import Any

from kettlewright.api.door.operations import Face, operation
from kettlewright.api.schemas.cure import CureRequest, CureResponse, curve_told
from kettlewright.api.schemas.envelope import answer
from kettlewright.release.days.cure import CURE_PRACTICE, Cured
from kettlewright.release.days.cure import cure as find_cure
from kettlewright.views import cure_calendar, cure_curve

__all__ = ["cure"]


@operation("POST", "/v1/cure", name="cure", group="release", takes=CureRequest, gives=CureResponse,
           summary="Dates of one batch, its drying curve, and the mass of a bar on a day",
           description="Backward from a release or forward from a pour: the days of pouring, unmoulding and cutting, "
           "curing and packing. From your own weighings: a drying curve with its uncertainty, the mass on any day, "
           "when the bar is dry, and the wet mass for a promised mass. Without weighings you get only the largest "
           "possible loss and common practice. Curing is not only drying.",
           faces={"svg": Face("image/svg+xml", cure_curve), "ics": Face("text/calendar", cure_calendar)})
def cure(name: str | None = None, stamp: date | None = None, batter_mass_g: float | None = None,
         water_mass_g: float | None = None, **more: Any) -> object:
    """What is known of a cure (the loaded request)."""
    found = find_cure(batter_g=batter_mass_g, water_g=water_mass_g, **more)
    return answer(
        "cure", sources=_sources(found), name=name, dates=found.dates, day_zero=found.day_zero,
        stamp=None if found.dates is None else stamp or found.dates.pour,
        curve=curve_told(found),
        loss_bound_pct=found.bound_pct, on=found.days,
        until=None if found.losing is None and found.within is None else {"daily_loss": found.losing,
                                                                         "within": found.within},
        promise=found.wet, practice=CURE_PRACTICE, notes=found.notes)


def _sources(found: Cured) -> tuple[str, ...]:
    return (*(("iso_8601",) if found.dates is not None else ()),
            *(("first_order_drying",) if found.drying is not None else ()), "cure_practice")
