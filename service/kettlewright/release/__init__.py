"""From the cut bar to its sale: what it weighs on the day, and when each step must be done."""

from kettlewright.release.cure import CURE_PRACTICE, Cured, DayAsked, Practice, Promise, cure
from kettlewright.release.dates import BatchDates, ClosedDays, DateWish, Span, batch_dates
from kettlewright.release.drying import Drying, MassOnDay, Weighing, fit_drying, loss_bound
from kettlewright.release.schedules import Schedule, ScheduledBatch, make_schedule
from kettlewright.release.workshop import BatchWish, CuringPlaces, MouldKind, ReleaseDay

__all__ = [
    "CURE_PRACTICE",
    "BatchDates",
    "BatchWish",
    "ClosedDays",
    "Cured",
    "CuringPlaces",
    "DateWish",
    "DayAsked",
    "Drying",
    "MassOnDay",
    "MouldKind",
    "Practice",
    "Promise",
    "ReleaseDay",
    "Schedule",
    "ScheduledBatch",
    "Span",
    "Weighing",
    "batch_dates",
    "cure",
    "fit_drying",
    "loss_bound",
    "make_schedule",
]
