"""Calendars placed in turn: every limit holds on every day, counted anew day by day."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from hypothesis import given
from hypothesis import strategies as st
from kettlewright.release.days.pour_groups import Group, PourDayChoice, Resource
from kettlewright.release.days.room_left import Counts, as_many_as_fit, days_of, in_turn, packed_first_poured_first

MOULDS = ("slab", "loaf")


@st.composite
def groups(draw: st.DrawFn) -> list[Group]:
    found = []
    for _ in range(draw(st.integers(1, 4))):
        in_mould, cure, pack = draw(st.integers(1, 3)), draw(st.integers(2, 6)), draw(st.integers(14, 18))
        days = sorted(draw(st.sets(st.integers(0, pack - in_mould - cure), min_size=1, max_size=8)))
        found.append(Group(draw(st.integers(1, 3)), draw(st.sampled_from(MOULDS)), draw(st.integers(1, 2)),
                           draw(st.integers(1, 4)), tuple(PourDayChoice(day, day + in_mould, pack) for day in days)))
    return found


@st.composite
def resources(draw: st.DrawFn) -> list[Resource]:
    return [Resource("pours", draw(st.integers(1, 2))), Resource("places", draw(st.integers(4, 16))),
            *(Resource(f"mould:{mould}", draw(st.integers(2, 4))) for mould in MOULDS)]


def keeps_every_limit(found: Counts, poured: Sequence[Group], limits: Sequence[Resource]) -> bool:
    used: Counter[tuple[str, int]] = Counter()
    for group, counts in zip(poured, found, strict=True):
        for choice, count in counts.items():
            used["pours", choice.pour] += count
            for day in range(choice.unmould, choice.pack):
                used["places", day] += count * group.room
            for day in range(choice.pour, choice.unmould):
                used[f"mould:{group.mould}", day] += count * group.moulds
    most = {one.key: one.limit for one in limits}
    return all(amount <= most[key] for (key, _), amount in used.items())


@given(groups(), resources(), st.booleans())
def test_a_calendar_placed_in_turn_is_whole_and_keeps_every_limit(poured: list[Group], limits: list[Resource],
                                                                  late: bool) -> None:
    found = in_turn(poured, limits, late=late)
    if found is not None:
        assert keeps_every_limit(found, poured, limits)
        assert [sum(counts.values()) for counts in found] == [group.count for group in poured]


@given(groups(), resources())
def test_as_many_as_fit_do_fit(poured: list[Group], limits: list[Resource]) -> None:
    found = as_many_as_fit(poured, limits)
    assert keeps_every_limit(found, poured, limits)
    assert all(sum(counts.values()) <= group.count for counts, group in zip(found, poured, strict=True))


@given(groups(), resources(), st.booleans())
def test_traded_days_keep_limits_batches_and_the_sum_of_days(poured: list[Group], limits: list[Resource],
                                                             late: bool) -> None:
    found = in_turn(poured, limits, late=late)
    if found is None:
        return
    traded = packed_first_poured_first(poured, limits, found)
    assert keeps_every_limit(traded, poured, limits)
    assert [sum(counts.values()) for counts in traded] == [group.count for group in poured]
    assert days_of(traded) == days_of(found)


def test_late_is_as_late_and_early_as_early_as_it_goes() -> None:
    days = tuple(PourDayChoice(day, day + 1, 20) for day in range(6))
    alone = [Group(3, "slab", 1, 1, days)]
    limits = [Resource("pours", 1), Resource("places", 3), Resource("mould:slab", 1)]
    late, early = (in_turn(alone, limits, late=late) for late in (True, False))
    assert late is not None
    assert early is not None
    assert (days_of(late), days_of(early)) == (5 + 4 + 3, 0 + 1 + 2)


def day(pour: int, pack: int) -> PourDayChoice:
    return PourDayChoice(pour, pour + 1, pack)


def test_what_is_packed_first_is_poured_first_where_both_find_room() -> None:
    large = Group(1, "slab", 1, 3, (day(0, 12), day(4, 12)))
    small = Group(1, "slab", 1, 1, (day(0, 10), day(4, 10)))
    limits = [Resource("pours", 1), Resource("places", 4), Resource("mould:slab", 1)]
    start = ({large.choices[0]: 1}, {small.choices[1]: 1})
    assert packed_first_poured_first([large, small], limits, start) == (
        {large.choices[1]: 1}, {small.choices[0]: 1})


def test_a_trade_that_finds_no_room_leaves_the_calendar_and_the_room_as_they_were() -> None:
    # on days 3 and 4 two of five places are taken by the first; the second needs three, the others one each. Neither
    # of them may trade with it, since 2 + 3 + 1 are more than five; the second refusal needs what the first gave back
    first = Group(1, "slab", 1, 2, (day(2, 5),))
    wide = Group(1, "slab", 1, 3, (day(0, 10), day(2, 10), day(4, 10)))
    early, later = Group(1, "slab", 1, 1, (day(0, 12), day(4, 12))), Group(1, "slab", 1, 1, (day(2, 14), day(4, 14)))
    limits = [Resource("pours", 2), Resource("places", 5), Resource("mould:slab", 4)]
    poured = [first, wide, early, later]
    start = ({day(2, 5): 1}, {day(4, 10): 1}, {day(0, 12): 1}, {day(2, 14): 1})
    assert keeps_every_limit(start, poured, limits)
    assert packed_first_poured_first(poured, limits, start) == start
