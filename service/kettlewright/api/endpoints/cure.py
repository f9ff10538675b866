"""POST /v1/cure."""

from __future__ import annotations

from datetime import date
from typing import Any, ClassVar

from kettlewright import limits
from kettlewright.api.door.fields import Choice, Day, Flag, Mass, Number, Text, Weekday
from kettlewright.api.door.operations import Face, operation
from kettlewright.api.door.responses import ResponsePart
from kettlewright.api.door.strict import ListOf, Part, Strict
from kettlewright.api.door.tables import FIGURES
from kettlewright.api.links import Key, by_address, values_of
from kettlewright.api.parts.dates import DATES_KEYS, DatesInput, DatesWithNotes
from kettlewright.api.parts.envelope import BaseResponse, Request, answer
from kettlewright.api.parts.units import UNITS_KEY
from kettlewright.errors import Missing
from kettlewright.reference import PROVENANCES
from kettlewright.release.days.cure import CURE_PRACTICE, Cured
from kettlewright.release.days.cure import cure as find_cure
from kettlewright.release.days.cure_days import DayInput, Promise, Weighed
from kettlewright.release.days.drying_fit import WEIGHINGS_MAX
from kettlewright.views import cure_calendar, cure_curve

__all__ = ["CureRequest", "CureResponse", "Curve", "WeighingInput", "cure"]


class DayFields(Strict):
    """A day of the cure, by exactly one of the two."""

    day = Number(bounds=limits.DRYING_DAY, about="Counted from day 0", unit="days", example=28)
    date = Day(about="The date", example="2027-03-17")


class DayOfCureInput(DayFields):
    """A day of the cure, by exactly one of the two."""

    exactly_one = (("day", "date"),)

    builds = DayInput


class WeighingInput(DayFields):
    """A bar on the scale; all by day, or all by date: then day 0 is the first of them."""

    exactly_one = (("day", "date"),)

    mass_g = Mass(required=True, bounds=limits.MASS, about="Of the same bar each time, or the mean of the same bars",
                  example=121.6)

    @staticmethod
    def builds(mass_g: float, **when: Any) -> Weighed:
        """The weighing and its day."""
        return Weighed(DayInput(**when), mass_g)


class UntilInput(Strict):
    """What counts as dry, by one or both."""

    daily_loss_g = Mass(bounds=limits.MASS, about="Dry when a bar loses less than this per day", example=0.1)
    within_pct = Number(bounds=limits.NEAR_END_PCT, about="Dry when a bar is this close to its final mass", unit="% of "
                        "that mass", example=1)

    @staticmethod
    def builds(daily_loss_g: float | None = None, within_pct: float | None = None) -> dict[str, float | None]:
        """Both, where they are given."""
        if daily_loss_g is None and within_pct is None:
            raise Missing('Say what counts as dry: "daily_loss", "within_pct" or both.', field=("daily_loss",))
        return {"daily_loss_g": daily_loss_g, "within_pct": within_pct}


class PromiseInput(DayFields):
    """A mass promised on a day; without one on the release of `dates`, else at the end of the curve."""

    at_most_one = (("day", "date"),)

    mass_g = Mass(required=True, bounds=limits.MASS, about="Of the cured bar", example=110)

    @staticmethod
    def builds(mass_g: float, **when: Any) -> Promise:
        """The promise."""
        return Promise(mass_g, DayInput(**when) if when else None)


class CureRequest(Request):
    """Dates of a batch, weighings of a bar, and what you want to know; each part alone will do."""

    name = Text(about="Your name for the batch; it appears in the calendar", example="deep red")
    dates = Part(DatesInput, about="Its release or its pour: gives its dates. With weighings by day, day 0 is the day "
                 "of the cut")
    weighings = ListOf(Part(WeighingInput), at_least=1, at_most=WEIGHINGS_MAX, about="Three give a curve; four or more "
                       "also give its error")
    on = ListOf(Part(DayOfCureInput), at_most=100, about="Days on which the mass is wanted; needs weighings")
    until = Part(UntilInput, about="When a bar is dry; needs weighings")
    promise = Part(PromiseInput, about="Wet mass to make for a mass on the day")
    batter_mass_g = Mass(bounds=limits.MASS, about="The whole batter; with water_mass the most a bar can lose",
                         example=1410)
    water_mass_g = Mass(bounds=limits.MASS, about="The water in it", example=280)
    expected_loss_pct = Number(bounds=limits.LOSS_PCT, about="Loss given in place of weighings, for a promise",
                               unit="% of the fresh mass", example=11.5)
    stamp = Day(about="Date stamp of the calendar file; default the day of the pour",
                example="2026-11-30")

    @staticmethod
    def builds(weighings: tuple[Weighed, ...] = (), on: tuple[DayInput, ...] = (),
               until: dict[str, float | None] | None = None, **more: Any) -> dict[str, Any]:
        """What the view takes."""
        return {"weighed": weighings, "requested": on, **(until or {}), **more}


class MassBand(ResponsePart):
    """Where a weighing would lie (95 %)."""

    min_g = Mass(attribute="min", about="Lower end", example=113.46)
    max_g = Mass(attribute="max", about="Upper end", example=113.54)


class CureDay(ResponsePart):
    """What a bar weighs on a day."""

    day = Number(attribute="found.day", about="Counted from day 0", unit="days", example=42)
    date = Day(allow_none=True, about="The date; null if that of day 0 is not known",
               example="2027-03-17")
    weekday = Weekday("date", allow_none=True)
    mass_g = Mass(attribute="found.mass_g", about="By the curve", example=113.5)
    band = Part(MassBand, attribute="found.band", allow_none=True, about="Where a weighing on that day would "
                "lie (95 %); null if three weighings allow no error")
    loss_pct = Number(attribute="found.loss_pct", about="Since day 0; takes the place of expected_loss_pct elsewhere",
                      unit="% of the mass on day 0", example=11.33)
    daily_loss_g = Mass(attribute="found.daily_loss_g", about="Loss per day at that time", example=0.0425)
    beyond = Flag(attribute="found.beyond", about="Whether it is after the last weighing (extrapolated)", example=False)


class CurveErrors(ResponsePart):
    """Standard errors."""

    equilibrium_mass_g = Mass(attribute="equilibrium_g", about="Of the final mass", example=0.0123)
    to_lose_mass_g = Mass(attribute="to_lose_g", about="Of the loss from day 0 to the end", example=0.0141)
    rate_per_day = Number(about="Of the rate", unit="1/day", example=0.000191)


class CoursePoint(ResponsePart):
    """A point of the curve."""

    day = Number(about="Counted from day 0", unit="days", example=21)
    mass_g = Mass(about="By the curve", example=115.8)
    band = Part(MassBand, allow_none=True, about="95 %; null if no error can be given")


class Weighing(ResponsePart):
    """A weighing."""

    day = Number(about="Counted from day 0", unit="days", example=7)
    mass_g = Mass(about="As given", example=121.6)


class Curve(ResponsePart):
    """The curve equilibrium + to_lose x exp(-rate x day)."""

    start_mass_g = Mass(attribute="drying.start_g", about="On day 0", example=128)
    equilibrium_mass_g = Mass(attribute="drying.equilibrium_g", about="Final mass", example=112.97)
    to_lose_mass_g = Mass(attribute="drying.to_lose_g", about="Loss from day 0 to the end", example=15.04)
    rate_per_day = Number(attribute="drying.rate_per_day", about="How fast it dries", unit="1/day", example=0.0794)
    half_life_days = Number(attribute="drying.half_life_days", about="Time in which the remaining loss halves",
                            unit="days", example=8.73)
    errors = Part(CurveErrors, attribute="drying.errors", allow_none=True, about="Standard errors; null with three "
                  "weighings, where none can be given")
    scatter_mass_g = Mass(attribute="drying.scatter_g", allow_none=True, about="Standard deviation of the weighings "
                          "about the curve; null with three weighings", example=0.0102)
    weighings = ListOf(Part(Weighing), attribute="drying.weighings", about="By day")
    course = ListOf(Part(CoursePoint), about="Points for drawing it")


class ReachedOn(ResponsePart):
    """When something is reached."""

    day = Number(about="Counted from day 0", unit="days", example=31.2)
    date = Day(allow_none=True, about="The first whole day by which it is; null if the date of day 0 is not known",
               example="2027-03-07")
    weekday = Weekday("date", allow_none=True)


class DryingTime(ResponsePart):
    """When a bar is dry."""

    daily_loss = Part(ReachedOn, attribute="losing", allow_none=True, about="When it loses less a day than you gave; "
                      "null if not requested")
    within = Part(ReachedOn, allow_none=True, about="When it is as near to its end as you gave; null if not requested")


class PromisedMass(ResponsePart):
    """What to make wet."""

    mass_g = Mass(attribute="promised_g", about="Promised", example=110)
    wet_mass_g = Mass(attribute="wet_g", about="What the bar must weigh on day 0", example=124.29)
    loss_pct = Number(about="Between the two", unit="% of the wet mass", example=11.5)
    basis = Choice(["told", "curve", "curve_end", "bound"], about="Origin of the loss: as given, the curve on the day, "
                   "the end of the curve, or all the water")
    day = Number(allow_none=True, about="Of the promise; null if the loss is not the curve's on a day", unit="days",
                 example=45)
    wet_for_band_mass_g = Mass(attribute="wet_for_band_g", allow_none=True, about="What it must weigh for the lower "
                               "end of the band to keep the promise; null without a band", example=124.35)


class HoursRange(ResponsePart):
    """A range of hours."""

    min = Number(about="Lower end", unit="hours", example=18)
    max = Number(about="Upper end", unit="hours", example=24)


class DaysRange(ResponsePart):
    """A range of days."""

    min = Number(about="Lower end", unit="days", example=28)
    max = Number(about="Upper end", unit="days", example=42)


class Practice(ResponsePart):
    """What workshops usually do."""

    unmould_hours = Part(HoursRange, about="From the pour to unmoulding")
    cure_days = Part(DaysRange, about="From the cut to the sale")
    message = Text(attribute="text", about="What to know about it", example="Unmould after 18 to 24 hours.")
    provenance = Choice(PROVENANCES, about="How it is known")
    source = Text(attribute="basis", about="What it rests on", example="common practice, no source")


class CureResponse(BaseResponse):
    """Dates, drying curve, masses, wet target: what was requested."""

    omitted: ClassVar[tuple[str, ...]] = ("until", "promise")

    name = Text(allow_none=True, about="As given; null if not", example="deep red")
    dates = Part(DatesWithNotes, allow_none=True, about="Of the batch; null if not requested")
    stamp = Day(allow_none=True, about="Date stamp of the calendar file; null without dates",
                example="2026-11-30")
    day_zero = Day(allow_none=True, about="The date of day 0, where it is known", example="2027-02-03")
    day_zero_weekday = Weekday("day_zero", allow_none=True)
    curve = Part(Curve, allow_none=True, about="Null without weighings")
    loss_bound_pct = Number(attribute="bound_pct", allow_none=True, about="The most a bar can lose: all its "
                            "water. Null if batter and water are not given", unit="% of the batter", example=19.86)
    on = ListOf(Part(CureDay), attribute="days", about="In the order given")
    until = Part(DryingTime, about="If requested")
    promise = Part(PromisedMass, attribute="wet", about="If requested")
    practice = Part(Practice, about="Common practice, no source: nobody has measured it for your soap")
    notes = ListOf(Text(example="Curing is not only drying."), about="What to know about all this")


@operation("POST", "/v1/cure", name="cure", group="release", request=CureRequest, response=CureResponse,
           main_table=FIGURES, summary="Dates of one batch, its drying curve, and the mass of a bar on a day",
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
        "cure", sources=_sources(found), result=found, name=name,
        stamp=None if found.dates is None else stamp or found.dates.pour,
        curve=None if found.drying is None else found,
        until=None if found.losing is None and found.within is None else found,
        practice=CURE_PRACTICE)


def _sources(found: Cured) -> tuple[str, ...]:
    return (*(("iso_8601",) if found.dates is not None else ()),
            *(("first_order_drying",) if found.drying is not None else ()), "cure_practice")


by_address(
    "cure",
    *values_of(CureRequest, "name"), *DATES_KEYS,
    Key(name="weighing", into=("weighings",), many=True, example="day:7,mass:121.6", about="A bar on the scale"),
    Key(name="on", into=("on",), many=True, example="day:28", about="A day on which the mass is wanted"),
    Key(name="until", into=("until",), example="daily_loss:0.1,within:1", about="When a bar is dry"),
    Key(name="promise", into=("promise",), example="mass:110", about="Wet mass to make for a mass on the day"),
    *values_of(CureRequest, "batter_mass", "water_mass", "expected_loss_pct", "stamp", "locale"), UNITS_KEY)
