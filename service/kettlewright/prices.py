"""Money by mass: exact decimals, never floats."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from kettlewright import limits

__all__ = ["Price"]


@dataclass(frozen=True, slots=True)
class Price:
    """What a mass costs.

    Parameters
    ----------
    amount : str
        Decimal text. [currency]
    currency : str
        ISO 4217. [key]
    per_mass_g : float
        What it buys. [g]
    """

    amount: str
    currency: str
    per_mass_g: float

    def __post_init__(self) -> None:
        limits.MASS.check(self.per_mass_g, "per_mass")

    @property
    def per_g(self) -> Decimal:
        """Price of a gram. [currency per g]"""
        return Decimal(self.amount) / Decimal(f"{self.per_mass_g:.9g}")
