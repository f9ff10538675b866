"""Densities of fats, brought to 40 degrees Celsius."""

from __future__ import annotations

import pytest
from kettlewright.reference import Figure, density_at_40, density_from_figure, fats


@pytest.mark.parametrize(("figure", "density"), [
    # 0.9145 x 0.99820 at 40 degC: nothing to move
    (Figure(0.908, 0.921, "read", "40 degC / water 20 degC"), 0.91285),
    # 0.913 x 0.99820 = 0.91136 at 20 degC; 20 K warmer takes off 0.0132
    (Figure(0.910, 0.916, "read", "20 degC / water 20 degC"), 0.89816),
    # 0.895 x 0.99820 = 0.89339 at 50 degC; 10 K cooler adds 0.0066
    (Figure(0.891, 0.899, "read", "50 degC / water 20 degC"), 0.89999),
    # relative to water of 15.5 degC, 0.99902 g/mL: 0.9175 x 0.99902 = 0.91660 less 24.5 K x 0.00066
    (Figure(0.915, 0.920, "read", "15.5 degC / water 15.5 degC"), 0.90043),
    # no water named: g/mL as it is
    (Figure(0.912, 0.912, "read", "25 degC (d25)"), 0.9021),
    (Figure(0.960, 0.960, "memory", "about, 20 degC"), 0.9468),
])
def test_densities_are_brought_to_40_degrees(figure: Figure, density: float) -> None:
    found = density_from_figure(figure)
    assert found.value_g_per_ml == pytest.approx(density, abs=3e-5)
    assert not found.assumed
    assert found.from_memory == (figure.verified == "memory")


def test_a_density_nobody_stated_is_assumed() -> None:
    for figure in (None, Figure(0.9017, 0.9087, "read", "temperature not stated")):
        found = density_from_figure(figure)
        assert (found.value_g_per_ml, found.assumed) == (0.905, True)


def test_a_condition_that_cannot_be_read_is_an_error() -> None:
    with pytest.raises(ValueError, match="cannot be read"):
        density_from_figure(Figure(0.9, 0.91, "read", "warm"))


def test_every_fat_has_a_plausible_density() -> None:
    for record in fats().values():
        assert 0.84 < density_at_40(record).value_g_per_ml < 0.96, record.key
