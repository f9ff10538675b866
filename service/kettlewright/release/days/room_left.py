"""Room that is left on each day, and calendars made by placing one batch after the other.

What is found here is a calendar that keeps every limit, but not always the best one: the integer program in
`pour_days.py` starts from it, and often has nothing to improve.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from kettlewright.release.days.pour_groups import Group, PourDayChoice, Resource

__all__ = ["Counts", "as_many_as_fit", "days_of", "in_turn", "packed_first_poured_first", "placed_in_turn"]

Counts = tuple[Mapping[PourDayChoice, int], ...]
"""How many batches of each group are poured on which of its days."""

_SWAPS_MAX = 2_000  # looked at for a calendar that reads better; a count, so that the same body gives the same bytes


def days_of(counts: Counts) -> int:
    """The sum of the pour days of all batches (`counts` [batches]). [days]"""
    return sum(choice.pour * count for of_group in counts for choice, count in of_group.items())


class _Room:
    """What is left of every resource on every day."""

    def __init__(self, groups: Sequence[Group], resources: Sequence[Resource]) -> None:
        self.groups = groups
        self.first = min(group.choices[0].pour for group in groups if group.choices)
        last = max(max(choice.pack, choice.unmould, choice.pour + 1) for group in groups for choice in group.choices)
        left = [np.full(last - self.first + 1, resource.limit, dtype=np.int64) for resource in resources]
        self.needs = [[(room, amount, days) for room, resource in zip(left, resources, strict=True)
                       for amount, days in (resource.taken(group),) if amount] for group in groups]

    def _spans(self, place: int, choice: PourDayChoice) -> Iterator[tuple[np.ndarray, int]]:
        for room, amount, days in self.needs[place]:
            held = days(choice)
            yield room[held.start - self.first:held.stop - self.first], amount

    def fits(self, place: int, choice: PourDayChoice) -> int:
        """How many more batches of a group find room on a day. [batches]"""
        return int(min((span.min() // amount for span, amount in self._spans(place, choice) if len(span)),
                       default=self.groups[place].count))

    def take(self, place: int, choice: PourDayChoice, count: int) -> None:
        """Pour so many there; less than none gives room back."""
        for span, amount in self._spans(place, choice):
            span -= count * amount


def placed_in_turn(groups: Sequence[Group], resources: Sequence[Resource], order: Sequence[int], *,
                   late: bool) -> Counts | None:
    """Every batch on the last day (or the first) on which it still finds room.

    Parameters
    ----------
    groups : sequence of Group, each with a choice
        What is poured. [batches]
    resources : sequence of Resource
        What there is. [count]
    order : sequence of int
        Which group comes first. [places]
    late : bool
        The last day, else the first. [yes or no]

    Returns
    -------
    Counts or None : None if one of them found no room. [batches]
    """
    placed = _as_fits(groups, resources, order, late=late)
    full = all(sum(of_group.values()) == group.count for of_group, group in zip(placed, groups, strict=True))
    return placed if full else None


def as_many_as_fit(groups: Sequence[Group], resources: Sequence[Resource]) -> Counts:
    """A calendar that leaves out the batches that find no room.

    Parameters
    ----------
    groups : sequence of Group
        What would be poured. [batches]
    resources : sequence of Resource
        What there is. [count]

    Returns
    -------
    Counts : those that take little room come first, so that many fit; more may be possible. [batches]
    """
    some = [place for place, group in enumerate(groups) if group.choices]
    small_first = sorted(some, key=lambda place: (groups[place].moulds, groups[place].room, place))
    due_first = sorted(some, key=lambda place: (groups[place].choices[-1].pour, place))
    found = [_as_fits(groups, resources, order, late=late) for order in (small_first, due_first)
             for late in (True, False)]
    return max(found, key=lambda counts: sum(sum(of_group.values()) for of_group in counts))


def _as_fits(groups: Sequence[Group], resources: Sequence[Resource], order: Sequence[int], *, late: bool) -> Counts:
    if not order:
        return tuple({} for _ in groups)
    room = _Room(groups, resources)
    placed: list[dict[PourDayChoice, int]] = [{} for _ in groups]
    for place in order:
        left = groups[place].count
        for choice in reversed(groups[place].choices) if late else groups[place].choices:
            here = min(left, room.fits(place, choice))
            if here > 0:
                room.take(place, choice, here)
                placed[place][choice] = here
                left -= here
            if not left:
                break
    return tuple(placed)


def in_turn(groups: Sequence[Group], resources: Sequence[Resource], *, late: bool) -> Counts | None:
    """The best of the calendars that placing in a few orders makes.

    Parameters
    ----------
    groups : sequence of Group, each with a choice
        What is poured. [batches]
    resources : sequence of Resource
        What there is. [count]
    late : bool
        The latest sum of pour days is the best, else the earliest. [yes or no]

    Returns
    -------
    Counts or None : None if none of them holds all batches, which does not prove that there is none. [batches]

    Notes
    -----
    List scheduling: first those that are due first, those that are free last, or those that take the most room.
    [common practice, no source]
    """
    numbers = range(len(groups))
    orders = (sorted(numbers, key=lambda place: (groups[place].choices[-1].pour, place)),
              sorted(numbers, key=lambda place: (-groups[place].choices[0].pour, place)),
              sorted(numbers, key=lambda place: (-groups[place].moulds, -groups[place].room, place)))
    found = [counts for order in orders for way in (late, not late)
             if (counts := placed_in_turn(groups, resources, order, late=way)) is not None]
    return min(found, key=lambda counts: -days_of(counts) if late else days_of(counts), default=None)


def packed_first_poured_first(groups: Sequence[Group], resources: Sequence[Resource], counts: Counts) -> Counts:
    """A calendar with the same pour days that reads better: what is packed first is poured first.

    Parameters
    ----------
    groups : sequence of Group
        What is poured. [batches]
    resources : sequence of Resource
        What there is. [count]
    counts : Counts
        A calendar that keeps every limit. [batches]

    Returns
    -------
    Counts : two batches trade their days wherever both find room there. [batches]
    """
    room = _Room(groups, resources)
    placed = [dict(of_group) for of_group in counts]
    for place, of_group in enumerate(placed):
        for choice, count in of_group.items():
            room.take(place, choice, count)
    day_of = [{choice.pour: choice for choice in group.choices} for group in groups]
    order = sorted(range(len(groups)), key=lambda place: (groups[place].choices[0].pack, place))
    looked = 0
    for rank, first in enumerate(order):
        for second in order[rank + 1:]:
            for mine in sorted(placed[first], key=lambda choice: -choice.pour):
                for theirs in sorted(placed[second], key=lambda choice: choice.pour):
                    if theirs.pour >= mine.pour or mine not in placed[first]:
                        break
                    earlier, later = day_of[first].get(theirs.pour), day_of[second].get(mine.pour)
                    if earlier is None or later is None:
                        continue
                    looked += 1
                    if looked > _SWAPS_MAX:
                        return tuple(placed)
                    _trade(room, placed, (first, mine, earlier), (second, theirs, later))
    return tuple(placed)


def _trade(room: _Room, placed: list[dict[PourDayChoice, int]],
           *moves: tuple[int, PourDayChoice, PourDayChoice]) -> None:
    """One batch of each moves to its new day, if both find room there."""
    for place, old, _ in moves:
        room.take(place, old, -1)
    moved = []
    for place, _, new in moves:
        if room.fits(place, new) < 1:
            break
        room.take(place, new, 1)
        moved.append((place, new))
    if len(moved) < len(moves):
        for place, new in moved:
            room.take(place, new, -1)
        for place, old, _ in moves:
            room.take(place, old, 1)
        return
    for place, old, new in moves:
        placed[place][old] -= 1
        placed[place][new] = placed[place].get(new, 0) + 1
        if not placed[place][old]:
            del placed[place][old]
