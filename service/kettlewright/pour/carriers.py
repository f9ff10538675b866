"""The oil or water that an addition is sold in, or that you disperse it in before the pour."""

from __future__ import annotations

from dataclasses import dataclass

from kettlewright import limits
from kettlewright.errors import DomainError, Unsolvable, check_one_of, gather
from kettlewright.ranges import Range
from kettlewright.recipe.fats import fat_name, fat_value_range
from kettlewright.said import Said

__all__ = ["CARRIERS", "Contains", "Dispersion"]

CARRIERS = ("oil", "water", "glycerol")


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
                check_one_of(self.carrier, CARRIERS)
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
