"""Response of /v1/purchases."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any, ClassVar

from kettlewright.api.door.fields import Flag, Mass, Text, Whole
from kettlewright.api.door.responses import ResponsePart
from kettlewright.api.door.strict import ListOf, Part
from kettlewright.api.parts.envelope import BaseResponse
from kettlewright.api.parts.prices import MoneyAmount
from kettlewright.money import Money
from kettlewright.release import Bought, Purchases

__all__ = ["PurchasesResponse", "purchases_result"]


class PurchasedPacks(ResponsePart):
    """Packs of one kind to buy."""

    omitted = ("supplier", "name")

    mass_g = Mass(about="In one pack", example=5000)
    name = Text(about="As given; left out if not", example="olive oil, 5 kg can")
    supplier = Text(about="As given; left out if not", example="the mill")
    count = Whole(about="How many to buy", unit="packs", example=1)
    price = Part(MoneyAmount, about="Of one pack")
    cost = Part(MoneyAmount, about="Of all of them")


class PurchasedIngredient(ResponsePart):
    """What is bought of one ingredient: at_hand + bought = needed + left over, unless packs are missing."""

    key = Text(about="Its key", example="olive")
    name = Text(about="Its name", example="olive oil")
    needed_mass_g = Mass(about="All needs", example=7300)
    at_hand_mass_g = Mass(about="What you have", example=0)
    short_mass_g = Mass(about="What is short of the needs", example=7300)
    packs = ListOf(Part(PurchasedPacks), about="To buy; empty if nothing is short, or no pack was given")
    bought_mass_g = Mass(about="In these packs", example=8000)
    left_over_mass_g = Mass(about="Left when the needs are met", example=700)
    cost = Part(MoneyAmount, allow_none=True, about="Of these packs; null if something is short and no pack of it "
                "was given")


class PiecePacks(ResponsePart):
    """Packs of one kind to buy, of what is counted."""

    omitted = ("supplier", "name")

    pieces_count = Whole(about="In one pack", unit="pieces", example=100)
    name = Text(about="As given; left out if not", example="paper bands, 100")
    supplier = Text(about="As given; left out if not", example="the mill")
    count = Whole(about="How many to buy", unit="packs", example=2)
    price = Part(MoneyAmount, about="Of one pack")
    cost = Part(MoneyAmount, about="Of all of them")


class PurchasedPieces(ResponsePart):
    """What is bought of something by the count: at hand + bought = needed + left over, unless packs are missing."""

    key = Text(about="Its key", example="paper_band")
    name = Text(about="Its name", example="paper band")
    needed_count = Whole(about="What is needed", unit="pieces", example=120)
    at_hand_count = Whole(about="What you have", unit="pieces", example=20)
    short_count = Whole(about="What is short of the needs", unit="pieces", example=100)
    packs = ListOf(Part(PiecePacks), about="To buy; empty if nothing is short, or no pack was given")
    bought_count = Whole(about="In these packs", unit="pieces", example=100)
    left_over_count = Whole(about="Left when the needs are met", unit="pieces", example=0)
    cost = Part(MoneyAmount, allow_none=True, about="Of these packs; null if something is short and no pack of it "
                "was given")


class SupplierOrder(ResponsePart):
    """One order."""

    name = Text(about="Of the supplier", example="the mill")
    goods = Part(MoneyAmount, about="Cost of the packs")
    shipping = Part(MoneyAmount, about="Cost of shipping")


class Unpacked(ResponsePart):
    """Something short that no pack was given of, by mass or by the count."""

    omitted = ("mass", "count")

    key = Text(about="Its key", example="castor")
    name = Text(about="Its name", example="castor oil")
    mass_g = Mass(about="What is short", example=50)
    count = Whole(about="What is short", unit="pieces", example=50)


class BatchesToMake(ResponsePart):
    """How often a batch is made."""

    batches_count = Whole(about="As given, or as the order of bars needs", unit="batches", example=13)


class PurchasesResponse(BaseResponse):
    """What to buy."""

    omitted: ClassVar[tuple[str, ...]] = ("batches",)

    ingredients = ListOf(Part(PurchasedIngredient), about="By mass, in the order of the needs")
    counted = ListOf(Part(PurchasedPieces), about="By the count, in the order of the needs")
    missing = ListOf(Part(Unpacked), about="Short, but without a pack: not in the cost")
    complete = Flag(about="Everything that is short can be bought", example=True)
    orders = ListOf(Part(SupplierOrder), about="By supplier, where terms were given")
    goods = Part(MoneyAmount, allow_none=True, about="All packs; null if none was given")
    shipping = Part(MoneyAmount, allow_none=True, about="For all orders")
    cost = Part(MoneyAmount, allow_none=True, about="Goods and shipping: the least there is")
    packs_count = Whole(about="All packs", unit="packs", example=4)
    left_over_mass_g = Mass(about="Of all ingredients that are bought", example=700)
    proven_optimal = Flag(about="Nothing cheaper exists, nothing as cheap leaves less over, none of those has fewer "
                          "packs; else nothing better was found within the limit of the search", example=True)
    batches = ListOf(Part(BatchesToMake), about="Where batches were given, in their order")


def purchases_result(found: Purchases, times: Sequence[int]) -> dict[str, Any]:
    """Purchases as `PurchasesResponse` dumps them (`found` [currency, g]; `times`: of each batch). [currency, g]"""
    def money(amount: Decimal | None) -> Money | None:
        return None if found.currency is None or amount is None else Money(amount, found.currency)

    def line(one: Bought) -> dict[str, Any]:
        return {"key": one.key, "name": one.name, "needed_mass_g": one.needed_g, "at_hand_mass_g": one.at_hand_g,
                "short_mass_g": one.short_g, "bought_mass_g": one.bought_g, "left_over_mass_g": one.left_over_g,
                "cost": money(one.cost),
                "packs": [{"mass_g": packs.pack.price.per_mass_g, "name": packs.pack.name,
                           "supplier": packs.pack.supplier, "count": packs.count, "cost": money(packs.cost),
                           "price": packs.pack.price} for packs in one.packs]}

    def counted(one: Bought) -> dict[str, Any]:
        made = line(one)
        return {"key": one.key, "name": one.name, "needed_count": one.needed_g, "at_hand_count": one.at_hand_g,
                "short_count": one.short_g, "bought_count": one.bought_g, "left_over_count": one.left_over_g,
                "cost": made["cost"],
                "packs": [{**packs, "pieces_count": packs["mass_g"]} for packs in made["packs"]]}

    without = [one for one in found.ingredients if one.without_packs]
    return {"ingredients": [line(one) for one in found.ingredients if not one.counted],
            "counted": [counted(one) for one in found.ingredients if one.counted], "complete": not without,
            "missing": [{"key": one.key, "name": one.name, "mass_g": None if one.counted else one.short_g,
                         "count": one.short_g if one.counted else None} for one in without],
            "orders": [{"name": order.name, "goods": money(order.goods), "shipping": money(order.shipping)}
                       for order in found.orders],
            "goods": money(found.goods), "shipping": money(found.shipping), "cost": money(found.total),
            "packs_count": found.packs_count, "left_over_mass_g": found.left_over_g,
            "proven_optimal": found.proven_optimal,
            "batches": [{"batches_count": count} for count in times] or None}

