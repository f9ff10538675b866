"""Additions to the batter other than fats, lye and acids: dose, basis and limit of each."""

from __future__ import annotations

import re
from dataclasses import dataclass

from kettlewright import limits
from kettlewright.errors import DomainError, OutOfRange, Unsolvable, gather
from kettlewright.names import slug
from kettlewright.pour.constituents import Constituent, check_composition
from kettlewright.pour.dilution import Dilution
from kettlewright.ranges import Range
from kettlewright.recipe.fats import fat_name, fat_value_range
from kettlewright.recipe.weighing import round_down, round_nearest
from kettlewright.said import Said

__all__ = ["BASES", "CARRIERS", "KINDS", "Addition", "Contains", "Dispersion", "WeighedAddition",
           "largest_within_limit", "weigh_addition"]

KINDS = ("colourant", "fragrance", "clay", "exfoliant", "botanical", "sugar", "salt", "soap_pieces", "spray", "other")
BASES = ("pct_of_fats", "pct_of_batter", "g_per_kg_fats", "g_per_kg_batter", "mass")
CARRIERS = ("oil", "water", "glycerol")

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
class Contains:
    """The oil or water in which an addition is sold.

    Parameters
    ----------
    water_pct, fat_pct : float
        Water and oil in it. [% by mass]
    fat, saponification_value : str, Range, optional
        The oil: a key in the table, or its own range; exactly one if there is oil. [key, mg KOH per g fat]
    own_key, own_name : str, optional
        Of the maker's own fat that has this range. [text]

    Raises
    ------
    DomainErrors, DomainError : more than 100 % together, oil without a name, a name without oil.
    """

    water_pct: float = 0.0
    fat_pct: float = 0.0
    fat: str | None = None
    saponification_value: Range | None = None
    own_key: str | None = None
    own_name: str | None = None

    def __post_init__(self) -> None:
        with gather() as checks:
            for name in ("water_pct", "fat_pct"):
                with checks.at(name):
                    limits.PART_PCT.check(getattr(self, name))
            with checks.at():
                if self.water_pct + self.fat_pct > 100:
                    raise Unsolvable(f"{self.water_pct:.9g} % water and {self.fat_pct:.9g} % oil are more than "
                                     "100 % together.", field=("water_pct",), allowed="at most 100 together")
            with checks.at():
                given = (self.fat is not None) + (self.saponification_value is not None)
                if given != (1 if self.fat_pct else 0):
                    raise DomainError('Give the oil it is dispersed in as "fat" or "saponification_value" if, and '
                                      'only if, it has a "fat_pct".', field=("fat",))
                if given:
                    fat_value_range(self.fat, self.saponification_value)

    @property
    def oil_name(self) -> str:
        """Name of the oil: the table's, or the maker's own. [text]"""
        return fat_name(self.fat) if self.fat else self.own_name or Said("oil")

    @property
    def fat_value(self) -> Range | None:
        """Saponification value of the oil, if any. [mg KOH per g fat]"""
        return fat_value_range(self.fat, self.saponification_value) if self.fat_pct else None


@dataclass(frozen=True, slots=True)
class Dispersion:
    """The carrier into which an addition is stirred before the pour, so that it can be weighed and does not clump.

    The dose then refers to the dry addition; you weigh the dispersion into the bucket.

    Parameters
    ----------
    carrier : str
        One of `CARRIERS`: oil counts as fat (for the batch's additions) or stays free (for a portion's), water leaves
        in cure, glycerol stays in the bar. [key]
    strength_pct : float
        Dry addition in the dispersion. [% by mass]
    fat, saponification_value : str, Range, optional
        The oil: a key in the table, or its own range; exactly one if the carrier is oil. [key, mg KOH per g fat]
    own_key, own_name : str, optional
        Of the maker's own fat that has this range. [text]
    spare_pct : float
        Extra beyond the doses, for what sticks to jar and spoon; an own decision. [% of the doses]

    Raises
    ------
    DomainErrors, DomainError : an unknown carrier, oil without a name, a name without oil.
    """

    carrier: str
    strength_pct: float
    fat: str | None = None
    saponification_value: Range | None = None
    spare_pct: float = 10.0
    own_key: str | None = None
    own_name: str | None = None

    def __post_init__(self) -> None:
        with gather() as checks:
            with checks.at("carrier"):
                _check_one_of(self.carrier, CARRIERS)
            with checks.at("strength_pct"):
                limits.DISPERSION_PCT.check(self.strength_pct)
            with checks.at("spare_pct"):
                limits.PART_PCT.check(self.spare_pct)
            with checks.at():
                if self.carrier == "oil" or self.fat is not None or self.saponification_value is not None:
                    self._check_oil()

    def _check_oil(self) -> None:
        given = (self.fat is not None) + (self.saponification_value is not None)
        if given != (1 if self.carrier == "oil" else 0):
            raise DomainError('Give the oil it is dispersed in as "fat" or "saponification_value" if, and only if, '
                              'the carrier is "oil".', field=("fat",))
        fat_value_range(self.fat, self.saponification_value)

    @property
    def contains(self) -> Contains:
        """Water and oil in it. [% by mass]"""
        rest = 100 - self.strength_pct
        if self.carrier == "oil":
            return Contains(fat_pct=rest, fat=self.fat, saponification_value=self.saponification_value,
                            own_key=self.own_key, own_name=self.own_name)
        return Contains(water_pct=rest if self.carrier == "water" else 0.0)


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
            with checks.at("contains"):
                if self.contains is not None and self.dispersion is not None:
                    raise DomainError('Give "contains" for a mixture that you buy, or "dispersion" for one that '
                                      "you make yourself, not both.")
            with checks.at("kind"):
                _check_one_of(self.kind, KINDS)
            with checks.at("basis"):
                _check_one_of(self.basis, BASES)
            with checks.at("dose"):
                (limits.MASS if self.basis == "mass" else limits.DOSE).check(self.dose)
                most = {"pct_of_fats": 100, "pct_of_batter": 100, "g_per_kg_fats": 1000, "g_per_kg_batter": 1000}
                if self.dose > most.get(self.basis, self.dose):
                    raise Unsolvable(f"A dose of {self.dose:.9g} {self.basis} is more than all of its basis.",
                                     value=self.dose, allowed=f"at most {most[self.basis]}")
            with checks.at():
                if self.density is not None:
                    limits.ADDITION_DENSITY.check(self.density, "density")
            with checks.at():
                if self.limit_pct is not None:
                    limits.LIMIT_PCT.check(self.limit_pct, "limit_pct")
            with checks.at("name"):
                self._check_place()
            with checks.at("allergens"):
                check_composition(self.allergens, self.name)

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
        dose = {"pct_of_batter": self.dose / 100, "g_per_kg_batter": self.dose / 1000}.get(self.basis, 0.0)
        return dose / self.pure_part

    @property
    def per_fats(self) -> float:
        """Grams to weigh per gram of fats. [g/g]"""
        return {"pct_of_fats": self.dose / 100, "g_per_kg_fats": self.dose / 1000}.get(self.basis, 0.0) / self.pure_part

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
        if self.per_fats and fats_g is None:
            raise Unsolvable(f'The dose of "{self.name}" is based on the fats; give "fats_mass" of the batter, or '
                             'another basis.',
                             field=("basis",), value=self.basis)
        return self.fixed_g + self.per_batter * batter_g + self.per_fats * (fats_g or 0.0)


def _check_one_of(value: str, known: tuple[str, ...]) -> None:
    if value not in known:
        raise OutOfRange(f'"{value}" is not known; use one of {", ".join(known)}.', value=value,
                         allowed=", ".join(known))


@dataclass(frozen=True, slots=True)
class WeighedAddition:
    """An addition on the scale.

    Parameters
    ----------
    addition : Addition
        As requested. [addition]
    mass_g, weigh_g : float
        Exact, and on the scale; of a dispersion, all of it. [g]
    allowed_mass_g : float, optional
        The largest mass within its limit here. [g]
    dilution : Dilution, optional
        How to weigh it by dilution if the scale is too coarse. [g]
    """

    addition: Addition
    mass_g: float
    weigh_g: float
    allowed_mass_g: float | None
    dilution: Dilution | None = None

    @property
    def key(self) -> str:
        """Key derived from the name. [key]"""
        return self.addition.key

    @property
    def name(self) -> str:
        """The maker's name. [text]"""
        return self.addition.name

    @property
    def over_limit(self) -> bool:
        """Whether the requested dose is above the limit here. [yes or no]"""
        return self.allowed_mass_g is not None and self.mass_g > self.allowed_mass_g

    @property
    def oil_g(self) -> float:
        """Oil in the weighed mass. [g]"""
        contents = self.addition.contents
        return 0.0 if contents is None or not self.addition.in_batter else self.weigh_g * contents.fat_pct / 100


def largest_within_limit(limit_pct: float, rest_cured_g: float, *, pure_part: float = 1.0, cured_part: float = 1.0,
                         already_g: float = 0.0) -> float | None:
    """The largest mass of an ingredient that keeps within its limit in the cured bar.

    Parameters
    ----------
    limit_pct : float
        The most the cured bar may hold. [% of cured bar]
    rest_cured_g : float
        Cured mass of everything else. [g]
    pure_part, cured_part : float
        Per gram weighed: the part that the limit refers to, and the part that adds to the cured mass. [g/g]
    already_g : float
        Mass of the same ingredient in the rest. [g]

    Returns
    -------
    float, optional : m = L / (1 - L) * rest if all of it counts and stays; None if no mass reaches the limit. [g]

    References
    ----------
    .. [1] IFRA standards, category 9: a certificate states the largest share of a mixture in the finished product. Read
       second-hand that bar soap belongs to it.
    """
    share = limit_pct / 100
    below = pure_part - share * cured_part
    return None if below <= 0 else max(share * rest_cured_g - already_g, 0.0) / below


def weigh_addition(addition: Addition, mass_g: float, *, step_g: float, allowed_g: float | None = None,
                   down: bool = False, dilution: Dilution | None = None) -> WeighedAddition:
    """An addition on the scale.

    Parameters
    ----------
    addition : Addition
        As requested. [addition]
    mass_g : float
        Exact. [g]
    step_g : float
        Step of the fine scale. [g]
    allowed_g : float, optional
        The largest mass within its limit in this batter. [g]
    down : bool
        Rounding to the nearest step would exceed the limit. [yes or no]
    dilution : Dilution, optional
        How to weigh it by dilution if the scale is too coarse. [g]

    Returns
    -------
    WeighedAddition : [g]
    """
    weigh = round_down(mass_g, step_g) if down else round_nearest(mass_g, step_g)
    return WeighedAddition(addition, mass_g, weigh, allowed_g, dilution)
