"""Dates of one batch: both ways, closed days, what cannot be kept."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from kettlewright.errors import DomainError, DomainErrors, Unsolvable
from kettlewright.release import BatchDates, ClosedDays, DateOptions, Span, batch_dates
from kettlewright.release.days.closed_days import WEEKDAYS

SUNDAYS = ClosedDays(("sunday",))
WEEKENDS = ClosedDays(("saturday", "sunday"))

closed_days = st.builds(
    ClosedDays, st.lists(st.sampled_from(WEEKDAYS), max_size=4, unique=True).map(tuple),
    st.lists(st.dates(date(2026, 10, 1), date(2027, 6, 1)), max_size=10).map(tuple))
steps = st.fixed_dictionaries({"unmould_days": st.integers(0, 6), "cure_days": st.integers(0, 60),
                               "packing_days": st.integers(0, 6)})


def days_of(found: BatchDates) -> list[date]:
    return [found.pour, found.unmould, found.cure_until, found.pack_from, found.release]


@given(closed_days, steps, st.dates(date(2027, 1, 1), date(2027, 5, 1)))
def test_hands_are_never_needed_on_a_closed_day_and_no_step_is_shorter_than_requested(
        closed: ClosedDays, days: dict[str, int], day: date) -> None:
    given_day = closed.open_from(day)
    for options in (DateOptions(release=given_day, closed=closed, **days),
                    DateOptions(pour=given_day, closed=closed, **days)):
        found = batch_dates(options)
        assert not any(closed.holds(one) for one in (found.pour, found.unmould, found.pack_from, found.release))
        assert found.in_mould_days == (found.unmould - found.pour).days >= days["unmould_days"]
        assert found.curing_days == (found.pack_from - found.unmould).days >= days["cure_days"]
        assert found.cure_until == found.unmould + timedelta(days=days["cure_days"]) <= found.pack_from
        packing = [found.pack_from + timedelta(days=number)
                   for number in range((found.release - found.pack_from).days)]
        assert sum(not closed.holds(one) for one in packing) == days["packing_days"]


@given(closed_days, steps, st.dates(date(2027, 1, 1), date(2027, 5, 1)))
def test_no_later_pour_would_do_for_a_release(closed: ClosedDays, days: dict[str, int], day: date) -> None:
    release = closed.open_from(day)
    found = batch_dates(DateOptions(release=release, closed=closed, **days))
    assert batch_dates(DateOptions(pour=found.pour, closed=closed, **days)).release <= release
    later = closed.open_from(found.pour + timedelta(days=1))
    assert batch_dates(DateOptions(pour=later, closed=closed, **days)).release > release


@given(steps, st.dates(date(2027, 1, 1), date(2027, 5, 1)))
def test_without_closed_days_both_ways_meet(days: dict[str, int], day: date) -> None:
    found = batch_dates(DateOptions(release=day, **days))
    assert days_of(batch_dates(DateOptions(pour=found.pour, **days))) == days_of(found)
    assert (found.release - found.pour).days == sum(days.values())


def test_backward_moves_earlier_and_forward_moves_later() -> None:
    # Saturday 2027-03-20 less 42 days and 1 day is Friday 02-05 (cut on Saturday 02-06)
    back = batch_dates(DateOptions(release=date(2027, 3, 19), closed=WEEKENDS))
    assert (back.pour, back.unmould) == (date(2027, 2, 4), date(2027, 2, 5))
    # poured on a Friday, it waits in the mould until Monday, and the dates say so
    on = batch_dates(DateOptions(pour=date(2027, 2, 5), closed=WEEKENDS))
    assert (on.unmould, on.in_mould_days) == (date(2027, 2, 8), 3)
    assert any("3 days in the mould instead of 1" in note for note in on.notes)
    assert (on.cure_until, on.release) == (date(2027, 3, 22), date(2027, 3, 22))
    longer = batch_dates(DateOptions(pour=date(2027, 2, 4), closed=WEEKENDS, cure_days=43))
    assert (longer.cure_until, longer.pack_from, longer.curing_days) == (date(2027, 3, 20), date(2027, 3, 22), 45)
    assert any("45 days from the cut to packing instead of 43" in note for note in longer.notes)


def test_a_pour_that_moved_earlier_is_unmoulded_earlier_too() -> None:
    # the last day for the cut is Wednesday 02-10; two days before is Monday, which is closed, so it is poured on Sunday
    found = batch_dates(DateOptions(release=date(2027, 3, 24), unmould_days=2, closed=ClosedDays(("monday",))))
    assert (found.pour, found.unmould, found.curing_days) == (date(2027, 2, 7), date(2027, 2, 9), 43)


def test_packing_takes_working_days_only() -> None:
    # Monday back over the weekend: Friday, Thursday, Wednesday
    found = batch_dates(DateOptions(release=date(2027, 3, 22), packing_days=3, closed=WEEKENDS))
    assert found.pack_from == date(2027, 3, 17)
    assert batch_dates(DateOptions(release=date(2027, 3, 22), closed=WEEKENDS)).pack_from == date(2027, 3, 22)


def test_what_was_assumed_is_reported_and_cure_is_never_only_weight() -> None:
    found = batch_dates(DateOptions(release=date(2027, 3, 20)))
    assert found.assumed == ("unmould_days", "cure_days")
    assert found.in_mould_days == 1
    assert found.curing_days == 42
    assert any("common practice, no source" in note and "42 days" in note for note in found.notes)
    dates = batch_dates(DateOptions(release=date(2027, 3, 20), unmould_days=1, cure_days=42))
    assert dates.assumed == ()
    assert [note for note in dates.notes if "assumed" in note] == []
    assert any(note.startswith("Curing is not only drying") for note in dates.notes)


def test_leap_days_and_turns_of_the_year_are_counted() -> None:
    assert batch_dates(DateOptions(pour=date(2028, 2, 28), cure_days=0)).release == date(2028, 2, 29)
    assert batch_dates(DateOptions(release=date(2027, 1, 1), cure_days=0)).pour == date(2026, 12, 31)


def test_a_release_before_a_pour_is_possible_is_refused_with_the_earliest() -> None:
    options = {"earliest": date(2027, 2, 10), "packing_days": 2, "closed": SUNDAYS}
    with pytest.raises(Unsolvable) as caught:
        batch_dates(DateOptions(release=date(2027, 3, 20), **options))
    assert caught.value.field == ("release",)
    # 10 February, cut on the 11th, cured on 25 March, packed on 25 and 26, sold on the 27th
    assert "The earliest release is 2027-03-27" in caught.value.detail
    assert batch_dates(DateOptions(release=date(2027, 3, 27), **options)).pour >= date(2027, 2, 10)
    with pytest.raises(Unsolvable):
        batch_dates(DateOptions(release=date(2027, 3, 26), **options))


def test_a_pour_on_the_earliest_day_is_possible_and_the_day_before_is_not() -> None:
    assert batch_dates(DateOptions(pour=date(2027, 2, 2), earliest=date(2027, 2, 2))).pour == date(2027, 2, 2)
    with pytest.raises(Unsolvable, match="is before 2027-02-03"):
        batch_dates(DateOptions(pour=date(2027, 2, 2), earliest=date(2027, 2, 3)))


@pytest.mark.parametrize("name", ["release", "pour"])
def test_a_day_that_was_described_is_never_moved(name: str) -> None:
    with pytest.raises(Unsolvable) as caught:
        batch_dates(DateOptions(closed=WEEKENDS, **{name: date(2027, 3, 20)}))
    assert caught.value.field == (name,)
    assert "2027-03-19 and 2027-03-22" in caught.value.detail


def test_closed_every_day_is_reported() -> None:
    with pytest.raises(Unsolvable, match="All seven days"):
        ClosedDays(WEEKDAYS)
    shut = ClosedDays(spans=(Span(date(2020, 1, 1), date(2030, 1, 1)),))
    with pytest.raises(Unsolvable, match="Every day is closed") as caught:
        batch_dates(DateOptions(release=date(2027, 3, 20), closed=shut))
    assert caught.value.field == ("closed",)
    with pytest.raises(Unsolvable, match="are outside the calendar"):
        batch_dates(DateOptions(pour=date(2199, 12, 31)))


def test_spans_hold_both_ends() -> None:
    span = ClosedDays(spans=(Span(date(2027, 2, 1), date(2027, 2, 3)),))
    held = [day for day in range(1, 29) if span.holds(date(2027, 2, day))]
    assert held == [1, 2, 3]
    assert not span.holds(date(2027, 1, 31))
    assert ClosedDays(spans=(Span(date(2027, 2, 1), date(2027, 2, 1)),)).holds(date(2027, 2, 1))
    with pytest.raises(DomainError, match="give the earlier day first"):
        Span(date(2027, 2, 3), date(2027, 2, 1))


@pytest.mark.parametrize("options", [{}, {"release": date(2027, 3, 20), "pour": date(2027, 2, 2)}])
def test_exactly_one_of_release_and_pour_is_reported(options: dict[str, date]) -> None:
    with pytest.raises(DomainErrors, match="Give either"):
        DateOptions(**options)


@pytest.mark.parametrize(("name", "most"), [("unmould_days", 60), ("cure_days", 1500), ("packing_days", 60)])
def test_numbers_of_days_have_bounds(name: str, most: int) -> None:
    for good in (0, most):
        batch_dates(DateOptions(release=date(2099, 3, 20), **{name: good}))
    for wrong in (-1, most + 1):
        with pytest.raises(DomainErrors, match="not possible here"):
            DateOptions(release=date(2099, 3, 20), **{name: wrong})


SHUT_FOR_TWO_WEEKS = ClosedDays(spans=(Span(date(2026, 12, 24), date(2027, 1, 6)),))


def test_a_pour_before_a_long_pause_is_left_out_where_the_days_in_the_mould_have_a_most() -> None:
    # the last day to cut is 7 January, the first after the pause: poured on the 23rd it stays in for 15 days
    options = {"release": date(2027, 2, 4), "cure_days": 28, "closed": SHUT_FOR_TWO_WEEKS}
    assert batch_dates(DateOptions(**options)).in_mould_days == 15
    within = batch_dates(DateOptions(unmould_at_most_days=3, **options))
    assert (within.pour, within.unmould) == (date(2026, 12, 22), date(2026, 12, 23))


def test_a_pour_that_cannot_be_unmoulded_in_time_names_the_next_one_that_can() -> None:
    with pytest.raises(Unsolvable, match=r"after 15 days in the mould; at most 3 .* is 2027-01-07"):
        batch_dates(DateOptions(pour=date(2026, 12, 23), unmould_at_most_days=3, closed=SHUT_FOR_TWO_WEEKS))
    assert batch_dates(DateOptions(pour=date(2027, 1, 7), unmould_at_most_days=3, closed=SHUT_FOR_TWO_WEEKS))


@pytest.mark.parametrize(("planned", "most"), [(2, 1), (None, 0)])
def test_a_most_below_the_days_planned_is_refused(planned: int | None, most: int) -> None:
    with pytest.raises(DomainErrors, match="raise the maximum, or plan fewer days"):
        DateOptions(pour=date(2027, 1, 7), unmould_days=planned, unmould_at_most_days=most)


@given(steps, closed_days, st.integers(0, 6), st.dates(date(2026, 12, 1), date(2027, 3, 1)))
def test_the_days_in_the_mould_are_never_above_the_most(steps: dict[str, int], closed: ClosedDays, more: int,
                                                        release: date) -> None:
    most = steps["unmould_days"] + more
    day = closed.open_from(release)
    try:
        found = batch_dates(DateOptions(release=day, unmould_at_most_days=most, closed=closed, **steps))
    except Unsolvable:
        assert more < 6  # four closed weekdays and ten days off never make a pause of a week for every pour
        return
    assert steps["unmould_days"] <= found.in_mould_days <= most
