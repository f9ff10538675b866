"""Dispersions and borrowed batter reach the label of the bar that holds them."""

from __future__ import annotations

import pytest
from kettlewright.plan import label_of, plan_batch
from kettlewright.pour import Addition, Borrowing, Box, Dispersion, Mould, Portion
from kettlewright.recipe import Scale
from kettlewright.release import LabelOptions
from recipes import SHARES


def names(*portions: Portion, additions: tuple[Addition, ...] = (), arrangement: str = "layers",
          count: int = 1) -> list[list[str]]:
    plan = plan_batch(SHARES, Mould(Box(100, 80, 70), count=count), Scale(), portions=portions, additions=additions,
                      arrangement=arrangement, expected_loss_pct=10)
    return [[one.name for one in bar.ingredients] for bar in label_of(plan, LabelOptions(market="EU")).bars]


def dyed(dispersion: Dispersion) -> Addition:
    return Addition("red", "colourant", 8, "g_per_kg_batter", inci="CI 77491", dispersion=dispersion)


@pytest.mark.parametrize(("dispersion", "carrier"), [
    (Dispersion("oil", 20, fat="sunflower"), "Helianthus Annuus Seed Oil"), (Dispersion("glycerol", 20), "Glycerin"),
    (Dispersion("water", 20), "Aqua")])
def test_what_a_colour_is_stirred_into_is_an_ingredient(dispersion: Dispersion, carrier: str) -> None:
    for found in (names(Portion("all", share_pct=100, additions=(dyed(dispersion),))),
                  names(Portion("all", share_pct=100), additions=(dyed(dispersion),))):
        assert carrier in found[0]
        assert "CI 77491" in found[0]


def test_who_borrows_red_batter_has_red_on_the_label() -> None:
    glycerol = dyed(Dispersion("glycerol", 20))
    portions = (Portion("red", share_pct=50, additions=(glycerol,)),
                Portion("rose", share_pct=25, borrows=(Borrowing("red", 20),)), Portion("plain", share_pct=25))
    # two lists: red and rose hold the same things in the same order, plain does not
    by_cavity = names(*portions, arrangement="separate", count=3)
    assert sorted(("CI 77491" in one, "Glycerin" in one) for one in by_cavity)[0] == (False, False)
    assert {("CI 77491" in one, "Glycerin" in one) for one in by_cavity} == {(False, False), (True, True)}
    holders = label_of(plan_batch(SHARES, Mould(Box(100, 80, 70), count=3), Scale(), portions=portions,
                                  arrangement="separate", expected_loss_pct=10), LabelOptions(market="EU")).bars
    red = {key for bar in holders if any(one.name == "CI 77491" for one in bar.ingredients) for key in bar.holds}
    assert {"red", "rose"} <= red
