"""A recipe as the maker gives it: fats, alkali, water, acids, temperatures. Each part checks itself."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from kettlewright import limits
from kettlewright.errors import DomainError, Unsolvable, gather
from kettlewright.names import slug
from kettlewright.ranges import Range
from kettlewright.recipe.acids import acid
from kettlewright.reference import fat as table_fat

__all__ = ["AcidPortion", "AlkaliPortion", "FatPortion", "Recipe", "Stock", "Temperatures", "WaterRule"]

_KOH_SOLD_UP_TO_PCT = 95.0  # potassium hydroxide takes up water; a promise of "at least 85 %" reaches no further
_SHARES_TOLERANCE_PCT = 0.01


@dataclass(frozen=True, slots=True)
class FatPortion:
    """One fat of the recipe, from the table or the maker's own.

    Parameters
    ----------
    fat : str, optional
        Key of the table. [key]
    name : str, optional
        Name of an own fat; then `saponification_value` is needed. [text]
    saponification_value : Range, optional
        Of an own fat. [mg KOH per g fat]
    mass_g : float, optional
        Mass; else `share_pct`. [g]
    share_pct : float, optional
        Share of all fats. [% of fats]
    density : float, optional
        Overrides the table. [g/mL at 40 degC]
    lot : str, optional
        Lot number. [text]

    Raises
    ------
    Faults, DomainError : both or none of a pair, an unknown fat, a value outside its bounds.
    """

    fat: str | None = None
    name: str | None = None
    saponification_value: Range | None = None
    mass_g: float | None = None
    share_pct: float | None = None
    density: float | None = None
    lot: str | None = None

    def __post_init__(self) -> None:
        with gather() as checks:
            with checks.at():
                self._check_identity()
            with checks.at():
                if (self.mass_g is None) == (self.share_pct is None):
                    given = "neither was" if self.mass_g is None else "both were"
                    raise DomainError(f'Give a fat either "mass" or "share_pct"; {given} given.', field=("mass",))
            with checks.at():
                if self.mass_g is not None:
                    limits.MASS.check(self.mass_g, "mass")
            with checks.at():
                if self.share_pct is not None:
                    limits.SHARE_PCT.check(self.share_pct, "share_pct")
            with checks.at():
                if self.density is not None:
                    limits.FAT_DENSITY.check(self.density, "density")

    def _check_identity(self) -> None:
        if (self.fat is None) == (self.name is None):
            given = "neither was" if self.fat is None else "both were"
            raise DomainError('Give either "fat" (a key of /v1/fats) or "name" with "saponification_value" '
                              f"(a fat of your own); {given} given.", field=("fat",), value=self.fat)
        if self.fat is not None:
            if self.saponification_value is not None:
                raise DomainError(
                    f'"{self.fat}" comes from the table with its own range; to use the value on the certificate of a '
                    'lot, give the fat a "name" in place of "fat".', field=("saponification_value",))
            with_key = table_fat  # raises with the nearest names
            try:
                with_key(self.fat)
            except DomainError as error:
                raise error.at("fat") from None
        elif self.saponification_value is None:
            raise DomainError(f'"{self.name}" is a fat of your own and needs "saponification_value" (min and max, mg '
                              "KOH per g of fat); it stands on the certificate of the lot.",
                              field=("saponification_value",))
        else:
            with gather() as ends:
                for end in ("min", "max"):
                    with ends.at("saponification_value"):
                        limits.SAPONIFICATION_VALUE.check(getattr(self.saponification_value, end), end)

    @property
    def key(self) -> str:
        """Table key, or a slug of the own name. [key]"""
        return self.fat if self.fat is not None else slug(self.name or "")


@dataclass(frozen=True, slots=True)
class Stock:
    """A solution of alkali made earlier.

    Parameters
    ----------
    concentration_pct : float
        Pure alkali by mass. [% of solution]
    concentration_tolerance_pct : float
        How far it may be off, either way. [points]

    Raises
    ------
    OutOfRange : a strength outside 1 to 50, a tolerance outside 0 to 20.
    """

    concentration_pct: float
    concentration_tolerance_pct: float = 0.5

    def __post_init__(self) -> None:
        limits.STOCK_CONCENTRATION_PCT.check(self.concentration_pct, "concentration_pct")
        limits.TOLERANCE_PCT.check(self.concentration_tolerance_pct, "concentration_tolerance_pct")


@dataclass(frozen=True, slots=True)
class AlkaliPortion:
    """One alkali, dry or as a stock solution.

    Parameters
    ----------
    alkali : str
        "NaOH" or "KOH". [key]
    share_pct : float, optional
        Share of the fats' equivalents, where there are two. [% by equivalents]
    purity_pct : float, optional
        Purity of the dry alkali. [% by mass]
    purity_tolerance_pct : float, optional
        How far `purity_pct` may be off, either way; 1 where not given. [points]
    purity_at_least_pct : float, optional
        A supplier's one-sided promise, in place of `purity_pct`. [% by mass]
    stock : Stock, optional
        In place of dry alkali. [solution]
    lot : str, optional
        Lot number. [text]

    Raises
    ------
    Faults, DomainError : contradicting statements of strength, potassium hydroxide without one, values out of bounds.

    Notes
    -----
    Without any statement sodium hydroxide counts as 100 %, and may be one point weaker: own decision, on the safe
    side, since alkali that is weaker than assumed leaves more superfat.
    """

    alkali: str
    share_pct: float | None = None
    purity_pct: float | None = None
    purity_tolerance_pct: float | None = None
    purity_at_least_pct: float | None = None
    stock: Stock | None = None
    lot: str | None = None

    def __post_init__(self) -> None:
        with gather() as checks:
            with checks.at():
                if self.alkali not in ("NaOH", "KOH"):
                    raise DomainError(f'"{self.alkali}" is no alkali known here; it is "NaOH" or "KOH".',
                                      field=("alkali",), value=self.alkali, allowed="NaOH, KOH")
            with checks.at():
                self._check_statement()
            for name, bounds in (("share_pct", limits.SHARE_PCT), ("purity_pct", limits.PURITY_PCT),
                                 ("purity_at_least_pct", limits.PURITY_PCT),
                                 ("purity_tolerance_pct", limits.TOLERANCE_PCT)):
                with checks.at():
                    if getattr(self, name) is not None:
                        bounds.check(getattr(self, name), name)

    def _check_statement(self) -> None:
        if self.stock is not None:
            for name in ("purity_pct", "purity_at_least_pct", "purity_tolerance_pct"):
                if getattr(self, name) is not None:
                    raise DomainError(f'The strength of a stock solution is its "concentration_pct" of pure alkali; '
                                      f'"{name}" beside it would count twice. Leave it out.', field=(name,))
            return
        if self.purity_pct is not None and self.purity_at_least_pct is not None:
            raise DomainError('Give "purity_pct" or "purity_at_least_pct", not both.', field=("purity_at_least_pct",))
        if self.purity_tolerance_pct is not None and self.purity_pct is None:
            raise DomainError('"purity_tolerance_pct" belongs to "purity_pct", which is missing.',
                              field=("purity_tolerance_pct",))
        if self.alkali == "KOH" and self.purity_pct is None and self.purity_at_least_pct is None:
            raise DomainError('Potassium hydroxide is never sold pure: give "purity_pct" or "purity_at_least_pct" as '
                              "its label states (often 85 to 90).", field=("purity_pct",), allowed="from 50 to 100")

    @property
    def strength(self) -> float:
        """Pure alkali in what is weighed, as computed with. [mass fraction]"""
        if self.stock is not None:
            return self.stock.concentration_pct / 100
        if self.purity_at_least_pct is not None:
            return self._promise_reaches_pct / 100
        return 1.0 if self.purity_pct is None else self.purity_pct / 100

    @property
    def strength_range(self) -> Range:
        """Pure alkali in what is weighed, both ends. [mass fraction]"""
        if self.stock is not None:
            return _around(self.stock.concentration_pct, self.stock.concentration_tolerance_pct)
        if self.purity_at_least_pct is not None:
            return Range(self.purity_at_least_pct / 100, self._promise_reaches_pct / 100)
        if self.purity_pct is None:
            return Range(0.99, 1.0)
        tolerance = 1.0 if self.purity_tolerance_pct is None else self.purity_tolerance_pct
        return _around(self.purity_pct, tolerance)

    @property
    def _promise_reaches_pct(self) -> float:
        promised = self.purity_at_least_pct or 0.0
        return _KOH_SOLD_UP_TO_PCT if self.alkali == "KOH" and promised <= _KOH_SOLD_UP_TO_PCT else 100.0


def _around(middle_pct: float, tolerance_pct: float) -> Range:
    return Range(max(middle_pct - tolerance_pct, 0.0) / 100, min(middle_pct + tolerance_pct, 100.0) / 100)


@dataclass(frozen=True, slots=True)
class WaterRule:
    """How much water, in exactly one of the trade's three ways.

    Parameters
    ----------
    lye_concentration_pct : float, optional
        Alkali as weighed (in stocks: pure) in the lye. [% by mass]
    water_to_alkali : float, optional
        Water for one part of that alkali. [g/g]
    water_pct_of_fats : float, optional
        Water on all fats as weighed. [% of fats]

    Raises
    ------
    DomainError : none or several given, or one out of its bounds.
    """

    lye_concentration_pct: float | None = None
    water_to_alkali: float | None = None
    water_pct_of_fats: float | None = None

    def __post_init__(self) -> None:
        given = [name for name in ("lye_concentration_pct", "water_to_alkali", "water_pct_of_fats")
                 if getattr(self, name) is not None]
        if len(given) != 1:
            what = "none was given" if not given else f"{' and '.join(given)} were given"
            raise DomainError('Say how much water by exactly one of "lye_concentration_pct", "water_to_alkali" or '
                              f'"water_pct_of_fats"; {what}.')
        bounds = {"lye_concentration_pct": limits.LYE_CONCENTRATION_PCT, "water_to_alkali": limits.WATER_TO_ALKALI,
                  "water_pct_of_fats": limits.WATER_PCT_OF_FATS}[given[0]]
        bounds.check(getattr(self, given[0]), given[0])

    def water_mass(self, *, alkali_g: float, fats_g: float) -> float:
        """All water of the lye, wherever it comes from.

        Parameters
        ----------
        alkali_g : float
            Dry alkali as weighed and pure alkali in stocks. [g]
        fats_g : float
            All fats as weighed. [g]

        Returns
        -------
        float : W = A(1-c)/c, r*A or q*O. [g]
        """
        if self.lye_concentration_pct is not None:
            concentration = self.lye_concentration_pct / 100
            return alkali_g * (1 - concentration) / concentration
        if self.water_to_alkali is not None:
            return alkali_g * self.water_to_alkali
        return fats_g * (self.water_pct_of_fats or 0.0) / 100


@dataclass(frozen=True, slots=True)
class AcidPortion:
    """An acid that eats alkali; its alkali is added on top.

    Parameters
    ----------
    acid : str
        Key of the acid table. [key]
    mass_g : float, optional
        Mass as bought; else `pct_of_fats`. [g]
    pct_of_fats : float, optional
        Mass as bought on all fats. [% of fats]
    strength_pct : float
        Acid in what is bought; the rest counts as water. [% by mass]
    lot : str, optional
        Lot number. [text]

    Raises
    ------
    Faults, DomainError : an unknown acid, both or none of the two ways to say how much, values out of bounds.
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
                if (self.mass_g is None) == (self.pct_of_fats is None):
                    given = "neither was" if self.mass_g is None else "both were"
                    raise DomainError(f'Give an acid either "mass" or "pct_of_fats"; {given} given.', field=("mass",))
            with checks.at():
                if self.mass_g is not None:
                    limits.MASS.check(self.mass_g, "mass")
            with checks.at():
                if self.pct_of_fats is not None:
                    limits.PCT_OF_FATS.check(self.pct_of_fats, "pct_of_fats")
            with checks.at():
                limits.STRENGTH_PCT.check(self.strength_pct, "strength_pct")

    def mass_for(self, fats_g: float) -> float:
        """Mass as bought, for so much fat (`fats_g`: all fats [g]). [g]"""
        return self.mass_g if self.mass_g is not None else fats_g * (self.pct_of_fats or 0.0) / 100


@dataclass(frozen=True, slots=True)
class Temperatures:
    """Temperatures the maker works at.

    Parameters
    ----------
    water_c, fats_c, pour_c : float, optional
        Of the water before the alkali, of the fats when the lye goes in, of the batter at the pour. [degC]
    """

    water_c: float | None = None
    fats_c: float | None = None
    pour_c: float | None = None

    def __post_init__(self) -> None:
        with gather() as checks:
            for name in ("water", "fats", "pour"):
                with checks.at():
                    if getattr(self, f"{name}_c") is not None:
                        limits.TEMPERATURE.check(getattr(self, f"{name}_c"), name)


@dataclass(frozen=True, slots=True)
class Recipe:
    """What goes into the pot, as asked.

    Parameters
    ----------
    fats : tuple of FatPortion, length n >= 1
        All by mass or all by share. [fats]
    superfat_pct : float
        Share of the fats' alkali left out. [% of full demand]
    alkalis : tuple of AlkaliPortion, length 1 or 2
        With two, each has a share. [alkalis]
    water : WaterRule
        How much water. [rule]
    acids : tuple of AcidPortion
        Acids, in the order asked. [acids]
    temperatures : Temperatures
        Where known. [degC]

    Raises
    ------
    Faults : no fats, doubles, mass beside share, shares that miss 100, a superfat out of bounds.
    """

    fats: tuple[FatPortion, ...]
    superfat_pct: float
    alkalis: tuple[AlkaliPortion, ...]
    water: WaterRule
    acids: tuple[AcidPortion, ...] = ()
    temperatures: Temperatures = field(default_factory=Temperatures)

    def __post_init__(self) -> None:
        with gather() as checks:
            with checks.at("superfat_pct"):
                limits.SUPERFAT_PCT.check(self.superfat_pct)
            with checks.at("fats"):
                self._check_fats()
            with checks.at("fats"):
                _check_no_doubles([(fat.key, fat.lot) for fat in self.fats], "fat")
            with checks.at("alkalis"):
                self._check_alkalis()
            with checks.at("acids"):
                _check_no_doubles([(portion.acid, portion.lot) for portion in self.acids], "acid")
            with checks.at("acids"):
                self._check_acids()

    def _check_fats(self) -> None:
        if not self.fats:
            raise DomainError("A recipe needs at least one fat.")
        if self.by_share and not all(fat.share_pct is not None for fat in self.fats):
            raise DomainError('Some fats have "mass" and some "share_pct"; give all of them the same.')
        if self.by_share:
            check_shares([fat.share_pct or 0.0 for fat in self.fats], "fats")

    def _check_alkalis(self) -> None:
        if not self.alkalis:
            raise DomainError('A recipe needs an alkali: "NaOH", "KOH" or both.')
        kinds = [portion.alkali for portion in self.alkalis]
        if len(set(kinds)) != len(kinds):
            raise DomainError(f'"{kinds[0]}" stands twice; give each alkali once, dry or as a stock.')
        if len(kinds) > 1:
            missing = [index for index, portion in enumerate(self.alkalis) if portion.share_pct is None]
            if missing:
                raise DomainError('With two alkalis each needs "share_pct", by equivalents of fat.',
                                  field=(missing[0], "share_pct"))
            check_shares([portion.share_pct or 0.0 for portion in self.alkalis], "alkalis")
        elif self.alkalis[0].share_pct not in (None, 100):
            raise DomainError(f'The only alkali takes 100 % of the fats, not {self.alkalis[0].share_pct:.9g}; leave '
                              '"share_pct" out, or add the second alkali.', field=(0, "share_pct"))

    def _check_acids(self) -> None:
        if self.by_share:
            for index, portion in enumerate(self.acids):
                if portion.mass_g is not None:
                    raise DomainError('Where the fats are shares, an acid is told by "pct_of_fats", so that it grows '
                                      "with the batch.", field=(index, "mass"))

    @property
    def by_share(self) -> bool:
        """Whether the fats are shares, so that a target or a mould gives the size. [yes or no]"""
        return any(fat.share_pct is not None for fat in self.fats)


def check_shares(shares_pct: list[float], what: str) -> None:
    """Refuse shares that do not add up to 100.

    Parameters
    ----------
    shares_pct : list of float
        The shares. [%]
    what : str
        Of what, in the plural. [text]

    Raises
    ------
    Unsolvable : the sum is off by more than 0.01.
    """
    total = math.fsum(shares_pct)
    if abs(total - 100) > _SHARES_TOLERANCE_PCT:
        change = f"lower one by {total - 100:.9g}" if total > 100 else f"raise one by {100 - total:.9g}"
        raise Unsolvable(f"The shares of the {what} add up to {total:.9g}, and must add up to 100: {change}.",
                         value=total, allowed="a sum of 100")


def _check_no_doubles(keys_and_lots: list[tuple[str, str | None]], what: str) -> None:
    for index, (key, lot) in enumerate(keys_and_lots):
        if any((key == other and (lot is None or lot == other_lot))
               or (key == other and other_lot is None) for other, other_lot in keys_and_lots[:index]):
            raise DomainError(f'"{key}" stands twice. Add the masses up, or give each {what} its own "lot".',
                              field=(index,), value=key)
