"""The drying curve: laws, edges, and what it refuses with a reason."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from kettlewright.errors import DomainError, DomainErrors, OutOfRange, Unsolvable
from kettlewright.release import Drying, Weighing, fit_drying, loss_bound


def rows(*pairs: tuple[float, float]) -> list[Weighing]:
    return [Weighing(day, mass) for day, mass in pairs]


def on_curve(end: float, lose: float, rate: float, days: list[float]) -> list[Weighing]:
    return [Weighing(day, end + lose * math.exp(-rate * day)) for day in days]


SIX = rows((0, 128.0), (7, 121.6), (14, 117.9), (21, 115.8), (28, 114.6), (42, 113.5))
FOUR = rows((0, 128.0), (7, 121.6), (14, 117.9), (28, 114.9))

curves = st.tuples(st.floats(50, 400), st.floats(0.03, 0.3), st.floats(0.02, 0.3))


@given(curves, st.lists(st.integers(1, 60), min_size=2, max_size=9, unique=True))
def test_weighings_of_a_curve_give_it_back(curve: tuple[float, float, float], later: list[int]) -> None:
    end, part, rate = curve
    days = [0.0, *(float(day) for day in sorted(later))]
    assume(rate * days[-1] > 0.5)  # else its end is not in sight
    assume(rate * days[1] < 6)  # else it has dried before the second weighing
    found = fit_drying(on_curve(end, end * part, rate, days))
    assert found.equilibrium_g == pytest.approx(end, rel=1e-6)
    assert found.to_lose_g == pytest.approx(end * part, rel=1e-5)
    assert found.rate_per_day == pytest.approx(rate, rel=1e-5)


@given(st.floats(1, 20), st.floats(1, 20), curves)
def test_three_weighings_at_any_times_are_met_exactly(first: float, second: float,
                                                      curve: tuple[float, float, float]) -> None:
    end, part, rate = curve
    assume(rate * (first + second) > 0.1)
    assume(rate * first < 6)
    weighings = on_curve(end, end * part, rate, [0, first, first + second])
    found = fit_drying(weighings)
    for row in weighings:
        assert found.mass(row.day) == pytest.approx(row.mass_g, rel=1e-9)
    assert found.errors is None
    assert found.scatter_g is None
    assert found.on_day(30).band is None


def test_the_order_of_weighings_does_not_matter() -> None:
    assert fit_drying(SIX[::-1]) == fit_drying(SIX)
    assert fit_drying(FOUR[2:] + FOUR[:2]) == fit_drying(FOUR)


def test_twice_the_bar_loses_twice_as_much() -> None:
    once, twice = fit_drying(SIX), fit_drying([Weighing(row.day, 2 * row.mass_g) for row in SIX])
    assert twice.equilibrium_g == pytest.approx(2 * once.equilibrium_g, rel=1e-9)
    assert twice.rate_per_day == pytest.approx(once.rate_per_day, rel=1e-7)
    assert twice.errors is not None
    assert once.errors is not None
    assert twice.errors[0] == pytest.approx(2 * once.errors[0], rel=1e-5)
    assert twice.errors[2] == pytest.approx(once.errors[2], rel=1e-5)
    assert twice.loss_pct(42) == pytest.approx(once.loss_pct(42), rel=1e-9)


def test_a_later_day_0_leaves_the_curve_where_it_is() -> None:
    once, later = fit_drying(SIX), fit_drying([Weighing(row.day + 5, row.mass_g) for row in SIX])
    assert later.equilibrium_g == pytest.approx(once.equilibrium_g, rel=1e-9)
    assert later.mass(33) == pytest.approx(once.mass(28), rel=1e-9)
    assert later.to_lose_g == pytest.approx(once.to_lose_g * math.exp(5 * once.rate_per_day), rel=1e-7)
    for day in (5, 20, 60):
        mine, theirs = once.on_day(day - 5).band, later.on_day(day).band
        assert mine is not None
        assert theirs is not None
        assert theirs.min == pytest.approx(mine.min, rel=1e-7)


def test_the_band_holds_the_curve_and_is_wide_for_few_weighings() -> None:
    for weighings in (SIX, FOUR):
        found = fit_drying(weighings)
        for day in (0, 10, 42, 90):
            point = found.on_day(day)
            assert point.band is not None
            assert point.band.min < point.mass_g < point.band.max
            assert point.beyond == (day > weighings[-1].day)
    four, six = fit_drying(FOUR).on_day(40).band, fit_drying(SIX).on_day(40).band
    assert four is not None
    assert six is not None
    assert four.half_width > 3 * six.half_width


def test_mass_falls_to_its_end_and_loss_is_what_is_gone() -> None:
    found = fit_drying(SIX)
    masses = [found.mass(day) for day in range(0, 200, 10)]
    assert masses == sorted(masses, reverse=True)
    assert masses[-1] > found.equilibrium_g
    assert found.loss_pct(0) == 0
    for day in (1, 30, 300):
        assert found.loss_pct(day) == pytest.approx(100 * (1 - found.mass(day) / found.start_g), rel=1e-9)
    assert found.mass(found.half_life_days) == pytest.approx(found.equilibrium_g + found.to_lose_g / 2, rel=1e-12)


def test_it_is_dry_when_it_is_and_at_once_where_it_was_from_the_start() -> None:
    found = fit_drying(SIX)
    slow, near = found.days_until_losing(0.1), found.days_until_within(1)
    assert found.on_day(slow).daily_loss_g == pytest.approx(0.1, rel=1e-9)
    assert found.mass(near) == pytest.approx(1.01 * found.equilibrium_g, rel=1e-9)
    assert found.days_until_losing(5) == 0
    assert found.days_until_within(20) == 0
    # a day's loss is the slope of the curve, seen from both sides
    between = (found.mass(9.99) - found.mass(10.01)) / 0.02
    assert found.on_day(10).daily_loss_g == pytest.approx(between, rel=1e-6)


@pytest.mark.parametrize(("weighings", "words"), [
    (rows((0, 128), (7, 121)), "2 are given. Two do not show where it ends"),
    (rows((0, 128)), "1 is given"),
    ([], "0 are given"),
    (rows(*((day, 300 - day) for day in range(201))), "3 to 200 weighings"),
    (rows((0, 120), (7, 121), (14, 123)), "loses nothing"),
    (rows((0, 120), (7, 120), (14, 120), (21, 120)), "loses nothing"),
    (rows((0, 128), (7, 121), (14, 114)), "is not getting smaller"),
    (rows((0, 128), (7, 122), (14, 114)), "is not getting smaller"),
    (rows((0, 128), (7, 121), (14, 114), (21, 107)), "is not getting smaller"),
    (rows((0, 128), (7, 126), (14, 121), (21, 110)), "is not getting smaller"),
    (rows((0, 128), (7, 113), (14, 113)), "before its second weighing"),
    (rows((0, 128), (7, 113), (14, 113), (21, 113)), "before its second weighing"),
    (rows((0, 128), (7, 121.2), (14, 114.8)), "60 % is the most any bar can lose"),
    (rows((90, 128), (97, 121.6), (104, 117.9)), "extrapolated back from day 90 to day 0"),
    (rows((1400, 128), (1400.5, 121.6), (1401, 117.9)), "is too late"),
    (rows((1400, 128), (1400.5, 121.6), (1401, 117.9), (1401.5, 116)), "is too late")])
def test_what_no_curve_fits_is_refused_with_the_reason(weighings: list[Weighing], words: str) -> None:
    with pytest.raises((Unsolvable, OutOfRange)) as caught:
        fit_drying(weighings)
    assert words in caught.value.detail


def test_a_rise_is_reported_where_it_is() -> None:
    with pytest.raises(DomainErrors) as caught:
        fit_drying(rows((14, 117.9), (7, 121.6), (0, 128), (21, 121)))
    assert [(fault.field, "from 117.9 to 121 g" in fault.detail) for fault in caught.value.errors] == [
        ((3, "mass"), True)]
    with pytest.raises(DomainErrors, match="rises from 121 to"):
        fit_drying(rows((0, 128), (7, 121), (14, 121.1)))


def test_a_damp_day_is_no_fault_but_a_tenth_of_the_loss_is() -> None:
    # 16 g lost in all: 1.5 g up is noise, 1.7 g is another bar
    assert fit_drying(rows((0, 128), (7, 119), (14, 112), (21, 113.5), (28, 112.2))).to_lose_g > 10
    with pytest.raises(DomainErrors, match="typing error"):
        fit_drying(rows((0, 128), (7, 119), (14, 112), (21, 113.7), (28, 112.2)))


def test_a_day_twice_is_reported_where_it_is() -> None:
    with pytest.raises(DomainErrors) as caught:
        fit_drying(rows((0, 128), (7, 121), (14, 118), (7, 121.5)))
    assert caught.value.errors[0].field == (3,)
    assert fit_drying(rows((0, 128), (7, 121.5), (7.02, 121.48), (14, 118))).rate_per_day > 0


def test_no_bar_ends_below_what_its_water_allows() -> None:
    ends = fit_drying(SIX)
    loss = 100 * ends.to_lose_g / ends.start_g  # 11.75 %
    assert fit_drying(SIX, bound_pct=loss + 0.01) == ends
    with pytest.raises(Unsolvable, match="all the water of its batter"):
        fit_drying(SIX, bound_pct=loss - 0.01)


def test_weighings_that_the_curve_meets_have_no_scatter() -> None:
    found = fit_drying(on_curve(113, 15, 0.08, [0, 5, 12, 20, 33]))
    assert found.scatter_g == pytest.approx(0, abs=1e-9)
    assert found.errors is not None
    assert found.errors[0] == pytest.approx(0, abs=1e-9)


def test_all_water_gone_is_the_most_and_more_water_than_batter_is_none() -> None:
    assert loss_bound(1000, 250) == pytest.approx(25)
    with pytest.raises(DomainError, match="not less than the batter"):
        loss_bound(250, 250)
    with pytest.raises(DomainErrors):
        loss_bound(0, 0)


@pytest.mark.parametrize(("day", "mass"), [(-0.1, 100), (1500.1, 100), (1, 0), (1, 2e6), (math.nan, 1)])
def test_weighings_have_bounds(day: float, mass: float) -> None:
    with pytest.raises(DomainErrors, match="not possible here"):
        Weighing(day, mass)


@pytest.mark.parametrize("ask", [lambda curve: curve.on_day(1501), lambda curve: curve.days_until_losing(0),
                                 lambda curve: curve.days_until_within(0), lambda curve: curve.days_until_within(51)])
def test_questions_have_bounds(ask: object) -> None:
    curve: Drying = fit_drying(SIX)
    with pytest.raises(OutOfRange):
        ask(curve)
