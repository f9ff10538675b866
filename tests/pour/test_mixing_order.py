"""In which order to stir: common practice, no source."""

from __future__ import annotations

from kettlewright.pour import Addition, Batter, Portion, divide, mixing_order
from kettlewright.pour.requested_portions import Borrowing
from kettlewright.recipe import Scale

DYE = Addition("dye", "colourant", 5, "g_per_kg_batter")
SLOW = Addition("cedar", "fragrance", 20, "g_per_kg_batter")
FAST = Addition("clove", "fragrance", 20, "g_per_kg_batter", thickens_fast=True)


def steps(portions: list[Portion], *additions: Addition) -> list[tuple[str, tuple[str, ...], tuple[str, ...], str]]:
    found = divide(Batter(1000, 1.0), portions, additions, scale=Scale())
    return [(step.name, step.additions, step.borrows, step.when) for step in mixing_order(found)]


def test_without_haste_the_order_is_that_of_the_pour() -> None:
    assert steps([Portion("a", share_pct=50, additions=(DYE, SLOW)), Portion("b", share_pct=50)], SLOW) == []


def test_what_thickens_fast_goes_in_last_bucket_by_bucket() -> None:
    found = steps([Portion("a", share_pct=50, additions=(FAST, DYE)), Portion("b", share_pct=50, additions=(SLOW,))],
                  Addition("clay", "clay", 5, "g_per_kg_batter"))
    assert found == [("pot", ("clay",), (), "ahead"), ("a", ("dye",), (), "ahead"), ("b", ("cedar",), (), "ahead"),
                     ("a", ("clove",), (), "at_pour")]


def test_haste_in_the_pot_is_haste_in_every_bucket() -> None:
    found = steps([Portion("a", share_pct=50, additions=(DYE,)), Portion("b", share_pct=50)], FAST, DYE)
    assert found == [("pot", ("dye",), (), "ahead"), ("pot", ("clove",), (), "at_pour"), ("a", ("dye",), (), "at_pour")]


def test_lenders_are_mixed_before_who_borrows() -> None:
    found = steps([Portion("pale", share_pct=50, borrows=(Borrowing("deep", 30),)),
                   Portion("deep", share_pct=50, additions=(DYE,))])
    assert found == [("deep", ("dye",), (), "ahead"), ("pale", (), ("deep",), "ahead")]
