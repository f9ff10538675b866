"""How far from the asked superfat a batch can really land."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kettlewright.ranges import Range
from kettlewright.reference import MG_KOH_PER_MOL

__all__ = ["AcidInPot", "AlkaliInPot", "FatInPot", "Superfat", "superfat"]

_COVERAGE_FACTOR = 2  # about 95 % (JCGM 100, read second-hand)


@dataclass(frozen=True, slots=True)
class FatInPot:
    """A weighed fat.

    Parameters
    ----------
    mass_g : float
        As weighed. [g]
    saponification_value : Range
        Declared range. [mg KOH per g fat]
    """

    mass_g: float
    saponification_value: Range


@dataclass(frozen=True, slots=True)
class AlkaliInPot:
    """A weighed alkali.

    Parameters
    ----------
    mass_g : float
        Dry alkali or stock, as weighed. [g]
    strength : float
        Pure alkali in it, as computed with. [mass fraction]
    strength_range : Range
        Pure alkali in it, both ends. [mass fraction]
    molar_mass : float
        Of the alkali. [g/mol]
    """

    mass_g: float
    strength: float
    strength_range: Range
    molar_mass: float


@dataclass(frozen=True, slots=True)
class AcidInPot:
    """A weighed acid.

    Parameters
    ----------
    mass_g : float
        As weighed. [g]
    mol_per_g : float
        Alkali eaten by a gram of it. [mol/g]
    """

    mass_g: float
    mol_per_g: float


@dataclass(frozen=True, slots=True)
class Superfat:
    """Superfat of what was weighed.

    Parameters
    ----------
    asked_pct, achieved_pct : float
        As asked, and of the weighed masses with every range at its computed value. [% of full demand]
    likely_pct : Range
        About 95 of 100 batches of this recipe. [% of full demand]
    worst_case_pct : Range
        Every input at the end that hurts most, all at once. [% of full demand]
    """

    asked_pct: float
    achieved_pct: float
    likely_pct: Range
    worst_case_pct: Range


def superfat(fats: Sequence[FatInPot], alkalis: Sequence[AlkaliInPot], acids: Sequence[AcidInPot] = (), *,
             asked_pct: float, readability_g: float, alkali_readability_g: float,
             dose_readability_g: float) -> Superfat:
    """Superfat of weighed masses, as a figure, as a likely range and as a worst case.

    Parameters
    ----------
    fats, alkalis, acids : sequences, n >= 1, n >= 1, n >= 0
        What stands on the scale. [g and the units of each part]
    asked_pct : float
        What was asked. [% of full demand]
    readability_g, alkali_readability_g, dose_readability_g : float
        Steps of the scales for fats, alkalis and acids; half a step either way is the scale's error. [g]

    Returns
    -------
    Superfat : [% of full demand]

    Notes
    -----
    s = 1 - (sum(A p / M) - n_acid) / E with E = sum(m SV) / 56105.6. s rises or falls all the way in each input, so
    the corners are exact. The likely range takes each input as rectangular, independent, at the middle of its range:
    u = half-width / sqrt(3), root of the sum of squares of s's slopes times u, twice that either way, cut to the
    worst case. A gain error common to both scales cancels and is not in it.

    References
    ----------
    .. [1] JCGM 100 (GUM), type B evaluation and the law of propagation. Read second-hand.
    """
    half_fat, half_alkali, half_acid = readability_g / 2, alkali_readability_g / 2, dose_readability_g / 2

    def ratio(side: float, *, strengths: Sequence[float], values: Sequence[float]) -> float:
        """Superfat with every weighing off by `side` half-steps to the dangerous way (1), none (0) or the safe (-1)."""
        alkali = math.fsum((alkali.mass_g + side * half_alkali) * strength / alkali.molar_mass
                           for alkali, strength in zip(alkalis, strengths, strict=True))
        eaten = math.fsum((acid.mass_g - side * half_acid) * acid.mol_per_g for acid in acids)
        demand = math.fsum((fat.mass_g - side * half_fat) * value
                           for fat, value in zip(fats, values, strict=True)) / MG_KOH_PER_MOL
        return 1 - (alkali - eaten) / demand

    ranges = [alkali.strength_range for alkali in alkalis]
    values = [fat.saponification_value for fat in fats]
    achieved = ratio(0, strengths=[alkali.strength for alkali in alkalis], values=[value.mid for value in values])
    lowest = ratio(1, strengths=[end.max for end in ranges], values=[value.min for value in values])
    highest = ratio(-1, strengths=[end.min for end in ranges], values=[value.max for value in values])
    middle = ratio(0, strengths=[end.mid for end in ranges], values=[value.mid for value in values])

    demand = math.fsum(fat.mass_g * fat.saponification_value.mid for fat in fats) / MG_KOH_PER_MOL
    spreads = [slope * half_width for alkali in alkalis for slope, half_width in (
        (alkali.strength_range.mid / alkali.molar_mass / demand, half_alkali),
        (alkali.mass_g / alkali.molar_mass / demand, alkali.strength_range.half_width))]
    spreads += [slope * half_width for fat in fats for slope, half_width in (
        ((1 - middle) * fat.mass_g / MG_KOH_PER_MOL / demand, fat.saponification_value.half_width),
        ((1 - middle) * fat.saponification_value.mid / MG_KOH_PER_MOL / demand, half_fat))]
    spreads += [acid.mol_per_g / demand * half_acid for acid in acids]
    likely = _COVERAGE_FACTOR * math.sqrt(math.fsum(spread * spread for spread in spreads) / 3)

    return Superfat(asked_pct=asked_pct, achieved_pct=100 * achieved,
                    likely_pct=Range(100 * max(middle - likely, lowest), 100 * min(middle + likely, highest)),
                    worst_case_pct=Range(100 * lowest, 100 * highest))
