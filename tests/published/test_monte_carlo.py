"""The likely superfat against 200,000 draws of every uncertain input (numpy, seeded), for ten recipes.

What is drawn: saponification values, strengths and weighings, each evenly over its range. The percentiles of the draws
owe nothing to the propagation formula of the code.
"""

from __future__ import annotations

import numpy as np
import pytest
from kettlewright.recipe import AcidPortion, AlkaliPortion, FatPortion, LiquidPortion, Recipe, Scale, Stock, make_lye
from recipes import own_fat, recipe

NAOH, KOH = 39.9971, 56.1056
MOLAR = {"NaOH": NAOH, "KOH": KOH}
PURITY = AlkaliPortion("NaOH", purity_pct=98)
RECIPES: dict[str, tuple[Recipe, Scale]] = {
    "one fat": (recipe(own_fat(1000, 190, 6), alkalis=(PURITY,)), Scale()),
    "three fats": (recipe(own_fat(600, 190, 6, name="a"), own_fat(250, 256.5, 8.5, name="b"),
                          own_fat(150, 199.5, 9.5, name="c"), alkalis=(PURITY,)), Scale()),
    "five of the table": (recipe(*(FatPortion(key, mass_g=mass) for key, mass in (
        ("olive", 480), ("coconut", 250), ("sunflower_high_oleic", 150), ("castor", 60), ("cocoa_butter", 60)))),
        Scale()),
    "shea, whose range says little": (recipe(FatPortion("olive", mass_g=500), FatPortion("shea", mass_g=500)), Scale()),
    "a small batch on a coarse scale": (recipe(own_fat(100, 192, 1), alkalis=(PURITY,)), Scale(1, 1, 1)),
    "a promise of at least 85 %": (recipe(own_fat(1000, 190, 3), alkalis=(
        AlkaliPortion("KOH", purity_at_least_pct=85),)), Scale()),
    "both alkalis": (recipe(own_fat(700, 190, 6, name="a"), own_fat(300, 257, 8, name="b"), alkalis=(
        AlkaliPortion("NaOH", purity_pct=98, share_pct=40), AlkaliPortion("KOH", purity_pct=90, share_pct=60))),
        Scale()),
    "two stocks": (recipe(own_fat(700, 190, 2, name="a"), own_fat(300, 257, 2, name="b"), alkalis=(
        AlkaliPortion("NaOH", stock=Stock(50), share_pct=40), AlkaliPortion("KOH", stock=Stock(45), share_pct=60))),
        Scale()),
    "an acid": (recipe(own_fat(1000, 196, 4), acids=(AcidPortion("citric_anhydrous", mass_g=15),), alkalis=(PURITY,)),
                Scale()),
    "milk": (recipe(own_fat(1000, 190, 6), alkalis=(PURITY,), liquids=(LiquidPortion(
        name="milk", mass_g=150, water_pct=87, fat_pct=4, fat="butterfat"),)), Scale()),
}


def drawn(requested: Recipe, scale: Scale, draws: int = 200_000) -> np.ndarray:
    """Superfats of so many batches of this recipe. [%]"""
    lye, random = make_lye(requested, scale), np.random.default_rng(20261125)

    def around(middle: float, half: float) -> np.ndarray:
        return random.uniform(middle - half, middle + half, draws)

    demand = sum(around(fat.weigh_g, scale.readability_g / 2) * random.uniform(
        fat.fat.saponification_value.min, fat.fat.saponification_value.max, draws) for fat in lye.fats)
    for liquid in lye.liquids:
        value = liquid.portion.fat_value
        if value is not None:
            demand = demand + around(liquid.weigh_g, scale.readability_g / 2) * liquid.portion.fat_pct / 100 \
                * random.uniform(value.min, value.max, draws)
    mol = sum(around(alkali.weigh_g, scale.alkali_readability_g / 2) * random.uniform(
        alkali.portion.strength_range.min, alkali.portion.strength_range.max, draws) / MOLAR[alkali.key]
        for alkali in lye.alkalis)
    for acid in lye.acids:
        mol = mol - around(acid.weigh_g, scale.dose_readability_g / 2) * 3 / 192.124
    return 100 * (1 - mol / (demand / 56105.6))


@pytest.mark.parametrize("name", RECIPES)
def test_the_likely_range_is_where_the_draws_lie(name: str) -> None:
    requested, scale = RECIPES[name]
    found, draws = make_lye(requested, scale).superfat, drawn(requested, scale)
    low, high = np.percentile(draws, [2.5, 97.5])
    width = high - low
    # Never narrower than the draws by more than a hundredth of their width: the dangerous side.
    assert found.likely_pct.min <= low + 0.01 * width
    assert found.likely_pct.max >= high - 0.01 * width
    # Never wider by more than a ninth on either side. It is wider where one rectangular input makes nearly all of the
    # spread: 95 % of a rectangle end at 0.95 half-widths, twice its standard uncertainty at 1.155, cut to 1.
    assert found.likely_pct.min >= low - 0.11 * width
    assert found.likely_pct.max <= high + 0.11 * width
    inside = np.mean((draws >= found.likely_pct.min) & (draws <= found.likely_pct.max))
    assert 0.94 <= inside <= 1


@pytest.mark.parametrize("name", RECIPES)
def test_no_draw_lies_beyond_the_worst_case(name: str) -> None:
    requested, scale = RECIPES[name]
    found, draws = make_lye(requested, scale).superfat.worst_case_pct, drawn(requested, scale)
    assert found.min - 1e-9 <= draws.min()
    assert draws.max() <= found.max + 1e-9


@pytest.mark.parametrize("name", RECIPES)
def test_the_dominant_input_is_the_one_the_draws_feel_most(name: str) -> None:
    requested, scale = RECIPES[name]
    found = make_lye(requested, scale).superfat
    assert found.dominant is not None
    shares = [one.variance_share_pct for one in found.inputs]
    assert sum(shares) == pytest.approx(100)
    assert shares == sorted(shares, reverse=True)
    assert found.dominant.variance_share_pct == shares[0]
