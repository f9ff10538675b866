"""What comes out of the pot: soap, glycerol and the total fatty matter."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kettlewright.reference import M_GLYCEROL, M_WATER

__all__ = ["Saponified", "Soap", "soap_made"]


@dataclass(frozen=True, slots=True)
class Saponified:
    """A fat or fatty acid as far as soap is made of it.

    Parameters
    ----------
    mass_g : float
        All of it, turned to soap or not. [g]
    mol_per_g : float
        Alkali it takes. [mol/g]
    kind : str
        "triglyceride" (esters of glycerol), "wax_ester" (esters without glycerol) or "fatty_acid". [key]
    share : float, 0 to 1
        What of it turns to soap. [fraction]
    """

    mass_g: float
    mol_per_g: float
    kind: str
    share: float


@dataclass(frozen=True, slots=True)
class Soap:
    """Fresh batter, as soap.

    Parameters
    ----------
    mass_g : float
        Anhydrous soap, with the unsaponifiable part of the fats that turned. [g]
    glycerol_mass_g : float
        Glycerol set free. [g]
    tfm_pct : float
        Total fatty matter, free fat included. [% of fresh batter]
    """

    mass_g: float
    glycerol_mass_g: float
    tfm_pct: float


def soap_made(parts: Sequence[Saponified], *, alkali_molar_mass: float, batter_g: float) -> Soap:
    """Soap, glycerol and total fatty matter.

    Parameters
    ----------
    parts : sequence of Saponified, length n >= 1
        Fats, and acids that turn to soap. [g, mol/g]
    alkali_molar_mass : float
        Of the alkalis by mol; the mean where there are two. [g/mol]
    batter_g : float
        Fresh batter. [g]

    Returns
    -------
    Soap : [g, % of fresh batter]

    Notes
    -----
    Glycerol and water weigh what the esters and acids let go; soap is the rest. Hydrolysis adds a water to each
    ester, so the fatty matter of a triglyceride is its mass less e (M(glycerol)/3 - M(water)). The acid value of a
    fat counts as 0, that of a free fatty acid as all of its saponification value.

    References
    ----------
    .. [1] ISO 685 (definition of total fatty matter; standard withdrawn 2020). Read second-hand.
    """
    soap = glycerol = fatty = 0.0
    for part in parts:
        turned = part.mass_g * part.share
        mol = turned * part.mol_per_g
        esters = 0.0 if part.kind == "fatty_acid" else mol
        freed_glycerol = esters * M_GLYCEROL / 3 if part.kind == "triglyceride" else 0.0
        freed_water = (mol - esters) * M_WATER
        soap += turned + mol * alkali_molar_mass - freed_glycerol - freed_water
        glycerol += freed_glycerol
        fatty += part.mass_g - _glycerol_residue(part.kind, esters)
    return Soap(mass_g=soap, glycerol_mass_g=glycerol, tfm_pct=100 * fatty / batter_g)


def _glycerol_residue(kind: str, esters_mol: float) -> float:
    """What an ester loses when acid takes the soap apart again. [g]"""
    if kind == "triglyceride":
        return esters_mol * (M_GLYCEROL / 3 - M_WATER)
    return -esters_mol * M_WATER


def mean_molar_mass(mol: Sequence[float], molar_mass: Sequence[float]) -> float:
    """Molar mass of a mixture (`mol` [mol], `molar_mass` [g/mol], same length n >= 1). [g/mol]"""
    return math.fsum(m * amount for m, amount in zip(molar_mass, mol, strict=True)) / math.fsum(mol)
