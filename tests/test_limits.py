"""Bounds: both ends are allowed, nothing beyond them is."""

from __future__ import annotations

import math

import pytest
from kettlewright import limits
from kettlewright.errors import OutOfRange

BOUNDS = {name: value for name, value in vars(limits).items() if isinstance(value, limits.Bounds)}


@pytest.mark.parametrize("name", BOUNDS)
def test_both_ends_are_allowed_and_nothing_beyond(name: str) -> None:
    bounds = BOUNDS[name]
    assert bounds.check(bounds.low) == bounds.low
    assert bounds.check(bounds.high) == bounds.high
    for beyond in (bounds.low - max(abs(bounds.low) * 1e-9, 1e-215), bounds.high * (1 + 1e-9), math.inf, math.nan):
        with pytest.raises(OutOfRange):
            bounds.check(beyond)
    # an end that was converted from another unit may be a rounding away from it
    assert bounds.check(bounds.high * (1 + 1e-15)) == bounds.high
