"""Cure as a whole: which day is day 0, which loss a promise takes, what needs what."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from kettlewright.errors import DomainError, DomainErrors
from kettlewright.release import CURE_PRACTICE, Cured, DateOptions, DayInput, Promise, cure
from kettlewright.release.days.cure_days import Weighed

PAIRS = [(0, 128.0), (7, 121.6), (14, 117.9), (21, 115.8), (28, 114.6), (42, 113.5)]
BY_DAY = [Weighed(DayInput(day=day), mass) for day, mass in PAIRS]
BY_DATE = [Weighed(DayInput(date=date.fromordinal(date(2027, 2, 3).toordinal() + day)), mass) for day, mass in PAIRS]
DATES = DateOptions(release=date(2027, 3, 20), packing_days=3)


def test_day_0_is_the_day_of_the_cut_or_the_first_weighing() -> None:
    assert cure(BY_DAY).day_zero is None
    assert cure(BY_DAY, dates=DATES).day_zero == date(2027, 2, 3)
    assert cure(BY_DATE[::-1]).day_zero == date(2027, 2, 3)
    shifted = DateOptions(release=date(2027, 4, 20))
    assert cure(BY_DATE, dates=shifted).day_zero == date(2027, 2, 3)
    assert cure(BY_DATE).drying == cure(BY_DAY).drying


def test_days_and_dates_ask_for_the_same() -> None:
    found = cure(BY_DATE, requested=[DayInput(day=45), DayInput(date=date(2027, 3, 20))], daily_loss_g=0.1)
    one, other = found.days
    assert one == other
    assert one.date == date(2027, 3, 20)
    assert one.found.beyond
    assert found.losing is not None
    # 31.2 days are reached on the 32nd day
    assert found.losing.date == date(2027, 3, 7)
    assert found.within is None


def wet_of(found: Cured) -> Any:
    assert found.wet is not None
    return found.wet


def test_a_promise_takes_the_best_loss_there_is() -> None:
    promise = Promise(110)
    with_loss = wet_of(cure(promise=promise, expected_loss_pct=11.5, batter_g=1410, water_g=280))
    assert (with_loss.basis, with_loss.loss_pct) == ("told", 11.5)
    bound = wet_of(cure(promise=promise, batter_g=1410, water_g=280))
    assert bound.basis == "bound"
    assert bound.wet_g == pytest.approx(110 / (1 - 280 / 1410))
    end = wet_of(cure(BY_DAY, promise=promise))
    assert (end.basis, end.day) == ("curve_end", None)
    on_release = wet_of(cure(BY_DAY, dates=DATES, promise=promise))
    assert (on_release.basis, on_release.day) == ("curve", 45)
    day = wet_of(cure(BY_DAY, promise=Promise(110, DayInput(day=45))))
    assert day == on_release
    assert with_loss.wet_g < bound.wet_g
    assert on_release.wet_g < end.wet_g


def test_a_bar_made_as_wet_as_described_weighs_what_was_promised() -> None:
    found = cure(BY_DAY, promise=Promise(110, DayInput(day=30)), requested=[DayInput(day=30)])
    wet, day = wet_of(found), found.days[0].found
    assert found.drying is not None
    scale = wet.wet_g / found.drying.start_g
    assert scale * day.mass_g == pytest.approx(110)
    assert wet.wet_for_band_g / found.drying.start_g * day.band.min == pytest.approx(110)
    assert wet_of(cure(BY_DAY[:3], promise=Promise(110, DayInput(day=30)))).wet_for_band_g is None


def test_without_weighings_only_bound_and_practice_are_reported() -> None:
    found = cure(batter_g=1410, water_g=280)
    assert found.drying is None
    assert found.course == ()
    assert found.bound_pct == pytest.approx(100 * 280 / 1410)
    assert any("only the largest possible loss is known" in note for note in found.notes)
    assert any("only common practice" in note for note in cure().notes)


def test_common_practice_is_marked_as_such() -> None:
    # 18 to 24 hours, 4 to 6 weeks: common practice, no source
    assert (CURE_PRACTICE.unmould_hours.min, CURE_PRACTICE.unmould_hours.max) == (18, 24)
    assert (CURE_PRACTICE.cure_days.min, CURE_PRACTICE.cure_days.max) == (4 * 7, 6 * 7)
    assert CURE_PRACTICE.basis == "common practice, no source"
    assert "olive" in CURE_PRACTICE.text


@pytest.mark.parametrize(("count", "words"), [(3, "no error can be given"), (4, "one more narrows it considerably"),
                                              (5, "one more narrows it considerably")])
def test_how_sure_it_is_is_reported(count: int, words: str) -> None:
    assert any(words in note for note in cure(BY_DAY[:count]).notes)
    assert not any(words in note for note in cure(BY_DAY).notes)


def test_what_dries_is_reported_not_to_be_only_weight() -> None:
    assert any(note.startswith("Curing is not only drying") for note in cure(BY_DAY, within_pct=1).notes)
    assert not any(note.startswith("Curing is not only drying") for note in cure(BY_DAY).notes)
    assert any("extrapolated" in note for note in cure(BY_DAY, requested=[DayInput(day=43)]).notes)
    assert not any("extrapolated" in note for note in cure(BY_DAY, requested=[DayInput(day=42)]).notes)


def test_the_course_reaches_past_every_day_requested() -> None:
    found = cure(BY_DAY, requested=[DayInput(day=90)])
    assert found.course[0].day == 0
    assert found.course[-1].day == 90
    assert [point.day for point in found.course] == sorted({point.day for point in found.course})


@pytest.mark.parametrize(("change", "field", "words"), [
    ({"batter_g": 1410}, ("water_mass",), "needs both"),
    ({"water_g": 280}, ("batter_mass",), "needs both"),
    ({"weighed": BY_DAY, "expected_loss_pct": 11}, ("expected_loss_pct",), "is computed from the weighings"),
    ({"requested": [DayInput(day=3)]}, ("on",), "three or more"),
    ({"daily_loss_g": 0.1}, ("until",), "three or more"),
    ({"promise": Promise(110)}, ("promise", "mass"), "is computed from the loss"),
    ({"promise": Promise(110, DayInput(day=3)), "expected_loss_pct": 11}, ("promise", "day"), "leave out the day"),
    ({"weighed": [*BY_DAY, BY_DATE[5]]}, ("weighings",), 'by "day" or all by "date"'),
    ({"weighed": BY_DAY[:2]}, ("weighings",), "2 are given"),
    ({"weighed": BY_DAY, "requested": [DayInput(date=date(2027, 3, 1))]}, ("on", 0, "date"), "need the date of day 0"),
    ({"weighed": BY_DATE, "requested": [DayInput(day=1), DayInput(date=date(2027, 2, 2))]}, ("on", 1, "date"),
     "before day 0, which is 2027-02-03"),
    ({"weighed": BY_DATE, "requested": [DayInput(date=date(2037, 2, 2))]}, ("on", 0, "date"), "not possible here"),
    ({"dates": DateOptions(release=date(2027, 3, 20), earliest=date(2027, 3, 1))}, ("dates", "release"), "earliest"),
    ({"weighed": [*BY_DATE[:3], Weighed(DayInput(date=date(2035, 1, 1)), 110)]}, ("weighings", 3, "date"),
     "not possible here")])
def test_what_is_missing_is_reported_where_it_is(change: dict[str, Any], field: tuple[Any, ...], words: str) -> None:
    with pytest.raises(DomainErrors) as caught:
        cure(**change)
    errors = {fault.field: fault.detail for fault in caught.value.errors}
    assert words in errors.get(field, ""), errors


@pytest.mark.parametrize("day", [{}, {"day": 3, "date": date(2027, 3, 1)}])
def test_a_day_is_reported_in_one_way(day: dict[str, Any]) -> None:
    with pytest.raises(DomainError, match="Give either"):
        DayInput(**day)
