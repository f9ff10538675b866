"""Liquids that replace water (milk, tea, puree), and the water and fat in them."""

from __future__ import annotations

from dataclasses import dataclass

from kettlewright import limits
from kettlewright.errors import DomainError, Unsolvable, gather, one_of
from kettlewright.names import slug
from kettlewright.ranges import Range
from kettlewright.recipe.fats import fat_value_range

__all__ = ["LiquidPortion"]

_WATER_OF_A_REST_PCT = 40.0


@dataclass(frozen=True, slots=True, kw_only=True)
class LiquidPortion:
    """A liquid that replaces part of the water.

    Parameters
    ----------
    name : str
        Name. [text]
    mass_g, pct_of_fats : float, optional
        The amount: a mass, or a percentage of all fats. [g, % of fats]
    rest_of_water : bool
        Instead of an amount: as much as the water rule leaves, so that no water is added. [yes or no]
    water_pct : float
        Water in the liquid. [% by mass]
    fat_pct : float
        Fat in the liquid; its alkali is counted, and the superfat applies to it. [% by mass]
    fat, saponification_value : str, Range, optional
        The fat in it: a key in the table, or its own range; exactly one if there is fat. [key, mg KOH per g fat]
    temperature_c : float, optional
        Temperature when the alkali is added; the water's if not given. [degC]
    frozen : bool
        Its water is ice at 0 degC. [yes or no]
    lot : str, optional
        Lot number. [text]

    Raises
    ------
    DomainErrors, DomainError : both or neither of a pair, more water and fat than its mass, values out of bounds.
    """

    name: str
    mass_g: float | None = None
    pct_of_fats: float | None = None
    rest_of_water: bool = False
    water_pct: float
    fat_pct: float = 0.0
    fat: str | None = None
    saponification_value: Range | None = None
    temperature_c: float | None = None
    frozen: bool = False
    lot: str | None = None

    def __post_init__(self) -> None:
        with gather() as checks:
            with checks.at():
                given = (self.mass_g is not None) + (self.pct_of_fats is not None) + self.rest_of_water
                if given != 1:
                    raise one_of(given or None)('Give a liquid exactly one of "mass", "pct_of_fats" and '
                                                '"rest_of_water": true; '
                                                f'{given or "none"} given.', field=("mass",))
            with checks.at():
                if self.rest_of_water and self.water_pct < _WATER_OF_A_REST_PCT:
                    raise DomainError(f'"{self.name}" can only be the rest of the water if it is mostly water.',
                                      field=("water_pct",), value=self.water_pct,
                                      allowed=f"from {_WATER_OF_A_REST_PCT:g}")
            limits.check_each(self, checks, mass_g=limits.MASS, pct_of_fats=limits.PCT_OF_FATS,
                              water_pct=limits.PART_PCT, fat_pct=limits.PART_PCT, temperature_c=limits.TEMPERATURE)
            with checks.at():
                if self.water_pct + self.fat_pct > 100:
                    raise Unsolvable(f'"{self.name}" would be {self.water_pct:.9g} % water and {self.fat_pct:.9g} % '
                                     "fat, more than 100 % together.", field=("water_pct",),
                                     allowed="at most 100 together")
            with checks.at():
                self._check_fat()
            with checks.at():
                if self.frozen and self.temperature_c:
                    raise DomainError(f'"{self.name}" is frozen, so it is at 0 degC; leave its "temperature" out.',
                                      field=("temperature",))

    def _check_fat(self) -> None:
        given = (self.fat is not None) + (self.saponification_value is not None)
        if self.fat_pct and given != 1:
            raise one_of(given or None)(
                f'Give the fat in "{self.name}", so that its alkali can be counted: either "fat" (a key of /v1/fats; '
                'butter fat for milk) or "saponification_value".', field=("fat",))
        if given and not self.fat_pct:
            raise DomainError(f'"{self.name}" names a fat but contains none; give "fat_pct" or leave the fat out.',
                              field=("fat_pct",))
        if given:
            fat_value_range(self.fat, self.saponification_value)

    @property
    def key(self) -> str:
        """Key derived from the name. [key]"""
        return slug(self.name)

    @property
    def fat_value(self) -> Range | None:
        """Saponification value of the fat in it, if any. [mg KOH per g fat]"""
        return fat_value_range(self.fat, self.saponification_value) if self.fat_pct else None

    def mass_for(self, fats_g: float) -> float:
        """Mass for a given mass of fat (`fats_g`: all fats [g]); 0 for the rest of the water, computed later. [g]"""
        return self.mass_g if self.mass_g is not None else fats_g * (self.pct_of_fats or 0.0) / 100
