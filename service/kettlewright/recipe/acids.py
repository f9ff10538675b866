"""Acids that alkali neutralises: how many acid hydrogens each has, and how they are sold."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from kettlewright import limits
from kettlewright.errors import UnknownIngredient, check_either, gather
from kettlewright.names import or_nearest
from kettlewright.said import TableName

__all__ = ["ACIDS", "Acid", "AcidPortion", "acid"]


_STRONG_ACID_KJ = 55.8  # of a strong acid by a strong base at 25 degC: from memory


@dataclass(frozen=True, slots=True)
class Acid:
    """An acid in the table.

    Parameters
    ----------
    key, name : str
        Key and name. [text]
    molar_mass : float
        Molar mass, computed from the formula with IUPAC atomic weights. [g/mol]
    acid_hydrogens : int
        Acid hydrogens that react with alkali in soap. [mol per mol]
    fatty : bool
        A fatty acid: it melts with the fats and turns to soap. [yes or no]
    neutralising_kj : float
        Heat released in the lye per acid hydrogen; if not known, that of a strong acid, an upper bound. From memory.
        [kJ/mol]
    dissolving_kj : float
        Heat absorbed when the solid dissolves; 0 if not known. From memory. [kJ/mol]
    """

    key: str
    name: str
    molar_mass: float
    acid_hydrogens: int
    fatty: bool = False
    neutralising_kj: float = _STRONG_ACID_KJ
    dissolving_kj: float = 0.0

    def heat_kj(self, pure_g: float, *, dissolved: bool = False) -> float:
        """Heat that the acid releases in the lye (`pure_g` [g]; `dissolved`: added as a solution). [kJ]"""
        dissolving = 0.0 if dissolved else self.dissolving_kj
        return pure_g / self.molar_mass * (self.acid_hydrogens * self.neutralising_kj - dissolving)

    @property
    def mol_per_g(self) -> float:
        """Alkali that one gram of the pure acid takes. [mol/g]"""
        return self.acid_hydrogens / self.molar_mass


def _named(english: str, german: str) -> TableName:
    # the German names are from memory
    return TableName(english, {"de": german})


ACIDS: Mapping[str, Acid] = MappingProxyType({row.key: row for row in (
    Acid("citric_anhydrous", _named("citric acid, anhydrous", "Citronensäure, wasserfrei"), 192.124, 3,
         neutralising_kj=54.8, dissolving_kj=18),
    Acid("citric_monohydrate", _named("citric acid, monohydrate", "Citronensäure-Monohydrat"), 210.139, 3,
         neutralising_kj=54.8, dissolving_kj=29),
    Acid("lactic", _named("lactic acid", "Milchsäure"), 90.0781, 1, neutralising_kj=56.1),
    Acid("acetic", _named("acetic acid (vinegar)", "Essigsäure (Essig)"), 60.0521, 1, neutralising_kj=56.2),
    Acid("tartaric", _named("tartaric acid", "Weinsäure"), 150.087, 2),
    Acid("ascorbic", _named("ascorbic acid", "Ascorbinsäure"), 176.124, 1),  # its second hydrogen is too weak to count
    Acid("sorbic", _named("sorbic acid", "Sorbinsäure"), 112.127, 1),
    Acid("lauric", _named("lauric acid", "Laurinsäure"), 200.318, 1, fatty=True),
    Acid("myristic", _named("myristic acid", "Myristinsäure"), 228.371, 1, fatty=True),
    Acid("palmitic", _named("palmitic acid", "Palmitinsäure"), 256.425, 1, fatty=True),
    Acid("stearic", _named("stearic acid", "Stearinsäure"), 284.478, 1, fatty=True),
    Acid("oleic", _named("oleic acid", "Ölsäure"), 282.462, 1, fatty=True),
    Acid("ricinoleic", _named("ricinoleic acid", "Ricinolsäure"), 298.461, 1, fatty=True),
)})


def acid(key: str) -> Acid:
    """The acid with this key.

    Parameters
    ----------
    key : str
        Key in the table. [key]

    Raises
    ------
    UnknownIngredient : no such key; the error suggests the nearest ones.
    """
    if key in ACIDS:
        return ACIDS[key]
    meant = or_nearest(key.replace(" ", "_"), ACIDS, at_most=3, cutoff=0.5)
    raise UnknownIngredient(f'No acid called "{key}".{meant} Known acids: {", ".join(ACIDS)}.', value=key,
                            allowed=", ".join(ACIDS))


@dataclass(frozen=True, slots=True)
class AcidPortion:
    """An acid in the recipe; the alkali that it neutralises is added to that of the fats.

    Parameters
    ----------
    acid : str
        Key in the acid table. [key]
    mass_g : float, optional
        Mass as bought; otherwise give `pct_of_fats`. [g]
    pct_of_fats : float, optional
        Mass as bought, as a percentage of all fats. [% of fats]
    strength_pct : float
        Acid in the product as bought; the rest counts as water. [% by mass]
    lot : str, optional
        Lot number. [text]

    Raises
    ------
    DomainErrors, DomainError : an unknown acid, both or neither of the two amounts, values out of bounds.
    """

    acid: str
    mass_g: float | None = None
    pct_of_fats: float | None = None
    strength_pct: float = 100.0
    lot: str | None = None

    def __post_init__(self) -> None:
        with gather() as checks:
            with checks.at("acid"):
                acid(self.acid)
            with checks.at():
                check_either(self.mass_g, self.pct_of_fats, 'Give an acid either "mass" or "pct_of_fats"',
                             field=("mass",))
            limits.check_each(self, checks, mass_g=limits.MASS, pct_of_fats=limits.PCT_OF_FATS,
                              strength_pct=limits.STRENGTH_PCT)

    def mass_for(self, fats_g: float) -> float:
        """Mass as bought for a given mass of fat (`fats_g`: all fats [g]). [g]"""
        return self.mass_g if self.mass_g is not None else fats_g * (self.pct_of_fats or 0.0) / 100
