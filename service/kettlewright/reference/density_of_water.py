"""Pure water."""

from __future__ import annotations

__all__ = ["water_density"]


def water_density(temperature_c: float) -> float:
    """Density of water.

    Parameters
    ----------
    temperature_c : float, 5 to 65
        Temperature. [degC]

    Returns
    -------
    float : a cubic fit, within 5e-5 of the published values there. [g/mL]

    References
    ----------
    .. [1] Computed: fit to the IAPWS-95 density of water at one atmosphere.
    """
    t = temperature_c
    return 1.00001 + t * (3.10616e-5 + t * (-6.54998e-6 + t * 2.26811e-8))
