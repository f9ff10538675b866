"""Sums of whole items at the least cost, against every choice there is."""

from __future__ import annotations

import itertools

from hypothesis import given, settings
from hypothesis import strategies as st
from kettlewright.knapsack import Item, least_costs

few_items = st.lists(st.builds(Item, size=st.integers(1, 9), cost=st.integers(0, 9), most=st.integers(0, 5)),
                     min_size=1, max_size=4)


@settings(deadline=None)
@given(few_items, st.integers(0, 80))
def test_every_sum_has_the_cost_of_its_cheapest_choice_and_names_that_choice(items: list[Item], sum_max: int) -> None:
    cheapest: dict[int, int] = {}
    for counts in itertools.product(*(range(item.most + 1) for item in items)):
        total = sum(count * item.size for count, item in zip(counts, items, strict=True))
        cost = sum(count * item.cost for count, item in zip(counts, items, strict=True))
        cheapest[total] = min(cheapest.get(total, cost), cost)
    table = least_costs(items, sum_max)
    for total in range(sum_max + 1):
        assert bool(table.reached[total]) == (total in cheapest)
        if total not in cheapest:
            continue
        assert int(table.costs[total]) == cheapest[total]
        pieces = table.pieces(total)
        assert all(0 <= count <= item.most for count, item in zip(pieces, items, strict=True))
        assert sum(count * item.size for count, item in zip(pieces, items, strict=True)) == total
        assert sum(count * item.cost for count, item in zip(pieces, items, strict=True)) == cheapest[total]
