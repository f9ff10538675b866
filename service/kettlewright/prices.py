"""Money by mass: exact decimals, never floats."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from kettlewright import limits
from kettlewright.errors import gather
from kettlewright.money import coin_digits, decimal_of

__all__ = ["Price"]


@dataclass(frozen=True, slots=True)
class Price:
    """What a mass costs, best told of the pack that is really bought.

    Parameters
    ----------
    amount : str
        Decimal text. [currency]
    currency : str
        ISO 4217. [key]
    per_mass_g : float
        What it buys. [g]

    Raises
    ------
    Faults, DomainError : a mass of nothing, a currency that is none.
    """

    amount: str
    currency: str
    per_mass_g: float

    def __post_init__(self) -> None:
        with gather() as checks:
            with checks.at():
                coin_digits(self.currency)
            with checks.at():
                limits.MASS.check(self.per_mass_g, "per_mass")

    @property
    def cost(self) -> Decimal:
        """What all of it costs. [currency]"""
        return Decimal(self.amount)

    @property
    def mass_g(self) -> Decimal:
        """What it buys, as a decimal. [g]"""
        return decimal_of(self.per_mass_g)

    @property
    def per_g(self) -> Decimal:
        """Price of a gram. [currency per g]"""
        return self.cost / self.mass_g
