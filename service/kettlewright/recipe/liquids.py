"""Liquids that take the place of water (milk, tea, puree): what water and fat they bring."""

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
    """A liquid in place of part of the water.

    Parameters
    ----------
    name : str
        Name. [text]
    mass_g, pct_of_fats : float, optional
        How much: a mass, or on all fats. [g, % of fats]
    rest_of_water : bool
        In place of them: as much as the water rule leaves, so that no water is added. [yes or no]
    water_pct : float
        Water in it. [% by mass]
    fat_pct : float
        Fat in it; the alkali for it is counted, and it takes the discount. [% by mass]
    fat, saponification_value : str, Range, optional
        Which fat: a key of the table, or its own range; exactly one where there is fat. [key, mg KOH per g fat]
    temperature_c : float, optional
        When the alkali goes in; that of the water where not given. [degC]
    frozen : bool
        Its water is ice of 0 degC. [yes or no]
    lot : str, optional
        Lot number. [text]

    Raises
    ------
    DomainErrors, DomainError : both or none of a pair, more water and fat than it weighs, values out of bounds.
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
            for name, bounds in (("mass_g", limits.MASS), ("pct_of_fats", limits.PCT_OF_FATS),
                                 ("water_pct", limits.PART_PCT), ("fat_pct", limits.PART_PCT),
                                 ("temperature_c", limits.TEMPERATURE)):
                with checks.at():
                    if getattr(self, name) is not None:
                        bounds.check(getattr(self, name), name.removesuffix("_g").removesuffix("_c"))
            with checks.at():
                if self.water_pct + self.fat_pct > 100:
                    raise Unsolvable(f'"{self.name}" would be {self.water_pct:.9g} % water and {self.fat_pct:.9g} % '
                                     "fat: more than it weighs.", field=("water_pct",), allowed="at most 100 together")
            with checks.at():
                self._check_fat()
            with checks.at():
                if self.frozen and self.temperature_c:
                    raise DomainError(f'"{self.name}" is frozen and so at 0 degC; leave its "temperature" out.',
                                      field=("temperature",))

    def _check_fat(self) -> None:
        told = (self.fat is not None) + (self.saponification_value is not None)
        if self.fat_pct and told != 1:
            raise one_of(told or None)(f'Say which fat is in "{self.name}", so that its alkali can be counted: "fat" '
                                       f'(a key of '
                                       '/v1/fats, butter fat for milk) or "saponification_value", one of them.',
                                       field=("fat",))
        if told and not self.fat_pct:
            raise DomainError(f'"{self.name}" names a fat but holds none; give "fat_pct" or leave the fat out.',
                              field=("fat_pct",))
        if told:
            fat_value_range(self.fat, self.saponification_value)

    @property
    def key(self) -> str:
        """A slug of the name. [key]"""
        return slug(self.name)

    @property
    def fat_value(self) -> Range | None:
        """Saponification value of the fat in it, where there is any. [mg KOH per g fat]"""
        return fat_value_range(self.fat, self.saponification_value) if self.fat_pct else None

    def mass_for(self, fats_g: float) -> float:
        """Mass for so much fat (`fats_g`: all fats [g]); 0 of a rest, which follows from the water. [g]"""
        return self.mass_g if self.mass_g is not None else fats_g * (self.pct_of_fats or 0.0) / 100
