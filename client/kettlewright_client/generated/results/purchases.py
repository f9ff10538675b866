"""Reply of `purchases`. Written by `make contract` from openapi.yaml; do not edit."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal, overload

from kettlewright_client.generated.results.batches import Money
from kettlewright_client.generated.results.shared import Reply
from kettlewright_client.record import Record

__all__ = ["BatchesToMake", "PiecePacks", "PurchasedIngredient", "PurchasedPacks", "PurchasedPieces", "Purchases",
           "SupplierOrder", "Unpacked"]


@dataclass(frozen=True, kw_only=True, repr=False)
class PurchasedPacks(Record):
    """`packs[]` of `PurchasedIngredient` (To buy; empty if nothing is short, or no pack was given)."""

    mass: float
    """In one pack. Unit: `units.mass`, g if not set."""

    name: str | None = None
    """As given; left out if not."""

    supplier: str | None = None
    """As given; left out if not."""

    count: int
    """How many to buy. Unit: packs."""

    price: Money
    """Of one pack."""

    cost: Money
    """Of all of them."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["name"]) -> str: ...
        @overload
        def need(self, part: Literal["supplier"]) -> str: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class PurchasedIngredient(Record):
    """`ingredients[]` of `Purchases` (By mass, in the order of the needs)."""

    key: str
    """Its key."""

    name: str
    """Its name."""

    needed_mass: float
    """All needs. Unit: `units.mass`, g if not set."""

    at_hand_mass: float
    """What you have. Unit: `units.mass`, g if not set."""

    short_mass: float
    """What is short of the needs. Unit: `units.mass`, g if not set."""

    packs: tuple[PurchasedPacks, ...]
    """To buy; empty if nothing is short, or no pack was given."""

    bought_mass: float
    """In these packs. Unit: `units.mass`, g if not set."""

    left_over_mass: float
    """Left when the needs are met. Unit: `units.mass`, g if not set."""

    cost: Money | None
    """Of these packs; null if something is short and no pack of it was given."""

    if TYPE_CHECKING:
        def need(self, part: Literal["cost"]) -> Money: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class PiecePacks(Record):
    """`packs[]` of `PurchasedPieces` (To buy; empty if nothing is short, or no pack was given)."""

    pieces_count: int
    """In one pack. Unit: pieces."""

    name: str | None = None
    """As given; left out if not."""

    supplier: str | None = None
    """As given; left out if not."""

    count: int
    """How many to buy. Unit: packs."""

    price: Money
    """Of one pack."""

    cost: Money
    """Of all of them."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["name"]) -> str: ...
        @overload
        def need(self, part: Literal["supplier"]) -> str: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class PurchasedPieces(Record):
    """`counted[]` of `Purchases` (By the count, in the order of the needs)."""

    key: str
    """Its key."""

    name: str
    """Its name."""

    needed_count: int
    """What is needed. Unit: pieces."""

    at_hand_count: int
    """What you have. Unit: pieces."""

    short_count: int
    """What is short of the needs. Unit: pieces."""

    packs: tuple[PiecePacks, ...]
    """To buy; empty if nothing is short, or no pack was given."""

    bought_count: int
    """In these packs. Unit: pieces."""

    left_over_count: int
    """Left when the needs are met. Unit: pieces."""

    cost: Money | None
    """Of these packs; null if something is short and no pack of it was given."""

    if TYPE_CHECKING:
        def need(self, part: Literal["cost"]) -> Money: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class Unpacked(Record):
    """`missing[]` of `Purchases` (Short, but without a pack: not in the cost)."""

    key: str
    """Its key."""

    name: str
    """Its name."""

    mass: float | None = None
    """What is short. Unit: `units.mass`, g if not set."""

    count: int | None = None
    """What is short. Unit: pieces."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["mass"]) -> float: ...
        @overload
        def need(self, part: Literal["count"]) -> int: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class SupplierOrder(Record):
    """`orders[]` of `Purchases` (By supplier, where terms were given)."""

    name: str
    """Of the supplier."""

    goods: Money
    """Cost of the packs."""

    shipping: Money
    """Cost of shipping."""


@dataclass(frozen=True, kw_only=True, repr=False)
class BatchesToMake(Record):
    """`batches[]` of `Purchases` (Where batches were given, in their order)."""

    batches_count: int
    """As given, or as the order of bars needs. Unit: batches."""


@dataclass(frozen=True, kw_only=True, repr=False)
class Purchases(Reply):
    """Reply of `purchases`: which packs to buy for what you need."""

    ingredients: tuple[PurchasedIngredient, ...]
    """By mass, in the order of the needs."""

    counted: tuple[PurchasedPieces, ...]
    """By the count, in the order of the needs."""

    missing: tuple[Unpacked, ...]
    """Short, but without a pack: not in the cost."""

    complete: bool
    """Everything that is short can be bought."""

    orders: tuple[SupplierOrder, ...]
    """By supplier, where terms were given."""

    goods: Money | None
    """All packs; null if none was given."""

    shipping: Money | None
    """For all orders."""

    cost: Money | None
    """Goods and shipping: the least there is."""

    packs_count: int
    """All packs. Unit: packs."""

    left_over_mass: float
    """Of all ingredients that are bought. Unit: `units.mass`, g if not set."""

    proven_optimal: bool
    """Nothing cheaper exists, nothing as cheap leaves less over, none of those has fewer packs; else nothing better was
    found within the limit of the search.
    """

    batches: tuple[BatchesToMake, ...] = ()
    """Where batches were given, in their order."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["goods"]) -> Money: ...
        @overload
        def need(self, part: Literal["shipping"]) -> Money: ...
        @overload
        def need(self, part: Literal["cost"]) -> Money: ...
        def need(self, part: str) -> Any: ...
