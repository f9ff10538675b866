"""Which packs to buy, against every combination there is; needs are met, nothing cheaper exists."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from kettlewright.errors import DomainError, DomainErrors
from kettlewright.money import Money
from kettlewright.prices import Price
from kettlewright.release import AtHand, Need, Pack, Purchases, Supplier, batches_for, choose_purchases


def pack(key: str, cost: str, mass_g: float, supplier: str | None = None, at_most: int | None = None) -> Pack:
    return Pack(key, Price(cost, "EUR", mass_g), supplier=supplier, at_most=at_most)


def eur(cents: int | None) -> Money | None:
    return None if cents is None else Money(Decimal(cents) / 100, "EUR")


def counts_of(found: Purchases) -> dict[tuple[str, float, str | None], int]:
    return {(one.key, row.pack.price.per_mass_g, row.pack.supplier): row.count for one in found.ingredients
            for row in one.packs}


Offered = tuple[int, int, int | None]  # tenths of a gram, cents, at most


@st.composite
def offers(draw: st.DrawFn, most: int = 3) -> list[Offered]:
    return draw(st.lists(st.tuples(st.integers(1, 60), st.integers(0, 40), st.sampled_from([None, None, 1, 2, 3])),
                         min_size=1, max_size=most))


def every_way(short: int, packs: Sequence[Offered], *, beyond: int = 0) -> list[tuple[int, ...]]:
    ranges = []
    for mass, cost, at_most in packs:
        most = max(math.ceil(short / mass), math.ceil(beyond / cost) if cost else 0)
        ranges.append(range((most if at_most is None else min(most, at_most)) + 1))
    return [ways for ways in itertools.product(*ranges)
            if sum(count * mass for count, (mass, *_) in zip(ways, packs, strict=True)) >= short]


@settings(deadline=None)
@given(st.integers(1, 150), offers(), st.integers(0, 40))
def test_no_combination_of_packs_is_better(need: int, packs: list[Offered], there: int) -> None:
    offered = [Pack("oil", Price(f"{cost / 100:.2f}", "EUR", mass / 10), at_most=most) for mass, cost, most in packs]
    short = max(need - there, 0)
    ways = every_way(short, packs)
    if not ways:
        with pytest.raises(DomainErrors, match="short of the"):
            choose_purchases([Need("oil", "oil", need / 10)], offered, at_hand=[AtHand("oil", there / 10)])
        return
    best = min((sum(count * cost for count, (_, cost, _) in zip(way, packs, strict=True)),
                sum(count * mass for count, (mass, *_) in zip(way, packs, strict=True)), sum(way)) for way in ways)
    found = choose_purchases([Need("oil", "oil", need / 10)], offered, at_hand=[AtHand("oil", there / 10)])
    one = found.ingredients[0]
    assert (found.total * 100, round(one.bought_g * 10), found.packs_count) == best
    assert one.left_over_g == pytest.approx((there + best[1] - need) / 10)
    assert found.proven_optimal


@settings(deadline=None, max_examples=60)
@given(st.tuples(st.integers(1, 40), st.integers(1, 40)),
       st.lists(st.tuples(st.sampled_from(["oil", "tea"]), st.sampled_from(["mill", "shop", None]), st.integers(5, 40),
                          st.integers(0, 30)), min_size=2, max_size=5),
       st.tuples(st.integers(0, 30), st.sampled_from([None, 20, 60]), st.sampled_from([None, 15, 50])),
       st.tuples(st.integers(0, 30), st.sampled_from([None, 0, 40]), st.sampled_from([None, 25])))
def test_no_combination_of_orders_is_better(needs: tuple[int, int], packs: list[tuple[str, str | None, int, int]],
                                            mill: tuple[int, int | None, int | None],
                                            shop: tuple[int, int | None, int | None]) -> None:
    short = dict(zip(("oil", "tea"), needs, strict=True))
    terms = {"mill": mill, "shop": shop}
    offered = [Pack(key, Price(f"{cost / 100:.2f}", "EUR", mass / 10), supplier=supplier)
               for key, supplier, mass, cost in packs]
    sold = {key for key, *_ in packs}
    wanted = {key: mass for key, mass in short.items() if key in sold}

    def measured(way: Sequence[int]) -> tuple[int, int, int] | None:
        total = 0
        for name, (shipping, free_from, minimum) in terms.items():
            chosen = [(count, cost) for count, (_, supplier, _, cost) in zip(way, packs, strict=True)
                      if supplier == name and count]
            goods = sum(count * cost for count, cost in chosen)
            if chosen and goods < (minimum or 0):
                return None
            if chosen and (free_from is None or goods < free_from):
                total += shipping
        total += sum(count * cost for count, (*_, cost) in zip(way, packs, strict=True))
        return total, sum(count * mass for count, (_, _, mass, _) in zip(way, packs, strict=True)), sum(way)

    most = []
    for key, supplier, mass, cost in packs:
        reach = max((terms[supplier][1] or 0, terms[supplier][2] or 0)) if supplier else 0
        most.append(max(math.ceil(wanted[key] / mass), math.ceil(reach / cost) if cost else 0))
    best = None
    for way in itertools.product(*(range(count + 1) for count in most)):
        if all(sum(count * mass for count, (of, _, mass, _) in zip(way, packs, strict=True) if of == key) >= need
               for key, need in wanted.items()):
            found_way = measured(way)
            if found_way is not None and (best is None or found_way < best):
                best = found_way
    suppliers = [Supplier(name, eur(shipping), eur(free_from), eur(minimum))
                 for name, (shipping, free_from, minimum) in terms.items()]
    lacking = [Need(key, key, mass / 10) for key, mass in short.items()]
    if best is None:
        with pytest.raises(DomainError, match="do not reach the supplier's minimum order"):
            choose_purchases(lacking, offered, suppliers=suppliers)
        return
    found = choose_purchases(lacking, offered, suppliers=suppliers)
    # two ingredients of suppliers with terms in common are decided together; others by themselves, to the same end
    assert found.total * 100 == best[0]
    assert round(sum(one.bought_g for one in found.ingredients) * 10) == best[1]
    assert found.packs_count == best[2]
    assert found.total == found.goods + found.shipping
    assert found.proven_optimal
    assert {one.key for one in found.ingredients if one.without_packs} == set(short) - sold


@settings(deadline=None)
@given(st.lists(st.tuples(st.sampled_from(["a", "b", "c"]), st.floats(0.001, 1e5)), min_size=1, max_size=5),
       st.lists(st.tuples(st.sampled_from(["a", "b", "c"]), st.floats(10, 1e5), st.integers(0, 10 ** 6)), min_size=1,
                max_size=8))
def test_no_need_is_ever_missed_whatever_the_numbers(needs: list[tuple[str, float]],
                                                     packs: list[tuple[str, float, int]]) -> None:
    found = choose_purchases([Need(key, key, mass) for key, mass in needs],
                             [Pack(key, Price(f"{cost / 100:.2f}", "EUR", mass)) for key, mass, cost in packs])
    for one in found.ingredients:
        if not one.without_packs:
            bought = sum((row.count * Fraction(f"{row.pack.price.per_mass_g:.12g}") for row in one.packs), Fraction(0))
            needed = sum((Fraction(f"{mass:.12g}") for key, mass in needs if key == one.key), Fraction(0))
            assert bought >= needed
            # no single kind of pack alone would be cheaper
            assert one.cost is not None
            for key, mass, cost in packs:
                if key == one.key:
                    assert one.cost * 100 <= math.ceil(needed / Fraction(f"{mass:.12g}")) * cost
    assert found.total == sum((row.cost for one in found.ingredients for row in one.packs), Decimal(0))


def test_of_equal_costs_the_one_with_least_left_over_then_the_fewest_packs() -> None:
    # 10 g: one of 12 for 4.00, or two of 5 for 2.00 each: the latter leaves nothing over
    assert counts_of(choose_purchases([Need("oil", "oil", 10)], [pack("oil", "4.00", 12), pack("oil", "2.00", 5)])) == {
        ("oil", 5, None): 2}
    # 10 g: one of 10, or two of 5, all for 4.00
    assert counts_of(choose_purchases([Need("oil", "oil", 10)], [pack("oil", "2.00", 5), pack("oil", "4.00", 10)])) == {
        ("oil", 10, None): 1}


def test_twice_the_need_never_costs_more_than_twice() -> None:
    packs = [pack("oil", "9.00", 1000), pack("oil", "35.00", 5000)]
    once = choose_purchases([Need("oil", "oil", 7300)], packs)
    twice = choose_purchases([Need("oil", "oil", 7300)] * 2, packs)
    assert twice.ingredients[0].needed_g == 14600
    assert twice.total == 105  # three of 5 kg
    assert twice.total <= 2 * once.total


def test_several_ingredients_cost_what_each_costs_alone() -> None:
    packs = [pack("oil", "9.00", 1000), pack("oil", "35.00", 5000), pack("tea", "6.20", 500),
             pack("tea", "10.50", 1000), pack("tea", "24.00", 2500)]
    both = choose_purchases([Need("oil", "oil", 7300), Need("tea", "tea", 2600)], packs)
    assert [str(one.cost) for one in both.ingredients] == ["62.00", "30.20"]
    assert str(both.total) == "92.20"
    assert both.packs_count == 6
    assert both.left_over_g == 1100


def test_shipping_decides_where_to_buy() -> None:
    packs = [pack("oil", "10.00", 1000, "mill"), pack("tea", "5.00", 100, "mill"), pack("tea", "4.00", 100, "shop")]
    needs = [Need("oil", "oil", 1000), Need("tea", "tea", 100)]
    near = choose_purchases(needs, packs, suppliers=[Supplier("mill", eur(300)), Supplier("shop", eur(200))])
    assert counts_of(near) == {("oil", 1000, "mill"): 1, ("tea", 100, "mill"): 1}
    assert [(order.name, str(order.goods), str(order.shipping)) for order in near.orders] == [
        ("mill", "15.00", "3.00")]
    assert str(near.total) == "18.00"
    without = choose_purchases(needs, packs)
    assert counts_of(without) == {("oil", 1000, "mill"): 1, ("tea", 100, "shop"): 1}
    assert without.orders == ()


def test_more_is_bought_where_that_makes_shipping_free() -> None:
    # one of 10.00 and 6.00 of shipping, or two of 10.00 without
    found = choose_purchases([Need("oil", "oil", 1000)], [pack("oil", "10.00", 1000, "mill")],
                             suppliers=[Supplier("mill", eur(1200), eur(2000))])
    assert counts_of(found) == {("oil", 1000, "mill"): 2}
    assert str(found.total) == "20.00"
    dear = choose_purchases([Need("oil", "oil", 1000)], [pack("oil", "10.00", 1000, "mill")],
                            suppliers=[Supplier("mill", eur(900), eur(2000))])
    assert str(dear.total) == "19.00"


def test_what_is_at_hand_is_used_first_and_what_is_not_needed_stays() -> None:
    found = choose_purchases([Need("oil", "oil", 7300)], [pack("oil", "9.00", 1000)],
                             at_hand=[AtHand("oil", 300), AtHand("oil", 5000), AtHand("tea", 9)])
    one, = found.ingredients
    assert (one.at_hand_g, one.short_g, one.bought_g, one.left_over_g) == (5300, 2000, 2000, 0)
    enough = choose_purchases([Need("oil", "oil", 7300)], [pack("oil", "9.00", 1000)], at_hand=[AtHand("oil", 8000)])
    assert (enough.total, enough.packs_count, enough.ingredients[0].left_over_g) == (0, 0, 700)
    assert enough.ingredients[0].cost == 0
    assert enough.left_over_g == 0  # of what is bought


def test_what_is_sold_in_no_pack_is_named_and_not_in_the_cost() -> None:
    found = choose_purchases([Need("oil", "oil", 10), Need("tea", "tea", 5)], [pack("oil", "9.00", 1000)])
    assert [(one.key, one.without_packs, one.cost) for one in found.ingredients] == [
        ("oil", False, Decimal("9.00")), ("tea", True, None)]
    assert found.total == 9


@pytest.mark.parametrize(("need_g", "pack_g"), [
    (5 * 453.59237, 453.59237), (0.3, 0.1), (3 * 28.349523125, 28.349523125), (0.7 * 1000, 100.0), (1.1 * 3, 1.1)])
def test_an_exact_fit_is_seen_through_the_noise_of_binary_numbers(need_g: float, pack_g: float) -> None:
    found = choose_purchases([Need("oil", "oil", need_g)], [pack("oil", "1.00", pack_g), pack("oil", "99.00", 77.7)])
    assert found.ingredients[0].left_over_g == 0
    assert found.packs_count == round(need_g / pack_g)


def test_a_hard_choice_is_bounded_by_nodes_and_says_whether_it_is_the_best() -> None:
    packs = [pack("oil", f"{70 + 13 * index ** 2 % 57}.{index:02}", 997 + 131 * index ** 2 % 571, at_most=40)
             for index in range(25)]
    needs = [Need("oil", "oil", 123_456.7)]
    first, again = choose_purchases(needs, packs), choose_purchases(needs, packs)
    assert first == again
    assert first.ingredients[0].bought_g >= 123_456.7


@pytest.mark.parametrize(("packs", "words"), [
    ([pack("oil", "1.00", 10, at_most=2), pack("oil", "1.00", 5, at_most=1)],
     "75 g short of the 100 g you need"),
    ([pack("oil", "1.00", 0.0005)], "200,000 of this pack of oil would be needed; .* Is the unit right"),
    ([pack("oil", "1.00", 10), Pack("oil", Price("1.00", "USD", 10))], "EUR and USD")])
def test_what_cannot_be_bought_is_reported(packs: list[Pack], words: str) -> None:
    with pytest.raises((DomainError, DomainErrors), match=words):
        choose_purchases([Need("oil", "oil", 100)], packs)


def test_an_order_below_the_minimum_is_no_order() -> None:
    dear = [pack("oil", "3.00", 1000, "mill", at_most=2)]
    least = [Supplier("mill", minimum_order=eur(700))]
    with pytest.raises(DomainError, match="do not reach the supplier's minimum order"):
        choose_purchases([Need("oil", "oil", 1000)], dear, suppliers=least)
    more = choose_purchases([Need("oil", "oil", 1000)], [pack("oil", "3.00", 1000, "mill")], suppliers=least)
    assert str(more.total) == "9.00"


def test_what_suppliers_join_is_bounded() -> None:
    packs = [pack(f"oil {index}", "3.00", 1000, "mill") for index in range(101)]
    needs = [Need(one.key, one.key, 1) for one in packs]
    with pytest.raises(DomainError, match="link 101 packs, but at most 100 can be decided together"):
        choose_purchases(needs, packs, suppliers=[Supplier("mill", eur(500))])
    found = choose_purchases(needs[:100], packs, suppliers=[Supplier("mill", eur(500))])
    assert str(found.total) == "305.00"
    assert choose_purchases(needs, packs, suppliers=[Supplier("mill")]).proven_optimal  # no terms, nothing joined


def test_suppliers_are_reported_once_and_by_the_names_of_the_packs() -> None:
    packs = [pack("oil", "3.00", 1000, "mil")]
    with pytest.raises(DomainErrors, match='No terms are given for "mil", only for mill'):
        choose_purchases([Need("oil", "oil", 1)], packs, suppliers=[Supplier("mill")])
    with pytest.raises(DomainErrors, match='"mill" appears twice'):
        choose_purchases([Need("oil", "oil", 1)], [], suppliers=[Supplier("mill"), Supplier("Mill")])


@pytest.mark.parametrize("amount", ["1.005", "0.000001"])
def test_a_pack_costs_whole_coins(amount: str) -> None:
    with pytest.raises(DomainErrors, match="cannot be paid: there are 2 decimals at most"):
        pack("oil", amount, 10)
    with pytest.raises(DomainErrors, match="cannot be paid"):
        Supplier("mill", shipping=Money(Decimal(amount), "EUR"))
    assert pack("oil", "1.50", 10)


@pytest.mark.parametrize(("wanted", "per_batch", "broken", "words"), [
    (0, 10, 0, "from 1 to 100,000"), (10, 0, 0, "from 1 to 100,000"), (10, 10, 99.5, "from 0 to 99"),
    (100_000, 1, 0, "A number of batches of 100000")])
def test_an_order_of_bars_has_bounds(wanted: int, per_batch: int, broken: float, words: str) -> None:
    with pytest.raises((DomainError, DomainErrors), match=words):
        batches_for(wanted, per_batch, broken_pct=broken)
