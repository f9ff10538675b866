"""Costs, prices and packs against figures worked out by hand, and currencies against the standard's list."""

from __future__ import annotations

from decimal import Decimal

import pytest
from kettlewright.money import Money, coin_digits
from kettlewright.prices import Price
from kettlewright.release import (
    CostOptions,
    CostRow,
    IngredientPrice,
    Labour,
    Need,
    Pack,
    Packaging,
    SellingOptions,
    batches_for,
    choose_purchases,
    cost_of,
)

# Worked by hand, own figures: 500 g at 6.40, 300 g at 4.90, 200 g at 5.10, 146.4 g at 3.20, 30 g at 42.00 a kilogram
# are 3.20 + 1.47 + 1.02 + 0.46848 + 1.26 = 7.41848.
ROWS = [CostRow("olive", "olive oil", 500), CostRow("coconut", "coconut oil", 300), CostRow("palm", "palm oil", 200),
        CostRow("NaOH", "sodium hydroxide", 146.4), CostRow("scent", "scent", 30)]
PRICES = tuple(IngredientPrice(key, Price(amount, "EUR", 1000)) for key, amount in (
    ("olive", "6.40"), ("coconut", "4.90"), ("palm", "5.10"), ("NaOH", "3.20"), ("scent", "42.00")))


def test_ingredients_cost_what_they_weigh_times_the_price_of_a_gram() -> None:
    found = cost_of(ROWS, CostOptions(PRICES), bars_count=10)
    assert str(found.batch["ingredients"]) == "7.4185"  # 7.41848
    assert [(line.key, str(line.cost)) for line in found.ingredients] == [
        ("olive", "3.2000"), ("coconut", "1.4700"), ("scent", "1.2600"), ("palm", "1.0200"), ("NaOH", "0.4685")]


def test_a_batch_a_bar_and_its_price_by_margin_and_by_markup() -> None:
    # (7.41848 + 10 x 0.35 + 1.5 h x 18.00) x 1.15 = 43.606252; a tenth of it 4.3606; / 0.6 = 7.2677; x 1.4 = 6.1049
    options = CostOptions(PRICES, packaging=(Packaging("band", Money(Decimal("0.35"), "EUR")),),
                        labour=Labour(1.5, Money(Decimal("18.00"), "EUR")), overhead_pct=15,
                        selling=SellingOptions(margin_pct=40, markup_pct=40))
    found = cost_of(ROWS, options, bars_count=10)
    assert str(found.batch["total"]) == "43.6063"
    assert str(found.bar["total"]) == "4.3606"
    margin, markup = found.selling
    assert (margin.by, str(margin.net_exact), str(margin.tag)) == ("margin", "7.2677", "7.27")
    assert (markup.by, str(markup.net_exact), str(markup.tag)) == ("markup", "6.1049", "6.10")
    # 40 % margin is 66.7 % markup; of the tag, 7.27 / 4.3606252 - 1 = 0.66719
    assert margin.markup_pct == pytest.approx(66.719, abs=1e-3)
    assert markup.margin_pct == pytest.approx(28.514, abs=1e-3)


@pytest.mark.parametrize(("need_g", "packs", "counts", "cost", "left_over_g"), [
    # two cans of 5 kg would be 70.00
    (7300, [("9.00", 1000), ("35.00", 5000)], [3, 1], "62.00", 700),
    (2600, [("6.20", 500), ("10.50", 1000), ("24.00", 2500)], [1, 0, 1], "30.20", 400),
    (11200, [("8.50", 1000), ("30.00", 4000), ("70.00", 10000)], [2, 0, 1], "87.00", 800),
    # by the price of a gram one would take the pack of 4 and two of 1, for 10.00
    (6, [("2.00", 1), ("6.00", 4), ("4.20", 3)], [0, 0, 2], "8.40", 0)])
def test_packs_worked_out_by_hand(need_g: float, packs: list[tuple[str, float]], counts: list[int], cost: str,
                                  left_over_g: float) -> None:
    found = choose_purchases([Need("oil", "oil", need_g)], [Pack("oil", Price(amount, "EUR", mass))
                                                           for amount, mass in packs])
    bought = {row.pack.price.per_mass_g: row.count for row in found.ingredients[0].packs}
    assert [bought.get(mass, 0) for _, mass in packs] == counts
    assert str(found.total) == cost
    assert found.left_over_g == left_over_g
    assert found.proven_optimal


@pytest.mark.parametrize(("wanted", "per_batch", "broken", "batches"), [
    (120, 10, 5, 13),  # 12.63
    (500, 36, 4, 15),  # 14.47
    (190, 10, 5, 20), (191, 10, 5, 21), (10, 10, 0, 1), (1, 10, 0, 1),
    (21, 10, 30, 3)])  # in binary numbers 21 / (10 x (1 - 0.3)) is above 3
def test_batches_for_an_order_of_bars(wanted: int, per_batch: int, broken: float, batches: int) -> None:
    assert batches_for(wanted, per_batch, broken_pct=broken) == batches


@pytest.mark.parametrize(("currency", "digits"), [
    # ISO 4217, list one, minor units; from memory
    ("EUR", 2), ("GBP", 2), ("USD", 2), ("CHF", 2), ("HUF", 2), ("JPY", 0), ("KRW", 0), ("ISK", 0), ("BHD", 3),
    ("KWD", 3), ("TND", 3), ("CLF", 4)])
def test_the_smallest_coin_is_that_of_the_standard(currency: str, digits: int) -> None:
    assert coin_digits(currency) == digits
