"""How hot the lye gets, and how ice cools it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kettlewright.ranges import Range
from kettlewright.recipe.workings import SILENT, Book, Formula
from kettlewright.reference import M_KOH, M_NAOH, M_WATER
from kettlewright.reference.lye_tables import (
    koh_heat_capacity,
    naoh_boiling_point,
    naoh_heat_capacity,
    naoh_heat_of_solution,
)

__all__ = ["HEAT_BALANCE", "AlkaliInJug", "PeakTemperature", "WaterInJug", "lye_heat_capacity",
           "naoh_boiling_temperature", "naoh_heat", "peak_temperature"]

NEWER_HEAT_EXTRA_KJ_PER_MOL = 1.62  # 44.51 (Parker, NSRDS-NBS 2, 1965) less 42.89 (the older set), infinite dilution
KOH_HEAT_KJ_PER_MOL = 57.61  # infinite dilution: Parker, NSRDS-NBS 2, 1965, read; an upper bound at any strength
KOH_HEAT_LOW = 0.8  # the bound is perhaps 10 to 20 % too high from 30 to 45 %: from memory
STRONG_LYE_KJ_PER_KG = 307.0  # about constant from 36 to 42.5 %; kept beyond the table's end (own decision)
MELTING_KJ_PER_KG = 334.0  # of ice: from memory
WATER_KJ_PER_KG_K = 4.18
_TABLE_STARTS_AT_MOL_WATER = 3.0
_LOST = 0.1
_HEAT_SOURCE = "Integral heat of solution, older NBS (Rossini) set: memory but for r = 4 (read); of acids: memory"
HEAT_BALANCE = "heat balance, no heat loss"

_MOL_WATER = Formula("(water / M_water) / mol_alkali")
_HEAT = Formula("sum(heats)")
_COLD = Formula("sum(takes)")
_PEAK = Formula("max(water_c + 1000 * (heat - cold) / (lye * cp), 0)")  # at 0 degC some ice is left over
_LOST_TOO = Formula("max(water_c + 1000 * (heat * (1 - lost) - cold) / (lye * cp), 0)")


def naoh_boiling_temperature(concentration: float) -> float:
    """Boiling point of a sodium hydroxide solution (`concentration`: pure NaOH [mass fraction]). [degC]

    References
    ----------
    .. [1] From memory, linear between 20, 30, 33, 40 and 50 %; 50 % read as about 145.
    """
    return naoh_boiling_point().at(concentration * 100)


def naoh_heat(mol_water: float, *, carried_on: bool = False) -> float:
    """Heat released by one mol of solid sodium hydroxide in a given amount of water.

    Parameters
    ----------
    mol_water : float
        Water per mol of alkali. [mol/mol]
    carried_on : bool
        Below the table (3 mol), extrapolate its first segment, as for stocks; otherwise 307 kJ per kg of lye is the
        limit. [yes or no]

    Returns
    -------
    float : at 25 degC, older set. [kJ/mol]

    References
    ----------
    .. [1] Integral heat of solution, older NBS (Rossini) set. From memory, but for r = 4 and infinite dilution (read).
    """
    table = naoh_heat_of_solution()
    if mol_water >= _TABLE_STARTS_AT_MOL_WATER:
        return table.at(mol_water)
    if carried_on:
        return table.carried_on_below(mol_water)
    return STRONG_LYE_KJ_PER_KG * (M_NAOH + mol_water * M_WATER) / 1000


@dataclass(frozen=True, slots=True)
class AlkaliInJug:
    """An alkali that goes into the jug.

    Parameters
    ----------
    key : str
        "NaOH" or "KOH". [key]
    pure_g : float
        Pure alkali. [g]
    stock_pct : float, optional
        Concentration of the stock; None for dry alkali. [% by mass]
    stock_c : float, optional
        Temperature of the stock; the water's if not given. [degC]
    """

    key: str
    pure_g: float
    stock_pct: float | None = None
    stock_c: float | None = None


@dataclass(frozen=True, slots=True)
class WaterInJug:
    """Water, ice, or the water of a liquid.

    Parameters
    ----------
    name : str
        Its name. [text]
    mass_g : float
        Water in it. [g]
    temperature_c : float
        Before the alkali is added; 0 for ice. [degC]
    frozen : bool
        It has to melt first. [yes or no]
    """

    name: str
    mass_g: float
    temperature_c: float
    frozen: bool = False


@dataclass(frozen=True, slots=True)
class PeakTemperature:
    """The highest temperature of a lye if no heat is lost: an upper estimate.

    Parameters
    ----------
    range : Range
        With the lower and with the higher published heat. [degC]
    after_heat_loss : Range
        The same if a tenth of the heat is lost to the room and the jug. [degC]
    with_half_ice : Range, optional
        The same with half of the added water as ice; None if no water is added or ice is already planned. [degC]
    boiling_c : float
        Boiling point of a sodium hydroxide lye of this concentration, ignoring the effect of acids. [degC]
    basis : str
        "tables" (published heats), "upper_bound" (potassium hydroxide: only the heat at infinite dilution is known) or
        "extrapolated" (more concentrated than the table). [key]
    """

    range: Range
    after_heat_loss: Range
    with_half_ice: Range | None
    boiling_c: float
    basis: str


def lye_heat_capacity(pure_g: Mapping[str, float], lye_g: float) -> float:
    """Heat capacity of a lye near 60 degC.

    Parameters
    ----------
    pure_g : mapping of alkali to float
        Pure alkali in it. [g]
    lye_g : float
        Mass of the lye. [g]

    Returns
    -------
    float : mean of the alkalis' own at the concentration of the whole, by pure mass (own decision). [kJ/(kg K)]

    References
    ----------
    .. [1] Laliberte 2009, computed; NaOH extrapolated from 30 to 40 %, above that from memory; KOH extrapolated above
       46.5 %.
    """
    total = math.fsum(pure_g.values())
    if total == 0:
        return WATER_KJ_PER_KG_K
    strength = 100 * total / lye_g
    curves = {"NaOH": naoh_heat_capacity, "KOH": koh_heat_capacity}
    return math.fsum(mass / total * curves[alkali]().at(strength) for alkali, mass in pure_g.items())


def peak_temperature(alkalis: Sequence[AlkaliInJug], waters: Sequence[WaterInJug], *, lye_g: float, water_g: float,
                     water_c: float, ice_can_be_g: float = 0.0, acids_g: float = 0.0, acids_mol: float = 0.0,
                     acids_kj: float = 0.0, book: Book = SILENT) -> PeakTemperature | None:
    """Temperature that a lye reaches if no heat is lost.

    Parameters
    ----------
    alkalis : sequence of AlkaliInJug
        The alkalis dissolved or diluted. [g]
    waters : sequence of WaterInJug
        Colder or frozen parts of the water; the rest has `water_c`. [g]
    lye_g, water_g : float
        Alkali as weighed plus all water; all water, including that of stocks. [g]
    water_c : float
        Temperature of the water before the alkali is added. [degC]
    ice_can_be_g : float
        Added water, half of which could be ice. [g]
    acids_g, acids_mol, acids_kj : float
        Pure acids in the lye, the alkali they take, and the heat they release. [g, mol, kJ]
    book : Book
        Records the lines. [lines]

    Returns
    -------
    PeakTemperature, or None if the heat is not known: a potassium hydroxide stock. [degC]

    Notes
    -----
    T = T0 + 1000 (Q - cold) / (m cp). Q = n H(r), r = mol of water per mol of alkali, H linear in r; below r = 3,
    307 kJ per kg of lye. A stock releases only H(r) - H(r of the stock). Ice absorbs 334 kJ/kg and the heat to warm to
    T0. The two published sets give a range: the newer one is 1.62 kJ/mol higher for the solid. Acids add their heat of
    neutralisation and their mass.

    References
    ----------
    .. [1] Integral heat of solution, older NBS (Rossini) set. From memory, but for r = 4 and infinite dilution (read).
    .. [2] Parker, NSRDS-NBS 2, 1965: 44.51 (NaOH) and 57.61 kJ/mol (KOH) at infinite dilution. Read.
    .. [3] Heat capacity: Laliberte 2009, computed. Melting of ice, heat of acids: from memory.
    """
    molar = {"NaOH": M_NAOH, "KOH": M_KOH}
    mol = {alkali.key: alkali.pure_g / molar[alkali.key] for alkali in alkalis}
    if any(alkali.key == "KOH" and alkali.stock_pct is not None for alkali in alkalis):
        return None
    r = book.work("water for a mol of alkali", _MOL_WATER, "mol/mol", "molar masses", water=water_g, M_water=M_WATER,
                  mol_alkali=math.fsum(mol.values()))
    low, high, basis = [], [], "tables"
    for alkali in alkalis:
        amount = mol[alkali.key]
        if alkali.key == "KOH":
            high.append(amount * KOH_HEAT_KJ_PER_MOL)
            low.append(high[-1] * KOH_HEAT_LOW)
            basis = "upper_bound"
        elif alkali.stock_pct is not None:
            in_stock = (100 / alkali.stock_pct - 1) * M_NAOH / M_WATER
            freed = naoh_heat(r, carried_on=True) - naoh_heat(in_stock, carried_on=True)
            low.append(amount * freed)
            high.append(amount * freed)
            if in_stock < _TABLE_STARTS_AT_MOL_WATER and basis == "tables":
                basis = "extrapolated"
        else:
            low.append(amount * naoh_heat(r))
            high.append(amount * (naoh_heat(r) + NEWER_HEAT_EXTRA_KJ_PER_MOL))
            if r < _TABLE_STARTS_AT_MOL_WATER and basis == "tables":
                basis = "extrapolated"
    if acids_kj:
        low.append(acids_kj)
        high.append(acids_kj)
    pure = {alkali.key: alkali.pure_g for alkali in alkalis}
    capacity = book.read_off("heat capacity of the lye", lye_heat_capacity(pure, lye_g), "kJ/(kg K)",
                             "Laliberte 2009, computed", f"at {100 * math.fsum(pure.values()) / lye_g:.4g} % alkali")
    takes = [part.mass_g / 1000 * (WATER_KJ_PER_KG_K * (water_c - part.temperature_c)
                                   + (MELTING_KJ_PER_KG if part.frozen else 0.0)) for part in waters]
    takes += [_stock_takes(alkali, water_c) for alkali in alkalis if alkali.stock_pct is not None]
    cold = book.work("heat absorbed by the cold parts", _COLD, "kJ", HEAT_BALANCE, takes=takes)
    ends = []
    for which, heats in (("lower", low), ("higher", high)):
        heat = book.work(f"heat released, {which}", _HEAT, "kJ", _HEAT_SOURCE, heats=heats)
        numbers = {"water_c": water_c, "heat": heat, "cold": cold, "lye": lye_g + acids_g, "cp": capacity}
        ends.append((book.work(f"peak temperature, {which}", _PEAK, "degC", HEAT_BALANCE, **numbers),
                     book.work(f"with a tenth lost, {which}", _LOST_TOO, "degC", HEAT_BALANCE, lost=_LOST, **numbers)))
    # left out, on the safe side: salts of acids raise the boiling point less than the alkali they replace
    left = max(1 - acids_mol / math.fsum(mol.values()), 0.0)
    half_ice = None
    if ice_can_be_g > 0 and not any(part.frozen for part in waters):
        less = ice_can_be_g / 2 * (MELTING_KJ_PER_KG + WATER_KJ_PER_KG_K * water_c) / ((lye_g + acids_g) * capacity)
        half_ice = Range(max(ends[0][0] - less, 0.0), max(ends[1][0] - less, 0.0))
    return PeakTemperature(range=Range(ends[0][0], ends[1][0]), after_heat_loss=Range(ends[0][1], ends[1][1]),
                           with_half_ice=half_ice, basis=basis,
                           boiling_c=naoh_boiling_temperature(
                               left * math.fsum(pure.values()) / (lye_g + acids_g)))


def _stock_takes(alkali: AlkaliInJug, water_c: float) -> float:
    """Heat that a stock absorbs to reach the water's temperature; negative if it is warmer. [kJ]"""
    if alkali.stock_c is None or alkali.stock_pct is None:
        return 0.0
    stock_g = alkali.pure_g * 100 / alkali.stock_pct
    return stock_g / 1000 * lye_heat_capacity({alkali.key: alkali.pure_g}, stock_g) * (water_c - alkali.stock_c)
