"""The density of water."""

from __future__ import annotations

import pytest
from kettlewright.reference import water_density


@pytest.mark.parametrize(("temperature", "density"), [(5, 0.99997), (20, 0.99820), (25, 0.99705), (40, 0.99222),
                                                      (60, 0.98320)])
def test_water_weighs_what_is_published(temperature: float, density: float) -> None:
    # from memory: CRC Handbook, density of water (IAPWS-95), g/mL
    assert water_density(temperature) == pytest.approx(density, abs=5e-5)
