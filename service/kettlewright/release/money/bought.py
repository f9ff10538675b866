"""What is bought: packs of each ingredient, and the orders they make up."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from kettlewright.release.money.packs import Pack

__all__ = ["Bought", "BoughtPacks", "Purchases", "SupplierOrder"]


@dataclass(frozen=True, slots=True)
class BoughtPacks:
    """Packs of one kind to buy.

    Parameters
    ----------
    pack : Pack
        Which. [pack]
    count : int
        How many. [packs]
    cost : Decimal
        Of all of them. [currency]
    """

    pack: Pack
    count: int
    cost: Decimal


@dataclass(frozen=True, slots=True)
class Bought:
    """What is bought of one ingredient. at hand + bought = needed + left over, unless packs are missing.

    Parameters
    ----------
    key, name : str
        Which. [text]
    needed_g, at_hand_g, short_g : float
        All needs, stock at hand, and the shortage. [g]
    packs : tuple of BoughtPacks
        To buy, in the order given. [packs]
    bought_g, left_over_g : float
        In these packs; there when the needs are taken. [g]
    cost : Decimal, optional
        Of these packs; None if something is short and no pack of it is given. [currency]
    without_packs : bool
        Something is short and no pack of it is given. [yes or no]
    counted : bool
        By the count: all that is in grams above is in pieces. [yes or no]
    """

    key: str
    name: str
    needed_g: float
    at_hand_g: float
    short_g: float
    packs: tuple[BoughtPacks, ...]
    bought_g: float
    left_over_g: float
    cost: Decimal | None
    without_packs: bool
    counted: bool = False


@dataclass(frozen=True, slots=True)
class SupplierOrder:
    """One order.

    Parameters
    ----------
    name : str
        Of the supplier. [text]
    goods, shipping : Decimal
        Packs, and bringing them. [currency]
    """

    name: str
    goods: Decimal
    shipping: Decimal


@dataclass(frozen=True, slots=True)
class Purchases:
    """Everything to buy.

    Parameters
    ----------
    ingredients : tuple of Bought
        In the order of the needs. [g]
    orders : tuple of SupplierOrder
        Orders with suppliers whose terms are given. [currency]
    currency : str, optional
        ISO 4217; None if no pack is given. [key]
    goods, shipping, total : Decimal
        Of all. [currency]
    packs_count : int
        All packs. [packs]
    left_over_g : float
        Of all ingredients that are bought by mass. [g]
    proven_optimal : bool
        No cheaper way exists, none as cheap leaves less over, none of those takes fewer packs. [yes or no]
    """

    ingredients: tuple[Bought, ...]
    orders: tuple[SupplierOrder, ...]
    currency: str | None
    goods: Decimal
    shipping: Decimal
    total: Decimal
    packs_count: int
    left_over_g: float
    proven_optimal: bool
