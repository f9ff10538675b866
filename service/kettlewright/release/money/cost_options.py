"""Costs given with a batch: prices of ingredients, packaging, work, losses, and how to price a bar."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal

from kettlewright import limits
from kettlewright.errors import DomainError, Missing, check_either, gather, repeated
from kettlewright.money import Money, decimal_of, one_currency
from kettlewright.prices import Price
from kettlewright.release.money.selling import SellingOptions

__all__ = ["CostOptions", "CostRow", "IngredientPrice", "Labour", "Packaging", "PortionOfPot"]


@dataclass(frozen=True, slots=True)
class CostRow:
    """Something that goes into the batch.

    Parameters
    ----------
    key, name : str
        What; rows of one key are one ingredient. [text]
    mass_g : float
        How much, as weighed. [g]
    portion : str, optional
        Key of the only portion it goes into; without one it is in the pot, and all portions share it. [key]
    price : Price, optional
        ResponsePart with the ingredient itself; the list of prices goes before it. [currency]
    """

    key: str
    name: str
    mass_g: float
    portion: str | None = None
    price: Price | None = None


@dataclass(frozen=True, slots=True)
class PortionOfPot:
    """A portion that shares what is in the pot.

    Parameters
    ----------
    key, name : str
        Of the portion. [text]
    pot_mass_g : float
        What it takes from the pot. [g]
    """

    key: str
    name: str
    pot_mass_g: float


@dataclass(frozen=True, slots=True)
class IngredientPrice:
    """The price of an ingredient, of the pack that is really bought.

    Parameters
    ----------
    key : str
        Of the ingredient. [key]
    price : Price
        Price of the pack; 0 if it is free. [currency]
    name : str, optional
        For the maker's eyes. [text]
    """

    key: str
    price: Price
    name: str | None = None


@dataclass(frozen=True, slots=True)
class Labour:
    """Work on one batch.

    Parameters
    ----------
    work_hours : float
        All of it. [h]
    per_hour : Money
        What an hour costs. [currency]
    """

    work_hours: float
    per_hour: Money

    def __post_init__(self) -> None:
        limits.WORK_HOURS.check(self.work_hours, "work_hours")


@dataclass(frozen=True, slots=True)
class Packaging:
    """Something every bar that is sold is wrapped in.

    Parameters
    ----------
    name : str
        What. [text]
    per_bar : Money, optional
        For one bar. [currency]
    pack : Money, optional
        Instead of it, for a pack. [currency]
    pack_count : int, optional
        Pieces in that pack. [pieces]
    per_bar_count : float
        Pieces that a bar takes. [pieces]

    Raises
    ------
    DomainError : both or neither of a bar's and a pack's price.
    """

    name: str
    per_bar: Money | None = None
    pack: Money | None = None
    pack_count: int | None = None
    per_bar_count: float = 1.0

    def __post_init__(self) -> None:
        check_either(self.per_bar, self.pack, 'Give either "per_bar" or the "price" of a pack with "per_count"',
                     field=("per_bar",))

    @property
    def money(self) -> Money:
        """The price as given. [currency]"""
        found = self.per_bar or self.pack
        assert found is not None
        return found

    @property
    def amount_per_bar(self) -> Decimal:
        """What it costs for one bar, exact. [currency]"""
        if self.pack_count is None:
            return self.money.amount
        return self.money.amount * decimal_of(self.per_bar_count) / self.pack_count


@dataclass(frozen=True, slots=True)
class CostOptions:
    """The cost request of a batch.

    Parameters
    ----------
    ingredients : tuple of IngredientPrice
        Each key once. [currency]
    packaging : tuple of Packaging
        Of each bar that is sold. [currency]
    labour : Labour, optional
        None where not given. [currency]
    overhead_pct : float
        On ingredients, packaging and labour together. [%]
    bars_count : int, optional
        Bars of a batch, if there is no cut. [bars]
    broken_pct : float
        Of the bars made, over many batches. [%]
    kept_back_count : int
        Good bars of a batch that are not sold: samples, one for the shelf. [bars]
    selling : SellingOptions, optional
        Only the cost where not given. [%]

    Raises
    ------
    DomainErrors, DomainError : a key twice, several currencies, no price at all, values out of bounds.
    """

    ingredients: tuple[IngredientPrice, ...] = ()
    packaging: tuple[Packaging, ...] = ()
    labour: Labour | None = None
    overhead_pct: float = 0.0
    bars_count: int | None = None
    broken_pct: float = 0.0
    kept_back_count: int = 0
    selling: SellingOptions | None = None

    def __post_init__(self) -> None:
        with gather() as checks:
            for index in repeated(one.key for one in self.ingredients):
                with checks.at("ingredients", index, "key"):
                    key = self.ingredients[index].key
                    raise DomainError(f'"{key}" appears twice: give one price, that of the pack you buy.', value=key)
            limits.check_each(self, checks, overhead_pct=limits.OVERHEAD_PCT, broken_pct=limits.BROKEN_PCT,
                              kept_back_count=limits.KEPT_BACK_COUNT)
            with checks.at():
                one_currency(self._currencies())

    @property
    def currencies(self) -> frozenset[str]:
        """Of all prices; one, or none without a price. [keys]"""
        return frozenset(self._currencies())

    def _currencies(self) -> Iterator[str]:
        yield from (one.price.currency for one in self.ingredients)
        yield from (one.money.currency for one in self.packaging)
        if self.labour is not None:
            yield self.labour.per_hour.currency
        fees = None if self.selling is None else self.selling.fees
        if fees is not None and fees.fixed_per_order is not None:
            yield fees.fixed_per_order.currency

    def currency_of(self, rows: Iterable[CostRow]) -> str:
        """The one currency of all prices, those of the rows included (`rows`). [key]

        Raises
        ------
        Unsolvable, DomainError : more than one, or none.
        """
        of_rows = [row.price.currency for row in rows if row.price is not None]
        found = one_currency((*self._currencies(), *of_rows))
        if found is None:
            raise Missing("No price is given: give the price of at least one ingredient.", field=("ingredients",))
        return found
