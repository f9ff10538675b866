"""A recipe as the maker gives it: fats, alkali, water, acids, liquids, temperatures. Each part validates itself."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from kettlewright import limits
from kettlewright.errors import DomainError, Missing, Unsolvable, gather, one_of
from kettlewright.recipe.acids import AcidPortion
from kettlewright.recipe.alkalis import AlkaliPortion
from kettlewright.recipe.fats import FatPortion
from kettlewright.recipe.liquids import LiquidPortion
from kettlewright.recipe.water import WaterRule

__all__ = ["Recipe", "Temperatures", "check_shares"]

_SHARES_TOLERANCE_PCT = 0.01


@dataclass(frozen=True, slots=True)
class Temperatures:
    """The maker's working temperatures.

    Parameters
    ----------
    water_c, fats_c, lye_c, pour_c : float, optional
        Of the water before the alkali, of fats and lye when they meet, of the batter at the pour. [degC]
    fats_solid_pct : float
        Part of the fats that is still solid when they meet the lye. [% of fats]
    """

    water_c: float | None = None
    fats_c: float | None = None
    lye_c: float | None = None
    pour_c: float | None = None
    fats_solid_pct: float = 0.0

    def __post_init__(self) -> None:
        with gather() as checks:
            with checks.at("fats_solid_pct"):
                limits.PART_PCT.check(self.fats_solid_pct)
            limits.check_each(self, checks, water_c=limits.TEMPERATURE, fats_c=limits.TEMPERATURE,
                              lye_c=limits.TEMPERATURE, pour_c=limits.TEMPERATURE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Recipe:
    """The recipe as requested.

    Parameters
    ----------
    fats : tuple of FatPortion, length n >= 1
        All by mass or all by share. [fats]
    superfat_pct : float, optional
        Share of the fats' alkali that is left out, counted at the middle of every range. [% of full demand]
    superfat_at_least_pct : float, optional
        Instead: kept over the whole declared range, including scale errors. [% of full demand]
    alkalis : tuple of AlkaliPortion, length 1 or 2
        With two, each has a share. [alkalis]
    water : WaterRule
        The amount of water. [rule]
    acids : tuple of AcidPortion
        Acids, in the order of the request. [acids]
    liquids : tuple of LiquidPortion
        Instead of part of the water. [liquids]
    temperatures : Temperatures
        Those that are known. [degC]

    Raises
    ------
    DomainErrors : no fats, duplicates, mass next to share, shares that do not add up to 100, superfat out of bounds.
    """

    fats: tuple[FatPortion, ...]
    superfat_pct: float | None = None
    superfat_at_least_pct: float | None = None
    alkalis: tuple[AlkaliPortion, ...]
    water: WaterRule
    acids: tuple[AcidPortion, ...] = ()
    liquids: tuple[LiquidPortion, ...] = ()
    temperatures: Temperatures = field(default_factory=Temperatures)

    def __post_init__(self) -> None:
        with gather() as checks:
            checks.run(self._check_superfat)
            checks.run(self._check_fats, "fats")
            checks.run(lambda: _check_no_doubles([(fat.key, fat.lot) for fat in self.fats], "fat"), "fats")
            checks.run(self._check_alkalis, "alkalis")
            checks.run(lambda: _check_no_doubles([(one.acid, one.lot) for one in self.acids], "acid"), "acids")
            checks.run(self._check_grows)
            checks.run(lambda: _check_no_doubles([(one.key, one.lot) for one in self.liquids], "liquid"), "liquids")
            checks.run(self._check_rest, "liquids")

    def _check_rest(self) -> None:
        rests = [index for index, portion in enumerate(self.liquids) if portion.rest_of_water]
        if len(rests) > 1:
            raise DomainError('Only one liquid can be the rest of the water; give the others an amount.',
                              field=(rests[1], "rest_of_water"))

    def _check_superfat(self) -> None:
        given = [name for name in ("superfat_pct", "superfat_at_least_pct") if getattr(self, name) is not None]
        if len(given) != 1:
            raise one_of(given or None)(
                'Give the superfat either as "superfat_pct" (at the middle of every range) or as '
                f'"superfat_at_least_pct" (over the whole range); {"both were" if given else "neither was"} given.',
                field=("superfat_pct",))
        limits.SUPERFAT_PCT.check(getattr(self, given[0]), given[0])

    def _check_fats(self) -> None:
        if not self.fats:
            raise Missing("A recipe needs at least one fat.")
        if self.by_share and not all(fat.share_pct is not None for fat in self.fats):
            raise DomainError('Some fats have "mass" and some "share_pct"; use the same for all fats.')
        if self.by_share:
            check_shares([fat.share_pct or 0.0 for fat in self.fats], "fats")

    def _check_alkalis(self) -> None:
        if not self.alkalis:
            raise Missing('A recipe needs an alkali: "NaOH", "KOH" or both.')
        kinds = [portion.alkali for portion in self.alkalis]
        if len(set(kinds)) != len(kinds):
            raise DomainError(f'"{kinds[0]}" appears twice; give each alkali once, dry or as a stock.')
        if len(kinds) > 1:
            missing = [index for index, portion in enumerate(self.alkalis) if portion.share_pct is None]
            if missing:
                raise Missing('With two alkalis, each needs "share_pct", by equivalents of fat.',
                              field=(missing[0], "share_pct"))
            check_shares([portion.share_pct or 0.0 for portion in self.alkalis], "alkalis")
        elif self.alkalis[0].share_pct not in (None, 100):
            raise DomainError(f'The only alkali has a share of 100 %, not {self.alkalis[0].share_pct:.9g}; leave '
                              '"share_pct" out, or add the second alkali.', field=(0, "share_pct"))

    def _check_grows(self) -> None:
        if not self.by_share:
            return
        with gather() as checks:
            for kind, masses in (("acids", [portion.mass_g for portion in self.acids]),
                                 ("liquids", [portion.mass_g for portion in self.liquids])):
                for index, mass in enumerate(masses):
                    with checks.at(kind, index):
                        if mass is not None:
                            raise DomainError(f'If the fats are given as shares, give the {kind} as "pct_of_fats", so '
                                              'that they scale with the batch.', field=("mass",))

    @property
    def asked_pct(self) -> float:
        """The requested superfat, in either form. [% of full demand]"""
        return self.superfat_pct if self.superfat_pct is not None else self.superfat_at_least_pct or 0.0

    @property
    def by_share(self) -> bool:
        """The fats are shares, so that a target or a mould sets the size. [yes or no]"""
        return any(fat.share_pct is not None for fat in self.fats)


def check_shares(shares_pct: list[float], what: str) -> None:
    """Reject shares that do not add up to 100.

    Parameters
    ----------
    shares_pct : list of float
        The shares. [%]
    what : str
        What has the shares, in the plural. [text]

    Raises
    ------
    Unsolvable : the sum is off by more than 0.01.
    """
    total = math.fsum(shares_pct)
    if abs(total - 100) > _SHARES_TOLERANCE_PCT * (1 + 1e-9):  # three times 33.33 is within it
        change = f"lower one by {total - 100:.9g}" if total > 100 else f"raise one by {100 - total:.9g}"
        raise Unsolvable(f"The shares of the {what} add up to {total:.9g}; they must add up to 100: {change}.",
                         value=total, allowed="a sum of 100")


def _check_no_doubles(keys_and_lots: list[tuple[str, str | None]], what: str) -> None:
    for index, (key, lot) in enumerate(keys_and_lots):
        if any((key == other and (lot is None or lot == other_lot))
               or (key == other and other_lot is None) for other, other_lot in keys_and_lots[:index]):
            raise DomainError(f'"{key}" appears twice. Add up the masses, or give each {what} its own "lot".',
                              field=(index,), value=key)
