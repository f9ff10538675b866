"""A fixed point is found, or the calculation fails: a value that has not settled is never returned."""

from __future__ import annotations

import math

import pytest
from kettlewright.errors import DomainError
from kettlewright.settling import NotSettled, settle
from scipy.optimize import fixed_point


def test_the_cosine_has_the_fixed_point_that_scipy_finds() -> None:
    def damped(values: tuple[float, ...]) -> list[float]:
        return [(value + math.cos(value)) / 2 for value in values]

    found = settle(damped, (0.5, 1.0), close=1e-14, what="cosine")
    assert found == pytest.approx([float(fixed_point(math.cos, 0.5))] * 2, rel=1e-8)


@pytest.mark.parametrize("step", [
    lambda values: [1 - value for value in values],  # swings between two values
    lambda values: [2 * value for value in values],  # grows
    lambda values: [value + 1e-6 for value in values],  # creeps
    lambda values: [math.nan for _ in values]])
def test_what_does_not_settle_is_an_internal_error(step: object) -> None:
    with pytest.raises(NotSettled, match="Swing did not settle"):
        settle(step, (0.25,), close=1e-9, what="Swing")
    assert not issubclass(NotSettled, DomainError)  # nothing that the maker could change in the request


def test_zero_is_settled() -> None:
    assert settle(lambda values: [0.0 for _ in values], (0.0,), close=1e-9, what="zero") == (0.0,)
