"""Reply of `cure`. Written by `make contract` from openapi.yaml; do not edit."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal, overload

from kettlewright_client.generated.results.shared import Reply
from kettlewright_client.record import Record

__all__ = ["BatchDays", "CoursePoint", "Cure", "CureDay", "Curve", "CurveErrors", "DatesWithNotes", "DaysRange",
           "DryingTime", "HoursRange", "MassBand", "Practice", "PromisedMass", "ReachedOn", "Weighing"]


@dataclass(frozen=True, kw_only=True, repr=False)
class BatchDays(Record):
    """`dates` of `ScheduledBatch` (Its days)."""

    pour: str
    """Poured. A date such as 2027-03-20."""

    pour_weekday: str
    """Weekday of "pour", in words."""

    unmould: str
    """Unmoulded and cut. A date such as 2027-03-20."""

    unmould_weekday: str
    """Weekday of "unmould", in words."""

    cure_until: str
    """End of the cure; curing is not only drying. A date such as 2027-03-20."""

    cure_until_weekday: str
    """Weekday of "cure_until", in words."""

    pack_from: str
    """Packing begins. A date such as 2027-03-20."""

    pack_from_weekday: str
    """Weekday of "pack_from", in words."""

    release: str
    """Sold from. A date such as 2027-03-20."""

    release_weekday: str
    """Weekday of "release", in words."""

    in_mould_days: int
    """From the pour to unmoulding, closed days included. Unit: days."""

    curing_days: int
    """From the cut to packing, closed days included. Unit: days."""


@dataclass(frozen=True, kw_only=True, repr=False)
class DatesWithNotes(BatchDays):
    """`dates` of `Cure` (Of the batch; null if not requested), and 3 more."""

    assumed: tuple[str, ...]
    """What was assumed because it was not given."""

    notes: tuple[str, ...]
    """What to know about these dates."""


@dataclass(frozen=True, kw_only=True, repr=False)
class CurveErrors(Record):
    """`errors` of `Curve` (Standard errors; null with three weighings, where none can be given)."""

    equilibrium_mass: float
    """Of the final mass. Unit: `units.mass`, g if not set."""

    to_lose_mass: float
    """Of the loss from day 0 to the end. Unit: `units.mass`, g if not set."""

    rate_per_day: float
    """Of the rate. Unit: 1/day."""


@dataclass(frozen=True, kw_only=True, repr=False)
class Weighing(Record):
    """`weighings[]` of `Curve` (By day)."""

    day: float
    """Counted from day 0. Unit: days."""

    mass: float
    """As given. Unit: `units.mass`, g if not set."""


@dataclass(frozen=True, kw_only=True, repr=False)
class MassBand(Record):
    """`band` of `CoursePoint` (95 %; null if no error can be given), and 1 more."""

    min: float
    """Lower end. Unit: `units.mass`, g if not set."""

    max: float
    """Upper end. Unit: `units.mass`, g if not set."""


@dataclass(frozen=True, kw_only=True, repr=False)
class CoursePoint(Record):
    """`course[]` of `Curve` (Points for drawing it)."""

    day: float
    """Counted from day 0. Unit: days."""

    mass: float
    """By the curve. Unit: `units.mass`, g if not set."""

    band: MassBand | None
    """95 %; null if no error can be given."""

    if TYPE_CHECKING:
        def need(self, part: Literal["band"]) -> MassBand: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class Curve(Record):
    """`curve` of `Cure` (Null without weighings), and 1 more."""

    start_mass: float
    """On day 0. Unit: `units.mass`, g if not set."""

    equilibrium_mass: float
    """Final mass. Unit: `units.mass`, g if not set."""

    to_lose_mass: float
    """Loss from day 0 to the end. Unit: `units.mass`, g if not set."""

    rate_per_day: float
    """How fast it dries. Unit: 1/day."""

    half_life_days: float
    """Time in which the remaining loss halves. Unit: days."""

    errors: CurveErrors | None
    """Standard errors; null with three weighings, where none can be given."""

    scatter_mass: float | None
    """Standard deviation of the weighings about the curve; null with three weighings. Unit: `units.mass`, g if not set.
    """

    weighings: tuple[Weighing, ...]
    """By day."""

    course: tuple[CoursePoint, ...]
    """Points for drawing it."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["errors"]) -> CurveErrors: ...
        @overload
        def need(self, part: Literal["scatter_mass"]) -> float: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class CureDay(Record):
    """`on[]` of `Cure` (In the order given)."""

    day: float
    """Counted from day 0. Unit: days."""

    date: str | None
    """The date; null if that of day 0 is not known. A date such as 2027-03-20."""

    weekday: str | None
    """Weekday of "date", in words."""

    mass: float
    """By the curve. Unit: `units.mass`, g if not set."""

    band: MassBand | None
    """Where a weighing on that day would lie (95 %); null if three weighings allow no error."""

    loss_pct: float
    """Since day 0; takes the place of expected_loss_pct elsewhere. Unit: % of the mass on day 0."""

    daily_loss: float
    """Loss per day at that time. Unit: `units.mass`, g if not set."""

    beyond: bool
    """Whether it is after the last weighing (extrapolated)."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["date"]) -> str: ...
        @overload
        def need(self, part: Literal["weekday"]) -> str: ...
        @overload
        def need(self, part: Literal["band"]) -> MassBand: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class ReachedOn(Record):
    """`daily_loss` of `DryingTime` (When it loses less a day than you gave; null if not requested), and 1 more."""

    day: float
    """Counted from day 0. Unit: days."""

    date: str | None
    """The first whole day by which it is; null if the date of day 0 is not known. A date such as 2027-03-20."""

    weekday: str | None
    """Weekday of "date", in words."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["date"]) -> str: ...
        @overload
        def need(self, part: Literal["weekday"]) -> str: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class DryingTime(Record):
    """`until` of `Cure` (If requested)."""

    daily_loss: ReachedOn | None
    """When it loses less a day than you gave; null if not requested."""

    within: ReachedOn | None
    """When it is as near to its end as you gave; null if not requested."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["daily_loss"]) -> ReachedOn: ...
        @overload
        def need(self, part: Literal["within"]) -> ReachedOn: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class PromisedMass(Record):
    """`promise` of `Cure` (If requested)."""

    mass: float
    """Promised. Unit: `units.mass`, g if not set."""

    wet_mass: float
    """What the bar must weigh on day 0. Unit: `units.mass`, g if not set."""

    loss_pct: float
    """Between the two. Unit: % of the wet mass."""

    basis: str
    """Origin of the loss: as given, the curve on the day, the end of the curve, or all the water. One of told, curve,
    curve_end, bound.
    """

    day: float | None
    """Of the promise; null if the loss is not the curve's on a day. Unit: days."""

    wet_for_band_mass: float | None
    """What it must weigh for the lower end of the band to keep the promise; null without a band. Unit: `units.mass`, g
    if not set.
    """

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["day"]) -> float: ...
        @overload
        def need(self, part: Literal["wet_for_band_mass"]) -> float: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class HoursRange(Record):
    """`unmould_hours` of `Practice` (From the pour to unmoulding)."""

    min: float
    """Lower end. Unit: hours."""

    max: float
    """Upper end. Unit: hours."""


@dataclass(frozen=True, kw_only=True, repr=False)
class DaysRange(Record):
    """`cure_days` of `Practice` (From the cut to the sale)."""

    min: float
    """Lower end. Unit: days."""

    max: float
    """Upper end. Unit: days."""


@dataclass(frozen=True, kw_only=True, repr=False)
class Practice(Record):
    """`practice` of `Cure` (Common practice, no source: nobody has measured it for your soap)."""

    unmould_hours: HoursRange
    """From the pour to unmoulding."""

    cure_days: DaysRange
    """From the cut to the sale."""

    message: str
    """What to know about it."""

    provenance: str
    """How it is known. One of read, second_hand, memory, computed, own_decision."""

    source: str
    """What it rests on."""


@dataclass(frozen=True, kw_only=True, repr=False)
class Cure(Reply):
    """Reply of `cure`: dates of one batch, its drying curve, and the mass of a bar on a day."""

    name: str | None
    """As given; null if not."""

    dates: DatesWithNotes | None
    """Of the batch; null if not requested."""

    stamp: str | None
    """Date stamp of the calendar file; null without dates. A date such as 2027-03-20."""

    day_zero: str | None
    """The date of day 0, where it is known. A date such as 2027-03-20."""

    day_zero_weekday: str | None
    """Weekday of "day_zero", in words."""

    curve: Curve | None
    """Null without weighings."""

    loss_bound_pct: float | None
    """The most a bar can lose: all its water. Null if batter and water are not given. Unit: % of the batter."""

    on: tuple[CureDay, ...]
    """In the order given."""

    until: DryingTime | None = None
    """If requested."""

    promise: PromisedMass | None = None
    """If requested."""

    practice: Practice
    """Common practice, no source: nobody has measured it for your soap."""

    notes: tuple[str, ...]
    """What to know about all this."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["name"]) -> str: ...
        @overload
        def need(self, part: Literal["dates"]) -> DatesWithNotes: ...
        @overload
        def need(self, part: Literal["stamp"]) -> str: ...
        @overload
        def need(self, part: Literal["day_zero"]) -> str: ...
        @overload
        def need(self, part: Literal["day_zero_weekday"]) -> str: ...
        @overload
        def need(self, part: Literal["curve"]) -> Curve: ...
        @overload
        def need(self, part: Literal["loss_bound_pct"]) -> float: ...
        @overload
        def need(self, part: Literal["until"]) -> DryingTime: ...
        @overload
        def need(self, part: Literal["promise"]) -> PromisedMass: ...
        def need(self, part: str) -> Any: ...
