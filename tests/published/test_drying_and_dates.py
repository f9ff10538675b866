"""Drying and dates against hand-worked values, closed forms, simulation and general-purpose libraries.

First-order drying to an equilibrium is the standard thin-layer form (from memory); the vectors are computed with it.
"""

from __future__ import annotations

from datetime import date
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from kettlewright.release import (
    CURE_PRACTICE,
    ClosedDays,
    DateOptions,
    Drying,
    Promise,
    Weighing,
    batch_dates,
    cure,
    fit_drying,
    loss_bound,
)
from kettlewright.release.days.closed_days import WEEKDAYS
from scipy.optimize import curve_fit

SIX = [(0, 128.0), (7, 121.6), (14, 117.9), (21, 115.8), (28, 114.6), (42, 113.5)]


def fit(pairs: Any) -> Drying:
    return fit_drying([Weighing(float(day), float(mass)) for day, mass in pairs])


def test_six_weighings() -> None:
    # computed with a general least-squares routine
    found = fit(SIX)
    assert found.equilibrium_g == pytest.approx(112.9665, rel=1e-6)
    assert found.to_lose_g == pytest.approx(15.0361, rel=1e-5)
    assert found.rate_per_day == pytest.approx(0.079433, rel=1e-5)
    assert found.squares_g2 == pytest.approx(3.1e-4, rel=0.01)
    assert found.days_until_losing(0.1) == pytest.approx(31.22, rel=1e-3)
    assert found.days_until_within(1) == pytest.approx(32.59, rel=1e-3)
    assert found.loss_pct(42) == pytest.approx(11.33, rel=1e-3)


def test_three_weighings_equally_far_apart() -> None:
    # w_eq = (w1 w3 - w2^2) / (w1 + w3 - 2 w2), by hand: (128 * 114.6 - 117.9^2) / 6.8
    found = fit([(0, 128), (14, 117.9), (28, 114.6)])
    assert found.equilibrium_g == pytest.approx((128 * 114.6 - 117.9 ** 2) / 6.8, rel=1e-12)
    assert found.equilibrium_g == pytest.approx(112.9985, rel=1e-6)
    assert found.rate_per_day == pytest.approx(0.079901, rel=1e-4)


def test_a_loss_that_halves_every_fortnight() -> None:
    # 140, 130, 125: 10 g, then 5 g, so 20 g in all
    found = fit([(0, 140), (14, 130), (28, 125)])
    assert found.equilibrium_g == pytest.approx(120, rel=1e-6)
    assert found.rate_per_day == pytest.approx(0.0495105, rel=1e-6)
    assert found.half_life_days == pytest.approx(14, rel=1e-9)
    assert found.mass(42) == pytest.approx(122.5, rel=1e-9)


def test_the_water_of_a_batter_is_the_most_a_bar_can_lose() -> None:
    assert loss_bound(1000 + 130 + 280, 280) == pytest.approx(19.858, rel=1e-3)


def test_what_to_make_wet_for_a_promised_mass() -> None:
    found = cure(promise=Promise(110), expected_loss_pct=11.5)
    assert found.wet is not None
    assert found.wet.wet_g == pytest.approx(124.29, abs=0.01)


@pytest.mark.parametrize("options", [
    DateOptions(release=date(2027, 3, 20), packing_days=3, cure_days=42, unmould_days=1),
    DateOptions(pour=date(2027, 2, 2), packing_days=3, cure_days=42, unmould_days=1)])
def test_a_release_in_march_is_poured_in_february(options: DateOptions) -> None:
    found = batch_dates(options)
    assert (found.pour, found.unmould, found.pack_from, found.release) == (
        date(2027, 2, 2), date(2027, 2, 3), date(2027, 3, 17), date(2027, 3, 20))


def test_a_day_in_the_mould_is_eighteen_to_twenty_four_hours() -> None:
    # common practice, no source
    assert batch_dates(DateOptions(pour=date(2027, 2, 2))).in_mould_days * 24 == CURE_PRACTICE.unmould_hours.max
    assert CURE_PRACTICE.unmould_hours.min == 18


def by_half_life(day: Any, start: float, end: float, half: float) -> Any:
    return end + (start - end) * 0.5 ** (day / half)


@pytest.mark.parametrize("seed", range(5))
def test_another_fit_in_other_parameters_finds_the_same(seed: int) -> None:
    # the same curve given by start, end and half-life: other derivatives, another way to the least squares
    random = np.random.default_rng(seed)
    days = np.array([0, 3, 7, 10, 14, 21, 28, 42], dtype=float)
    masses = np.round(by_half_life(days, 130, 114, 9) + random.normal(0, 0.15, len(days)), 1)
    found = fit(zip(days, masses, strict=True))
    (start, end, half), spread = curve_fit(by_half_life, days, masses, p0=[masses[0], masses[-1], 10])
    assert found.start_g == pytest.approx(start, rel=1e-6)
    assert found.equilibrium_g == pytest.approx(end, rel=1e-6)
    assert found.half_life_days == pytest.approx(half, rel=1e-4)
    assert found.errors is not None
    assert found.errors[0] == pytest.approx(np.sqrt(spread[1, 1]), rel=2e-3)
    assert found.errors[1] == pytest.approx(np.sqrt(spread[0, 0] + spread[1, 1] - 2 * spread[0, 1]), rel=2e-3)
    assert found.errors[2] == pytest.approx(np.log(2) / half ** 2 * np.sqrt(spread[2, 2]), rel=2e-3)
    # the band by differences of that other curve; Student's t for 5 degrees of freedom, 97.5 %: 2.571 (any table)
    scatter = np.sum((by_half_life(days, start, end, half) - masses) ** 2) / 5
    for day in (0, 20, 60):
        at = [start, end, half]
        slope = np.array([(by_half_life(day, *(value + 1e-4 * (place == one) for place, value in enumerate(at)))
                           - by_half_life(day, *at)) / 1e-4 for one in range(3)])
        band = found.on_day(day).band
        assert band is not None
        assert band.half_width == pytest.approx(2.571 * np.sqrt(slope @ spread @ slope + scatter), rel=3e-3)
        assert band.mid == pytest.approx(by_half_life(day, *at), rel=1e-6)


@pytest.mark.parametrize("count", [5, 9])
def test_a_new_weighing_lies_in_the_band_as_often_as_it_says(count: int) -> None:
    # 600 bars of a known curve, weighed with a scatter of 0.2 g: 95 % of new weighings in the band, within three
    # standard deviations of such a count (2.7 points) and the bend of the model
    random = np.random.default_rng(7)
    days = np.linspace(0, 42, count)
    inside = 0
    for _ in range(600):
        masses = by_half_life(days, 130, 114, 9) + random.normal(0, 0.2, count)
        band = fit(zip(days, masses, strict=True)).on_day(35).band
        assert band is not None
        inside += band.min <= by_half_life(35, 130, 114, 9) + random.normal(0, 0.2) <= band.max
    assert inside / 600 == pytest.approx(0.95, abs=0.03)


def test_the_band_is_not_just_wide() -> None:
    # with many weighings it is the scatter alone: 1.97 x 0.2 g (Student's t with 197 degrees of freedom)
    random = np.random.default_rng(3)
    days = np.linspace(0, 42, 200)
    band = fit(zip(days, by_half_life(days, 130, 114, 9) + random.normal(0, 0.2, 200), strict=True)).on_day(20).band
    assert band is not None
    assert band.half_width == pytest.approx(1.97 * 0.2, rel=0.1)


@given(st.lists(st.sampled_from(WEEKDAYS), max_size=6, unique=True),
       st.lists(st.dates(date(2027, 1, 1), date(2027, 5, 1)), max_size=12),
       st.dates(date(2027, 1, 1), date(2027, 5, 1)), st.integers(0, 12))
def test_open_days_are_those_of_another_calendar(weekdays: list[str], shut: list[date], day: date,
                                                 packing: int) -> None:
    # NumPy's business days: weekmask from Monday on, holidays
    closed = ClosedDays(tuple(weekdays), tuple(shut))
    theirs: dict[str, Any] = {"weekmask": [name not in weekdays for name in WEEKDAYS], "holidays": shut}
    assert closed.open_from(day) == np.busday_offset(day, 0, roll="forward", **theirs).astype(date)
    assert closed.open_until(day) == np.busday_offset(day, 0, roll="backward", **theirs).astype(date)
    release = closed.open_from(day)
    found = batch_dates(DateOptions(release=release, packing_days=packing, closed=closed))
    assert found.pack_from == np.busday_offset(release, -packing, **theirs).astype(date)
    assert found.unmould >= found.pour
