"""A calendar of several batches before their releases: which is poured on which day, in what, and what is missing.

Backward from each release follow the day packing begins, the last day for cutting and so the days on which a batch may
be poured. An integer program decides which, over the pours in one day, moulds and curing places
(`pour_days.py`). A mould is free again on the day of unmoulding; a place is taken from the cut until packing begins.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from kettlewright import limits
from kettlewright.errors import (
    DomainErrors,
    OutOfRange,
)
from kettlewright.names import slug
from kettlewright.release.days.closed_days import ClosedDays
from kettlewright.release.days.date_steps import CURE_DAYS, UNMOULD_DAYS, latest_cut, mould_days_fit, packing_from
from kettlewright.release.days.dates import BatchDates
from kettlewright.release.days.designs import Sold, check_designs
from kettlewright.release.days.no_calendar import whats_missing
from kettlewright.release.days.pour_days import best_days
from kettlewright.release.days.pour_groups import Group, PourDayChoice, Resource
from kettlewright.release.days.pour_program import Placing
from kettlewright.release.days.workshop import BatchOfDesign, CuringPlaces, MouldKind, ReleaseDay
from kettlewright.said import Said

__all__ = ["CHOICES_MAX", "SCHEDULE_OBJECTIVES", "Load", "Schedule", "ScheduledBatch", "make_schedule"]

SCHEDULE_OBJECTIVES = ("late_pours", "early_pours")
CHOICES_MAX = 1_000
"""Pour days of all batches together, alike ones counted once, up to which the program is solved."""


@dataclass(frozen=True, slots=True)
class ScheduledBatch:
    """A batch in the calendar.

    Parameters
    ----------
    key, name, mould : str
        A slug of the name; design; moulds it takes. [text]
    number, of_count : int
        Which of its design, in the order of the pours, and of how many. [batches]
    moulds_count : int
        How many moulds it takes. [moulds]
    release_name : str, optional
        Where the release has one. [text]
    dates : BatchDates
        Its days. [days]
    """

    key: str
    name: str
    mould: str
    number: int
    of_count: int
    moulds_count: int
    release_name: str | None
    dates: BatchDates


@dataclass(frozen=True, slots=True)
class Load:
    """How much of something is taken on its fullest day.

    Parameters
    ----------
    key, name : str
        "pours", "places", or the moulds. [text]
    most_count, of_count : int
        Taken on that day, and how much there is. [count]
    date : date
        The first such day. [day]
    """

    key: str
    name: str
    most_count: int
    of_count: int
    date: date


@dataclass(frozen=True, slots=True)
class Schedule:
    """A calendar that keeps every release.

    Parameters
    ----------
    batches : tuple of ScheduledBatch
        By day of pour, then in the order of the request. [days]
    fullest : tuple of Load
        Pours, moulds and places on their fullest day. [count]
    objective : str
        What it was made for. [key]
    proven_optimal : bool
        No better calendar exists; else none was found within the limit of nodes. [yes or no]
    notes : tuple of Said
        Notes. [text]
    """

    batches: tuple[ScheduledBatch, ...]
    fullest: tuple[Load, ...]
    objective: str
    proven_optimal: bool
    notes: tuple[Said, ...]


def make_schedule(batches: Sequence[BatchOfDesign], *, moulds: Sequence[MouldKind], earliest: date,
                  releases: Sequence[ReleaseDay] = (), pours_per_day: int = 1, places: CuringPlaces | None = None,
                  closed: ClosedDays | None = None, objective: str = "late_pours") -> Schedule:
    """A calendar in which every batch is cured and packed for its release.

    Parameters
    ----------
    batches : sequence of BatchOfDesign, length n >= 1
        What is made. [batches]
    moulds : sequence of MouldKind
        What there is to pour into. [moulds]
    earliest : date
        No pour before it; the maker gives today's date. [day]
    releases : sequence of ReleaseDay
        Releases with a name. [days]
    pours_per_day : int
        Batches that can be poured on one day. [batches]
    places : CuringPlaces, optional
        Curing places; unlimited if not given. [batches, bars]
    closed : ClosedDays, optional
        Closed days. [days]
    objective : str
        "late_pours": the sum of the pour days as late as possible, so that bars are fresh and money is bound briefly;
        "early_pours": as early as possible, so that there is time to spare. [key]

    Returns
    -------
    Schedule : [days]

    Raises
    ------
    DomainError, DomainErrors : an unknown mould or release, a name twice, a release that comes before its batch can be
        ready; no calendar: then what one more of each thing alone would do, and what fits as it is.

    References
    ----------
    .. [1] Integer program, HiGHS by scipy.optimize.milp.
    """
    shut = ClosedDays() if closed is None else closed
    limits.POURS_COUNT.check(pours_per_day, "pours_per_day_count")
    if objective not in SCHEDULE_OBJECTIVES:
        raise OutOfRange(f'"{objective}" is not an objective. The objectives are {", ".join(SCHEDULE_OBJECTIVES)}.',
                         field=("objective",), value=objective, allowed=", ".join(SCHEDULE_OBJECTIVES))
    sold = check_designs(batches, moulds=moulds, releases=releases, places=places, closed=shut, earliest=earliest)
    resources = [Resource("pours", pours_per_day), *(Resource(f"mould:{kind.key}", kind.count) for kind in moulds)]
    if places is not None:
        resources.append(Resource("places", places.batches_count or places.bars_count or 0))

    def groups(sooner: int = 0, later: Mapping[date, int] | None = None) -> list[Group]:
        return [_group(design, earliest - timedelta(days=sooner),
                       shut.open_from(day + timedelta(days=(later or {}).get(day, 0))), places=places, closed=shut)
                for design, (day, _) in zip(batches, sold, strict=True)]

    requested = groups()
    choices = sum(len(group.choices) for group in requested)
    if choices > CHOICES_MAX:
        raise OutOfRange(f"The batches have {choices:,} pour days to choose from, and at most {CHOICES_MAX:,} can be "
                         "compared: request fewer designs at once, or a later earliest day.",
                         field=("batches",), value=choices, allowed=f"at most {CHOICES_MAX:,}")
    placed = best_days(requested, resources, late=objective == "late_pours")
    if placed is None:
        counted = None if places is None else "batches_count" if places.bars_count is None else "bars_count"
        raise DomainErrors(whats_missing(groups, resources, batches=[design.name for design in batches],
                                   moulds=[(kind.name, kind.key, kind.count) for kind in moulds], places=counted,
                                   earliest=earliest, closed=shut, releases=_places_of(batches, sold, releases)))
    found = _batches(batches, sold, placed)
    return Schedule(found, _fullest(requested, resources, placed, moulds), objective, placed.proven,
                    _notes(batches, found))


def _group(design: BatchOfDesign, earliest: date, release: date, *, places: CuringPlaces | None,
           closed: ClosedDays) -> Group:
    unmould_days = UNMOULD_DAYS if design.unmould_days is None else design.unmould_days
    pack = packing_from(release, design.packing_days, closed)
    cut_by = latest_cut(pack, CURE_DAYS if design.cure_days is None else design.cure_days, closed)
    choices = []
    for number in range(earliest.toordinal(), cut_by.toordinal() + 1):
        day = date.fromordinal(number)
        if closed.holds(day):
            continue
        unmould = closed.open_from(day + timedelta(days=unmould_days))
        if unmould > cut_by:
            break
        if not mould_days_fit(day, unmould, design.unmould_at_most_days):
            continue
        choices.append(PourDayChoice(number, unmould.toordinal(), pack.toordinal()))
    by_bars = places is not None and places.bars_count is not None
    return Group(design.count, slug(design.mould), design.moulds_count, (design.bars_count or 0) if by_bars else 1,
                 tuple(choices))


def _places_of(batches: Sequence[BatchOfDesign], sold: Sequence[Sold],
               releases: Sequence[ReleaseDay]) -> dict[date, tuple[str | int, ...]]:
    """Place of each release in the request."""
    found: dict[date, tuple[str | int, ...]] = {}
    days = [day for day, _ in sold]
    for index, (design, day) in enumerate(zip(batches, days, strict=True)):
        if isinstance(design.release, date):
            found.setdefault(day, ("batches", index, "release"))
    for index, one in enumerate(releases):
        if one.release in days:
            found[one.release] = ("releases", index, "release")
    return found


def _batches(batches: Sequence[BatchOfDesign], sold: Sequence[Sold], placed: Placing) -> tuple[ScheduledBatch, ...]:
    found: list[tuple[int, int, ScheduledBatch]] = []
    for place, (design, (day, name), counts) in enumerate(zip(batches, sold, placed.counts, strict=True)):
        cure_days = CURE_DAYS if design.cure_days is None else design.cure_days
        number = 0
        for choice in sorted(counts, key=lambda one: one.pour):
            pour, unmould, pack = (date.fromordinal(at) for at in (choice.pour, choice.unmould, choice.pack))
            dates = BatchDates(pour, unmould, unmould + timedelta(days=cure_days), pack, day,
                               choice.unmould - choice.pour, choice.pack - choice.unmould)
            for _ in range(counts[choice]):
                number += 1
                found.append((choice.pour, place, ScheduledBatch(
                    design.key, design.name, design.mould, number, design.count, design.moulds_count, name, dates)))
    return tuple(row for *_, row in sorted(found, key=lambda one: one[:2]))


def _fullest(groups: Sequence[Group], resources: Sequence[Resource], placed: Placing,
             moulds: Sequence[MouldKind]) -> tuple[Load, ...]:
    names = {f"mould:{kind.key}": (kind.key, kind.name) for kind in moulds}
    loads = []
    for resource in resources:
        taken: dict[int, int] = {}
        for group, counts in zip(groups, placed.counts, strict=True):
            amount, days = resource.taken(group)
            for choice, count in counts.items():
                for day in days(choice) if amount else ():
                    taken[day] = taken.get(day, 0) + amount * count
        if taken:
            fullest = min(taken, key=lambda day: (-taken[day], day))
            key, name = names.get(resource.key, (resource.key, _COUNTED.get(resource.key, "")))
            loads.append(Load(key, name, taken[fullest], resource.limit, date.fromordinal(fullest)))
    return tuple(loads)


_COUNTED = {"pours": Said("pours in one day"), "places": Said("curing places")}


def _notes(batches: Sequence[BatchOfDesign], found: Sequence[ScheduledBatch]) -> tuple[Said, ...]:
    notes = [Said("A mould is free again on the day of unmoulding; a curing place is occupied from the cut until "
                  "packing begins.")]
    for design in batches:
        planned = UNMOULD_DAYS if design.unmould_days is None else design.unmould_days
        longest = max((one.dates.in_mould_days for one in found if one.name == design.name), default=planned)
        if longest > planned:
            notes.append(Said('Closed days keep "{name}" in the mould for up to {days} days instead of {planned}: it '
                              "may be hard to cut by then. Set unmould_at_most_days to rule that out.",
                              name=design.name, days=longest, planned=planned))
    if any(design.unmould_days is None for design in batches):
        notes.append(Said("Where you gave no days, unmoulding after 18 to 24 hours is assumed (common practice, no "
                          "source)."))
    if any(design.cure_days is None for design in batches):
        notes.append(Said("Where you gave no days, a cure of {days} days is assumed, the longer end of 4 to 6 weeks "
                          "(common practice, no source).", days=CURE_DAYS))
    return (*notes, Said("Curing is not only drying: lather and mildness keep changing after a bar stops losing weight "
                         "(common practice, no source)."))
