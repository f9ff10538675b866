"""Density of the lye in the jug."""

from __future__ import annotations

import math
from collections.abc import Mapping

from kettlewright.reference import water_density
from kettlewright.reference.lye_tables import naoh_density

__all__ = ["VALID_C", "density_is_valid", "koh_solution_density", "lye_volume", "naoh_solution_density"]

VALID_C = (15.0, 60.0)
_TABLE_STARTS_C = 20.0
_STRONGEST = {"NaOH": 0.50, "KOH": 0.52}


def naoh_solution_density(concentration: float, temperature_c: float) -> float:
    """Density of a sodium hydroxide solution.

    Parameters
    ----------
    concentration : float, 0 to 0.50
        Pure NaOH. [mass fraction]
    temperature_c : float, 15 to 60
        Temperature. [degC]

    Returns
    -------
    float : bilinear in the table from 20 degC; below, a closed form fitted to it; outside 0 to 50 % and above 60 degC
        the value at the edge. [g/mL]

    References
    ----------
    .. [1] Industrial caustic-soda density table, same lineage as International Critical Tables III p. 79. Read, from
       24 %; below, and under 20 degC, computed (see reference/naoh_density.csv).
    """
    if temperature_c >= _TABLE_STARTS_C:
        return naoh_density().at(concentration * 100, temperature_c)
        # the closed form is slightly off the table; use only its slope, so that nothing jumps at 20 degC
    at_20 = naoh_density().at(concentration * 100, _TABLE_STARTS_C)
    return at_20 + _naoh_closed_form(concentration, temperature_c) - _naoh_closed_form(concentration, _TABLE_STARTS_C)


def _naoh_closed_form(w: float, temperature_c: float) -> float:
    t = (temperature_c - 20) / 10
    return (water_density(temperature_c) + w * (1.0719 + w * (0.34073 + w * (-1.0069 + w * 0.50663)))
            + t * w * (-0.019776 + w * (0.03199 - w * 0.028232)) + 0.00098282 * w * t * t)


def density_is_valid(alkali: str, concentration: float, temperature_c: float) -> bool:
    """Whether a density is inside the range that its source covers.

    Parameters
    ----------
    alkali : str
        "NaOH" or "KOH". [key]
    concentration : float
        Pure alkali. [mass fraction]
    temperature_c : float
        Temperature. [degC]
    """
    return VALID_C[0] <= temperature_c <= VALID_C[1] and 0 <= concentration <= _STRONGEST[alkali]


def koh_solution_density(concentration: float, temperature_c: float) -> float:
    """Density of a potassium hydroxide solution.

    Parameters
    ----------
    concentration : float, 0 to 0.52
        Pure KOH. [mass fraction]
    temperature_c : float, 5 to 65
        Temperature. [degC]

    Returns
    -------
    float : within about 0.4 % of what laboratories publish. [g/mL]

    References
    ----------
    .. [1] Laliberte 2009, density model for aqueous electrolytes. Computed; agrees with a physics table at 18 degC,
       5 to 40 %, within 0.002 g/mL.
    """
    w = concentration
    apparent = ((0.82112 * w + 1.0432) * math.exp(1e-6 * (temperature_c + 539.63) ** 2)
                / (w + 0.11287 + 0.0012402 * temperature_c))
    return 1 / ((1 - w) / water_density(temperature_c) + w / apparent)


def lye_volume(pure_g: Mapping[str, float], lye_g: float, temperature_c: float) -> float:
    """Volume of a lye of one or both alkalis.

    Parameters
    ----------
    pure_g : mapping of alkali to float
        Pure alkali in it, by "NaOH" and "KOH". [g]
    lye_g : float
        Mass of the lye. [g]
    temperature_c : float
        Temperature. [degC]

    Returns
    -------
    float : the water is divided between the alkalis by pure mass, and the volumes add (own decision); without alkali,
        the volume of the water. [mL]
    """
    pure_total = math.fsum(pure_g.values())
    if pure_total == 0:
        return lye_g / water_density(temperature_c)
    concentration = pure_total / lye_g
    density = {"NaOH": naoh_solution_density, "KOH": koh_solution_density}
    return math.fsum(lye_g * mass / pure_total / density[alkali](concentration, temperature_c)
                     for alkali, mass in pure_g.items())
