"""What the batch becomes: soap, glycerol, free fat and alkali, total fatty matter."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kettlewright.recipe.workings import SILENT, Book, Formula
from kettlewright.reference import M_GLYCEROL, M_WATER

__all__ = ["Saponified", "Soap", "soap_made"]

_GLYCEROL = Formula("esters * M_glycerol / 3")
_WATER_FORMED = Formula("acids * M_water")
_SOAP = Formula("turned + alkali - glycerol - water")
_FATTY = Formula("fats - esters * (M_glycerol / 3 - M_water) + wax_esters * M_water")
_TFM = Formula("100 * fatty / (batter * (1 - loss / 100))")
_STOICHIOMETRY = "stoichiometry; molar masses computed"
_ISO_685 = "ISO 685 (withdrawn 2020), definition read second-hand"


@dataclass(frozen=True, slots=True)
class Saponified:
    """A fat or fatty acid with the share that becomes soap.

    Parameters
    ----------
    mass_g : float
        Total mass. [g]
    mol_per_g : float
        Alkali it takes. [mol/g]
    kind : str
        "triglyceride" (esters of glycerol), "wax_ester" (esters without glycerol) or "fatty_acid". [key]
    share : float, 0 to 1
        Share that becomes soap. [fraction]
    free_mol_per_g : float
        Part of that alkali for its free fatty acids; for a "fatty_acid" all of it. [mol/g]
    """

    mass_g: float
    mol_per_g: float
    kind: str
    share: float
    free_mol_per_g: float = 0.0

    @property
    def acids_mol(self) -> float:
        """Free fatty acids that become soap. [mol]"""
        per_gram = self.mol_per_g if self.kind == "fatty_acid" else self.free_mol_per_g
        return self.mass_g * self.share * per_gram

    @property
    def esters_mol(self) -> float:
        """Esters that become soap. [mol]"""
        return self.mass_g * self.share * self.mol_per_g - self.acids_mol


@dataclass(frozen=True, slots=True)
class Soap:
    """The soap in the fresh batter.

    Parameters
    ----------
    mass_g : float
        Anhydrous soap, including the unsaponifiable part of the saponified fats. [g]
    glycerol_mass_g : float
        Glycerol released. [g]
    tfm_pct : float
        Total fatty matter, including free fat. [% of fresh batter]
    tfm_after_loss_pct : float, optional
        The same after the loss in cure, if it is given. [% of the bar]
    free_fat_mass_g : float
        Fat without alkali. [g]
    free_alkali_mass_g : float
        Pure alkali without fat; a computed 0 is not a measurement. [g]
    free_alkali_worst_case_mass_g : float
        The same if all errors lower the superfat. [g]
    water_mass_g : float
        Water of the lye, and water that free fatty acids release. [g]
    """

    mass_g: float
    glycerol_mass_g: float
    tfm_pct: float
    tfm_after_loss_pct: float | None
    free_fat_mass_g: float
    free_alkali_mass_g: float
    free_alkali_worst_case_mass_g: float
    water_mass_g: float


def soap_made(parts: Sequence[Saponified], *, alkali_molar_mass: float, batter_g: float, water_g: float = 0.0,
              loss_pct: float | None = None, superfat_pct: float = 0.0, worst_superfat_pct: float = 0.0,
              demand_mol: float = 0.0, least_demand_mol: float = 0.0, book: Book = SILENT) -> Soap:
    """Soap, glycerol and total fatty matter.

    Parameters
    ----------
    parts : sequence of Saponified, length n >= 1
        Fats, and acids that become soap. [g, mol/g]
    alkali_molar_mass : float
        Mean over the alkalis by mol. [g/mol]
    batter_g, water_g : float
        Fresh batter including all of `parts`, and the lye's water in it. [g]
    loss_pct : float, optional
        Loss in cure. [% of a bar as cut]
    superfat_pct, worst_superfat_pct : float
        Achieved, and lower end of the worst case: below 0 there is free alkali. [% of full demand]
    demand_mol, least_demand_mol : float
        Full demand of the fats, and the demand if all errors lower the superfat. [mol]
    book : Book
        Records the lines. [lines]

    Returns
    -------
    Soap : [g, % of fresh batter]

    Notes
    -----
    Glycerol and water follow from the esters and acids; soap is the rest. Hydrolysis adds a water to each ester, so the
    fatty matter of a triglyceride is its mass less e (M(glycerol)/3 - M(water)). A fat's free acids (its acid value)
    release water instead of glycerol.

    References
    ----------
    .. [1] ISO 685 (definition of total fatty matter; standard withdrawn 2020). Read second-hand.
    """
    glyceryl = math.fsum(part.esters_mol for part in parts if part.kind == "triglyceride")
    wax = math.fsum(part.esters_mol for part in parts if part.kind != "triglyceride")
    acids = math.fsum(part.acids_mol for part in parts)
    turned = math.fsum(part.mass_g * part.share for part in parts)
    glycerol = book.work("glycerol", _GLYCEROL, "g", _STOICHIOMETRY, esters=glyceryl, M_glycerol=M_GLYCEROL)
    water = book.work("water formed", _WATER_FORMED, "g", _STOICHIOMETRY, acids=acids, M_water=M_WATER)
    soap = book.work("anhydrous soap", _SOAP, "g", _STOICHIOMETRY, turned=turned,
                     alkali=(glyceryl + wax + acids) * alkali_molar_mass, glycerol=glycerol, water=water)
    fatty = book.work("fatty matter, including free fat", _FATTY, "g", _ISO_685,
                      fats=math.fsum(part.mass_g for part in parts), esters=glyceryl, M_glycerol=M_GLYCEROL,
                      M_water=M_WATER, wax_esters=wax)
    fresh = book.work("total fatty matter, fresh", _TFM, "% of batter", _ISO_685, fatty=fatty, batter=batter_g, loss=0)
    return Soap(
        mass_g=soap, glycerol_mass_g=glycerol, tfm_pct=fresh,
        tfm_after_loss_pct=None if loss_pct is None else book.work(
            "total fatty matter after the loss", _TFM, "% of bar", _ISO_685, fatty=fatty, batter=batter_g,
            loss=loss_pct),
        free_fat_mass_g=math.fsum(part.mass_g * (1 - part.share) for part in parts),
        free_alkali_mass_g=max(-superfat_pct, 0.0) / 100 * demand_mol * alkali_molar_mass,
        free_alkali_worst_case_mass_g=max(-worst_superfat_pct, 0.0) / 100 * least_demand_mol * alkali_molar_mass,
        water_mass_g=water_g + water)


def mean_molar_mass(mol: Sequence[float], molar_mass: Sequence[float]) -> float:
    """Molar mass of a mixture (`mol` [mol], `molar_mass` [g/mol], same length n >= 1); if empty, the first. [g/mol]"""
    if not math.fsum(mol):
        return molar_mass[0]
    return math.fsum(m * amount for m, amount in zip(molar_mass, mol, strict=True)) / math.fsum(mol)
