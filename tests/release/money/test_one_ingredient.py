"""The cheapest packs of one ingredient, against every choice there is."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from kettlewright.release.money import one_ingredient
from kettlewright.release.money.one_ingredient import PackSize, cheapest_packs

few_packs = st.lists(st.builds(PackSize, mass=st.integers(1, 60), cost=st.integers(1, 60), at_most=st.integers(1, 6)),
                     min_size=1, max_size=4)


def best_by_hand(packs: list[PackSize], mass: int) -> tuple[int, int, int]:
    """Cost, mass and number of packs of the best choice, by trying all."""
    found = []
    for counts in itertools.product(*(range(pack.at_most + 1) for pack in packs)):
        held = sum(count * pack.mass for count, pack in zip(counts, packs, strict=True))
        if held >= mass:
            found.append((sum(count * pack.cost for count, pack in zip(counts, packs, strict=True)), held, sum(counts)))
    return min(found)


@pytest.mark.parametrize("table_max", [2 ** 16, 0], ids=["by a table", "by searching"])
@settings(deadline=None)
@given(few_packs, st.integers(1, 600))
def test_no_choice_is_better(table_max: int, packs: list[PackSize], mass: int) -> None:
    assume(sum(pack.mass * pack.at_most for pack in packs) >= mass)
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(one_ingredient, "_TABLE_MAX", table_max)
        found = cheapest_packs(packs, mass)
    measures = (sum(count * pack.cost for count, pack in zip(found.counts, packs, strict=True)),
                sum(count * pack.mass for count, pack in zip(found.counts, packs, strict=True)), sum(found.counts))
    assert found.proven
    assert all(0 <= count <= pack.at_most for count, pack in zip(found.counts, packs, strict=True))
    assert measures == best_by_hand(packs, mass)


def test_the_cheapest_gram_is_not_always_the_best() -> None:
    # handbook of the trade's arithmetic: need 6; packs of 1, 4 and 3 at 2.00, 6.00 and 4.20: two threes, 8.40
    packs = [PackSize(1, 200, 10), PackSize(4, 600, 10), PackSize(3, 420, 10)]
    assert cheapest_packs(packs, 6).counts == (0, 0, 2)


def test_a_search_that_runs_out_still_meets_the_need_and_says_that_it_is_not_proven() -> None:
    # equal prices per gram and odd masses: nothing but trying tells which sum comes nearest
    packs = [PackSize(mass, mass, 400) for mass in (100_003, 98_689, 95_527, 91_193, 87_719, 83_621)]
    found = cheapest_packs(packs, 10_000_019, searched_max=500)
    assert not found.proven
    assert found.searched <= 500 + len(packs)
    assert sum(count * pack.mass for count, pack in zip(found.counts, packs, strict=True)) >= 10_000_019


def test_hundreds_of_packs_of_one_ingredient_are_searched_too() -> None:
    packs = [PackSize(100_000 + 7 * index * index, 1_000 + index, 3) for index in range(600)]
    found = cheapest_packs(packs, 999_999)
    assert sum(count * pack.mass for count, pack in zip(found.counts, packs, strict=True)) >= 999_999
