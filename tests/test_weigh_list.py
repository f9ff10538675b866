"""Rows of a weigh list say what they are, and each differs from every other."""

from __future__ import annotations

from collections import Counter

import pytest
from kettlewright.plan import plan_batch
from kettlewright.pour import Addition, Borrowing, Box, Contains, Dispersion, Dusting, Measured, Mould, Portion, Residue
from kettlewright.recipe import AcidPortion, AlkaliPortion, FatPortion, LiquidPortion, Recipe, Scale, Stock, WaterRule
from kettlewright.weigh_list import BENCH_MADE, KINDS, WHERES, WeighRow
from recipes import own_fat, recipe

IN_OLIVE = Dispersion("oil", 20, fat="olive")


def rows_of_everything() -> tuple[WeighRow, ...]:
    """A batch with every kind of row, and names that meet on purpose."""
    recipe = Recipe(
        fats=(FatPortion(fat="olive", mass_g=400, lot="A"), FatPortion(fat="olive", mass_g=300, lot="B"),
              FatPortion(fat="coconut", mass_g=300)),
        superfat_pct=6, water=WaterRule(water_to_alkali=3),
        alkalis=(AlkaliPortion("NaOH", share_pct=80, stock=Stock(50)),
                 AlkaliPortion("KOH", share_pct=20, purity_at_least_pct=85)),
        acids=(AcidPortion("acetic", mass_g=20, strength_pct=5), AcidPortion("lactic", mass_g=5, strength_pct=80),
               AcidPortion("stearic", mass_g=10, strength_pct=95), AcidPortion("citric_anhydrous", mass_g=4)),
        liquids=(LiquidPortion(name="goat milk", mass_g=50, water_pct=87, frozen=True),))
    red = Addition("red", "colourant", 1.0, "g_per_kg_batter", dispersion=IN_OLIVE, lot="R-1")
    blue = Addition("blue", "colourant", 1.0, "g_per_kg_batter", dispersion=IN_OLIVE)
    mist = Addition("mist", "spray", 2.0, "mass")
    madder = Addition("madder", "colourant", 2.0, "g_per_kg_batter", contains=Contains(water_pct=60))
    return plan_batch(
        recipe, Mould(Box(250, 85, 85)), Scale(), residue=Residue(kept_back_g=50),
        additions=(red, mist, Addition("salt", "salt", 5.0, "mass")),
        portions=(Portion("red", share_pct=50, additions=(red, madder), dusting=Dusting("red", 20)),
                  Portion("blue", share_pct=50, additions=(blue, mist), borrows=(Borrowing("red", 10.0),)))).weigh_list


ROWS = rows_of_everything()


def test_batter_that_goes_into_one_bucket_is_called_batter() -> None:
    recipe = Recipe(fats=(FatPortion(fat="olive", mass_g=900),), superfat_pct=5, water=WaterRule(water_to_alkali=2),
                    alkalis=(AlkaliPortion("NaOH"),))
    names = {portions: str(plan_batch(recipe, Mould(Box(250, 85, 85)), Scale(), portions=portions).weigh_list[-1].name)
             for portions in ((), (Portion("red", share_pct=100),))}
    assert list(names.values()) == ["batter", "batter for red"]


def test_no_two_rows_are_called_the_same() -> None:
    assert [one for one, count in Counter(row.identity for row in ROWS).items() if count > 1] == []


def test_rows_use_the_words_they_may() -> None:
    assert {row.kind for row in ROWS} == set(KINDS) - {"ice"}
    assert {row.where for row in ROWS} == set(WHERES)


def test_what_is_made_on_the_bench_is_not_bought() -> None:
    assert {row.kind for row in ROWS if row.buy is None} == set(BENCH_MADE)
    assert {row.buy for row in ROWS if row.kind == "stock"} == {"NaOH_stock"}
    assert {row.buy for row in ROWS if row.kind == "carrier"} == {"olive"}


@pytest.mark.parametrize(("where", "portion", "kind", "key", "form"), [
    ("jug", None, "stock", "NaOH", "50 % solution"), ("jug", None, "alkali", "KOH", "at least 85 % pure"),
    ("jug", None, "acid", "acetic", "5 % vinegar"), ("jug", None, "acid", "lactic", "80 % solution"),
    ("pot", None, "acid", "stearic", "95 % pure"), ("jug", None, "acid", "citric_anhydrous", None),
    ("jug", None, "liquid", "goat_milk", "frozen"), ("jar", None, "addition", "red", "dry"),
    ("jar", None, "carrier", "red", None), ("jar", None, "carrier", "blue", None),
    ("pot", None, "dispersion", "red", "20 % in olive oil (virgin, refined)"),
    ("bucket", "red", "dispersion", "red", "20 % in olive oil (virgin, refined)"),
    ("bucket", "red", "addition", "madder", "with 60 % water"), ("bucket", "red", "batter", "red", None),
    ("bucket", "blue", "batter", "red", None), ("mould", "red", "dusting", "red", None),
    ("mould", None, "spray", "mist", None), ("mould", "blue", "spray", "mist", None),
    ("aside", None, "kept_back", "kept_back", None)])
def test_a_row_says_what_its_bottle_holds(where: str, portion: str | None, kind: str, key: str,
                                          form: str | None) -> None:
    row, = (one for one in ROWS if (one.where, one.portion, one.kind, one.key) == (where, portion, kind, key))
    assert row.form == form


def test_the_weigh_list_follows_the_hands() -> None:
    requested = recipe(own_fat(1000, 190, name="tallow"),
                       acids=(AcidPortion("stearic", mass_g=20), AcidPortion("lactic", mass_g=5)),
                       alkalis=(AlkaliPortion("KOH", purity_pct=90, share_pct=50, lot="K-1"),
                                AlkaliPortion("NaOH", stock=Stock(50), share_pct=50)))
    scent = Addition("scent", "fragrance", 10, "mass", lot="F-1")
    plan = plan_batch(requested, Mould(Measured(2000, depth_mm=100)), Scale(), additions=(
        Addition("salt", "salt", 5, "mass"),), portions=(
            Portion("red", share_pct=50, additions=(scent,), dusting=Dusting("kaolin", 60)),
            Portion("plain", share_pct=50, additions=(Addition("mist", "spray", 2, "mass"),))))
    assert [(" ".join(filter(None, (row.where, row.portion))), row.name) for row in plan.weigh_list] == [
        ("jug", "water"), ("jug", "lactic acid"), ("jug", "potassium hydroxide"), ("jug", "sodium hydroxide stock"),
        ("pot", "tallow"), ("pot", "stearic acid"), ("pot", "salt"), ("bucket red", "batter for red"),
        ("bucket red", "scent"), ("mould red", "kaolin"), ("bucket plain", "batter for plain"),
        ("mould plain", "mist")]
    assert [row.lot for row in plan.weigh_list if row.lot] == ["K-1", "F-1"]
    assert [row.fine for row in plan.weigh_list[:2]] == [False, True]
    assert [row.step_g for row in plan.weigh_list] == [1, 0.1, 0.1, 0.1, 1, 0.1, 0.1, 1, 0.1, 0.1, 1, 0.1]
