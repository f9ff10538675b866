"""Vessels, the weigh list and one whole batch."""

from __future__ import annotations

import pytest
from kettlewright.errors import DomainErrors
from kettlewright.plan import CutOptions, plan_batch, plan_lye
from kettlewright.pour import Addition, BarCut, Bowl, Box, Dusting, LoafCut, Measured, Mould, Portion, Residue, Trim
from kettlewright.recipe import AcidPortion, AlkaliPortion, FatPortion, Recipe, Scale, Stock, WaterRule
from recipes import SHARES, own_fat, recipe

SLAB = Mould(Box(380, 260, 60), headspace_mm=6)


@pytest.mark.parametrize(("water_c", "jug"), [(None, 750), (20, 750), (1, 500)])
def test_the_jug_is_half_full_where_the_lye_is_hot_or_unknown(water_c: float | None, jug: float) -> None:
    # 386 g of lye in 286 mL: half full takes 572, so 750; two thirds full 429, so 500
    plan = plan_lye(recipe(own_fat(1000, 190), water_c=water_c), Scale())
    assert plan.lye.solution.volume_ml == pytest.approx(286, abs=2)
    assert plan.vessels.jug_ml == jug


def test_the_pot_is_two_thirds_full() -> None:
    plan = plan_lye(recipe(own_fat(1000, 190)), Scale())
    assert plan.batter.volume_ml == pytest.approx(1391, abs=3)
    assert plan.vessels.pot_ml == 2250  # 2087 up to the next quarter of a litre


def test_the_weigh_list_follows_the_hands() -> None:
    asked = recipe(own_fat(1000, 190, name="tallow"),
                   acids=(AcidPortion("stearic", mass_g=20), AcidPortion("lactic", mass_g=5)),
                   alkalis=(AlkaliPortion("KOH", purity_pct=90, share_pct=50, lot="K-1"),
                            AlkaliPortion("NaOH", stock=Stock(50), share_pct=50)))
    scent = Addition("scent", "fragrance", 10, "mass", lot="F-1")
    plan = plan_batch(asked, Mould(Measured(2000, depth_mm=100)), Scale(), additions=(
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


def test_the_block_that_is_cut_weighs_what_the_mould_received() -> None:
    plan = plan_batch(SHARES, Mould(Box(380, 260, 60), count=2, liner_mm=1), Scale(), portions=(
        Portion("red", share_pct=40, dusting=Dusting("kaolin", 60)), Portion("plain", share_pct=60)),
        residue=Residue(10, 3), cut=CutOptions(BarCut(thickness_mm=25), LoafCut(85), 1, Trim(4, 4)),
        expected_loss_pct=11)
    cuts = plan.cuts
    assert cuts is not None
    assert cuts.bars.mass is not None
    assert cuts.kerf_mass_g is not None
    assert cuts.block.length_mm == 378
    assert (cuts.loaves.count, cuts.bars.count) == (4, 2 * 2 * 14)
    total = cuts.bars.count * cuts.bars.mass.mid_g + cuts.kerf_mass_g + sum(piece.mass_g or 0 for piece in cuts.offcuts)
    assert total == pytest.approx(plan.division.mould_mass_g, rel=1e-9)
    assert cuts.bars.cured_mass is not None
    assert cuts.bars.cured_mass.mid_g == pytest.approx(cuts.bars.mass.mid_g * 0.89)


def test_without_a_loss_in_cure_all_water_counts_as_gone() -> None:
    scent = Addition("scent", "fragrance", 2, "pct_of_fats", limit_pct=3)
    plan = plan_batch(SHARES, SLAB, Scale(), portions=(Portion("all", share_pct=100, additions=(scent,)),))
    # 2 parts of water to 1 of alkali: of 1000 g fats, 142.2 g and 284.5 g of water, and 20 g of scent in one bucket:
    # 284.5 / 1446.7 = 19.67 %
    assert plan.division.loss_taken_pct == pytest.approx(19.67, abs=0.05)
    assert plan.division.loss_pct is None
    told = plan_batch(SHARES, SLAB, Scale(), expected_loss_pct=11, portions=(
        Portion("all", share_pct=100, additions=(scent,)),))
    less = plan.division.portions[0].additions[0].allowed_mass_g
    more = told.division.portions[0].additions[0].allowed_mass_g
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


def test_portions_by_mass_must_meet_fats_by_mass() -> None:
    by_mass = recipe(FatPortion("olive", mass_g=700), FatPortion("coconut", mass_g=300))
    made = plan_lye(by_mass, Scale()).lye.mass_g
    plan = plan_batch(by_mass, SLAB, Scale(), portions=(Portion("a", mass_g=500), Portion("b", mass_g=made - 500)))
    assert plan.division.residue_mass_g == pytest.approx(0.4, abs=0.61)


def test_a_batter_beyond_any_workshop_is_reported_at_the_fats() -> None:
    heavy = recipe(own_fat(990_000, 190))
    with pytest.raises(ValueError, match="would weigh 1,372 kg") as alone:
        plan_lye(heavy, Scale())
    assert alone.value.field == ("fats",)
    with pytest.raises(DomainErrors) as caught:
        plan_batch(heavy, SLAB, Scale())
    assert [fault.field for fault in caught.value.errors] == [("recipe", "fats")]
