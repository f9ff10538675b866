"""Acids: the alkali they take, and too much of them."""

from __future__ import annotations

import pytest
from kettlewright.recipe import AcidPortion, make_lye
from kettlewright.recipe.weighing import EXACT
from recipes import own_fat, recipe


@pytest.mark.parametrize(("acid", "mass", "strength", "naoh"), [
    ("acetic", 200, 5, 6.66041), ("lactic", 20, 88, 7.81488), ("lactic", 20, 80, 7.10448)])
def test_an_acid_in_the_strength_it_is_sold_in(acid: str, mass: float, strength: float, naoh: float) -> None:
    # computed from molar masses: 200 g of vinegar of 5 % by mass, 20 g of lactic acid of 88 and 80 %
    plain = make_lye(recipe(own_fat(1000, 190)), EXACT).alkalis[0].weigh_g
    sour = make_lye(recipe(own_fat(1000, 190), acids=(AcidPortion(acid, mass_g=mass, strength_pct=strength),)), EXACT)
    assert sour.alkalis[0].weigh_g - plain == pytest.approx(naoh, rel=1e-4)


def test_an_acid_that_outweighs_the_fat_is_rejected() -> None:
    def sour(mass: float) -> object:
        return make_lye(recipe(own_fat(100, 190), acids=(AcidPortion("citric_anhydrous", mass_g=mass),)), EXACT)

    assert sour(100)
    with pytest.raises(ValueError, match=r"acids weigh 101 g, more than the fats \(100 g\).*fine scale"):
        sour(101)
