"""Cure: dates of a batch, drying curve, mass of a bar on a day, fresh mass for a promised cured mass."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from kettlewright import limits
from kettlewright.curing import check_loss
from kettlewright.errors import DomainError, Missing, gather
from kettlewright.ranges import Range
from kettlewright.release.days.cure_days import DayInput, Promise, Weighed, date_of_day, day_number
from kettlewright.release.days.dates import BatchDates, DateOptions, batch_dates
from kettlewright.release.days.drying import Drying, MassOnDay, Weighing, loss_bound
from kettlewright.release.days.drying_fit import fit_drying
from kettlewright.release.days.wet_target import WetTarget, wet_target
from kettlewright.said import EnglishText, Said

__all__ = ["CURE_PRACTICE", "CureDay", "Cured", "Practice", "When", "cure"]

_COURSE = 48  # pieces of the curve, for drawing it
_NOT_ONLY_WEIGHT = Said("Curing is not only drying: lather and mildness keep changing after a bar stops losing weight "
                        "(common practice, no source).")


@dataclass(frozen=True, slots=True)
class Practice:
    """Common practice of workshops; not measured for your soap.

    Parameters
    ----------
    unmould_hours : Range
        From the pour to unmoulding. [h]
    cure_days : Range
        From the cut to the sale. [days]
    text, basis : Said
        Notes and their source. [text]
    provenance : str
        One of `PROVENANCES`. [word]
    """

    unmould_hours: Range
    cure_days: Range
    text: Said
    basis: Said
    provenance: str


CURE_PRACTICE = Practice(
    Range(18.0, 24.0), Range(28.0, 42.0),
    Said("Unmould after 18 to 24 hours, later with a lot of olive oil or little alkali; cut while the soap is firm but "
         "still pliable; cure for 4 to 6 weeks in a well-ventilated place."),
    Said("common practice, no source"), "memory")


@dataclass(frozen=True, slots=True)
class When:
    """When something is reached.

    Parameters
    ----------
    day : float
        Counted from day 0. [days]
    date : date, optional
        The first whole day by which it is, where the date of day 0 is known. [day]
    """

    day: float
    date: date | None


@dataclass(frozen=True, slots=True)
class CureDay:
    """A requested day.

    Parameters
    ----------
    found : MassOnDay
        What a bar weighs. [g]
    date : date, optional
        Where the date of day 0 is known. [day]
    """

    found: MassOnDay
    date: date | None


@dataclass(frozen=True, slots=True)
class Cured:
    """What is known of a cure.

    Parameters
    ----------
    dates : BatchDates, optional
        If requested. [days]
    day_zero : date, optional
        Date of day 0, if known. [day]
    drying : Drying, optional
        Of weighings. [g]
    bound_pct : float, optional
        The largest possible loss, if the water is given. [% of the batter]
    days : tuple of CureDay
        In the order of the request. [g]
    losing, within : When, optional
        When the daily loss is small enough and when the end is near, if requested. [days]
    wet : WetTarget, optional
        For a promised mass. [g]
    notes : tuple of Said
        Notes. [text]
    """

    dates: BatchDates | None
    day_zero: date | None
    drying: Drying | None
    bound_pct: float | None
    days: tuple[CureDay, ...]
    losing: When | None
    within: When | None
    wet: WetTarget | None
    notes: tuple[Said, ...]

    @property
    def course(self) -> tuple[MassOnDay, ...]:
        """Points of the curve from day 0 to beyond the last weighing and every requested day. [g]"""
        if self.drying is None:
            return ()
        end = max(self.drying.last_day, *(day.found.day for day in self.days), 1.0)
        return tuple(self.drying.on_day(end * number / _COURSE) for number in range(_COURSE + 1))


def cure(weighed: Sequence[Weighed] = (), *, dates: DateOptions | None = None, requested: Sequence[DayInput] = (),
         daily_loss_g: float | None = None, within_pct: float | None = None, promise: Promise | None = None,
         batter_g: float | None = None, water_g: float | None = None,
         expected_loss_pct: float | None = None) -> Cured:
    """What is known of a cure.

    Parameters
    ----------
    weighed : sequence of Weighed
        Of one bar, all by day or all by date; day 0 is then the date of the first. [g]
    dates : DateOptions, optional
        Dates of the batch; if weighings are given by day, day 0 is the day of the cut. [days]
    requested : sequence of DayInput
        Days on which the mass is wanted. [days]
    daily_loss_g, within_pct : float, optional
        A loss that is small enough; a distance from the end that is near enough. [g/day, %]
    promise : Promise, optional
        A mass on a day. [g]
    batter_g, water_g : float, optional
        Of the whole batter, both or none: the bound of the loss. [g]
    expected_loss_pct : float, optional
        A loss given instead of weighings. [%]

    Returns
    -------
    Cured : [days, g]

    Raises
    ------
    DomainErrors, DomainError : what dates and fit refuse; a question that needs weighings or a date of day 0.

    References
    ----------
    .. [1] First-order drying: standard form, from memory. 18 to 24 h, 4 to 6 weeks: common practice, no source.
    """
    bound = found_dates = drying = zero = None
    with gather() as checks:
        with checks.at():
            bound = _bound(batter_g, water_g)
        with checks.at("dates"):
            found_dates = None if dates is None else batch_dates(dates)
        with checks.at():
            if expected_loss_pct is not None and weighed:
                raise DomainError('The loss is computed from the weighings: leave out "expected_loss_pct" or the '
                                  'weighings.',
                                  field=("expected_loss_pct",))
        with checks.at():
            if batter_g is not None and water_g is not None:
                check_loss(expected_loss_pct, mass_g=batter_g, water_g=water_g, what=EnglishText("the batter"))
        with checks.at():
            _needs_weighings(weighed, requested=bool(requested), until=(daily_loss_g, within_pct))
    with gather() as checks, checks.at("weighings"):
        if weighed:
            zero, rows = _days_of(weighed)
            drying = fit_drying(rows, bound_pct=bound)
    if zero is None and found_dates is not None:
        zero = found_dates.unmould
    with gather() as checks:
        days: list[CureDay] = []
        wet = losing = within = None
        for index, one in enumerate(requested):
            with checks.at("on", index):
                assert drying is not None
                found = drying.on_day(day_number(one, zero))
                days.append(CureDay(found, date_of_day(zero, found.day)))
        with checks.at("until"):
            losing = None if drying is None or daily_loss_g is None else _when(
                zero, drying.days_until_losing(daily_loss_g))
        with checks.at("until"):
            within = None if drying is None or within_pct is None else _when(zero, drying.days_until_within(within_pct))
        with checks.at("promise"):
            wet = None if promise is None else wet_target(promise, drying, zero=zero, dates=found_dates, bound=bound,
                                                    given_pct=expected_loss_pct)
    return Cured(found_dates, zero, drying, bound, tuple(days), losing, within, wet,
                 tuple(_notes(drying, days, bound, losing is not None or within is not None)))


def _bound(batter_g: float | None, water_g: float | None) -> float | None:
    if batter_g is None and water_g is None:
        return None
    if batter_g is None or water_g is None:
        name = "batter_mass" if batter_g is None else "water_mass"
        raise Missing(f'The largest possible loss needs both "batter_mass" and "water_mass"; "{name}" is missing.',
                      field=(name,))
    return loss_bound(batter_g, water_g)


def _needs_weighings(weighed: Sequence[Weighed], *, requested: bool, until: tuple[float | None, float | None]) -> None:
    wanting = [name for name, wanted in (("on", requested), ("until", until != (None, None))) if wanted]
    if wanting and not weighed:
        raise Missing('Give three or more "weighings": the mass on a day, and the day it is dry, are computed from '
                      'them.', field=(wanting[0],))


def _days_of(weighed: Sequence[Weighed]) -> tuple[date | None, list[Weighing]]:
    dated = [one.when.date for one in weighed if one.when.date is not None]
    if not dated:
        return None, [Weighing(one.when.day or 0.0, one.mass_g) for one in weighed]
    if len(dated) < len(weighed):
        raise DomainError('Give all weighings by "day" or all by "date".')
    zero = min(dated)
    with gather() as checks:
        rows = []
        for index, (one, day) in enumerate(zip(weighed, dated, strict=True)):
            with checks.at(index, "date"):
                rows.append(Weighing(limits.DRYING_DAY.check(float((day - zero).days)), one.mass_g))
    return zero, rows


def _when(zero: date | None, day: float) -> When:
    return When(day, date_of_day(zero, day))


def _notes(drying: Drying | None, days: Sequence[CureDay], bound: float | None, dated: bool) -> list[Said]:
    notes: list[Said] = []
    if drying is None:
        notes.append(Said("Weigh a bar once a week from the day it is cut: without weighings only the largest possible "
                          "loss is known. Soap and glycerol keep some of the water.") if bound is not None else
                     Said("Weigh a bar once a week from the day it is cut: without weighings only common practice can "
                          "be given."))
    else:
        notes.append(Said("Loss counts from day 0; earlier loss is not included. Bars of another size, recipe or "
                          "season dry differently."))
        count = len(drying.weighings)
        if drying.scatter_g is None:
            notes.append(Said("Three weighings fully determine the curve, so no error can be given. Add a fourth."))
        elif drying.scatter_g < 1e-6 * drying.start_g:
            notes.append(Said("The curve goes through every weighing, so the band shows no scatter; each weighing is "
                              "still only as exact as your scale."))
        elif count - 3 <= 2:
            notes.append(Said("With {count} weighings the band is wide because the scatter is poorly known; one more "
                              "narrows it considerably.", count=count))
        if any(day.found.beyond for day in days):
            notes.append(Said("After the last weighing the curve is extrapolated, assuming that nothing changes."))
    return [*notes, *([_NOT_ONLY_WEIGHT] if dated else [])]
