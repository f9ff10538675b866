"""A whole batch: what it fills, what it weighs, and errors of independent stages at once."""

from __future__ import annotations

import pytest
from kettlewright.errors import DomainErrors
from kettlewright.plan import CutOptions, plan_batch, plan_lye
from kettlewright.pour import Addition, BarCut, Bowl, Box, Mould, Portion
from kettlewright.recipe import AlkaliPortion, FatPortion, Recipe, Scale, WaterRule
from recipes import SHARES, own_fat, recipe

SLAB = Mould(Box(380, 260, 60), headspace_mm=6)


def test_a_batch_by_share_fills_its_mould_to_the_headspace() -> None:
    plan = plan_batch(SHARES, SLAB, Scale())
    assert plan.fill.depth_mm == pytest.approx(54, abs=0.05)
    assert plan.division.portions[0].name == "batter"
    assert sum(fat.share_pct for fat in plan.lye.fats) == pytest.approx(100)
    assert plan.lye.fats[0].share_pct == pytest.approx(70, abs=0.05)


def test_a_batch_by_mass_is_made_as_requested() -> None:
    by_mass = recipe(FatPortion("olive", mass_g=2000), FatPortion("coconut", mass_g=1000))
    plan = plan_batch(by_mass, SLAB, Scale())
    assert [fat.weigh_g for fat in plan.lye.fats] == [2000, 1000]
    assert "mould-underfilled" in {caution.key for caution in plan.cautions}
    assert plan.division.missing_depth_mm == pytest.approx(54 - (plan.fill.depth_mm or 0))


def test_without_a_loss_in_cure_all_water_counts_as_gone() -> None:
    scent = Addition("scent", "fragrance", 2, "pct_of_fats", limit_pct=3)
    plan = plan_batch(SHARES, SLAB, Scale(), portions=(Portion("all", share_pct=100, additions=(scent,)),))
    # 2 parts of water to 1 of alkali: of 1000 g fats, 142.2 g and 284.5 g of water, and 20 g of scent in one bucket:
    # 284.5 / 1446.7 = 19.67 %
    assert plan.division.loss_taken_pct == pytest.approx(19.67, abs=0.05)
    assert plan.division.loss_pct is None
    with_loss = plan_batch(SHARES, SLAB, Scale(), expected_loss_pct=11, portions=(
        Portion("all", share_pct=100, additions=(scent,)),))
    less = plan.division.portions[0].additions[0].allowed_mass_g
    more = with_loss.division.portions[0].additions[0].allowed_mass_g
    assert less is not None
    assert more is not None
    assert less < more


def test_faults_of_independent_stages_are_reported_together() -> None:
    weak = Recipe(fats=SHARES.fats, superfat_pct=5, alkalis=(AlkaliPortion("NaOH"),),
                  water=WaterRule(water_to_alkali=0.8))
    with pytest.raises(DomainErrors) as caught:
        plan_batch(weak, Mould(Bowl(80, 30)), Scale(), cut=CutOptions(BarCut(count=5)),
                   portions=(Portion("a", mass_g=100),))
    assert [fault.field for fault in caught.value.errors] == [("recipe", "water"), ("cut",), ("portions",)]


def test_a_batter_beyond_any_workshop_is_reported_at_the_fats() -> None:
    heavy = recipe(own_fat(990_000, 190))
    with pytest.raises(ValueError, match="would weigh 1,372 kg") as alone:
        plan_lye(heavy, Scale())
    assert alone.value.field == ("fats",)
    with pytest.raises(DomainErrors) as caught:
        plan_batch(heavy, SLAB, Scale())
    assert [fault.field for fault in caught.value.errors] == [("recipe", "fats")]
