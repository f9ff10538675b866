"""A calendar of several batches, against every calendar there is; and what is missing where there is none."""

from __future__ import annotations

import itertools
import math
from collections import Counter
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from kettlewright.errors import DomainError, DomainErrors, OutOfRange
from kettlewright.release import (
    BatchOfDesign,
    ClosedDays,
    CuringPlaces,
    DateOptions,
    MouldKind,
    ReleaseDay,
    Schedule,
    Span,
    batch_dates,
    make_schedule,
)

START = date(2027, 1, 4)  # a Monday
DAY = timedelta(days=1)


def after(days: int) -> date:
    return START + timedelta(days=days)


def every_calendar(designs: list[BatchOfDesign], *, counts: dict[str, int], pours: int, places: int | None,
                   closed: ClosedDays, earliest: date = START) -> list[list[date]]:
    """Pour days of all calendars that keep every rule, written down once more and from nothing but the rules."""
    batches = [design for design in designs for _ in range(design.count)]
    ways: list[list[tuple[date, date, date]]] = []
    for design in batches:
        assert isinstance(design.release, date)
        pack = design.release
        for _ in range(design.packing_days):
            pack -= DAY
            while closed.holds(pack):
                pack -= DAY
        found = []
        pour = earliest
        while pour <= pack:
            unmould = pour + timedelta(days=design.unmould_days or 0)
            while closed.holds(unmould):
                unmould += DAY
            if not closed.holds(pour) and unmould + timedelta(days=design.cure_days or 0) <= pack:
                found.append((pour, unmould, pack))
            pour += DAY
        ways.append(found)
    good = []
    for chosen in itertools.product(*ways):
        poured, full, cured = Counter[date](), Counter[tuple[str, date]](), Counter[date]()
        for design, (pour, unmould, pack) in zip(batches, chosen, strict=True):
            poured[pour] += 1
            day = pour
            while day == pour or day < unmould:
                full[design.mould, day] += design.moulds_count
                day += DAY
            day = unmould
            while day < pack:
                cured[day] += 1
                day += DAY
        if (max(poured.values()) <= pours and all(taken <= counts[mould] for (mould, _), taken in full.items())
                and (places is None or max(cured.values(), default=0) <= places)):
            good.append([pour for pour, *_ in chosen])
    return good


def days_from_start(days: list[date]) -> int:
    return sum((day - START).days for day in days)


def pour_days(found: Schedule) -> list[date]:
    return [batch.dates.pour for batch in found.batches]


small = st.lists(st.builds(
    lambda number, mould, moulds, unmould, cure, packing, release: (number, mould, moulds, unmould, cure, packing,
                                                                    release),
    st.integers(1, 2), st.sampled_from(["slab", "loaf"]), st.integers(1, 2), st.integers(0, 3), st.integers(2, 5),
    st.integers(0, 2), st.integers(7, 11)), min_size=1, max_size=2)
weeks = st.sampled_from([ClosedDays(), ClosedDays(("wednesday",)), ClosedDays(("saturday", "sunday"))])


@settings(deadline=None, max_examples=60)
@given(small, weeks, st.integers(1, 2), st.integers(2, 3), st.sampled_from([None, 1, 2, 3]),
       st.sampled_from(["late_pours", "early_pours"]))
def test_no_calendar_is_better_and_where_there_is_none_there_is_none(
        rows: list[tuple[Any, ...]], closed: ClosedDays, pours: int, slabs: int, places: int | None,
        objective: str) -> None:
    designs = [BatchOfDesign(f"design {index}", mould, closed.open_from(after(release)), count=number,
                             moulds_count=moulds, unmould_days=unmould, cure_days=cure, packing_days=packing)
              for index, (number, mould, moulds, unmould, cure, packing, release) in enumerate(rows)]
    counts = {"slab": slabs, "loaf": 2}
    good = every_calendar(designs, counts=counts, pours=pours, places=places, closed=closed)

    def made() -> Schedule:
        return make_schedule(designs, moulds=[MouldKind(name, count) for name, count in counts.items()], earliest=START,
                             pours_per_day=pours, closed=closed, objective=objective,
                             places=None if places is None else CuringPlaces(batches_count=places))

    if not good:
        with pytest.raises(DomainErrors):
            made()
        return
    found = made()
    assert found.proven_optimal
    sums = [days_from_start(days) for days in good]
    assert days_from_start(pour_days(found)) == (max(sums) if objective == "late_pours" else min(sums))
    assert sorted(pour_days(found)) in [sorted(days) for days in good]


tight = st.lists(st.tuples(st.integers(1, 2), st.sampled_from(["slab", "loaf"]), st.just(1), st.integers(1, 3),
                           st.integers(1, 3), st.integers(0, 1), st.integers(6, 8)), min_size=1, max_size=2)


@settings(deadline=None, max_examples=60)
@given(tight, st.integers(1, 2), st.sampled_from([None, None, 2, 3]))
def test_what_would_do_does_and_one_less_does_not(rows: list[tuple[Any, ...]], pours: int, places: int | None) -> None:
    designs = [BatchOfDesign(f"design {index}", mould, after(release), count=number + 1, unmould_days=unmould,
                        cure_days=cure, packing_days=packing)
              for index, (number, mould, _, unmould, cure, packing, release) in enumerate(rows)]
    try:
        make_schedule(designs, moulds=[MouldKind("slab"), MouldKind("loaf")], earliest=START, pours_per_day=pours,
                      places=None if places is None else CuringPlaces(batches_count=places))
    except DomainErrors as error:
        errors = {fault.field: fault for fault in error.errors}
    else:
        return

    def possible(**change: Any) -> bool:
        kept = {"counts": {"slab": 1, "loaf": 1}, "pours": pours, "places": places, "earliest": START, **change}
        return bool(every_calendar(designs, closed=ClosedDays(), **kept))

    for index, mould in enumerate(("slab", "loaf")):
        fault = errors.get(("moulds", index, "count"))
        if fault is not None:
            least = int(fault.allowed.removeprefix("at least "))
            assert possible(counts={"slab": 1, "loaf": 1, mould: least})
            assert not possible(counts={"slab": 1, "loaf": 1, mould: least - 1})
    fault = errors.get(("pours_per_day_count",))
    if fault is not None:
        least = int(fault.allowed.removeprefix("at least "))
        assert possible(pours=least)
        assert not possible(pours=least - 1)
    fault = errors.get(("places", "batches_count"))
    if fault is not None:
        least = int(fault.allowed.removeprefix("at least "))
        assert possible(places=least)
        assert not possible(places=least - 1)
    fault = errors.get(("earliest",))
    if fault is not None:
        first = date.fromisoformat(fault.allowed.removesuffix(" or earlier"))
        if (START - first).days < 4:  # else there are too many calendars to write down
            assert possible(earliest=first)
            assert not possible(earliest=first + DAY)


SPRING = ReleaseDay("spring", date(2027, 3, 20))


def test_one_batch_alone_has_the_dates_of_its_own() -> None:
    design = BatchOfDesign("red", "slab", SPRING.release, unmould_days=2, cure_days=40, packing_days=3)
    closed = ClosedDays(("sunday",))
    found = make_schedule([design], moulds=[MouldKind("slab")], earliest=START, closed=closed).batches[0]
    alone = batch_dates(DateOptions(release=SPRING.release, unmould_days=2, cure_days=40, packing_days=3,
                                    closed=closed))
    for name in ("pour", "unmould", "cure_until", "pack_from", "release", "in_mould_days", "curing_days"):
        assert getattr(found.dates, name) == getattr(alone, name)


@pytest.mark.parametrize(("count", "pours"), [(1, 1), (5, 1), (5, 2), (7, 3), (12, 4)])
@pytest.mark.parametrize("closed", [ClosedDays(), ClosedDays(("saturday", "sunday"))])
def test_the_last_pour_is_the_latest_and_the_first_as_many_working_days_before_as_it_takes(
        count: int, pours: int, closed: ClosedDays) -> None:
    # of N batches and B pours a day the first day is ceil(N / B) - 1 working days before the last: computed
    release = closed.open_until(SPRING.release)
    found = make_schedule([BatchOfDesign("red", "slab", release, count=count)], moulds=[MouldKind("slab", 40)],
                          earliest=START, pours_per_day=pours, closed=closed)
    last = batch_dates(DateOptions(release=release, closed=closed)).pour
    first = last
    for _ in range(math.ceil(count / pours) - 1):
        first = closed.open_until(first - DAY)
    # a pour before closed days is unmoulded after them, so not every working day will do
    assert pour_days(found)[-1] == last
    if not closed.weekdays:
        assert pour_days(found)[0] == first
    assert pour_days(found)[0] <= first
    assert [batch.number for batch in found.batches] == list(range(1, count + 1))


def test_a_mould_is_free_on_the_day_of_unmoulding() -> None:
    found = make_schedule([BatchOfDesign("red", "slab", SPRING.release, count=3, unmould_days=2)],
                          moulds=[MouldKind("slab")], earliest=START, pours_per_day=5)
    days = pour_days(found)
    assert [(later - day).days for day, later in itertools.pairwise(days)] == [2, 2]
    assert [load.most_count for load in found.fullest] == [1, 1]
    assert [load.date for load in found.fullest] == [days[0], days[0]]  # the first of days that are as full


def test_of_calendars_that_are_as_good_what_is_packed_first_is_poured_first() -> None:
    designs = [BatchOfDesign("late", "slab", date(2027, 5, 8), count=2),
               BatchOfDesign("soon", "slab", SPRING.release, count=2)]
    found = make_schedule(designs, moulds=[MouldKind("slab")], earliest=START, objective="early_pours")
    assert [batch.name for batch in found.batches] == ["soon", "soon", "late", "late"]
    assert pour_days(found) == [after(number) for number in range(4)]


def test_places_by_bars_count_bars() -> None:
    designs = [BatchOfDesign("red", "slab", SPRING.release, count=2, bars_count=48),
              BatchOfDesign("oat", "slab", SPRING.release, bars_count=24)]
    full = {"moulds": [MouldKind("slab", 3)], "earliest": START, "pours_per_day": 3}
    found = make_schedule(designs, places=CuringPlaces(bars_count=120), **full)
    assert {load.key: (load.most_count, load.of_count) for load in found.fullest} == {
        "pours": (3, 3), "slab": (3, 3), "places": (120, 120)}
    with pytest.raises(DomainErrors) as caught:
        make_schedule(designs, places=CuringPlaces(bars_count=119), **full)
    errors = {fault.field: fault.detail for fault in caught.value.errors}
    assert "room for 120 curing bars instead of 119" in errors["places", "bars_count"]
    assert "At most 2 can be ready" in errors["batches",]


def test_every_single_remedy_is_reported_with_what_fits() -> None:
    # six days for seven batches in one slab, one a day
    last = batch_dates(DateOptions(release=SPRING.release)).pour
    with pytest.raises(DomainErrors) as caught:
        make_schedule([BatchOfDesign("red", "slab", "spring", count=7)], moulds=[MouldKind("slab")], releases=[SPRING],
                      earliest=last - 5 * DAY)
    errors = {fault.field: fault.detail for fault in caught.value.errors}
    assert 'At most 6 can be ready (such as "red" 6 of 7). Each of the next lines would be enough' in errors["batches",]
    assert f"starting a day earlier, on {last - 6 * DAY}" in errors["earliest",]
    assert "a day later, on 2027-03-21" in errors["releases", 0, "release"]
    # neither a second slab alone nor a second pour a day alone would do
    assert set(errors) == {("batches",), ("earliest",), ("releases", 0, "release")}


def test_a_second_slab_alone_would_do_where_it_is_the_only_thing_in_the_way() -> None:
    last = batch_dates(DateOptions(release=SPRING.release)).pour
    with pytest.raises(DomainErrors) as caught:
        make_schedule([BatchOfDesign("red", "slab", SPRING.release, count=2)], moulds=[MouldKind("slab")],
                      earliest=last, pours_per_day=2)
    errors = {fault.field: fault.detail for fault in caught.value.errors}
    assert 'one more of "slab" would be enough: 2 instead of 1' in errors["moulds", 0, "count"]
    assert ("batches", 0, "release") in errors


def test_where_no_single_thing_would_do_it_says_so() -> None:
    last = batch_dates(DateOptions(release=SPRING.release)).pour
    with pytest.raises(DomainErrors) as caught:
        make_schedule([BatchOfDesign("red", "slab", SPRING.release, count=60)], moulds=[MouldKind("slab")],
                      earliest=last)
    (fault,) = caught.value.errors
    assert "No single change is enough" in fault.detail
    assert "At most 1 can be ready" in fault.detail


def ask(**change: Any) -> Schedule:
    arguments = {"batches": [BatchOfDesign("red", "slab", SPRING.release)], "moulds": [MouldKind("slab")],
                 "earliest": START, **change}
    return make_schedule(arguments.pop("batches"), **arguments)


@pytest.mark.parametrize(("change", "field", "words"), [
    ({"batches": [BatchOfDesign("red", "slap", SPRING.release)]}, ("batches", 0, "mould"), "the moulds are slab"),
    ({"batches": [BatchOfDesign("red", "slab", SPRING.release, moulds_count=2)]}, ("batches", 0, "moulds_count"),
     "takes 2 of"),
    ({"batches": [BatchOfDesign("red", "slab")]}, ("batches", 0, "release"), "Say when"),
    ({"batches": [BatchOfDesign("red", "slab")], "releases": [SPRING, ReleaseDay("summer", after(100))]},
     ("batches", 0, "release"), "Say when"),
    ({"batches": [BatchOfDesign("red", "slab", "autumn")], "releases": [SPRING]}, ("batches", 0, "release"), "spring"),
    ({"batches": [BatchOfDesign("red", "slab", after(20))]}, ("batches", 0, "release"), "The earliest release is"),
    ({"batches": [BatchOfDesign("red", "slab", after(401))]}, ("batches", 0, "release"), "at most 400"),
    ({"batches": [BatchOfDesign("red", "slab", SPRING.release), BatchOfDesign("Red", "slab", SPRING.release)]},
     ("batches", 1, "name"), "appears twice"),
    ({"moulds": [MouldKind("slab"), MouldKind("Slab")]}, ("moulds", 1, "name"), "two of"),
    ({"releases": [SPRING, SPRING]}, ("releases", 1, "name"), "two of"),
    ({"places": CuringPlaces(bars_count=10)}, ("batches", 0, "bars_count"), "give the number of bars"),
    ({"closed": ClosedDays(("saturday",))}, ("batches", 0, "release"), "is on a closed day"),
    ({"batches": [BatchOfDesign(f"b{number}", "slab", SPRING.release, count=50) for number in range(5)]}, ("batches",),
     "at most 200")])
def test_what_is_wrong_is_reported_where_it_is(change: dict[str, Any], field: tuple[Any, ...], words: str) -> None:
    with pytest.raises(DomainErrors) as caught:
        ask(**change)
    errors = {fault.field: fault.detail for fault in caught.value.errors}
    assert words in errors.get(field, ""), errors


def test_all_errors_are_reported_at_once() -> None:
    with pytest.raises(DomainErrors) as caught:
        ask(batches=[BatchOfDesign("red", "slap", "autumn"), BatchOfDesign("oat", "slab", after(3))])
    assert [fault.field for fault in caught.value.errors] == [
        ("batches", 0, "mould"), ("batches", 0, "release"), ("batches", 1, "release")]


def test_one_design_may_be_made_for_two_releases() -> None:
    found = ask(batches=[BatchOfDesign("red", "slab", "spring"), BatchOfDesign("red", "slab", "summer")],
                releases=[SPRING, ReleaseDay("summer", date(2027, 6, 1))])
    assert [(batch.name, batch.release_name) for batch in found.batches] == [("red", "spring"), ("red", "summer")]


def test_a_calendar_takes_so_many_pour_days_and_no_more() -> None:
    def wide(count: int) -> Schedule:
        return ask(batches=[BatchOfDesign(f"b{number}", "slab", after(242), cure_days=41) for number in range(count)])

    # 201 days to choose from for each
    assert len(wide(4).batches) == 4
    with pytest.raises(OutOfRange, match="1,005 pour days"):
        wide(5)


def test_an_unknown_objective_and_no_pours_are_refused() -> None:
    with pytest.raises(DomainError, match="late_pours, early_pours"):
        ask(objective="soon")
    with pytest.raises(OutOfRange):
        ask(pours_per_day=0)
    with pytest.raises(OutOfRange):
        MouldKind("slab", 0)
    with pytest.raises(DomainError, match="Give either"):
        CuringPlaces()
    with pytest.raises(DomainError, match="Give either"):
        CuringPlaces(batches_count=1, bars_count=1)


def test_assumed_days_are_reported() -> None:
    assert any("42 days is assumed" in note for note in ask().notes)
    schedule = ask(batches=[BatchOfDesign("red", "slab", SPRING.release, unmould_days=1, cure_days=42)])
    assert not any("assumed" in note for note in schedule.notes)


def test_a_long_stay_in_the_mould_is_named_and_can_be_ruled_out() -> None:
    shut = ClosedDays(spans=(Span(after(10), after(24)),))
    design = {"name": "slate", "mould": "slab", "release": after(60), "unmould_days": 1, "cure_days": 28, "count": 3}
    one_a_day = {"moulds": [MouldKind("slab", 3)], "earliest": after(7), "closed": shut, "objective": "early_pours"}
    loose = make_schedule([BatchOfDesign(**design)], **one_a_day)
    assert max(batch.dates.in_mould_days for batch in loose.batches) == 16
    assert any('keep "slate" in the mould for up to 16 days instead of 1' in note for note in loose.notes)
    tight = make_schedule([BatchOfDesign(unmould_at_most_days=2, **design)], **one_a_day)
    assert max(batch.dates.in_mould_days for batch in tight.batches) == 1
    assert not any("up to" in note for note in tight.notes)


large = st.lists(st.tuples(st.integers(1, 5), st.integers(0, 2), st.integers(1, 3), st.integers(0, 3),
                           st.sampled_from([14, 21, 28]), st.integers(0, 5)), min_size=12, max_size=30)


@settings(deadline=None, max_examples=12)
@given(large, st.integers(1, 3), st.sampled_from([None, 8, 30]), st.sampled_from(["late_pours", "early_pours"]))
def test_a_large_calendar_keeps_every_limit_or_says_how_many_fit(rows: list[tuple[int, ...]], pours: int,
                                                                 places: int | None, objective: str) -> None:
    designs = [BatchOfDesign(f"design {index}", f"mould {mould}", after(75 - early), count=count, moulds_count=moulds,
                        unmould_days=unmould, cure_days=cure)
              for index, (count, mould, moulds, unmould, cure, early) in enumerate(rows)]
    total = sum(design.count for design in designs)
    try:
        found = make_schedule(designs, moulds=[MouldKind(f"mould {index}", 4) for index in range(3)], earliest=START,
                              pours_per_day=pours, objective=objective,
                              places=None if places is None else CuringPlaces(batches_count=places))
    except (DomainErrors, DomainError):
        return  # that a refusal is right is shown on small calendars above
    poured, full, cured = Counter[date](), Counter[tuple[str, date]](), Counter[date]()
    for batch in found.batches:
        poured[batch.dates.pour] += 1
        for number in range(max(batch.dates.in_mould_days, 1)):
            full[batch.mould, batch.dates.pour + number * DAY] += batch.moulds_count
        for number in range(batch.dates.curing_days):
            cured[batch.dates.unmould + number * DAY] += 1
    assert len(found.batches) == total
    assert max(poured.values()) <= pours
    assert max(full.values()) <= 4
    assert places is None or max(cured.values()) <= places
    assert all(batch.dates.pour >= START and batch.dates.pack_from <= batch.dates.release for batch in found.batches)
