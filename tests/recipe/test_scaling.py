"""A recipe at another size."""

from __future__ import annotations

import pytest
from kettlewright.plan import Target, scale_recipe
from kettlewright.recipe import Limiting, Scale, make_lye
from recipes import BASE, own_fat, recipe


def test_alkali_is_computed_anew_and_never_scaled() -> None:
    # 10 g of fat take 1.42 g of alkali, weighed as 1 g; a hundred times that would be 100 g, the true figure 142 g
    small = recipe(own_fat(7, 190), own_fat(3, 257))
    assert make_lye(small, Scale(1, 1, 1)).alkalis[0].weigh_g == 1
    assert scale_recipe(small, Target(factor=100), Scale(1, 1, 1)).lye.lye.alkalis[0].weigh_g == 142


def test_what_is_left_must_be_in_the_recipe() -> None:
    for kind, key in (("fat", "c"), ("alkali", "KOH"), ("addition", "sugar")):
        with pytest.raises(ValueError, match=key):
            scale_recipe(BASE, Target(limiting=Limiting(kind, key, 60)), Scale())


def test_a_size_beyond_any_workshop_is_rejected() -> None:
    with pytest.raises(ValueError, match="has masses outside the limits"):
        scale_recipe(BASE, Target(factor=9000), Scale())
