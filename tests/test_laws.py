"""Laws that hold for every batch: nothing is lost, nothing is lye-heavy, sizes and units do not change the answer."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from kettlewright.errors import DomainError, DomainErrors
from kettlewright.plan import MouldTarget, Target, plan_batch, scale_recipe
from kettlewright.pour import (
    Addition,
    BarCut,
    Batter,
    Block,
    Box,
    Cylinder,
    Dusting,
    LoafCut,
    Mould,
    Portion,
    Residue,
    Trim,
    cut_block,
    divide,
    fill_by_depth,
    fill_by_volume,
)
from kettlewright.ranges import Range
from kettlewright.recipe import (
    AcidPortion,
    AlkaliPortion,
    FatPortion,
    LiquidPortion,
    Recipe,
    Scale,
    Stock,
    WaterRule,
    make_lye,
)
from kettlewright.recipe.weighing import EXACT
from recipes import recipe

steps = st.sampled_from([0.001, 0.01, 0.05, 0.1, 0.5, 1.0, 2.0, 5.0])
scales = st.builds(Scale, steps, steps, steps)
purities = st.floats(50, 100)


@st.composite
def own_fats(draw: st.DrawFn, index: int) -> FatPortion:
    middle = draw(st.floats(70, 380))
    half = draw(st.floats(0, 0.05)) * middle
    return FatPortion(name=f"fat {index}", mass_g=draw(st.floats(20, 5000)),
                      saponification_value=Range(max(middle - half, 60), min(middle + half, 400)))


@st.composite
def alkali_lists(draw: st.DrawFn) -> tuple[AlkaliPortion, ...]:
    def one(kind: str, share: float | None) -> AlkaliPortion:
        way = draw(st.sampled_from(["purity", "promise", "stock"]))
        if way == "stock":
            return AlkaliPortion(kind, share_pct=share, stock=Stock(draw(st.floats(40, 50)), draw(st.floats(0, 2))))
        if way == "promise":
            return AlkaliPortion(kind, share_pct=share, purity_at_least_pct=draw(purities))
        return AlkaliPortion(kind, share_pct=share, purity_pct=draw(purities),
                             purity_tolerance_pct=draw(st.floats(0, 5)))

    if draw(st.booleans()):
        return (one(draw(st.sampled_from(["NaOH", "KOH"])), None),)
    share = draw(st.floats(1, 99))
    return (one("NaOH", share), one("KOH", 100 - share))


@st.composite
def recipes(draw: st.DrawFn) -> Recipe:
    fats = tuple(draw(own_fats(index)) for index in range(draw(st.integers(1, 5))))
    acids = (AcidPortion("citric_anhydrous", pct_of_fats=draw(st.floats(0.1, 3))),) if draw(st.booleans()) else ()
    liquids = (LiquidPortion(name="cream", pct_of_fats=draw(st.floats(0.1, 5)), water_pct=60, fat_pct=35,
                             fat="butterfat"),) if draw(st.booleans()) else ()
    return Recipe(fats=fats, superfat_pct=draw(st.floats(0, 50)), alkalis=draw(alkali_lists()), acids=acids,
                  liquids=liquids, water=WaterRule(water_to_alkali=draw(st.floats(2.2, 4))))


# cream that the scale shows as nothing: half a step below nothing once took demand away
@example(Recipe(
    fats=(FatPortion(name="fat 0", mass_g=20.0, saponification_value=Range(190, 190)),), superfat_pct=0.0,
    alkalis=(AlkaliPortion("NaOH", purity_pct=98),), water=WaterRule(water_to_alkali=3), liquids=(LiquidPortion(
        name="cream", pct_of_fats=0.1, water_pct=60, fat_pct=35, fat="butterfat"),)), Scale(5.0, 0.1, 5.0))
@given(recipes(), scales)
def test_a_floor_is_never_undercut_whatever_errs(requested: Recipe, scale: Scale) -> None:
    floor = replace(requested, superfat_pct=None, superfat_at_least_pct=requested.superfat_pct)
    try:
        found = make_lye(floor, scale).superfat
    except (DomainError, DomainErrors):
        return
    assert found.worst_case_pct.min >= found.asked_pct - 1e-6


@given(recipes(), scales)
def test_the_shares_of_the_inputs_are_the_whole_and_knowing_one_never_widens(requested: Recipe, scale: Scale) -> None:
    try:
        found = make_lye(requested, scale).superfat
    except (DomainError, DomainErrors):
        return
    assert found.dominant is not None
    assert sum(one.variance_share_pct for one in found.inputs) == pytest.approx(100)
    known = found.dominant.likely_pct_if_known
    assert found.likely_pct.min - 1e-9 <= known.min <= known.max <= found.likely_pct.max + 1e-9


@given(recipes(), scales)
def test_no_recipe_scale_purity_or_acid_goes_below_the_requested_superfat(requested: Recipe, scale: Scale) -> None:
    try:
        lye = make_lye(requested, scale)
    except DomainError:
        return  # rounds to nothing on this scale
    found = lye.superfat
    assert found.achieved_pct >= requested.superfat_pct - 1e-6
    assert found.worst_case_pct.min <= found.likely_pct.min <= found.likely_pct.max <= found.worst_case_pct.max
    assert found.worst_case_pct.min <= found.achieved_pct <= found.worst_case_pct.max + 1e-9


@given(recipes())
def test_what_goes_into_the_pot_comes_out(requested: Recipe) -> None:
    lye = make_lye(requested, Scale(0.001, 0.001, 0.001))
    in_jug = [*(alkali.weigh_g for alkali in lye.alkalis), lye.water.weigh_g]
    parts = [*(part.weigh_g for part in (*lye.fats, *lye.acids, *lye.liquids)), *in_jug]
    assert lye.mass_g == pytest.approx(math.fsum(parts), rel=1e-12)
    assert lye.solution.mass_g == pytest.approx(
        math.fsum([*in_jug, *(liquid.water_mass_g for liquid in lye.liquids)]), rel=1e-9)


@given(recipes(), st.floats(0.5, 20))
def test_a_larger_recipe_is_the_same_recipe(requested: Recipe, factor: float) -> None:
    larger = replace(requested, fats=tuple(replace(fat, mass_g=(fat.mass_g or 0) * factor) for fat in requested.fats))
    small, large = make_lye(requested, EXACT), make_lye(larger, EXACT)
    for before, after in zip(small.alkalis, large.alkalis, strict=True):
        assert after.mass_g == pytest.approx(before.mass_g * factor, rel=1e-9)
    assert large.water.mass_g == pytest.approx(small.water.mass_g * factor, rel=1e-9, abs=1e-6)


@given(recipes())
def test_the_order_of_the_fats_does_not_matter(requested: Recipe) -> None:
    turned = replace(requested, fats=requested.fats[::-1])
    for one, other in zip(make_lye(requested, EXACT).alkalis, make_lye(turned, EXACT).alkalis, strict=True):
        assert other.mass_g == pytest.approx(one.mass_g, rel=1e-12)


@given(st.floats(1, 9000), st.floats(1, 9000), st.floats(1, 900), st.floats(0.01, 1), st.integers(1, 9))
def test_filling_by_depth_undoes_filling_by_volume(length: float, width: float, depth: float, part: float,
                                                   count: int) -> None:
    for mould in (Mould(Box(length, width, depth), count=count), Mould(Cylinder(length, depth), count=count)):
        filled = fill_by_volume(mould, mould.volume_ml * part)
        assert filled.depth_mm == pytest.approx(depth * part, rel=1e-9)
        assert fill_by_depth(mould, filled.depth_mm or 0).volume_ml == pytest.approx(filled.volume_ml, rel=1e-9)
        higher = fill_by_volume(mould, mould.volume_ml * min(part * 1.01, 1))
        assert (higher.depth_mm or 0) >= (filled.depth_mm or 0)


@st.composite
def portion_lists(draw: st.DrawFn) -> list[Portion]:
    weights = draw(st.lists(st.integers(1, 20), min_size=1, max_size=7))
    dusted = draw(st.integers(0, len(weights) - 1))
    return [Portion(name=f"portion {index}", share_pct=100 * weight / sum(weights),
                    additions=(Addition("colour", "colourant", draw(st.floats(0.1, 20)), "g_per_kg_batter",
                                        density=draw(st.floats(0.5, 4))),
                               Addition("scent", "fragrance", draw(st.floats(0.1, 5)), "pct_of_fats"),
                               Addition("mist", "spray", 3, "mass")),
                    dusting=Dusting("powder", 50) if index == dusted else None)
            for index, weight in enumerate(weights)]


@given(portion_lists(), st.floats(2000, 20_000), steps, st.floats(0, 30), st.floats(0, 10))
def test_the_balances_of_the_pour(portions: list[Portion], mass: float, step: float, in_pot: float,
                                  in_bucket: float) -> None:
    batter = Batter(mass, 1.01, mass * 0.7)
    extra = (Addition("sugar", "sugar", 1, "pct_of_fats"),)
    found = divide(batter, portions, extra, residue=Residue(in_pot, in_bucket), scale=Scale(step, 0.1, 0.1),
                   mould=Mould(Box(1000, 1000, 100)))
    plain = math.fsum(portion.batter_mass_g for portion in found.portions)
    assert found.pot_mass_g == pytest.approx(mass + 0.01 * 0.7 * mass, rel=1e-12)
    assert plain + in_pot == pytest.approx(found.pot_mass_g, rel=1e-9)
    weighed = math.fsum(portion.weigh_g for portion in found.portions)
    assert weighed + found.residue_mass_g == pytest.approx(found.pot_mass_g, rel=1e-9)
    assert in_pot - 1e-6 <= found.residue_mass_g < in_pot + step * (1 + 1e-6)
    buckets = 0.0
    for portion in found.portions:
        stirred = math.fsum(addition.mass_g for addition in portion.additions if addition.addition.in_batter)
        assert portion.mass_g == pytest.approx(portion.batter_mass_g + stirred, rel=1e-9)
        assert abs(portion.weigh_g - portion.batter_mass_g) <= step * (1 + 1e-6)
        buckets += portion.mass_g
    powder = math.fsum(portion.dusting.mass_g for portion in found.portions if portion.dusting)
    assert powder == pytest.approx(50)  # 50 g/m2 on one square metre
    assert found.mould_mass_g == pytest.approx(buckets - in_bucket * len(portions) + powder, rel=1e-9)
    tops = [portion.layer.top_mm for portion in found.portions if portion.layer]
    bottoms = [portion.layer.bottom_mm for portion in found.portions if portion.layer]
    assert bottoms == [0.0, *tops[:-1]]
    assert tops == sorted(tops)
    assert tops[-1] == pytest.approx(found.mould_volume_ml / 1000, rel=1e-9)


@given(st.floats(50, 900), st.floats(50, 900), st.floats(10, 90), st.floats(5, 60), st.floats(10, 60),
       st.floats(0, 4), st.floats(0, 10), st.floats(0, 10), st.integers(1, 3))
def test_a_block_is_bars_offcuts_and_kerf(length: float, width: float, height: float, thickness: float,
                                          loaf_width: float, kerf: float, start: float, end: float,
                                          blocks: int) -> None:
    block = Block(length, width, height)
    try:
        cuts = cut_block(block, BarCut(thickness_mm=thickness), loaf=LoafCut(loaf_width), kerf_mm=kerf,
                         trim=Trim(start, end), density=1.02, blocks_count=blocks)
    except (DomainError, DomainErrors):
        return
    bars = cuts.bars.count * cuts.bars.length_mm * cuts.bars.thickness_mm * height / 1000
    offcuts = math.fsum(piece.volume_ml for piece in cuts.offcuts)
    assert bars + offcuts + cuts.kerf_volume_ml == pytest.approx(block.volume_ml * blocks, rel=1e-9)
    assert cuts.volume_yield_pct == pytest.approx(100 * bars / (block.volume_ml * blocks), rel=1e-9)
    for positions, edge in ((cuts.positions.loaf_cuts_mm, width), (cuts.positions.bar_cuts_mm, length)):
        assert list(positions) == sorted(positions)
        assert all(0 <= position <= edge for position in positions)


def _by_share(superfat: float) -> Recipe:
    return Recipe(fats=(FatPortion("olive", share_pct=70), FatPortion("coconut", share_pct=30)), superfat_pct=superfat,
                  alkalis=(AlkaliPortion("NaOH"),), water=WaterRule(water_to_alkali=2))


@given(portion_lists(), st.floats(150, 600), st.floats(100, 400), st.floats(20, 80), st.floats(0, 20), st.floats(0, 6),
       scales)
def test_a_batch_by_share_fills_its_mould_and_never_overfills_it(
        portions: list[Portion], length: float, width: float, depth: float, in_pot: float, in_bucket: float,
        scale: Scale) -> None:
    mould = Mould(Box(length, width, depth))
    try:
        found = plan_batch(_by_share(5), mould, scale, portions=portions, residue=Residue(in_pot, in_bucket),
                           expected_loss_pct=10)
    except (DomainError, DomainErrors):
        return
    # exact masses fill the mould; on the scale fats go down by less than a step each, water nearest
    exact = plan_batch(found.recipe, Mould(Box(length, width, depth * 1.01)), EXACT, portions=portions,
                       residue=Residue(in_pot, in_bucket), expected_loss_pct=10)
    assert exact.division.mould_volume_ml == pytest.approx(mould.volume_ml, rel=1e-6)
    below = 3 * scale.readability_g + 3 * scale.alkali_readability_g
    assert mould.volume_ml - 1.2 * below <= found.division.mould_volume_ml <= mould.volume_ml + scale.readability_g
    assert found.lye.superfat.achieved_pct >= 5 - 1e-6


@pytest.mark.parametrize("target", [
    Target(fats_mass_g=2500), Target(batter_mass_g=3600),
    Target(mould=MouldTarget(Mould(Box(300, 200, 50)), Residue(12, 3)))])
def test_a_size_reached_from_shares_and_from_masses_is_the_same(target: Target) -> None:
    by_mass = recipe(FatPortion("olive", mass_g=140), FatPortion("coconut", mass_g=60))
    from_mass, from_share = scale_recipe(by_mass, target, Scale()), scale_recipe(_by_share(5), target, Scale())
    assert from_share.factor is None
    assert from_mass.factor is not None
    for one, other in zip(from_mass.recipe.fats, from_share.recipe.fats, strict=True):
        assert other.mass_g == pytest.approx(one.mass_g, rel=1e-9)
