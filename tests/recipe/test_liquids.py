"""Liquids: the water they bring, the fat in them, and liquids that cannot be."""

from __future__ import annotations

from typing import Any

import pytest
from kettlewright.errors import DomainErrors
from kettlewright.ranges import Range
from kettlewright.recipe import LiquidPortion, make_lye
from kettlewright.recipe.certificates import check_value
from kettlewright.recipe.weighing import EXACT
from recipes import own_fat, recipe

MILK = LiquidPortion(name="goat milk", mass_g=150, water_pct=87, fat_pct=4, saponification_value=Range(230, 230))


def test_a_liquid_brings_water_and_its_fat_takes_alkali() -> None:
    lye = make_lye(recipe(own_fat(1000, 190), liquids=(MILK,)), EXACT)
    # (190000 + 6 x 230) / 56105.6 x 0.95 x 39.9971 = 129.615; water 2 x that less 130.5
    assert lye.alkalis[0].mass_g == pytest.approx(129.615, rel=1e-4)
    assert lye.water.mass_g == pytest.approx(259.23 - 130.5, abs=0.02)
    assert lye.solution.water_mass_g == pytest.approx(2 * lye.alkalis[0].weigh_g, rel=1e-6)
    assert lye.mass_g == pytest.approx(1000 + 150 + 129.615 + 128.73, abs=0.05)
    assert lye.superfat.achieved_pct == pytest.approx(5, abs=1e-6)


def test_a_liquid_with_more_water_than_the_lye_is_rejected() -> None:
    flood = LiquidPortion(name="tea", mass_g=400, water_pct=99)
    with pytest.raises(ValueError, match=r"^153\.9 % of the water.*at most 259\.952 g of tea fits") as caught:
        make_lye(recipe(own_fat(1000, 190), liquids=(flood,)), EXACT)
    assert caught.value.field == ("water",)


@pytest.mark.parametrize(("more", "words"), [
    ({"water_pct": 97, "fat_pct": 4, "fat": "butterfat"}, "more than 100 % together"),
    ({"water_pct": 87, "fat_pct": 4}, "Give the fat in"),
    ({"water_pct": 87, "fat": "butterfat"}, "contains none"),
    ({"water_pct": 87, "frozen": True, "temperature_c": 4}, "frozen, so it is at 0"),
    ({"water_pct": 120}, "from 0 to 100"),
    ({"water_pct": 87, "pct_of_fats": 10}, "2 given")])
def test_a_liquid_that_cannot_be_is_rejected(more: dict[str, Any], words: str) -> None:
    with pytest.raises(DomainErrors, match=words):
        LiquidPortion(name="milk", mass_g=100, **more)


@pytest.mark.parametrize(("value", "words"), [
    (0.135, "189.4 if these are grams of NaOH, 135.0 if grams of KOH"), (0.19, "190.0 if grams of KOH"),
    (59.9, "from 60 to 400"), (400.1, "from 60 to 400")])
def test_a_coefficient_is_recognised_by_its_size(value: float, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        check_value(value)
