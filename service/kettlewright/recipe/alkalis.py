"""The alkali as it is sold: dry with a purity, or as a stock solution."""

from __future__ import annotations

from dataclasses import dataclass

from kettlewright import limits
from kettlewright.errors import DomainError, Missing, UnknownIngredient, gather
from kettlewright.ranges import Range

__all__ = ["AlkaliPortion", "Stock"]

_KOH_SOLD_UP_TO_PCT = 95.0  # the rest is water that it takes up; so "at least 85 %" means 85 to 95 %


@dataclass(frozen=True, slots=True)
class Stock:
    """A solution of alkali prepared in advance.

    Parameters
    ----------
    concentration_pct : float
        Pure alkali by mass. [% of solution]
    concentration_tolerance_pct : float
        Tolerance of the concentration, either way. [points]
    temperature_c : float, optional
        Temperature at which it is added to the water; the water's if not given. [degC]

    Raises
    ------
    OutOfRange : a concentration outside 1 to 50, a tolerance outside 0 to 20.
    """

    concentration_pct: float
    concentration_tolerance_pct: float = 0.5
    temperature_c: float | None = None

    def __post_init__(self) -> None:
        if self.temperature_c is not None:
            limits.TEMPERATURE.check(self.temperature_c, "temperature")
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
        Share of the fats' equivalents, if there are two alkalis. [% by equivalents]
    purity_pct : float, optional
        Purity of the dry alkali. [% by mass]
    purity_tolerance_pct : float, optional
        Tolerance of `purity_pct`, either way; 1 if not given. [points]
    purity_at_least_pct : float, optional
        Minimum purity promised by the supplier, instead of `purity_pct`. [% by mass]
    stock : Stock, optional
        Instead of dry alkali. [solution]
    count_impurity_as_water : bool
        Whatever is not alkali in dry alkali is water (potassium hydroxide takes it up) and counts as such; the water
        rule then uses the pure mass of this alkali, as for a stock. [yes or no]
    lot : str, optional
        Lot number. [text]

    Raises
    ------
    DomainErrors, DomainError : contradictory purities, potassium hydroxide without one, values out of bounds.

    Notes
    -----
    Without a purity, sodium hydroxide counts as 100 %, possibly one point weaker: own decision, on the safe side, since
    alkali that is weaker than assumed leaves more superfat.
    """

    alkali: str
    share_pct: float | None = None
    purity_pct: float | None = None
    purity_tolerance_pct: float | None = None
    purity_at_least_pct: float | None = None
    stock: Stock | None = None
    lot: str | None = None
    count_impurity_as_water: bool = False

    def __post_init__(self) -> None:
        with gather() as checks:
            with checks.at():
                if self.alkali not in ("NaOH", "KOH"):
                    raise UnknownIngredient(f'"{self.alkali}" is not a known alkali; use "NaOH" or "KOH".',
                                            field=("alkali",), value=self.alkali, allowed="NaOH, KOH")
            with checks.at():
                self._check_statement()
            limits.check_each(self, checks, share_pct=limits.SHARE_PCT, purity_pct=limits.PURITY_PCT,
                              purity_at_least_pct=limits.PURITY_PCT, purity_tolerance_pct=limits.TOLERANCE_PCT)

    def _check_statement(self) -> None:
        if self.stock is not None:
            if self.count_impurity_as_water:
                raise DomainError('A stock solution already counts its water; leave "count_impurity_as_water" out.',
                                  field=("count_impurity_as_water",))
            for name in ("purity_pct", "purity_at_least_pct", "purity_tolerance_pct"):
                if getattr(self, name) is not None:
                    raise DomainError('The strength of a stock solution is its "concentration_pct" of pure alkali. '
                                      f'Leave "{name}" out: it would count twice.', field=(name,))
            return
        if self.purity_pct is not None and self.purity_at_least_pct is not None:
            raise DomainError('Give "purity_pct" or "purity_at_least_pct", not both.', field=("purity_at_least_pct",))
        if self.purity_tolerance_pct is not None and self.purity_pct is None:
            raise Missing('"purity_tolerance_pct" needs "purity_pct", which is missing.',
                          field=("purity_tolerance_pct",))
        if self.alkali == "KOH" and self.purity_pct is None and self.purity_at_least_pct is None:
            raise Missing('Potassium hydroxide is never sold pure: give "purity_pct" or "purity_at_least_pct" from '
                      "its label (often 85 to 90).", field=("purity_pct",), allowed="from 50 to 100")

    @property
    def brings_water(self) -> bool:
        """Whatever is not pure alkali in it counts as water. [yes or no]"""
        return self.stock is not None or self.count_impurity_as_water

    @property
    def strength(self) -> float:
        """Pure alkali in the weighed product, as used in calculations. [mass fraction]"""
        if self.stock is not None:
            return self.stock.concentration_pct / 100
        if self.purity_at_least_pct is not None:
            return self._promise_reaches_pct / 100
        return 1.0 if self.purity_pct is None else self.purity_pct / 100

    @property
    def strength_range(self) -> Range:
        """Range of the pure alkali in the weighed product. [mass fraction]"""
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
