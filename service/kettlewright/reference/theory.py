"""Saponification and iodine value of triglycerides, computed from their fatty acids."""

from __future__ import annotations

import math
from collections.abc import Mapping

from kettlewright.reference.constants import M_GLYCEROL, M_WATER, MG_KOH_PER_MOL
from kettlewright.reference.fat_records import FatRecord
from kettlewright.reference.fats import fatty_acid_constants

__all__ = ["DISAGREE_PCT", "iodine_value_of", "saponification_value_by_acids", "saponification_value_of"]

DISAGREE_PCT = 1.5
"""From this difference on, the middle of a table range contradicts the fatty acids of the same row."""
_UNSAPONIFIABLE_PCT = 0.5  # if a row gives no limit; own decision
_GLYCERYL = M_GLYCEROL - 3 * M_WATER  # what glycerol adds to three fatty acids in a triglyceride
_IODINE = 253.809  # one mol of I2 [g/mol]; computed from IUPAC standard atomic weights


def _mean_molar_mass(fatty_acids: Mapping[str, float]) -> float:
    """Mean molar mass of these acids. [g/mol]"""
    known = fatty_acid_constants()
    return math.fsum(fatty_acids.values()) / math.fsum(share / known[notation].molar_mass
                                                       for notation, share in fatty_acids.items())


def saponification_value_of(fatty_acids: Mapping[str, float], unsaponifiable_pct: float) -> float:
    """Saponification value computed from fatty acids.

    Parameters
    ----------
    fatty_acids : mapping of str to float
        By notation. [% of fatty acids]
    unsaponifiable_pct : float
        The part that alkali does not react with. [% of fat]

    Returns
    -------
    float : of triglycerides of these acids. [mg KOH per g fat]

    Notes
    -----
    Mean molar mass M = sum(w) / sum(w / M_i); a triglyceride is three of them and glycerol, less three waters.

    References
    ----------
    .. [1] Molar masses: IUPAC standard atomic weights. Computed.
    """
    return 3 * MG_KOH_PER_MOL / (3 * _mean_molar_mass(fatty_acids) + _GLYCERYL) * (1 - unsaponifiable_pct / 100)


def iodine_value_of(fatty_acids: Mapping[str, float], unsaponifiable_pct: float) -> float:
    """Iodine value computed from fatty acids.

    Parameters
    ----------
    fatty_acids : mapping of str to float
        By notation. [% of fatty acids]
    unsaponifiable_pct : float
        The part that is not fat. [% of fat]

    Returns
    -------
    float : of triglycerides of these acids: one I2 per double bond. [g iodine per 100 g]

    References
    ----------
    .. [1] Molar masses: IUPAC standard atomic weights. Computed.
    """
    known = fatty_acid_constants()
    total = math.fsum(fatty_acids.values())
    bonds = math.fsum(share / total / known[notation].molar_mass * known[notation].double_bonds
                      for notation, share in fatty_acids.items())
    mean = _mean_molar_mass(fatty_acids)
    return 100 * bonds * _IODINE * 3 * mean / (3 * mean + _GLYCERYL) * (1 - unsaponifiable_pct / 100)


def saponification_value_by_acids(record: FatRecord) -> float | None:
    """Saponification value of a fat in the table from its fatty acids, to compare with its range.

    Parameters
    ----------
    record : FatRecord
        Row of the table. [row]

    Returns
    -------
    float or None : None if the row is not a triglyceride or has no fatty acids. [mg KOH per g fat]

    Notes
    -----
    Each fatty acid at the middle of its range, scaled to 100 %; half of the unsaponifiable limit, 0.5 % where none is
    given.
    """
    if record.kind != "triglyceride" or not record.fatty_acids:
        return None
    limit = record.unsaponifiable_max
    return saponification_value_of({share.notation: share.mid_pct for share in record.fatty_acids},
                                   _UNSAPONIFIABLE_PCT if limit is None else limit.max / 20)
