"""Replies of `costs` and `purchases`. Amounts are decimal text: `Decimal(cost.bar.total.amount)` is exact."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from kettlewright_client.results.ground import Reply

__all__ = ["Bought", "Cost", "CostLine", "CostParts", "Costs", "Counted", "CountedPacks", "GoodBars", "Money", "Packs",
           "PortionCost", "Purchases", "Selling", "SupplierOrder", "TimesMade", "Unpacked", "Unpriced"]


@dataclass(frozen=True, kw_only=True)
class Money:
    """An amount of money."""

    amount: str
    currency: str

    @property
    def decimal(self) -> Decimal:
        """The exact amount."""
        return Decimal(self.amount)

    def __str__(self) -> str:
        return f"{self.amount} {self.currency}"


@dataclass(frozen=True, kw_only=True)
class CostLine:
    """Cost of an ingredient."""

    key: str
    name: str
    mass: float
    cost: Money
    share_pct: float


@dataclass(frozen=True, kw_only=True)
class PortionCost:
    """Cost of a portion."""

    key: str
    name: str
    cost: Money
    share_pct: float


@dataclass(frozen=True, kw_only=True)
class Unpriced:
    """An item without a price or pack."""

    key: str
    name: str
    mass: float


@dataclass(frozen=True, kw_only=True)
class CostParts:
    """Parts of a cost."""

    ingredients: Money
    packaging: Money
    labour: Money
    overhead: Money
    total: Money


@dataclass(frozen=True, kw_only=True)
class GoodBars:
    """Bars of a batch."""

    made: float
    broken: float
    kept_back: float
    good: float


@dataclass(frozen=True, kw_only=True)
class Selling:
    """A price of a bar, and the profit it leaves."""

    by: str
    asked_pct: float
    net_exact: Money
    tag: Money
    gross: Money
    net: Money
    sales_tax: Money
    fees: Money
    cost: Money
    profit: Money
    margin_pct: float | None
    markup_pct: float | None
    batch_gross: Money
    batch_profit: Money


@dataclass(frozen=True, kw_only=True)
class Cost:
    """Cost of a batch and a bar."""

    currency: str
    complete: bool
    missing: tuple[Unpriced, ...]
    ingredients: tuple[CostLine, ...]
    portions: tuple[PortionCost, ...]
    batch: CostParts
    bar: CostParts
    bars: GoodBars
    selling: tuple[Selling, ...]
    residue: Money | None = None


@dataclass(frozen=True, kw_only=True)
class Costs(Reply):
    """Reply of `costs`."""

    cost: Cost


@dataclass(frozen=True, kw_only=True)
class Packs:
    """Packs of one kind to buy."""

    mass: float
    count: int
    price: Money
    cost: Money
    name: str | None = None
    supplier: str | None = None


@dataclass(frozen=True, kw_only=True)
class Bought:
    """Purchases of one ingredient."""

    key: str
    name: str
    needed_mass: float
    at_hand_mass: float
    short_mass: float
    packs: tuple[Packs, ...]
    bought_mass: float
    left_over_mass: float
    cost: Money | None


@dataclass(frozen=True, kw_only=True)
class CountedPacks:
    """Packs of one kind to buy, of an item that is counted."""

    pieces_count: int
    count: int
    price: Money
    cost: Money
    name: str | None = None
    supplier: str | None = None


@dataclass(frozen=True, kw_only=True)
class Counted:
    """Purchases of an item that is counted."""

    key: str
    name: str
    needed_count: int
    at_hand_count: int
    short_count: int
    packs: tuple[CountedPacks, ...]
    bought_count: int
    left_over_count: int
    cost: Money | None


@dataclass(frozen=True, kw_only=True)
class Unpacked:
    """An item that is short and has no pack, by mass or count."""

    key: str
    name: str
    mass: float | None = None
    count: int | None = None


@dataclass(frozen=True, kw_only=True)
class SupplierOrder:
    """One order."""

    name: str
    goods: Money
    shipping: Money


@dataclass(frozen=True, kw_only=True)
class TimesMade:
    """How often a batch is made."""

    batches_count: int


@dataclass(frozen=True, kw_only=True)
class Purchases(Reply):
    """Reply of `purchases`."""

    ingredients: tuple[Bought, ...]
    counted: tuple[Counted, ...] = ()
    missing: tuple[Unpacked, ...]
    complete: bool
    orders: tuple[SupplierOrder, ...]
    goods: Money | None
    shipping: Money | None
    cost: Money | None
    packs_count: int
    left_over_mass: float
    proven_optimal: bool
    batches: tuple[TimesMade, ...] = ()
