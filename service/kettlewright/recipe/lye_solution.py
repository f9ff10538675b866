"""The lye in the jug: density, strength and how hot it can get."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from kettlewright.ranges import Range
from kettlewright.reference import M_NAOH, M_WATER, water_density
from kettlewright.reference.lye_tables import (
    naoh_boiling_point,
    naoh_density,
    naoh_heat_capacity,
    naoh_heat_of_solution,
)

__all__ = [
    "PeakTemperature",
    "koh_solution_density",
    "lye_volume",
    "naoh_boiling_temperature",
    "naoh_peak_temperature",
    "naoh_solution_density",
]

_NEWER_HEAT_EXTRA_KJ_PER_MOL = 1.62  # 44.51 (Parker, NSRDS-NBS 2, 1965) less 42.89 (the older set), infinite dilution
_STRONG_LYE_KJ_PER_KG = 307.0  # about constant from 36 to 42.5 %; held beyond, where the table ends (own decision)
_TABLE_STARTS_AT_MOL_WATER = 3.0


def naoh_solution_density(concentration: float, temperature_c: float) -> float:
    """Density of a sodium hydroxide solution.

    Parameters
    ----------
    concentration : float, 0 to 0.50
        Pure NaOH. [mass fraction]
    temperature_c : float, 20 to 60
        Temperature. [degC]

    Returns
    -------
    float : bilinear in the table; beyond its edges the edge holds. [g/mL]

    References
    ----------
    .. [1] Industrial caustic-soda density table, same lineage as International Critical Tables III p. 79. Read, from
       24 %; below, computed (see reference/naoh_density.csv).
    """
    return naoh_density().at(concentration * 100, temperature_c)


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
        All of the lye. [g]
    temperature_c : float
        Temperature. [degC]

    Returns
    -------
    float : each alkali takes water by its pure mass, and the volumes add (own decision). [mL]
    """
    pure_total = math.fsum(pure_g.values())
    concentration = pure_total / lye_g
    density = {"NaOH": naoh_solution_density, "KOH": koh_solution_density}
    return math.fsum(lye_g * mass / pure_total / density[alkali](concentration, temperature_c)
                     for alkali, mass in pure_g.items())


def naoh_boiling_temperature(concentration: float) -> float:
    """Boiling point of a sodium hydroxide solution (`concentration`: pure NaOH [mass fraction]). [degC]

    References
    ----------
    .. [1] From memory, straight lines between 20, 30, 33, 40 and 50 %; 50 % read as about 145.
    """
    return naoh_boiling_point().at(concentration * 100)


@dataclass(frozen=True, slots=True)
class PeakTemperature:
    """How hot a lye can get, nothing lost to the room: an upper estimate.

    Parameters
    ----------
    range : Range
        With the older and with the newer published heat of solution. [degC]
    after_heat_loss : Range
        The same when a tenth of the heat goes into the room and the jug meanwhile. [degC]
    boiling_c : float
        Boiling point of this lye. [degC]
    """

    range: Range
    after_heat_loss: Range
    boiling_c: float


def naoh_peak_temperature(*, naoh_pure_g: float, lye_g: float, water_g: float, water_c: float) -> PeakTemperature:
    """Temperature a sodium hydroxide lye from dry alkali reaches if no heat is lost.

    Parameters
    ----------
    naoh_pure_g : float
        Pure NaOH. [g]
    lye_g : float
        Alkali as weighed and all water. [g]
    water_g : float
        All water. [g]
    water_c : float
        Temperature of the water before the alkali. [degC]

    Returns
    -------
    PeakTemperature : [degC]

    Notes
    -----
    T = T0 + 1000 n H(r) / (m cp), r = mol of water per mol of alkali. Below r = 3 the table ends, and 307 kJ per kg
    of lye is taken as the bound. The heat of acids being neutralised is not in it.

    References
    ----------
    .. [1] Integral heat of solution, older NBS (Rossini) set. From memory, but for r = 4 and infinite dilution (read).
    .. [2] Parker, NSRDS-NBS 2, 1965: 44.51 kJ/mol at infinite dilution. Read.
    .. [3] Heat capacity: Laliberte 2009, computed; extrapolated above 30 %.
    """
    mol = naoh_pure_g / M_NAOH
    mol_water = water_g / M_WATER / mol
    if mol_water < _TABLE_STARTS_AT_MOL_WATER:
        heat_kj = _STRONG_LYE_KJ_PER_KG * lye_g / 1000
    else:
        heat_kj = mol * naoh_heat_of_solution().at(mol_water)
    concentration = naoh_pure_g / lye_g
    capacity = lye_g * naoh_heat_capacity().at(concentration * 100)
    rises = (1000 * heat_kj / capacity, 1000 * (heat_kj + _NEWER_HEAT_EXTRA_KJ_PER_MOL * mol) / capacity)
    return PeakTemperature(range=Range(water_c + rises[0], water_c + rises[1]),
                           after_heat_loss=Range(water_c + 0.9 * rises[0], water_c + 0.9 * rises[1]),
                           boiling_c=naoh_boiling_temperature(concentration))
