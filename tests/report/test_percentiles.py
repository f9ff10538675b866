"""Percentiles from counts: within 1 % of the exact ones, whatever the times are, and in little memory."""

from __future__ import annotations

import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from kettlewright.report import Percentiles


def exact(values: list[float], share: float) -> float:
    """Nearest rank: the smallest value that at least this share of all does not exceed."""
    return sorted(values)[max(math.ceil(share * len(values)), 1) - 1]


@given(st.lists(st.floats(0.001, 1e8), min_size=1, max_size=200), st.floats(0.001, 1.0))
def test_a_percentile_is_within_one_percent_of_the_exact_one(values: list[float], share: float) -> None:
    counted = Percentiles()
    for one in values:
        counted.add(one)
    assert counted.at(share) == pytest.approx(exact(values, share), rel=0.01 + 1e-9)


@pytest.mark.parametrize("draw", [lambda r: r.lognormvariate(1, 2), lambda r: r.choice([2.0, 900.0]),
                                  lambda r: r.paretovariate(1.1)], ids=["lognormal", "two times", "long tail"])
def test_the_percentiles_of_the_report_are_right_for_many_times(draw: object) -> None:
    drawn, counted = random.Random(5), Percentiles()
    values = [draw(drawn) for _ in range(5_000)]
    for one in values:
        counted.add(one)
    for share in (0.5, 0.95, 0.99):
        assert counted.at(share) == pytest.approx(exact(values, share), rel=0.01 + 1e-9)
    assert counted.largest == max(values)


def test_counts_that_are_added_up_are_those_of_all() -> None:
    drawn, parts, whole = random.Random(6), [Percentiles() for _ in range(3)], Percentiles()
    for number in range(600):
        value = drawn.expovariate(0.1)
        parts[number % 3].add(value)
        whole.add(value)
    together = Percentiles()
    for part in parts:
        together.add_all(part)
    assert [together.at(share) for share in (0.1, 0.5, 1.0)] == [whole.at(share) for share in (0.1, 0.5, 1.0)]
    assert (together.count, together.largest) == (600, whole.largest)


def test_no_times_and_times_of_nothing() -> None:
    counted = Percentiles()
    assert counted.at(0.5) == 0
    counted.add(0.0)
    assert (counted.at(0.5), counted.count) == (0.0, 1)


def test_memory_does_not_grow_with_the_times() -> None:
    counted = Percentiles()
    for number in range(60_000):
        counted.add(1e-9 * 1.001 ** number)
    assert counted.count == 60_000
    assert len(counted._bins) < 1_500
