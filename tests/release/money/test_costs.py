"""Costs: every gram counted once, nothing free by accident, parts that add up, prices that leave what was requested."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from kettlewright.errors import DomainError, DomainErrors
from kettlewright.money import Money
from kettlewright.prices import Price
from kettlewright.release import (
    Cost,
    CostOptions,
    CostRow,
    IngredientPrice,
    Labour,
    Packaging,
    PortionOfPot,
    SellingOptions,
    ShopFees,
    cost_of,
)

PARTS = ("ingredients", "packaging", "labour", "overhead")


def eur(amount: str) -> Money:
    return Money(Decimal(amount), "EUR")


def priced(key: str, amount: str, per_mass_g: float = 1000.0, currency: str = "EUR") -> IngredientPrice:
    return IngredientPrice(key, Price(amount, currency, per_mass_g))


money = st.decimals(0, 10_000, places=2).map(str)
masses = st.integers(1, 10 ** 7).map(lambda steps: steps / 10)


@st.composite
def batches(draw: st.DrawFn) -> tuple[list[CostRow], CostOptions, dict[str, Any]]:
    keys = [f"key_{index}" for index in range(draw(st.integers(1, 6)))]
    buckets = [PortionOfPot(f"portion_{index}", f"portion {index}", draw(masses))
               for index in range(draw(st.integers(0, 4)))]
    places = st.sampled_from([None, *(bucket.key for bucket in buckets)])
    rows = [CostRow(key, key, draw(masses), draw(places)) for key in keys for _ in range(draw(st.integers(1, 2)))]
    options = CostOptions(
        tuple(priced(key, draw(money), draw(masses)) for key in keys), packaging=(Packaging("band", eur(draw(money))),),
        labour=Labour(draw(st.integers(0, 100)) / 4, eur(draw(money))), overhead_pct=draw(st.integers(0, 400)) / 8,
        broken_pct=draw(st.integers(0, 50)) / 2, kept_back_count=draw(st.integers(0, 2)))
    return rows, options, {"bars_count": draw(st.integers(5, 200)), "buckets": buckets,
                          "residue_g": draw(masses) if buckets else 0.0}


@given(batches())
def test_parts_add_up_to_the_whole_everywhere(batch: tuple[list[CostRow], CostOptions, dict[str, Any]]) -> None:
    rows, options, more = batch
    found = cost_of(rows, options, **more)
    for parts in (found.batch, found.bar):
        assert sum(parts[part] for part in PARTS) == parts["total"]
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
        batch: tuple[list[CostRow], CostOptions, dict[str, Any]]) -> None:
    rows, options, more = batch
    found = cost_of(rows, options, **more)
    prices = {one.key: Fraction(one.price.amount) / Fraction(str(one.price.per_mass_g)) for one in options.ingredients}
    ingredients = sum((Fraction(str(row.mass_g)) * prices[row.key] for row in rows), Fraction(0))
    good = more["bars_count"] * (1 - Fraction(str(options.broken_pct)) / 100) - options.kept_back_count
    assert options.labour is not None
    before = (ingredients + good * Fraction(options.packaging[0].per_bar.amount)
              + Fraction(str(options.labour.work_hours)) * Fraction(options.labour.per_hour.amount))
    total = before * (1 + Fraction(str(options.overhead_pct)) / 100)
    assert Fraction(found.good) == good
    assert abs(Fraction(found.batch["total"]) - total) <= Fraction(1, 20_000)
    assert abs(Fraction(found.bar["total"]) - total / good) <= Fraction(1, 20_000)
    pot = sum((Fraction(str(row.mass_g)) * prices[row.key] for row in rows if row.portion is None), Fraction(0))
    weight = sum((Fraction(str(bucket.pot_mass_g)) for bucket in more["buckets"]), Fraction(str(more["residue_g"])))
    costs = {line.key: line.cost for line in found.portions}
    for bucket in more["buckets"]:
        own = sum((Fraction(str(row.mass_g)) * prices[row.key] for row in rows if row.portion == bucket.key),
                  Fraction(0))
        share = pot * Fraction(str(bucket.pot_mass_g)) / weight
        assert abs(Fraction(costs[bucket.key]) - own - share) < Fraction(1, 10_000)


@given(batches())
def test_twice_the_batch_costs_twice_the_ingredients_and_the_same_a_bar(
        batch: tuple[list[CostRow], CostOptions, dict[str, Any]]) -> None:
    rows, options, _ = batch
    once = cost_of(rows, CostOptions(options.ingredients), bars_count=10)
    twice = cost_of([*rows, *rows], CostOptions(options.ingredients), bars_count=20)
    assert abs(twice.batch["total"] - 2 * once.batch["total"]) <= Decimal("0.0001")
    assert twice.bar["total"] == once.bar["total"]


def simple(selling: SellingOptions | None = None, **more: Any) -> Cost:
    return cost_of([CostRow("oil", "oil", 1000)], CostOptions((priced("oil", "20.00"),), selling=selling, **more),
                   bars_count=10)


def test_what_has_no_price_is_named_all_at_once_and_stops_the_price() -> None:
    rows = [CostRow("oil", "oil", 1000), CostRow("water", "water", 300), CostRow("scent", "scent", 20),
            CostRow("water", "water", 30)]
    options = CostOptions((priced("oil", "20.00"),), selling=SellingOptions(margin_pct=40))
    found = cost_of(rows, options, bars_count=10)
    assert not found.complete
    assert [(one.key, one.mass_g) for one in found.missing] == [("water", 330), ("scent", 20)]
    assert [line.key for line in found.ingredients] == ["oil"]
    assert found.selling == ()
    free = CostOptions((priced("oil", "20.00"), priced("water", "0"), priced("scent", "0")),
                      selling=SellingOptions(margin_pct=40))
    complete = cost_of(rows, free, bars_count=10)
    assert complete.complete
    assert complete.selling
    assert {line.key: line.mass_g for line in complete.ingredients}["water"] == 330


def test_nothing_of_no_mass_needs_no_price() -> None:
    assert cost_of([CostRow("oil", "oil", 5), CostRow("water", "water", 0)], CostOptions((priced("oil", "1"),)),
                   bars_count=1).complete


def test_a_price_of_the_row_itself_counts_where_the_list_has_none() -> None:
    row = CostRow("oil", "oil", 1000, price=Price("5.00", "EUR", 1000))
    assert cost_of([row], CostOptions(), bars_count=1).batch["total"] == 5
    assert cost_of([row], CostOptions((priced("oil", "7.00"),)), bars_count=1).batch["total"] == 7


def test_the_pack_really_bought_gives_the_price_of_a_gram() -> None:
    assert cost_of([CostRow("oil", "oil", 300)], CostOptions((priced("oil", "32.00", 5000),)),
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
    for currency, total in (("JPY", "333.00"), ("EUR", "333.0000"), ("BHD", "333.00000")):
        assert str(cost_of(rows, CostOptions((priced("oil", "1000", 1000, currency),)),
                           bars_count=1).batch["total"]) == total


def test_several_currencies_no_price_and_a_key_twice_are_refused() -> None:
    with pytest.raises(DomainErrors, match="EUR and USD"):
        CostOptions((priced("oil", "1"),), labour=Labour(1, Money(Decimal(1), "USD")))
    with pytest.raises(DomainErrors, match="EUR and USD"):
        CostOptions((priced("oil", "1"),), selling=SellingOptions(margin_pct=1, fees=ShopFees(
            fixed_per_order=Money(Decimal(1), "USD"))))
    with pytest.raises(DomainError, match="No price is given"):
        cost_of([CostRow("oil", "oil", 1)], CostOptions(), bars_count=1)
    with pytest.raises(DomainError, match="EUR and USD"):
        cost_of([CostRow("oil", "oil", 1, price=Price("1", "USD", 1))], CostOptions((priced("tea", "1"),)),
                bars_count=1)
    with pytest.raises(DomainErrors, match='"oil" appears twice'):
        CostOptions((priced("oil", "1"), priced("oil", "2")))
