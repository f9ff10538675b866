"""Replies of `cure`; dates are in ISO 8601."""

from __future__ import annotations

from dataclasses import dataclass

from kettlewright_client.results.ground import Range, Reply

__all__ = ["BatchDates", "BatchDays", "CoursePoint", "Cure", "CureDay", "CurveErrors", "DryingCurve", "Practice",
           "Until", "WeighedOn", "WetTarget", "When"]


@dataclass(frozen=True, kw_only=True)
class BatchDays:
    """The dates of a batch, in ISO 8601."""

    pour: str
    pour_weekday: str
    unmould: str
    unmould_weekday: str
    cure_until: str
    cure_until_weekday: str
    pack_from: str
    pack_from_weekday: str
    release: str
    release_weekday: str
    in_mould_days: int
    curing_days: int


@dataclass(frozen=True, kw_only=True)
class BatchDates(BatchDays):
    """The dates of a batch, with notes."""

    assumed: tuple[str, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class CurveErrors:
    """Standard errors of a drying curve."""

    equilibrium_mass: float
    to_lose_mass: float
    rate_per_day: float


@dataclass(frozen=True, kw_only=True)
class WeighedOn:
    """A weighing."""

    day: float
    mass: float


@dataclass(frozen=True, kw_only=True)
class CoursePoint:
    """A point of a drying curve, with its band."""

    day: float
    mass: float
    band: Range | None


@dataclass(frozen=True, kw_only=True)
class DryingCurve:
    """A drying curve."""

    start_mass: float
    equilibrium_mass: float
    to_lose_mass: float
    rate_per_day: float
    half_life_days: float
    errors: CurveErrors | None
    scatter_mass: float | None
    weighings: tuple[WeighedOn, ...]
    course: tuple[CoursePoint, ...]


@dataclass(frozen=True, kw_only=True)
class CureDay:
    """Mass of a bar on a day."""

    day: float
    date: str | None
    weekday: str | None
    mass: float
    band: Range | None
    loss_pct: float
    daily_loss: float
    beyond: bool


@dataclass(frozen=True, kw_only=True)
class When:
    """When a mass is reached."""

    day: float
    date: str | None
    weekday: str | None


@dataclass(frozen=True, kw_only=True)
class Until:
    """When a bar is dry."""

    daily_loss: When | None
    within: When | None


@dataclass(frozen=True, kw_only=True)
class WetTarget:
    """The mass to make for a promised mass."""

    mass: float
    wet_mass: float
    loss_pct: float
    basis: str
    day: float | None
    wet_for_band_mass: float | None


@dataclass(frozen=True, kw_only=True)
class Practice:
    """Common practice of workshops, no source."""

    unmould_hours: Range
    cure_days: Range
    message: str
    provenance: str
    source: str


@dataclass(frozen=True, kw_only=True)
class Cure(Reply):
    """Reply of `cure`."""

    name: str | None
    dates: BatchDates | None
    stamp: str | None
    day_zero: str | None
    day_zero_weekday: str | None
    curve: DryingCurve | None
    loss_bound_pct: float | None
    on: tuple[CureDay, ...]
    until: Until | None
    promise: WetTarget | None
    practice: Practice
    notes: tuple[str, ...]
