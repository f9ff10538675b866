"""Why there is no calendar: which single additional resource would be enough, and what fits now."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date, timedelta
from functools import partial
from typing import Protocol

from kettlewright.errors import DomainError, Unsolvable
from kettlewright.release.days.closed_days import ClosedDays, NoOpenDay
from kettlewright.release.days.pour_advice import Effort, least_extra, most_batches, possible
from kettlewright.release.days.pour_groups import Group, Resource

__all__ = ["SHIFT_DAYS_MAX", "Groups", "whats_missing"]

SHIFT_DAYS_MAX = 31
"""How many days earlier or later are tried."""
_RELEASES_MAX = 4

_KEPT = "With everything else unchanged"


class Groups(Protocol):
    """The batches to be poured, begun so many days sooner, or their releases so many days later."""

    def __call__(self, sooner: int = 0, later: Mapping[date, int] | None = None) -> list[Group]:
        """The groups (`sooner` [days], `later` by release [days]). [batches]"""


def whats_missing(groups: Groups, resources: Sequence[Resource], *, batches: Sequence[str],
                  moulds: Sequence[tuple[str, str, int]], places: str | None, earliest: date, closed: ClosedDays,
                  releases: Mapping[date, tuple[str | int, ...]]) -> list[DomainError]:
    """What alone would make a calendar possible, each at its place in the request.

    Parameters
    ----------
    groups : Groups
        The batches, as requested or shifted. [batches]
    resources : sequence of Resource
        What there is. [count]
    batches : sequence of str
        The name of each group. [text]
    moulds : sequence of (name, key, count)
        In the order of the request. [moulds]
    places : str, optional
        The field that counts the places. [key]
    earliest : date
        The first day for a pour. [day]
    closed : ClosedDays
        Closed days. [days]
    releases : mapping
        Place of each release in the request. [path]

    Returns
    -------
    list of DomainError : the first says what fits now. [text]
    """
    requested = groups()
    limit = {resource.key: resource.limit for resource in resources}
    would: list[DomainError] = []
    effort = Effort()
    more = least_extra(requested, resources, "pours", effort)
    if more:
        count = limit["pours"] + more
        would.append(Unsolvable(f"{_KEPT}, {count} pours a day instead of {limit['pours']} would be enough.",
                                field=("pours_per_day_count",), value=limit["pours"], allowed=f"at least {count}"))
    for index, (name, key, count) in enumerate(moulds):
        more = least_extra(requested, resources, f"mould:{key}", effort)
        if more:
            would.append(Unsolvable(f'{_KEPT}, {_more(more)} of "{name}" would be enough: {count + more} instead of '
                                    f'{count}.',
                                    field=("moulds", index, "count"), value=count, allowed=f"at least {count + more}"))
    if places is not None:
        more = least_extra(requested, resources, "places", effort)
        if more:
            count = limit["places"] + more
            what = "batches" if places == "batches_count" else "bars"
            would.append(Unsolvable(f"{_KEPT}, room for {count} curing {what} instead of {limit['places']} would be "
                                    "enough.",
                                    field=("places", places), value=limit["places"], allowed=f"at least {count}"))
    sooner = _fewest(lambda days: groups(sooner=days), resources, effort)
    if sooner is not None:
        day = earliest - timedelta(days=sooner)
        would.append(Unsolvable(f"{_KEPT}, starting {_days(sooner)} earlier, on {day}, would be "
                                "enough.", field=("earliest",),
                                value=str(earliest), allowed=f"{day} or earlier"))
    for release, place in list(releases.items())[:_RELEASES_MAX]:
        later = _fewest(partial(_released_later, groups, release), resources, effort)
        if later is not None:
            day = closed.open_from(release + timedelta(days=later))
            would.append(Unsolvable(f"{_KEPT}, releasing {release} {_days((day - release).days)} later, on {day}, "
                                    "would be enough.",
                                    field=place, value=str(release), allowed=f"{day} or later"))
    return [_what_fits(requested, resources, batches, alone=bool(would)), *would]


def _fewest(groups: Callable[[int], list[Group]], resources: Sequence[Resource], effort: Effort) -> int | None:
    """A number of days with which there is a calendar, the fewest as far as halving finds it."""
    def would_do(days: int) -> bool:
        try:
            return possible(groups(days), resources, effort)
        except NoOpenDay:
            return False

    low, high = 0, SHIFT_DAYS_MAX
    if not would_do(high):
        return None
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if would_do(middle) else (middle, high)
    return high


def _released_later(groups: Groups, release: date, days: int) -> list[Group]:
    return groups(later={release: days})


def _what_fits(requested: Sequence[Group], resources: Sequence[Resource], batches: Sequence[str], *,
               alone: bool) -> Unsolvable:
    total = sum(group.count for group in requested)
    found = most_batches(requested, resources)
    fits = ""
    if found is not None:
        counts = [sum(counts.values()) for counts in found.counts]
        rows = ", ".join(f'"{name}" {count} of {group.count}'
                         for name, count, group in zip(batches, counts, requested, strict=True)
                         if count < group.count)
        # within the limit of nodes a good number is found, but not always proven to be the largest
        fits = f" {'At most' if found.proven else 'At least'} {sum(counts)} can be ready" + (
            f" (such as {rows})." if rows else ".")
    advice = ("Each of the next lines would be enough on its own." if alone else
              f"No single change is enough within {SHIFT_DAYS_MAX} days: request fewer batches, or change several "
              "things.")
    return Unsolvable(f"There is no calendar for these {total} batches.{fits} {advice}", field=("batches",),
                      value=total)


def _more(count: int) -> str:
    return "one more" if count == 1 else f"{count} more"


def _days(count: int) -> str:
    return "a day" if count == 1 else f"{count} days"
