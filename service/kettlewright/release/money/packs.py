"""Inputs for purchases: needs, stock at hand, packs for sale, terms of suppliers."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from kettlewright import limits
from kettlewright.errors import OutOfRange, gather
from kettlewright.money import Money, coin_digits, rounded
from kettlewright.prices import Price

__all__ = ["AtHand", "Need", "Pack", "Supplier"]


@dataclass(frozen=True, slots=True)
class Need:
    """Something that is needed; several of one key add up.

    Parameters
    ----------
    key, name : str
        What. [text]
    mass_g : float
        How much; of what is counted, how many. [g, or pieces]
    counted : bool
        Bought by the count, such as wraps. [yes or no]
    """

    key: str
    name: str
    mass_g: float
    counted: bool = False


@dataclass(frozen=True, slots=True)
class AtHand:
    """What is there already; several of one key add up.

    Parameters
    ----------
    key : str
        What. [key]
    mass_g : float
        How much; of what is counted, how many. [g, or pieces]
    counted : bool
        Bought by the count. [yes or no]
    """

    key: str
    mass_g: float
    counted: bool = False


@dataclass(frozen=True, slots=True)
class Pack:
    """A pack that may be bought.

    Parameters
    ----------
    key : str
        Of the ingredient in it. [key]
    price : Price
        What it costs and how much, or how many, is in it. [currency, g or pieces]
    name : str, optional
        For the maker's eyes. [text]
    supplier : str, optional
        Who sells it. [key]
    at_most : int, optional
        How many may be bought. [packs]
    counted : bool
        It holds pieces. [yes or no]

    Raises
    ------
    DomainErrors, DomainError : a price that cannot be paid in coins, a number out of bounds.
    """

    key: str
    price: Price
    name: str | None = None
    supplier: str | None = None
    at_most: int | None = None
    counted: bool = False

    def __post_init__(self) -> None:
        with gather() as checks:
            with checks.at("price", "amount"):
                _check_payable(self.price.cost, self.price.currency)
            with checks.at("at_most"):
                if self.at_most is not None:
                    limits.PACKS_COUNT.check(self.at_most)


@dataclass(frozen=True, slots=True)
class Supplier:
    """Terms of somebody who sells packs.

    Parameters
    ----------
    name : str
        As packs name it. [text]
    shipping : Money, optional
        Of one order; free where not given. [currency]
    free_from : Money, optional
        Goods from which shipping is free. [currency]
    minimum_order : Money, optional
        Goods below which there is no order. [currency]

    Raises
    ------
    DomainErrors, DomainError : amounts that cannot be paid in coins.
    """

    name: str
    shipping: Money | None = None
    free_from: Money | None = None
    minimum_order: Money | None = None

    def __post_init__(self) -> None:
        with gather() as checks:
            for name in ("shipping", "free_from", "minimum_order"):
                money = getattr(self, name)
                with checks.at(name, "amount"):
                    if money is not None:
                        _check_payable(money.amount, money.currency)


def _check_payable(amount: Decimal, currency: str) -> None:
    digits = coin_digits(currency)
    if amount != rounded(amount, digits):
        raise OutOfRange(f"{amount} {currency} cannot be paid: there are {digits} decimals at most. Give the price of "
                         "a whole pack.", value=str(amount), allowed=f"at most {digits} decimals")
