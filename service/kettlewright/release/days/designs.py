"""Batches of designs checked against the moulds and releases of the workshop."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from kettlewright import limits
from kettlewright.errors import (
    DomainError,
    Missing,
    OutOfRange,
    UnknownIngredient,
    Unsolvable,
    check_distinct,
    gather,
)
from kettlewright.names import slug
from kettlewright.release.days.closed_days import ClosedDays, NoOpenDay
from kettlewright.release.days.dates import DateOptions, batch_dates
from kettlewright.release.days.workshop import BatchOfDesign, CuringPlaces, MouldKind, ReleaseDay

__all__ = ["HORIZON_DAYS_MAX", "check_designs"]

HORIZON_DAYS_MAX = 400
"""Days from the earliest pour to the last release that one calendar may span."""


Sold = tuple[date, str | None]
"""The day of a release, and its name where it has one."""


def check_designs(batches: Sequence[BatchOfDesign], *, moulds: Sequence[MouldKind], releases: Sequence[ReleaseDay],
                  places: CuringPlaces | None, closed: ClosedDays, earliest: date) -> list[Sold]:
    """The release of each batch; all errors are raised at once.

    Parameters
    ----------
    batches : sequence of BatchOfDesign
        What is made. [batches]
    moulds : sequence of MouldKind
        What there is to pour into. [moulds]
    releases : sequence of ReleaseDay
        Releases with a name. [days]
    places : CuringPlaces, optional
        Curing places. [batches, bars]
    closed : ClosedDays
        Closed days. [days]
    earliest : date
        No pour before it. [day]

    Returns
    -------
    list of Sold : in the order of the batches. [days]

    Raises
    ------
    DomainErrors : a name twice, an unknown mould or release, a release that
        comes too soon or too late, too many batches.
    """
    named = {one.key: one for one in releases}
    kinds = {kind.key: kind for kind in moulds}
    found: list[Sold] = []
    made: set[tuple[str, date]] = set()
    with gather() as checks:
        with checks.at("moulds"):
            check_distinct([kind.key for kind in moulds], "kind of mould")
        with checks.at("releases"):
            check_distinct([one.key for one in releases], "release")
        with checks.at("batches"):
            total = sum(design.count for design in batches)
            if total > limits.BATCHES_COUNT.high:
                raise OutOfRange(f"There are {total} batches in all; a calendar takes at most "
                                 f"{limits.BATCHES_COUNT.high:.0f}.", value=total)
        for index, design in enumerate(batches):
            with checks.at("batches", index):
                _check_moulds(design, kinds)
            with checks.at("batches", index, "bars_count"):
                if places is not None and places.bars_count is not None and design.bars_count is None:
                    raise Missing(f'Places are counted in bars: give the number of bars of "{design.name}".')
            with checks.at("batches", index):
                found.append(_release(design, named, closed=closed, earliest=earliest))
                if (design.key, found[-1][0]) in made:
                    raise DomainError(f'"{design.name}" appears twice for the release on {found[-1][0]}: add up the '
                                      'counts, or give one of them another name.', field=("name",), value=design.name)
                made.add((design.key, found[-1][0]))
    return found


def _check_moulds(design: BatchOfDesign, kinds: Mapping[str, MouldKind]) -> None:
    kind = kinds.get(slug(design.mould))
    if kind is None:
        known = ", ".join(one.name for one in kinds.values())
        raise UnknownIngredient(f'There is no mould "{design.mould}"; the moulds are {known}.', field=("mould",),
                                value=design.mould, allowed=known)
    if design.moulds_count > kind.count:
        raise Unsolvable(f'A batch of "{design.name}" takes {design.moulds_count} of "{kind.name}", and there '
                         f"{'is' if kind.count == 1 else 'are'} {kind.count}.", field=("moulds_count",),
                         value=design.moulds_count, allowed=f"at most {kind.count}")


def _release(design: BatchOfDesign, named: Mapping[str, ReleaseDay], *, closed: ClosedDays, earliest: date) -> Sold:
    given, name = design.release, None
    if given is None:
        if len(named) != 1:
            raise Missing(f'Say when "{design.name}" is released: give a date, or the name of one of the releases.',
                          field=("release",))
        only = next(iter(named.values()))
        day, name = only.release, only.name
    elif isinstance(given, str):
        if slug(given) not in named:
            known = ", ".join(one.name for one in named.values()) or "none has a name"
            raise UnknownIngredient(f'"{given}" is neither a date such as 2027-03-20 nor the name of a release '
                                    f'({known}).', field=("release",), value=given, allowed=known)
        day, name = named[slug(given)].release, named[slug(given)].name
    else:
        day = given
    span = (day - earliest).days
    if span > HORIZON_DAYS_MAX:
        raise OutOfRange(f"There are {span} days from {earliest} to the release on {day}; a calendar covers at most "
                         f"{HORIZON_DAYS_MAX}.", field=("release",), value=str(day))
    try:
        batch_dates(DateOptions(release=day, unmould_days=design.unmould_days,
                             unmould_at_most_days=design.unmould_at_most_days, cure_days=design.cure_days,
                             packing_days=design.packing_days, closed=closed, earliest=earliest))
    except NoOpenDay as error:
        raise Unsolvable(error.detail, field=("release",), value=str(day), allowed=error.allowed) from None
    return day, name
