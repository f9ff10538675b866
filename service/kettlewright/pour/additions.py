"""Additions to the batter other than fats, lye and acids: dose, basis and limit of each."""

from __future__ import annotations

import re
from dataclasses import dataclass

from kettlewright import limits
from kettlewright.errors import DomainError, Unsolvable, check_one_of, gather
from kettlewright.names import slug
from kettlewright.pour.carriers import Contains, Dispersion
from kettlewright.pour.constituents import Constituent, check_composition

__all__ = ["BASES", "KINDS", "Addition"]

KINDS = ("colourant", "fragrance", "clay", "exfoliant", "botanical", "sugar", "salt", "soap_pieces", "spray", "other")
BASES = ("pct_of_fats", "pct_of_batter", "g_per_kg_fats", "g_per_kg_batter", "mass")

_MOST = {"pct_of_fats": 100, "pct_of_batter": 100, "g_per_kg_fats": 1000, "g_per_kg_batter": 1000}
_IN_PIECES = frozenset({"exfoliant", "botanical", "soap_pieces"})

# a fragrance or colour may be named after anything; only food and drink are meant literally
_LITERAL_KINDS = frozenset({"botanical", "sugar", "salt", "exfoliant", "other"})
_ACID_NAMES = re.compile(
    r"\b(citric|lactic|acetic|tartaric|ascorbic|sorbic|lauric|myristic|palmitic|stearic|oleic|ricinoleic)\b"
    r"|\bvinegar\b|\b(lemon|lime) juice\b|\bvitamin c\b", re.IGNORECASE)
_LIQUID_NAMES = re.compile(
    r"\b(milk|buttermilk|cream|yogh?urt|beer|wine|juice|pur[eé]e|coffee|tea(?! tree)|aloe)\b", re.IGNORECASE)
_DRY_NAMES = re.compile(r"\b(powder(ed)?|dried|dry|ground|grounds|leaf|leaves|beans?|seeds?)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Addition:
    """An addition to the pot or to one bucket.

    Parameters
    ----------
    name : str
        The maker's name for it. [text]
    kind : str
        One of `KINDS`. [key]
    dose : float
        The dose, in the unit of `basis`. [%, g/kg or g]
    basis : str
        One of `BASES`; "batter" is the plain batter it goes into, "fats" the fats in that batter. [key]
    density : float, optional
        The batter's if not given. [g/mL]
    limit_pct : float, optional
        The largest share allowed in the cured bar. [% of cured bar]
    inci : str, optional
        Name on a label, or colour index number. [text]
    lot : str, optional
        Lot number. [text]
    contains : Contains, optional
        Water and oil in it as bought, included in its dose; oil in the batch's own additions counts as fat.
        [% by mass]
    dispersion : Dispersion, optional
        What you stir it into; the dose then refers to the dry addition. [% by mass]
    thickens_fast : bool
        It brings the batter to trace within minutes, so it goes in last. [yes or no]
    allergens : tuple of Constituent
        The supplier's composition, as far as it is given. [% by mass]

    Raises
    ------
    DomainErrors, DomainError : values out of bounds; a name that belongs among the acids or liquids of the recipe.
    """

    name: str
    kind: str
    dose: float
    basis: str
    density: float | None = None
    limit_pct: float | None = None
    inci: str | None = None
    lot: str | None = None
    contains: Contains | None = None
    dispersion: Dispersion | None = None
    thickens_fast: bool = False
    allergens: tuple[Constituent, ...] = ()

    def __post_init__(self) -> None:
        with gather() as checks:
            if self.contains is not None and self.dispersion is not None:
                with checks.at("contains"):
                    raise DomainError('Give "contains" for a mixture that you buy, or "dispersion" for one that '
                                      "you make yourself, not both.")
            checks.run(lambda: check_one_of(self.kind, KINDS), "kind")
            checks.run(lambda: check_one_of(self.basis, BASES), "basis")
            checks.run(self._check_dose, "dose")
            limits.check_each(self, checks, density=limits.ADDITION_DENSITY, limit_pct=limits.LIMIT_PCT)
            checks.run(self._check_place, "name")
            if self.allergens:
                with checks.at("allergens"):
                    check_composition(self.allergens, self.name)

    def _check_dose(self) -> None:
        (limits.MASS if self.basis == "mass" else limits.DOSE).check(self.dose)
        most = _MOST.get(self.basis)
        if most is not None and self.dose > most:
            raise Unsolvable(f"A dose of {self.dose:.9g} {self.basis} is more than all of its basis.",
                             value=self.dose, allowed=f"at most {most}")

    def _check_place(self) -> None:
        if self.kind not in _LITERAL_KINDS:
            return
        if _ACID_NAMES.search(self.name):
            raise DomainError(f'"{self.name}" neutralises alkali, and additions get none: put it into "acids" of the '
                              "recipe, which adds the alkali it takes.", value=self.name)
        if _LIQUID_NAMES.search(self.name) and not _DRY_NAMES.search(self.name):
            raise DomainError(f'"{self.name}" replaces water of the lye and is not an addition. '
                              'Put it into "liquids" of the recipe, which counts its water and the alkali for its '
                              "fat.", value=self.name)

    @property
    def key(self) -> str:
        """Key derived from the name. [key]"""
        return slug(self.name)

    @property
    def pure_part(self) -> float:
        """Part of the weighed mass that dose and limit refer to: less than 1 for a dispersion. [g/g]"""
        return 1.0 if self.dispersion is None else self.dispersion.strength_pct / 100

    @property
    def contents(self) -> Contains | None:
        """Water and oil in the weighed mass, bought mixed or dispersed here. [% by mass]"""
        return self.contains if self.dispersion is None else self.dispersion.contains

    @property
    def water_part(self) -> float:
        """Part of the weighed mass that is water. [g/g]"""
        return 0.0 if self.contents is None else self.contents.water_pct / 100

    @property
    def per_batter(self) -> float:
        """Grams to weigh per gram of plain batter. [g/g]"""
        return self._dose("pct_of_batter", "g_per_kg_batter")

    @property
    def per_fats(self) -> float:
        """Grams to weigh per gram of fats. [g/g]"""
        return self._dose("pct_of_fats", "g_per_kg_fats")

    def _dose(self, in_percent: str, per_kg: str) -> float:
        """Grams to weigh per gram of a basis, which may be named in two ways; 0 with another basis. [g/g]"""
        if self.basis == in_percent:
            return self.dose / 100 / self.pure_part
        return self.dose / 1000 / self.pure_part if self.basis == per_kg else 0.0

    @property
    def fixed_g(self) -> float:
        """Grams to weigh, whatever the size of the batch. [g]"""
        return self.dose / self.pure_part if self.basis == "mass" else 0.0

    @property
    def can_be_diluted(self) -> bool:
        """It is a powder or liquid that is stirred in: pieces cannot be diluted. [yes or no]"""
        return self.in_batter and self.kind not in _IN_PIECES

    @property
    def in_batter(self) -> bool:
        """It is stirred in; a spray goes on top and is not counted. [yes or no]"""
        return self.kind != "spray"

    def mass_in(self, *, batter_g: float, fats_g: float | None) -> float:
        """Mass to weigh for a given mass of plain batter; of a dispersion, all of it.

        Parameters
        ----------
        batter_g : float
            Plain batter. [g]
        fats_g : float, optional
            Fats in it. [g]

        Returns
        -------
        float : exact. [g]

        Raises
        ------
        Unsolvable : the dose is on fats, whose mass is not known.
        """
        per_fats = self.per_fats
        if per_fats and fats_g is None:
            raise Unsolvable(f'The dose of "{self.name}" is based on the fats; give "fats_mass" of the batter, or '
                             'another basis.',
                             field=("basis",), value=self.basis)
        return self.fixed_g + self.per_batter * batter_g + per_fats * (fats_g or 0.0)
