"""Prices in a request, and what a batch and a bar cost."""

from __future__ import annotations

from decimal import Decimal
from types import MappingProxyType
from typing import Any, ClassVar

from kettlewright import limits
from kettlewright.api.door.fields import Choice, Flag, Mass, Number, Text, Whole
from kettlewright.api.door.responses import ResponsePart
from kettlewright.api.door.strict import ListOf, Part, Strict
from kettlewright.api.parts.coop import current_coop
from kettlewright.api.parts.own_fats import current_own_fats
from kettlewright.api.parts.prices import MoneyAmount, MoneyInput, PriceInput, amount_text, currency_text
from kettlewright.errors import Missing
from kettlewright.money import Money
from kettlewright.release import (
    TAX_SHOWN,
    Cost,
    CostLine,
    CostOptions,
    IngredientPrice,
    Labour,
    Packaging,
    PriceStep,
    SalesTax,
    Selling,
    SellingOptions,
    ShopFees,
)

__all__ = ["INGREDIENTS_MAX", "CostOfBatch", "PricesInput", "cost_result"]

INGREDIENTS_MAX = 300


class IngredientPriceInput(Strict):
    """The price of an ingredient."""

    builds = IngredientPrice

    key = Text(required=True, about="Key of the ingredient, `buy` of its row in the weigh list: of a fat, an acid, "
               "NaOH, KOH, water; for additions, powders and liquids a slug of the name; of a stock NaOH_stock or "
               "KOH_stock", example="olive")
    name = Text(about="For your own use", example="olive oil, 5 kg can")
    price = Part(PriceInput, required=True, about="Of the pack that you buy; 0 if it costs nothing")


class PiecesPriceInput(Strict):
    """The price of a pack of pieces."""

    amount = amount_text()
    currency = currency_text()
    per_count = Whole(required=True, bounds=limits.PIECES_COUNT, about="Pieces in it", unit="pieces", example=100)

    @staticmethod
    def builds(amount: str, currency: str, per_count: int) -> tuple[Money, int]:
        """The price, and the pieces."""
        return Money(Decimal(amount), currency), per_count


class PackagingInput(Strict):
    """What every bar that is sold is wrapped in."""

    exactly_one = (("per_bar", "price"),)
    needed_with = MappingProxyType({"per_bar_count": ("price",)})

    name = Text(required=True, about="What", example="paper band")
    per_bar = Part(MoneyInput, about="For one bar; this or the price of a pack")
    price = Part(PiecesPriceInput, about="Of a pack that is bought by the count")
    per_bar_count = Number(bounds=limits.PIECES_PER_BAR, about="Pieces of that pack that a bar takes; default 1",
                           unit="pieces", example=1)

    @staticmethod
    def builds(name: str, per_bar: Money | None = None, price: tuple[Money, int] | None = None,
               per_bar_count: float | None = None) -> Packaging:
        """What a bar is wrapped in."""
        if per_bar_count is not None and price is None:
            raise Missing('"per_bar_count" says how many pieces of a pack a bar takes: give the "price" of the '
                          "pack.", field=("per_bar_count",))
        pack, pieces = (None, None) if price is None else price
        return Packaging(name, per_bar, pack, pieces, 1.0 if per_bar_count is None else per_bar_count)


class LabourInput(Strict):
    """Work on one batch."""

    builds = Labour

    work_hours = Number(required=True, bounds=limits.WORK_HOURS, about="All work on the batch", unit="h", example=1.5)
    per_hour = Part(MoneyInput, required=True, about="What an hour costs")


class SalesTaxInput(Strict):
    """Tax on what is sold; local law says whether, and how much."""

    builds = SalesTax

    rate_pct = Number(required=True, bounds=limits.SALES_TAX_PCT, about="Rate", unit="% of net price", example=20)
    shown = Choice(TAX_SHOWN, about="included in the price on the tag (default), or added on_top at the till")


class ShopFeesInput(Strict):
    """What the shop, the marketplace or the card costs."""

    builds = ShopFees

    of_gross_pct = Number(bounds=limits.FEE_PCT, about="Share of what the customer pays, tax included; default 0",
                          unit="% of gross price", example=3)
    fixed_per_order = Part(MoneyInput, about="Of each order")
    bars_per_order = Number(bounds=limits.BARS_PER_ORDER, about="Bars in a usual order, which share its fixed fee; "
                            "default 1", unit="bars", example=3)


class PriceStepInput(Strict):
    """Prices that a tag may show; the price goes up to the next of them."""

    step = amount_text(about="Distance between two such prices", example="1")
    ends_on = amount_text(required=False, about="Added to each step: 0.90 with a step of 1 for 6.90, 7.90; default 0",
                          example="0.90")

    @staticmethod
    def builds(**given: str) -> PriceStep:
        """The step, exact."""
        return PriceStep(**{name: Decimal(text) for name, text in given.items()})


class SellingInput(Strict):
    """How the price of a bar is to be made: by margin, by markup, or both to compare."""

    builds = SellingOptions

    margin_pct = Number(bounds=limits.MARGIN_PCT, about="Profit as a share of the net price", unit="% of net price",
                        example=40)
    markup_pct = Number(bounds=limits.MARKUP_PCT, about="Profit as a share of the cost", unit="% of cost", example=40)
    sales_tax = Part(SalesTaxInput, about="None if not given")
    fees = Part(ShopFeesInput, about="None if not given")
    price_step = Part(PriceStepInput, about="The tag price is rounded up to it; without it, to the coin")


class PricesInput(Strict):
    """Everything about money that is requested with a batch, in one currency."""

    ingredients = ListOf(Part(IngredientPriceInput), at_most=INGREDIENTS_MAX, about="Prices of the ingredients; a fat "
                         "of own_fats may have its own")
    packaging = ListOf(Part(PackagingInput), at_most=40, about="Of each bar that is sold")
    labour = Part(LabourInput, about="Work on the batch")
    overhead_pct = Number(bounds=limits.OVERHEAD_PCT, about="On ingredients, packaging and labour together; default 0",
                          unit="% of their sum", example=15)
    bars_count = Whole(bounds=limits.BARS_COUNT, about="Bars made of the batch; leave it out if there is a cut. "
                       "Without either, each cavity is one bar", unit="bars", example=10)
    broken_pct = Number(bounds=limits.BROKEN_PCT, about="Bars that break or fail, over many batches; default 0",
                        unit="% of bars made", example=4)
    kept_back_count = Whole(bounds=limits.KEPT_BACK_COUNT, about="Good bars of a batch that are not sold; default 0",
                            unit="bars", example=1)
    selling = Part(SellingInput, about="If absent, only the cost is computed")

    @staticmethod
    def builds(**given: Any) -> CostOptions:
        """Cost options, with the prices that own fats bring along."""
        listed = given.pop("ingredients", ())
        known = {one.key for one in listed}
        own = [IngredientPrice(fat.key, fat.price, fat.name) for fat in current_own_fats.get().values()
               if fat.price is not None and fat.key not in known]
        options = CostOptions(ingredients=(*listed, *own), **given)
        use = current_coop.get()
        return options if use is None else use.with_prices(options)


class IngredientCost(ResponsePart):
    """What an ingredient costs."""

    key = Text(about="Its key", example="olive")
    name = Text(about="Its name", example="olive oil (virgin, refined)")
    mass_g = Mass(about="As weighed", example=500)
    cost = Part(MoneyAmount, about="Of it")
    share_pct = Number(about="Of all ingredients", unit="% of their cost", example=43.1)


class PortionCost(ResponsePart):
    """What a portion costs: its part of the pot, its additions, its powder; ingredients only."""

    key = Text(about="Of the portion", example="deep_red")
    name = Text(about="Its name", example="deep red")
    cost = Part(MoneyAmount, about="Of its ingredients")
    share_pct = Number(about="Of all ingredients", unit="% of their cost", example=31.5)


class Unpriced(ResponsePart):
    """An ingredient without a price."""

    key = Text(about="Its key", example="castor")
    name = Text(about="Its name", example="castor oil")
    mass_g = Mass(about="As weighed", example=50)


class CostParts(ResponsePart):
    """What a cost is made of."""

    ingredients = Part(MoneyAmount, about="Everything that goes in and has a price")
    packaging = Part(MoneyAmount, about="Of the bars that are sold")
    labour = Part(MoneyAmount, about="Work")
    overhead = Part(MoneyAmount, about="On these three")
    total = Part(MoneyAmount, about="All of it")


class GoodBars(ResponsePart):
    """Bars of a batch, over many batches: they may be fractions."""

    made = Number(about="Cut, or one per cavity", unit="bars", example=60)
    broken = Number(about="Broken or failed", unit="bars", example=2.4)
    kept_back = Number(about="Good, but not sold", unit="bars", example=1)
    good = Number(about="Sold; they carry the cost of all", unit="bars", example=56.6)


class SellingPriceResult(ResponsePart):
    """A price of a bar and what is left of it: net + sales_tax = gross, cost + fees + profit = net."""

    by = Choice(["margin", "markup"], about="What you gave")
    asked_pct = Number(about="Of it", unit="% of net price, or % of cost", example=40)
    net_exact = Part(MoneyAmount, about="The net price that leaves exactly that")
    tag = Part(MoneyAmount, about="On the tag: with tax if it is included, without if it is added on top")
    gross = Part(MoneyAmount, about="What the customer pays for the bar")
    net = Part(MoneyAmount, about="Without tax")
    sales_tax = Part(MoneyAmount, about="Tax in the gross price")
    fees = Part(MoneyAmount, about="Fees of shop and card, and the bar's share of the fee for the order")
    cost = Part(MoneyAmount, about="Of the bar")
    profit = Part(MoneyAmount, about="What is left; below 0 a loss")
    margin_pct = Number(allow_none=True, signed=True, about="What the tag really leaves; null if the price is 0",
                        unit="% of net price", example=40.2)
    markup_pct = Number(allow_none=True, signed=True, about="The same; null if the bar costs nothing",
                        unit="% of cost", example=67.2)
    batch_gross = Part(MoneyAmount, about="What customers pay for all good bars of a batch")
    batch_profit = Part(MoneyAmount, about="What is left of it")


class CostOfBatch(ResponsePart):
    """What a batch and a bar cost. Amounts that are calculated are given two digits finer than the coin."""

    omitted: ClassVar[tuple[str, ...]] = ("residue",)

    currency = Text(about="Of every amount, ISO 4217", example="EUR")
    complete = Flag(about="Everything had a price; else the cost is too low, and no selling price is given",
                    example=True)
    missing = ListOf(Part(Unpriced), about="What had no price")
    ingredients = ListOf(Part(IngredientCost), about="The dearest first")
    portions = ListOf(Part(PortionCost), about="The dearest first; empty for rows")
    residue = Part(MoneyAmount, about="Ingredients that stay behind in the pot; left out for rows")
    batch = Part(CostParts, about="Of the batch")
    bar = Part(CostParts, about="Of one bar that is sold")
    bars = Part(GoodBars, about="Bars that carry the cost")
    selling = ListOf(Part(SellingPriceResult), about="By margin, by markup, or both; empty if not requested, or if a "
                                                     "price is missing")


_OF_SELLING = ("net_exact", "tag", "gross", "net", "sales_tax", "fees", "cost", "profit", "batch_gross", "batch_profit")


def cost_result(cost: Cost) -> dict[str, Any]:
    """A cost as `CostOfBatch` dumps it, its currency beside each amount (`cost`). [currency]"""
    def money(amount: Decimal) -> Money:
        return Money(amount, cost.currency)

    def line(one: CostLine) -> dict[str, Any]:
        return {"key": one.key, "name": one.name, "mass_g": one.mass_g, "cost": money(one.cost),
                "share_pct": one.share_pct}

    def price(one: Selling) -> dict[str, Any]:
        return {"by": one.by, "asked_pct": one.asked_pct, "margin_pct": one.margin_pct, "markup_pct": one.markup_pct,
                **{name: money(getattr(one, name)) for name in _OF_SELLING}}

    use = current_coop.get()
    if use is not None:
        use.note_prices(one.key for one in cost.ingredients)
    return {"currency": cost.currency, "complete": cost.complete, "missing": cost.missing,
            "ingredients": [line(one) for one in cost.ingredients], "portions": [line(one) for one in cost.portions],
            "residue": None if cost.residue is None else money(cost.residue),
            "batch": {name: money(amount) for name, amount in cost.batch.items()},
            "bar": {name: money(amount) for name, amount in cost.bar.items()},
            "bars": {name: float(getattr(cost, name)) for name in ("made", "broken", "kept_back", "good")},
            "selling": [price(one) for one in cost.selling]}

