"""Costs: every gram counted once, nothing free by accident, parts that add up, prices that leave what was asked."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from kettlewright.errors import DomainError, Faults
from kettlewright.money import Money
from kettlewright.prices import Price
from kettlewright.release import (
    Bucket,
    Cost,
    CostRow,
    CostWishes,
    IngredientPrice,
    Labour,
    Packaging,
    PriceStep,
    SalesTax,
    SellingWish,
    ShopFees,
    cost_of,
    sell,
)

PARTS = ("ingredients", "packaging", "labour", "overhead")


def eur(amount: str) -> Money:
    return Money(Decimal(amount), "EUR")


def priced(key: str, amount: str, per_mass_g: float = 1000.0, currency: str = "EUR") -> IngredientPrice:
    return IngredientPrice(key, Price(amount, currency, per_mass_g))


money = st.decimals(0, 10_000, places=2).map(str)
masses = st.integers(1, 10 ** 7).map(lambda steps: steps / 10)


@st.composite
def batches(draw: st.DrawFn) -> tuple[list[CostRow], CostWishes, dict[str, Any]]:
    keys = [f"key_{index}" for index in range(draw(st.integers(1, 6)))]
    buckets = [Bucket(f"portion_{index}", f"portion {index}", draw(masses)) for index in range(draw(st.integers(0, 4)))]
    places = st.sampled_from([None, *(bucket.key for bucket in buckets)])
    rows = [CostRow(key, key, draw(masses), draw(places)) for key in keys for _ in range(draw(st.integers(1, 2)))]
    wishes = CostWishes(
        tuple(priced(key, draw(money), draw(masses)) for key in keys), packaging=(Packaging("band", eur(draw(money))),),
        labour=Labour(draw(st.integers(0, 100)) / 4, eur(draw(money))), overhead_pct=draw(st.integers(0, 400)) / 8,
        broken_pct=draw(st.integers(0, 50)) / 2, kept_back_count=draw(st.integers(0, 2)))
    return rows, wishes, {"bars_count": draw(st.integers(5, 200)), "buckets": buckets,
                          "residue_g": draw(masses) if buckets else 0.0}


@given(batches())
def test_parts_add_up_to_the_whole_everywhere(batch: tuple[list[CostRow], CostWishes, dict[str, Any]]) -> None:
    rows, wishes, more = batch
    found = cost_of(rows, wishes, **more)
    for told in (found.batch, found.bar):
        assert sum(told[part] for part in PARTS) == told["total"]
    assert sum(line.cost for line in found.ingredients) == found.batch["ingredients"]
    if more["buckets"]:
        assert found.residue is not None
        assert sum(line.cost for line in found.portions) + found.residue == found.batch["ingredients"]
        assert {line.key for line in found.portions} == {bucket.key for bucket in more["buckets"]}
    else:
        assert found.portions == ()
        assert found.residue is None
    assert found.made == found.good + found.broken + found.kept_back
    for lines in (found.ingredients, found.portions):
        costs = [line.cost for line in lines]
        assert all(one + Decimal("0.0001") >= next_one for one, next_one in pairwise(costs))


@given(batches())
def test_the_cost_is_that_of_an_independent_computation_in_fractions(
        batch: tuple[list[CostRow], CostWishes, dict[str, Any]]) -> None:
    rows, wishes, more = batch
    found = cost_of(rows, wishes, **more)
    prices = {one.key: Fraction(one.price.amount) / Fraction(str(one.price.per_mass_g)) for one in wishes.ingredients}
    ingredients = sum((Fraction(str(row.mass_g)) * prices[row.key] for row in rows), Fraction(0))
    good = more["bars_count"] * (1 - Fraction(str(wishes.broken_pct)) / 100) - wishes.kept_back_count
    assert wishes.labour is not None
    before = (ingredients + good * Fraction(wishes.packaging[0].per_bar.amount)
              + Fraction(str(wishes.labour.work_hours)) * Fraction(wishes.labour.per_hour.amount))
    total = before * (1 + Fraction(str(wishes.overhead_pct)) / 100)
    assert Fraction(found.good) == good
    assert abs(Fraction(found.batch["total"]) - total) <= Fraction(1, 20_000)
    assert abs(Fraction(found.bar["total"]) - total / good) <= Fraction(1, 20_000)
    pot = sum((Fraction(str(row.mass_g)) * prices[row.key] for row in rows if row.portion is None), Fraction(0))
    weight = sum((Fraction(str(bucket.pot_mass_g)) for bucket in more["buckets"]), Fraction(str(more["residue_g"])))
    told = {line.key: line.cost for line in found.portions}
    for bucket in more["buckets"]:
        own = sum((Fraction(str(row.mass_g)) * prices[row.key] for row in rows if row.portion == bucket.key),
                  Fraction(0))
        share = pot * Fraction(str(bucket.pot_mass_g)) / weight
        assert abs(Fraction(told[bucket.key]) - own - share) < Fraction(1, 10_000)


@given(batches())
def test_twice_the_batch_costs_twice_the_ingredients_and_the_same_a_bar(
        batch: tuple[list[CostRow], CostWishes, dict[str, Any]]) -> None:
    rows, wishes, _ = batch
    once = cost_of(rows, CostWishes(wishes.ingredients), bars_count=10)
    twice = cost_of([*rows, *rows], CostWishes(wishes.ingredients), bars_count=20)
    assert abs(twice.batch["total"] - 2 * once.batch["total"]) <= Decimal("0.0001")
    assert twice.bar["total"] == once.bar["total"]


def simple(selling: SellingWish | None = None, **more: Any) -> Cost:
    return cost_of([CostRow("oil", "oil", 1000)], CostWishes((priced("oil", "20.00"),), selling=selling, **more),
                   bars_count=10)


def test_what_has_no_price_is_named_all_at_once_and_stops_the_price() -> None:
    rows = [CostRow("oil", "oil", 1000), CostRow("water", "water", 300), CostRow("scent", "scent", 20),
            CostRow("water", "water", 30)]
    wishes = CostWishes((priced("oil", "20.00"),), selling=SellingWish(margin_pct=40))
    found = cost_of(rows, wishes, bars_count=10)
    assert not found.complete
    assert [(one.key, one.mass_g) for one in found.missing] == [("water", 330), ("scent", 20)]
    assert [line.key for line in found.ingredients] == ["oil"]
    assert found.selling == ()
    free = CostWishes((priced("oil", "20.00"), priced("water", "0"), priced("scent", "0")),
                      selling=SellingWish(margin_pct=40))
    told = cost_of(rows, free, bars_count=10)
    assert told.complete
    assert told.selling
    assert {line.key: line.mass_g for line in told.ingredients}["water"] == 330


def test_nothing_of_no_mass_needs_no_price() -> None:
    assert cost_of([CostRow("oil", "oil", 5), CostRow("water", "water", 0)], CostWishes((priced("oil", "1"),)),
                   bars_count=1).complete


def test_a_price_of_the_row_itself_counts_where_the_list_has_none() -> None:
    row = CostRow("oil", "oil", 1000, price=Price("5.00", "EUR", 1000))
    assert cost_of([row], CostWishes(), bars_count=1).batch["total"] == 5
    assert cost_of([row], CostWishes((priced("oil", "7.00"),)), bars_count=1).batch["total"] == 7


def test_the_pack_really_bought_gives_the_price_of_a_gram() -> None:
    assert cost_of([CostRow("oil", "oil", 300)], CostWishes((priced("oil", "32.00", 5000),)),
                   bars_count=1).batch["total"] == Decimal("1.92")


def test_good_bars_carry_the_cost_of_broken_ones_and_of_those_kept_back() -> None:
    found = simple(broken_pct=10, kept_back_count=1, packaging=(Packaging("band", eur("0.50")),))
    assert (found.made, found.broken, found.kept_back, found.good) == (10, 1, 1, 8)
    assert found.batch["packaging"] == 4  # what is not sold is not wrapped
    assert found.bar["total"] == 3


@pytest.mark.parametrize(("kept", "allowed"), [(8, True), (9, False), (10, False)])
def test_some_bar_must_be_left_to_sell(kept: int, allowed: bool) -> None:
    if allowed:
        assert simple(kept_back_count=kept, broken_pct=10).good == 1
    else:
        with pytest.raises(DomainError, match="no bar is left to carry the cost"):
            simple(kept_back_count=kept, broken_pct=10)


def test_amounts_follow_the_coin_of_their_currency() -> None:
    rows = [CostRow("oil", "oil", 333)]
    for currency, told in (("JPY", "333.00"), ("EUR", "333.0000"), ("BHD", "333.00000")):
        assert str(cost_of(rows, CostWishes((priced("oil", "1000", 1000, currency),)),
                           bars_count=1).batch["total"]) == told


def test_several_currencies_no_price_and_a_key_twice_are_refused() -> None:
    with pytest.raises(Faults, match="EUR and USD"):
        CostWishes((priced("oil", "1"),), labour=Labour(1, Money(Decimal(1), "USD")))
    with pytest.raises(Faults, match="EUR and USD"):
        CostWishes((priced("oil", "1"),), selling=SellingWish(margin_pct=1, fees=ShopFees(
            fixed_per_order=Money(Decimal(1), "USD"))))
    with pytest.raises(DomainError, match="There is no price at all"):
        cost_of([CostRow("oil", "oil", 1)], CostWishes(), bars_count=1)
    with pytest.raises(DomainError, match="EUR and USD"):
        cost_of([CostRow("oil", "oil", 1, price=Price("1", "USD", 1))], CostWishes((priced("tea", "1"),)), bars_count=1)
    with pytest.raises(Faults, match='"oil" stands twice'):
        CostWishes((priced("oil", "1"), priced("oil", "2")))


# ---- prices


def test_margin_is_of_the_price_and_markup_on_the_cost() -> None:
    margin, markup = sell(Decimal(6), SellingWish(margin_pct=40, markup_pct=40), currency="EUR", bars=Decimal(10))
    assert (margin.tag, margin.profit) == (10, 4)
    assert (markup.tag, markup.profit) == (Decimal("8.40"), Decimal("2.40"))
    assert margin.margin_pct == 40
    assert margin.markup_pct == pytest.approx(200 / 3)
    assert (margin.batch_gross, margin.batch_profit) == (100, 40)


def test_tax_and_fees_are_worked_into_the_price() -> None:
    # by hand: fees are 3 % of the gross price, 1.2 net: 0.036 of net; and 0.30 / 3 bars. Margin 40 %:
    # net = (3 + 0.10) / (1 - 0.40 - 0.036) = 5.496454; with the tax 6.595745
    wish = SellingWish(margin_pct=40, sales_tax=SalesTax(20), fees=ShopFees(3, eur("0.30"), 3))
    one, = sell(Decimal(3), wish, currency="EUR", bars=Decimal(1))
    assert one.net_exact == Decimal("5.4965")
    assert one.tag == Decimal("6.60")
    # 6.60 = 5.50 net + 1.10 tax; fees 0.198 + 0.10; left 5.50 - 0.298 - 3 = 2.202
    assert (one.gross, one.net, one.sales_tax, one.fees, one.profit) == tuple(map(Decimal, (
        "6.60", "5.50", "1.10", "0.298", "2.202")))
    assert one.margin_pct == pytest.approx(100 * 2.202 / 5.5)
    on_top, = sell(Decimal(3), SellingWish(margin_pct=40, sales_tax=SalesTax(20, "on_top"),
                                           fees=ShopFees(3, eur("0.30"), 3)), currency="EUR", bars=Decimal(1))
    assert on_top.tag == on_top.net == Decimal("5.50")
    assert on_top.gross == Decimal("6.60")
    # markup 40 %: net = (3 x 1.4 + 0.10) / (1 - 0.036) = 4.460581
    markup, = sell(Decimal(3), SellingWish(markup_pct=40, sales_tax=SalesTax(20), fees=ShopFees(3, eur("0.30"), 3)),
                   currency="EUR", bars=Decimal(1))
    assert markup.net_exact == Decimal("4.4606")


costs = st.decimals(Decimal("0.01"), 1000, places=4)


@given(costs, st.integers(0, 800), st.integers(0, 2000), st.integers(0, 300), st.integers(0, 150), st.booleans(),
       st.sampled_from([("0.50", "0"), ("1", "0.90"), ("5", "4.99"), ("0.05", "0"), ("0.01", "0")]))
def test_a_price_that_goes_up_to_a_step_leaves_at_least_what_was_asked(
        cost: Decimal, margin: int, markup: int, tax: int, fee: int, included: bool, step: tuple[str, str]) -> None:
    wish = SellingWish(margin / 10, markup / 10, SalesTax(tax / 10, "included" if included else "on_top"),
                       ShopFees(fee / 10, eur("0.30"), 2), PriceStep(*map(Decimal, step)))
    try:
        found = sell(cost, wish, currency="EUR", bars=Decimal(10))
    except Faults:
        assert margin / 10 + fee / 10 * (1 + tax / 1000) > 99.8
        return
    by_margin, by_markup = found
    assert by_margin.margin_pct is not None
    assert by_margin.margin_pct >= margin / 10 - 1e-9
    assert by_markup.markup_pct is not None
    assert by_markup.markup_pct >= markup / 10 - 1e-9
    for one in found:
        assert (one.tag - Decimal(step[1])) % Decimal(step[0]) == 0
        assert one.net + one.sales_tax == one.gross
        assert one.cost + one.fees + one.profit == one.net
        lower = one.tag - Decimal(step[0])
        exact = one.net_exact * (1 + Decimal(tax) / 1000 if included else 1)
        assert lower < exact + Decimal("0.0001")  # no step higher than needed
        assert one.tag > exact - Decimal("0.0001")


def test_a_price_that_is_a_step_already_stays() -> None:
    # 1 / 0.6 x 1.2 is 2 exactly, and no noise of a third may lift it to 2.50
    one, = sell(Decimal(1), SellingWish(margin_pct=40, sales_tax=SalesTax(20), price_step=PriceStep(Decimal("0.5"))),
                currency="EUR", bars=Decimal(1))
    assert one.tag == 2


def test_without_a_step_the_tag_is_rounded_to_the_coin_and_tells_what_it_leaves() -> None:
    one, = sell(Decimal("4.36"), SellingWish(markup_pct=40), currency="EUR", bars=Decimal(1))
    assert one.tag == Decimal("6.10")  # 6.104
    assert one.markup_pct == pytest.approx(100 * (6.10 / 4.36 - 1))
    yen, = sell(Decimal(430), SellingWish(markup_pct=50), currency="JPY", bars=Decimal(1))
    assert str(yen.tag) == "645"


def test_a_bar_that_costs_nothing_has_no_markup_and_a_price_of_nothing_no_margin() -> None:
    one, = sell(Decimal(0), SellingWish(markup_pct=50), currency="EUR", bars=Decimal(1))
    assert (one.tag, one.margin_pct, one.markup_pct) == (0, None, None)


@pytest.mark.parametrize(("asked", "words"), [
    ({}, 'Say what is to be left: "margin_pct"'), ({"margin_pct": 100}, "from 0 to 99.9: a margin of 100 %"),
    ({"margin_pct": -1}, "from 0 to 99.9"), ({"markup_pct": -1}, "from 0 to 100,000")])
def test_a_margin_of_all_of_the_price_is_refused(asked: dict[str, float], words: str) -> None:
    with pytest.raises(Faults, match=words):
        SellingWish(**asked)
    assert SellingWish(margin_pct=99.9, markup_pct=100)


@pytest.mark.parametrize(("fee", "possible"), [(39.9, True), (40, False), (60, False)])
def test_margin_and_fees_cannot_take_the_whole_price(fee: float, possible: bool) -> None:
    wish = SellingWish(margin_pct=60, fees=ShopFees(fee))
    if possible:
        assert sell(Decimal(1), wish, currency="EUR", bars=Decimal(1))[0].tag == 1000
    else:
        with pytest.raises(Faults, match=f"No price leaves that: .* take {60 + fee:g} % of the net price"):
            sell(Decimal(1), wish, currency="EUR", bars=Decimal(1))


@pytest.mark.parametrize(("step", "ends_on", "words"), [
    ("0", "0", "leads nowhere"), ("1", "1", "does not lie within a step"), ("0.5", "0.90", "does not lie within")])
def test_a_step_must_lead_somewhere(step: str, ends_on: str, words: str) -> None:
    with pytest.raises(Faults, match=words):
        PriceStep(Decimal(step), Decimal(ends_on))


def test_a_step_finer_than_the_coin_cannot_be_paid() -> None:
    wish = SellingWish(margin_pct=1, price_step=PriceStep(Decimal("0.5"), Decimal("0.001")))
    with pytest.raises(Faults, match=r"0\.001 EUR cannot be paid: there are 2 decimals"):
        sell(Decimal(1), wish, currency="EUR", bars=Decimal(1))
    with pytest.raises(Faults, match=r"0\.5 JPY cannot be paid: there are 0 decimals"):
        sell(Decimal(1), SellingWish(margin_pct=1, price_step=PriceStep(Decimal("0.5"))), currency="JPY",
             bars=Decimal(1))


def test_taxes_and_fees_have_bounds() -> None:
    for wrong in (lambda: SalesTax(-1), lambda: SalesTax(101), lambda: SalesTax(20, "hidden"), lambda: ShopFees(91),
                  lambda: ShopFees(bars_per_order=0.5)):
        with pytest.raises(Faults):
            wrong()
