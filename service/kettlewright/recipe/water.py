"""How much water the lye contains, in the trade's three ways."""

from __future__ import annotations

from dataclasses import dataclass

from kettlewright import limits
from kettlewright.errors import one_of

__all__ = ["WaterRule"]


@dataclass(frozen=True, slots=True)
class WaterRule:
    """The amount of water, in exactly one of the trade's three ways.

    Parameters
    ----------
    lye_concentration_pct : float, optional
        Alkali as weighed (pure, for stocks) in the lye. [% by mass]
    water_to_alkali : float, optional
        Water per part of that alkali. [g/g]
    water_pct_of_fats : float, optional
        Water as a percentage of all fats as weighed. [% of fats]
    ice_pct : float
        Part of the added water that is ice. [% of the added water]

    Raises
    ------
    DomainError : none or several given, or one out of bounds.
    """

    lye_concentration_pct: float | None = None
    water_to_alkali: float | None = None
    water_pct_of_fats: float | None = None
    ice_pct: float = 0.0

    def __post_init__(self) -> None:
        limits.ICE_PCT.check(self.ice_pct, "ice_pct")
        given = [name for name in ("lye_concentration_pct", "water_to_alkali", "water_pct_of_fats")
                 if getattr(self, name) is not None]
        if len(given) != 1:
            what = "none was given" if not given else f"{' and '.join(given)} were given"
            raise one_of(given or None)(
                'Give the water as exactly one of "lye_concentration_pct", "water_to_alkali" and '
                f'"water_pct_of_fats"; {what}.')
        bounds = {"lye_concentration_pct": limits.LYE_CONCENTRATION_PCT, "water_to_alkali": limits.WATER_TO_ALKALI,
                  "water_pct_of_fats": limits.WATER_PCT_OF_FATS}[given[0]]
        bounds.check(getattr(self, given[0]), given[0])

    def water_mass(self, *, alkali_g: float, fats_g: float) -> float:
        """All water of the lye, whatever its origin.

        Parameters
        ----------
        alkali_g : float
            Dry alkali as weighed; pure, for stocks and where the impurity counts as water. [g]
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
