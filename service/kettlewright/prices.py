"""Prices by mass: exact decimals, never floats."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from kettlewright import limits
from kettlewright.errors import gather
from kettlewright.money import coin_digits, decimal_of

__all__ = ["Price"]


@dataclass(frozen=True, slots=True)
class Price:
    """The price of a mass, best given for the pack you buy.

    Parameters
    ----------
    amount : str
        Decimal text. [currency]
    currency : str
        ISO 4217. [key]
    per_mass_g : float
        The mass that `amount` buys. [g]

    Raises
    ------
    DomainErrors, DomainError : a mass that is not above 0, an unknown currency.
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
        """Price of the whole mass. [currency]"""
        return Decimal(self.amount)

    @property
    def mass_g(self) -> Decimal:
        """The mass, as a decimal. [g]"""
        return decimal_of(self.per_mass_g)

    @property
    def per_g(self) -> Decimal:
        """Price of one gram. [currency per g]"""
        return self.cost / self.mass_g
