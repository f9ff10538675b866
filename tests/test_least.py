"""The least value of a function, from its slope, against minima that are known exactly."""

import math

import pytest
from kettlewright.least import least


@pytest.mark.parametrize(("slope", "low", "high", "exactly"), [
    (lambda x: 2 * (x - math.pi), 3.0, 3.5, math.pi),  # (x - pi)^2
    (lambda x: math.log(x) + 1, 0.2, 1.0, 1 / math.e),  # x ln x
    (lambda x: 4 * x ** 3 - 4, 0.5, 3.0, 1.0),  # x^4 - 4 x
])
def test_a_minimum_is_found_to_the_last_digits(slope, low, high, exactly):
    assert least(slope, low, 0.5 * (low + high), high) == pytest.approx(exactly, rel=1e-14)


def test_an_end_of_the_range_is_the_least_where_the_function_rises_from_it():
    assert least(lambda x: 1.0, 2.0, 2.0, 3.0) == 2.0
    assert least(lambda x: -1.0, 2.0, 3.0, 3.0) == 3.0


def test_a_flat_function_is_least_at_the_best_value_tried():
    assert least(lambda x: 0.0, 1.0, 1.5, 2.0) == 1.5


def test_a_greatest_value_is_never_taken_for_the_least():
    assert least(lambda x: -2 * (x - 1.2), 1.0, 1.0, 2.0) == 1.0
