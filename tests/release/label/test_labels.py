"""Laws of every label: nothing is lost, the order holds, what is added up is what went in."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from kettlewright.plan import CutOptions, Plan, label_of, plan_batch
from kettlewright.pour import (
    Addition,
    BarCut,
    Box,
    Constituent,
    Contains,
    Cylinder,
    Dusting,
    LoafCut,
    Mould,
    Portion,
    Residue,
)
from kettlewright.recipe import AcidPortion, AlkaliPortion, FatPortion, LiquidPortion, Recipe, Scale, Stock, WaterRule
from kettlewright.release import BarLabel, LabelOptions
from kettlewright.release.label.markets import MARKETS
from kettlewright.release.label.naming import Namer
from kettlewright.release.label.pot_contents import pot_of

FATS = ["olive", "coconut", "shea", "castor", "sunflower", "walnut", "beeswax", "stearic_acid", "almond_sweet"]
KINDS = ["colourant", "fragrance", "clay", "exfoliant", "botanical", "sugar", "salt", "soap_pieces", "other"]
markets = st.sampled_from(["EU", "GB", "US"])


@st.composite
def additions(draw: st.DrawFn, prefix: str) -> tuple[Addition, ...]:
    found = []
    for number in range(draw(st.integers(0, 3))):
        kind = draw(st.sampled_from(KINDS))
        allergens = (Constituent(draw(st.floats(0.001, 50)), cas="78-70-6"),
                     Constituent(draw(st.floats(0.001, 50)), name="Limonene")) if kind == "fragrance" else ()
        contains = Contains(fat_pct=40, water_pct=10, fat="sunflower") if draw(st.booleans()) else None
        found.append(Addition(f"{prefix} {number}", kind, draw(st.floats(0.0001, 3)), "pct_of_batter",
                              contains=contains, allergens=allergens))
    return tuple(found)


@st.composite
def recipes(draw: st.DrawFn) -> Recipe:
    keys = draw(st.lists(st.sampled_from(FATS), min_size=1, max_size=4, unique=True))
    cuts = sorted(draw(st.lists(st.floats(1, 99), min_size=len(keys) - 1, max_size=len(keys) - 1)))
    edges = [0.0, *cuts, 100.0]
    fats = tuple(FatPortion(fat=key, share_pct=max(high - low, 0.5)) for key, low, high in
                 zip(keys, edges, edges[1:], strict=False))
    total = math.fsum(fat.share_pct or 0.0 for fat in fats)
    fats = tuple(replace(fat, share_pct=(fat.share_pct or 0.0) * 100 / total) for fat in fats)
    alkalis: tuple[AlkaliPortion, ...] = draw(st.sampled_from([
        (AlkaliPortion("NaOH", purity_pct=98),), (AlkaliPortion("NaOH", stock=Stock(50)),),
        (AlkaliPortion("NaOH", share_pct=70), AlkaliPortion("KOH", share_pct=30, purity_pct=90)),
        (AlkaliPortion("KOH", purity_pct=85, count_impurity_as_water=True),)]))
    acids = draw(st.sampled_from([(), (AcidPortion("citric_anhydrous", pct_of_fats=1.5),),
                                  (AcidPortion("tartaric", pct_of_fats=1), AcidPortion("lactic", pct_of_fats=2,
                                                                                      strength_pct=80))]))
    # with a stock and much wax the lye has little water to replace: 6.5 % of the fats at the least
    liquids = (LiquidPortion(name="goat milk", pct_of_fats=5, water_pct=87, fat_pct=4, fat="butterfat"),) \
        if draw(st.booleans()) else ()
    return Recipe(fats=fats, superfat_pct=draw(st.floats(0, 20)), alkalis=alkalis, acids=acids, liquids=liquids,
                  water=WaterRule(water_to_alkali=draw(st.floats(2.2, 3))))


@st.composite
def plans(draw: st.DrawFn) -> Plan:
    arrangement = draw(st.sampled_from(["layers", "columns", "mingled", "separate"]))
    count = draw(st.integers(1, 3))
    powder = Dusting("kaolin", 60) if arrangement in ("layers", "separate") and draw(st.booleans()) else None
    portions = tuple(Portion(f"portion {number}", share_pct=100 / count, additions=draw(additions(f"p{number}")),
                             dusting=powder if number == 0 else None) for number in range(count))
    shape: Any = Box(380, 260, 60) if arrangement != "layers" or draw(st.booleans()) else Cylinder(80, 300)
    cut = None
    if arrangement != "separate" and draw(st.booleans()):
        cut = CutOptions(BarCut(thickness_mm=25), loaf=LoafCut(70) if isinstance(shape, Box) else None, kerf_mm=1)
    mould = Mould(shape, count=count if arrangement == "separate" else 1, headspace_mm=5)
    return plan_batch(draw(recipes()), mould, Scale(), portions=portions, additions=draw(additions("batch")),
                      residue=Residue(draw(st.floats(0, 50)), draw(st.floats(0, 10))), arrangement=arrangement, cut=cut,
                      expected_loss_pct=draw(st.one_of(st.none(), st.floats(0, 10))))


def put_in(plan: Plan, bar: BarLabel) -> set[str]:
    """Where in the request everything is that these bars hold, alkali and water aside. [pointers]"""
    found = {f"/recipe/{what}/{index}" for what in ("fats", "acids", "liquids")
             for index in range(len(getattr(plan.recipe, what)))}
    found |= {f"/additions/{index}" for index in range(len(plan.division.additions))}
    for index, portion in enumerate(plan.division.portions):
        if portion.key in bar.holds:
            found |= {f"/portions/{index}/additions/{number}" for number in range(len(portion.additions))}
            found |= {f"/portions/{index}/dusting"} if portion.dusting is not None else set()
    return found


@settings(max_examples=120)
@given(plans(), markets, st.sampled_from(["as_added", "as_reacted"]))
def test_everything_in_a_bar_is_on_its_label_and_in_its_place(plan: Plan, market: str, naming: str) -> None:
    label = label_of(plan, LabelOptions(market=market, naming=naming))
    made = plan.cuts.bars.count if plan.cuts is not None else plan.division.mould.count if plan.division.mould else 0
    assert sum(bar.count or 0 for bar in label.bars) == made
    for bar in label.bars:
        listed = {pointer for line in bar.ingredients for pointer in line.pointers}
        assert put_in(plan, bar) <= listed
        names = [line.name.casefold() for line in bar.ingredients]
        assert len(set(names)) == len(names)
        assert {MARKETS[market].water.casefold()} <= set(names)
        assert bar.text == f"Ingredients: {', '.join(line.name for line in bar.ingredients)}."
        # in falling order, colourants last; what is in the ordered group is 1 % or more
        plain = [line for line in bar.ingredients if line.group != "colourants"]
        assert list(bar.ingredients[:len(plain)]) == plain
        assert [line.share_pct for line in plain] == sorted((line.share_pct for line in plain), reverse=True)
        assert all((line.share_pct >= 1 - 1e-9) is (line.group == "ordered") for line in plain)
        assert all((line.role == "colourant") is (line.group == "colourants") for line in bar.ingredients)
        assert math.fsum(line.share_pct for line in bar.ingredients if line.role != "allergen") == pytest.approx(100)
        # an allergen is a part of the scent, and is named just where it is above its limit
        for one in bar.allergens:
            assert (one.name in bar.declared) is (market != "US" and one.concentration_pct > one.limit_pct)


@settings(max_examples=100)
@given(recipes())
def test_the_pot_weighs_the_same_as_added_and_as_reacted(recipe: Recipe) -> None:
    plan = plan_batch(recipe, Mould(Box(380, 260, 60)), Scale())
    namer = Namer(MARKETS["EU"], {})
    added, reacted = (pot_of(plan.lye, (), namer, as_reacted=reacted).mass_g for reacted in (False, True))
    impurity = math.fsum(alkali.weigh_g - alkali.weigh_pure_g for alkali in plan.lye.alkalis
                         if not alkali.portion.brings_water)
    assert added == pytest.approx(plan.batter.mass_g, rel=1e-9)
    assert reacted == pytest.approx(added - impurity, rel=1e-6)
    assert all(piece.mass_g > 0 for piece in pot_of(plan.lye, (), namer, as_reacted=True).pieces)


@settings(max_examples=60)
@given(plans())
def test_kinds_of_bars_together_hold_the_scent_that_was_poured(plan: Plan) -> None:
    """What all pieces hold of an allergen is what left the buckets."""
    if plan.cuts is not None:
        return
    from kettlewright.release.label.bar_contents import bars_of
    from kettlewright.release.label.bucket_contents import buckets_of
    namer = Namer(MARKETS["EU"], {})
    pot = pot_of(plan.lye, plan.division.additions, namer, as_reacted=False)
    buckets = buckets_of(plan.division, pot, namer)
    bars = bars_of(plan.division, buckets, None, plan.arrangement, piece_tolerance_pct=3)
    held = math.fsum(bar.count * bar.content.mass_g for bar in bars)
    poured = math.fsum(part.mass_g for pair in buckets.values() for part in pair)
    assert held == pytest.approx(poured, rel=1e-9)
    # weighed additions replace exact ones: a step of the scale each is the most they differ
    steps = 0.1 * (1 + sum(len(portion.additions) for portion in plan.division.portions)
                   + len(plan.division.additions))
    assert held == pytest.approx(plan.division.mould_mass_g, abs=steps)
    for name in ("Linalool", "Limonene"):
        assert math.fsum(bar.count * mass for bar in bars for key, mass in bar.content.allergens if key == name) == \
            pytest.approx(math.fsum(mass for pair in buckets.values() for part in pair
                                    for key, mass in part.allergens if key == name), rel=1e-9)


@given(st.floats(1.001, 50))
def test_a_label_does_not_depend_on_the_size_of_the_batch(factor: float) -> None:
    fine = Scale(1e-6, 1e-6, 1e-6)
    recipe = Recipe(fats=(FatPortion(fat="olive", mass_g=700), FatPortion(fat="coconut", mass_g=300)), superfat_pct=5,
                    alkalis=(AlkaliPortion("NaOH"),), water=WaterRule(water_to_alkali=2))
    larger = replace(recipe, fats=tuple(replace(fat, mass_g=(fat.mass_g or 0) * factor) for fat in recipe.fats))
    box = Mould(Box(1000, 1000, 300))
    one, other = (label_of(plan_batch(one_recipe, box, fine, expected_loss_pct=10), LabelOptions(market="EU")).bars[0]
                  for one_recipe in (recipe, larger))
    assert one.text == other.text
    assert [line.share_pct for line in one.ingredients] == pytest.approx([line.share_pct for line in other.ingredients],
                                                                         rel=1e-5)
