"""What goes into the batter beside fats, lye and acids: how much of each, on what basis, within what limit."""

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

# a scent or a shade may be called after anything: only what is eaten or drunk can be meant literally
_LITERAL_KINDS = frozenset({"botanical", "sugar", "salt", "exfoliant", "other"})
_ACID_NAMES = re.compile(
    r"\b(citric|lactic|acetic|tartaric|ascorbic|sorbic|lauric|myristic|palmitic|stearic|oleic|ricinoleic)\b"
    r"|\bvinegar\b|\b(lemon|lime) juice\b|\bvitamin c\b", re.IGNORECASE)
_LIQUID_NAMES = re.compile(
    r"\b(milk|buttermilk|cream|yogh?urt|beer|wine|juice|pur[eé]e|coffee|tea(?! tree)|aloe)\b", re.IGNORECASE)
_DRY_NAMES = re.compile(r"\b(powder(ed)?|dried|dry|ground|grounds|leaf|leaves|beans?|seeds?)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Contains:
    """What an addition brings along: the oil or the water it is dispersed in.

    Parameters
    ----------
    water_pct, fat_pct : float
        Water and oil in it. [% by mass]
    fat, saponification_value : str, Range, optional
        Which oil: a key of the table, or its own range; exactly one where there is oil. [key, mg KOH per g fat]
    own_key, own_name : str, optional
        Of the maker's own fat whose range that is. [text]

    Raises
    ------
    DomainErrors, DomainError : more than it weighs, oil without a name, a name without oil.
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
                    raise Unsolvable(f"{self.water_pct:.9g} % water and {self.fat_pct:.9g} % oil are more than it "
                                     "weighs.", field=("water_pct",), allowed="at most 100 together")
            with checks.at():
                told = (self.fat is not None) + (self.saponification_value is not None)
                if told != (1 if self.fat_pct else 0):
                    raise DomainError('Say which oil it is dispersed in, by "fat" or "saponification_value", if and '
                                      'only if it has a "fat_pct".', field=("fat",))
                if told:
                    fat_value_range(self.fat, self.saponification_value)

    @property
    def oil_name(self) -> str:
        """Of the oil: that of the table, or the maker's own. [text]"""
        return fat_name(self.fat) if self.fat else self.own_name or Said("oil")

    @property
    def fat_value(self) -> Range | None:
        """Saponification value of the oil, where there is any. [mg KOH per g fat]"""
        return fat_value_range(self.fat, self.saponification_value) if self.fat_pct else None


@dataclass(frozen=True, slots=True)
class Dispersion:
    """What an addition is stirred into before the pour, so that it can be weighed and does not clump.

    The dose is then that of the dry addition, and what is weighed into the bucket is the dispersion.

    Parameters
    ----------
    carrier : str
        One of `CARRIERS`: oil counts as fat (of the batch's own additions) or stays free (of a portion's), water leaves
        in cure, glycerol stays in the bar. [key]
    strength_pct : float
        Dry addition in the dispersion. [% by mass]
    fat, saponification_value : str, Range, optional
        Which oil: a key of the table, or its own range; exactly one where the carrier is oil. [key, mg KOH per g fat]
    own_key, own_name : str, optional
        Of the maker's own fat whose range that is. [text]
    spare_pct : float
        Made beyond what the doses take, for what sticks to jar and spoon; an own decision. [% of the doses]

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
        told = (self.fat is not None) + (self.saponification_value is not None)
        if told != (1 if self.carrier == "oil" else 0):
            raise DomainError('Say which oil it is dispersed in, by "fat" or "saponification_value", if and only if '
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
    """Something that goes into the pot or into one bucket.

    Parameters
    ----------
    name : str
        The maker's name for it. [text]
    kind : str
        One of `KINDS`. [key]
    dose : float
        How much, in the unit of `basis`. [%, g/kg or g]
    basis : str
        One of `BASES`; the batter is the plain one it goes into, the fats are that portion's share. [key]
    density : float, optional
        The batter's where not given. [g/mL]
    limit_pct : float, optional
        The most the cured bar may hold. [% of cured bar]
    inci : str, optional
        Name on a label, or colour index number. [text]
    lot : str, optional
        Lot number. [text]
    contains : Contains, optional
        Water and oil in it as it is bought, its dose counting them; oil of the batch's own additions counts as fat.
        [% by mass]
    dispersion : Dispersion, optional
        What it is stirred into here; then the dose is of the dry addition. [% by mass]
    thickens_fast : bool
        It brings the batter to trace within minutes: it goes in last. [yes or no]
    allergens : tuple of Constituent
        The supplier's composition, as far as it is told. [% by mass]

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
                    raise DomainError('Give "contains" for what is bought mixed, or "dispersion" for what you stir '
                                      "it into yourself, not both.")
            with checks.at("kind"):
                _check_one_of(self.kind, KINDS)
            with checks.at("basis"):
                _check_one_of(self.basis, BASES)
            with checks.at("dose"):
                (limits.MASS if self.basis == "mass" else limits.DOSE).check(self.dose)
                most = {"pct_of_fats": 100, "pct_of_batter": 100, "g_per_kg_fats": 1000, "g_per_kg_batter": 1000}
                if self.dose > most.get(self.basis, self.dose):
                    raise Unsolvable(f"A dose of {self.dose:.9g} {self.basis} is more than there is of what it is "
                                     "counted on.", value=self.dose, allowed=f"at most {most[self.basis]}")
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
            raise DomainError(f'"{self.name}" eats alkali, and an addition gets none: put it into "acids" of the '
                              "recipe, which adds the alkali it takes.", value=self.name)
        if _LIQUID_NAMES.search(self.name) and not _DRY_NAMES.search(self.name):
            raise DomainError(f'"{self.name}" replaces water of the lye and does not belong among the additions. '
                              'Put it into "liquids" of the recipe, which counts its water and the alkali for its '
                              "fat.", value=self.name)

    @property
    def key(self) -> str:
        """A slug of the name. [key]"""
        return slug(self.name)

    @property
    def pure_part(self) -> float:
        """Of what is weighed, the part the dose and the limit speak of: less than 1 in a dispersion. [g/g]"""
        return 1.0 if self.dispersion is None else self.dispersion.strength_pct / 100

    @property
    def contents(self) -> Contains | None:
        """Water and oil in what is weighed, bought so or dispersed here. [% by mass]"""
        return self.contains if self.dispersion is None else self.dispersion.contains

    @property
    def water_part(self) -> float:
        """Of what is weighed, the part that is water. [g/g]"""
        return 0.0 if self.contents is None else self.contents.water_pct / 100

    @property
    def per_batter(self) -> float:
        """Grams to weigh for a gram of plain batter. [g/g]"""
        dose = {"pct_of_batter": self.dose / 100, "g_per_kg_batter": self.dose / 1000}.get(self.basis, 0.0)
        return dose / self.pure_part

    @property
    def per_fats(self) -> float:
        """Grams to weigh for a gram of fats. [g/g]"""
        return {"pct_of_fats": self.dose / 100, "g_per_kg_fats": self.dose / 1000}.get(self.basis, 0.0) / self.pure_part

    @property
    def fixed_g(self) -> float:
        """Grams to weigh whatever the batch. [g]"""
        return self.dose / self.pure_part if self.basis == "mass" else 0.0

    @property
    def can_be_diluted(self) -> bool:
        """Whether it is a powder or a liquid that is stirred in: pieces cannot be diluted. [yes or no]"""
        return self.in_batter and self.kind not in _IN_PIECES

    @property
    def in_batter(self) -> bool:
        """Whether it is stirred in; a spray goes on top and into no sum. [yes or no]"""
        return self.kind != "spray"

    def mass_in(self, *, batter_g: float, fats_g: float | None) -> float:
        """Mass to weigh for so much plain batter: of a dispersion all of it.

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
        Unsolvable : the dose is on fats and their mass is not known.
        """
        if self.per_fats and fats_g is None:
            raise Unsolvable(f'The dose of "{self.name}" is on fats; give "fats_mass" of the batter, or another basis.',
                             field=("basis",), value=self.basis)
        return self.fixed_g + self.per_batter * batter_g + self.per_fats * (fats_g or 0.0)


def _check_one_of(value: str, known: tuple[str, ...]) -> None:
    if value not in known:
        raise OutOfRange(f'"{value}" is not known here; it is one of {", ".join(known)}.', value=value,
                         allowed=", ".join(known))


@dataclass(frozen=True, slots=True)
class WeighedAddition:
    """An addition on the scale.

    Parameters
    ----------
    addition : Addition
        As asked. [addition]
    mass_g, weigh_g : float
        Exact, and what the scale shows; of a dispersion all of it. [g]
    allowed_mass_g : float, optional
        The most its limit allows here. [g]
    dilution : Dilution, optional
        How to weigh it all the same, where the step of the scale is too coarse. [g]
    """

    addition: Addition
    mass_g: float
    weigh_g: float
    allowed_mass_g: float | None
    dilution: Dilution | None = None

    @property
    def key(self) -> str:
        """A slug of the name. [key]"""
        return self.addition.key

    @property
    def name(self) -> str:
        """The maker's name. [text]"""
        return self.addition.name

    @property
    def over_limit(self) -> bool:
        """Whether the dose asked is above what the limit allows here. [yes or no]"""
        return self.allowed_mass_g is not None and self.mass_g > self.allowed_mass_g

    @property
    def oil_g(self) -> float:
        """Oil that comes along. [g]"""
        contents = self.addition.contents
        return 0.0 if contents is None or not self.addition.in_batter else self.weigh_g * contents.fat_pct / 100


def largest_within_limit(limit_pct: float, rest_cured_g: float, *, pure_part: float = 1.0, cured_part: float = 1.0,
                         already_g: float = 0.0) -> float | None:
    """The most of an ingredient that stays within its share of the cured bar.

    Parameters
    ----------
    limit_pct : float
        The most the cured bar may hold. [% of cured bar]
    rest_cured_g : float
        Cured mass of all the rest. [g]
    pure_part, cured_part : float
        Of a gram weighed, what the limit is about, and what it adds to the cured mass. [g/g]
    already_g : float
        Of the same ingredient in the rest. [g]

    Returns
    -------
    float, optional : m = L / (1 - L) * rest where all of it counts and stays; none where no mass reaches the limit. [g]

    References
    ----------
    .. [1] IFRA standards, category 9: a certificate gives the most of a mixture in the finished product. Read
       second-hand that bar soap is in it.
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
        As asked. [addition]
    mass_g : float
        Exact. [g]
    step_g : float
        Step of the fine scale. [g]
    allowed_g : float, optional
        The most its limit allows in what it goes into. [g]
    down : bool
        Rounding to the nearest step would carry something across the limit. [yes or no]
    dilution : Dilution, optional
        How to weigh it where the scale is too coarse. [g]

    Returns
    -------
    WeighedAddition : [g]
    """
    weigh = round_down(mass_g, step_g) if down else round_nearest(mass_g, step_g)
    return WeighedAddition(addition, mass_g, weigh, allowed_g, dilution)
