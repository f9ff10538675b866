"""Oil of additions that gets no alkali."""

from __future__ import annotations

from kettlewright.plan import plan_batch
from kettlewright.pour import Addition, Box, Contains, Mould, Portion
from kettlewright.recipe import Scale
from recipes import own_fat, recipe


def test_the_oil_of_a_portion_stays_free_and_is_reported() -> None:
    red = Addition("red in oil", "colourant", 20, "mass", contains=Contains(fat_pct=80, fat="sunflower"))
    plan = plan_batch(recipe(own_fat(700, 190)), Mould(Box(100, 100, 120)), Scale(), portions=(
        Portion("red", share_pct=50, additions=(red,)), Portion("plain", share_pct=50)))
    caution = {caution.key: caution for caution in plan.cautions}["dispersion-oil-free"]
    assert caution.message.startswith("Free fat on top of the superfat")
    assert caution.message.endswith(": red 16 g.")
    assert caution.pointer == "/portions/0/additions/0"
