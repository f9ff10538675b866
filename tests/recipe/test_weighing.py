"""Steps of a scale."""

from __future__ import annotations

from fractions import Fraction

import pytest
from kettlewright.recipe.weighing import round_down, round_nearest


@pytest.mark.parametrize(("mass", "step", "down", "nearest"), [
    (131.3026, 1, 131, 131), (143.7764, 0.1, 143.7, 143.8), (0.3, 0.1, 0.3, 0.3), (13.0031, 1, 13, 13),
    (2.5, 1, 2, 3), (0.35, 0.1, 0.3, 0.4), (7, 2, 6, 8), (0.0499, 0.05, 0, 0.05)])
def test_masses_go_to_a_step_of_the_scale(mass: float, step: float, down: float, nearest: float) -> None:
    assert round_down(mass, step) == pytest.approx(down, abs=1e-9)
    assert round_nearest(mass, step) == pytest.approx(nearest, abs=1e-9)


def test_every_tenth_of_a_gram_stays_what_it_is() -> None:
    for tenths in range(1, 20_000, 7):
        mass = tenths / 10
        assert Fraction(round_down(mass, 0.1)).limit_denominator(10) == Fraction(tenths, 10)
