"""Limits on the cured bar: by hand, and bar by bar in small cells; twice as many additions are about twice the work."""

from __future__ import annotations

import sys
from types import FrameType
from typing import Any

import pytest
from kettlewright.cautions import of_division
from kettlewright.plan import CutOptions, Plan, plan_batch
from kettlewright.pour import Addition, BarCut, Batter, Box, LoafCut, Mould, Portion, Trim, Trough, divide, judge_limits
from kettlewright.pour.bar_limits import LimitCheck, bars_of
from kettlewright.pour.requested_portions import Borrowing
from kettlewright.recipe import AlkaliPortion, FatPortion, Recipe, Scale, WaterRule
from recipes import FINE, SHARES, recipe

LOSS = 12.0
OLIVE = Recipe(fats=(FatPortion("olive", share_pct=100),), superfat_pct=5, alkalis=(AlkaliPortion("NaOH"),),
                water=WaterRule(water_to_alkali=2))


def calls(additions: int, loaves: int) -> int:
    """Python calls of a batch in a trough; two portions, each with its own additions, all above their limit."""
    portions = [Portion(name, share_pct=50, additions=tuple(
        Addition(f"{name} {number}", "colourant", 0.05, "pct_of_batter", limit_pct=0.01)
        for number in range(additions))) for name in ("low", "high")]
    counted = 0

    def count(frame: FrameType, event: str, what: Any) -> None:
        nonlocal counted
        counted += event == "call"

    sys.setprofile(count)
    try:
        plan_batch(OLIVE, Mould(Trough(300, 400, 100, 80)), Scale(1e-6, 1e-6, 1e-6), portions=portions,
                   expected_loss_pct=8, cut=CutOptions(BarCut(count=2), loaf=LoafCut(400 / loaves)))
    finally:
        sys.setprofile(None)
    return counted


def scent(dose: float, *, name: str = "scent", limit: float = 2.0, density: float | None = None) -> Addition:
    return Addition(name, "fragrance", dose, "g_per_kg_batter", limit_pct=limit, density=density)


def batch(portions: list[Portion], *, arrangement: str = "layers", cut: CutOptions | None = None,
          mould: Mould | None = None, **more: Any) -> Plan:
    return plan_batch(SHARES, mould or Mould(Box(260, 200, 60)), FINE, portions=portions, arrangement=arrangement,
                      cut=cut, expected_loss_pct=LOSS, **more)


def test_a_portion_alone_by_hand() -> None:
    # 1020 g less 12 %: 20 of 897.6 g are 2.2282 %; m = 0.02 x 0.88 x (1000 + m) gives 17.9153 g
    found = divide(Batter(1000, 1.0), [Portion("all", share_pct=100, additions=(scent(20),))], scale=FINE,
                   loss_pct=LOSS)
    check, = judge_limits(found)
    assert (check.portion_pct, check.bar_pct, check.exceeded) == (pytest.approx(100 * 20 / 897.6), None, True)
    assert check.factor * 20 == pytest.approx(17.6 / 0.9824)


def test_the_bar_counts_where_it_holds_several_portions() -> None:
    # a third of the bar holds 3.3 %, the rest nothing: of 3030 g less 12 % the bar holds 30, about 1.1 %
    plan = batch([Portion("a", share_pct=100 / 3, additions=(scent(30),)), Portion("b", share_pct=200 / 3)],
                 cut=CutOptions(BarCut(thickness_mm=25)))
    check, = plan.bench.limits
    assert check.portion_pct == pytest.approx(100 * 30 / (0.88 * 1030), rel=1e-4)
    assert check.bar_pct == pytest.approx(100 * 30 / (0.88 * 3030), rel=1e-3)
    assert not check.exceeded
    keys = {caution.key: caution for caution in plan.cautions}
    assert keys["fragrance-limit-in-portion"].severity == "info"
    assert "fragrance-limit-exceeded" not in keys


def test_one_ingredient_out_of_pot_and_buckets_counts_together() -> None:
    # 10 g/kg in the pot and 12 in one bucket, each below 2 %, together above
    plan = batch([Portion("a", share_pct=50, additions=(scent(12),)), Portion("b", share_pct=50)],
                 additions=(scent(10),), cut=CutOptions(BarCut(thickness_mm=25)))
    check, = plan.bench.limits
    assert check.portion == "a"
    assert check.portion_pct == pytest.approx(100 * (10 + 12 * 1.01) / (0.88 * (1010 + 12 * 1.01)), rel=1e-6)
    assert check.portion_pct > 2 > (check.bar_pct or 0)


CUTS = [
    ("layers", CutOptions(BarCut(thickness_mm=25), LoafCut(width_mm=60), kerf_mm=1, trim=Trim(5, 5))),
    ("columns", CutOptions(BarCut(thickness_mm=25), LoafCut(width_mm=60), kerf_mm=2, trim=Trim(4, 4))),
    ("columns", CutOptions(BarCut(thickness_mm=30), LoafCut(width_mm=35), kerf_mm=0)),
    ("columns", CutOptions(BarCut(count=7), LoafCut(width_mm=97), kerf_mm=1))]


def brute(plan: Plan, key: str) -> float:
    """The most any bar holds, of cells of the block coloured by portion: heights or places across as planned."""
    cuts, division = plan.cuts, plan.division
    assert cuts is not None
    assert cuts.positions is not None
    cells = 4000
    height = cuts.block.height_mm
    worst = 0.0
    for start in cuts.positions.loaf_starts_mm:
        end = start + cuts.loaves.width_mm
        batter = {portion.key: 0 for portion in division.portions}
        for cell in range(cells):
            if plan.arrangement == "columns":
                at = start + (end - start) * (cell + 0.5) / cells
                here = next(one.key for one in division.portions if one.column is not None
                            and one.column.start_mm <= at <= one.column.end_mm + 1e-9)
            else:
                at = height * (cell + 0.5) / cells
                here = next(one.key for one in division.portions if one.layer is not None
                            and one.layer.bottom_mm <= at <= one.layer.top_mm + 1e-6)
            batter[here] += 1
        pure = cured = 0.0
        for portion in division.portions:
            grams = batter[portion.key] * portion.mass_g / portion.volume_ml  # of one mL a cell
            scented = sum(one.mass_g for one in portion.additions if one.key == key) / portion.mass_g * grams
            pure += scented
            cured += grams * (1 - LOSS / 100)
        worst = max(worst, 100 * pure / cured)
    return worst


@pytest.mark.parametrize(("arrangement", "cut"), CUTS)
def test_the_worst_bar_is_the_worst_of_all_bars_in_cells(arrangement: str, cut: CutOptions) -> None:
    plan = batch([Portion("a", share_pct=28, additions=(scent(34, density=0.9),)), Portion("b", share_pct=41),
                  Portion("c", share_pct=31, additions=(scent(21, density=0.9),))], arrangement=arrangement, cut=cut)
    check, = plan.bench.limits
    assert check.bar_pct == pytest.approx(brute(plan, "scent"), rel=2e-3)


@pytest.mark.parametrize(("arrangement", "cut"), CUTS)
def test_the_largest_dose_puts_the_worst_bar_at_its_limit(arrangement: str, cut: CutOptions) -> None:
    portions = [Portion("a", share_pct=28, additions=(scent(54),)), Portion("b", share_pct=41, additions=(scent(31),)),
                Portion("c", share_pct=31)]
    check, = batch(portions, arrangement=arrangement, cut=cut).bench.limits
    assert check.exceeded
    largest = {dose.portion: dose.dose for dose in check.largest}
    assert set(largest) == {"a", "b"}
    within = [Portion(one.name, share_pct=one.share_pct, additions=(scent(largest[one.key]),) if one.key in largest
                      else ()) for one in portions]
    again, = batch(within, arrangement=arrangement, cut=cut).bench.limits
    assert again.bar_pct is not None
    assert 2.0 * 0.998 < again.bar_pct <= 2.0 * (1 + 1e-9)


def test_pieces_of_their_own_are_judged_each_on_its_own() -> None:
    portions = [Portion("a", share_pct=50, additions=(scent(30),)), Portion("b", share_pct=50)]
    check, = batch(portions, arrangement="separate", mould=Mould(Box(80, 55, 30), count=2)).bench.limits
    assert check.bar == 'the piece "a"'
    assert check.exceeded
    assert check.bar_pct == pytest.approx(check.portion_pct)


def test_the_content_of_the_overflow_mould_is_a_piece_too() -> None:
    fats = recipe(FatPortion("olive", mass_g=1000))
    plan = plan_batch(fats, Mould(Box(100, 100, 100)), FINE, expected_loss_pct=LOSS,
                      overflow_mould=Mould(Box(100, 100, 100)), portions=[
                          Portion("plain", share_pct=70), Portion("scented", share_pct=30, additions=(scent(30),))])
    check, = plan.bench.limits
    assert check.bar == "the piece of the overflow mould"
    assert check.bar_pct == pytest.approx(100 * 30 / (0.88 * 1030), rel=1e-4)


def test_borrowed_batter_brings_its_scent() -> None:
    # half of b is batter of a, whose 30 g/kg so become 15 g/kg of b's batter
    found = divide(Batter(1000, 1.0), [Portion("a", share_pct=50, additions=(scent(30),)),
                                       Portion("b", share_pct=50, borrows=(Borrowing("a", 50),))],
                   scale=FINE, loss_pct=LOSS)
    b = found.portions[1]
    assert b.mix.pure_g("scent") / b.mix.batter_g == pytest.approx(0.015)
    assert b.mix.cured_g(LOSS) == pytest.approx(507.5 * 0.88)


def test_a_limit_exactly_met_is_met() -> None:
    dose = 17.6 / 0.9824  # m = 0.02 x 0.88 x (1000 + m)
    found = divide(Batter(1000, 1.0), [Portion("all", share_pct=100, additions=(scent(dose),))], scale=FINE,
                   loss_pct=LOSS)
    check, = judge_limits(found)
    assert check.portion_pct == pytest.approx(2)
    assert not check.exceeded
    more = divide(Batter(1000, 1.0), [Portion("all", share_pct=100, additions=(scent(dose * 1.0001),))], scale=FINE,
                  loss_pct=LOSS)
    assert judge_limits(more)[0].exceeded


def test_the_worst_bar_is_named_in_the_caution() -> None:
    plan = batch([Portion("a", share_pct=50, additions=(scent(60),)), Portion("b", share_pct=50)],
                 arrangement="columns", cut=CutOptions(BarCut(thickness_mm=25), LoafCut(width_mm=60), kerf_mm=1))
    caution = {caution.key: caution for caution in plan.cautions}["fragrance-limit-exceeded"]
    assert "a bar like number 1 of loaf 1 contains" in caution.message
    assert 'g per kg of batter' in caution.message
    assert caution.pointer == "/portions/0/additions/0"


def test_mingled_portions_are_judged_by_their_mix_and_warned_of() -> None:
    plan = batch([Portion("a", share_pct=50, additions=(scent(30),)), Portion("b", share_pct=50)],
                 arrangement="mingled", cut=CutOptions(BarCut(thickness_mm=25)))
    check: LimitCheck = plan.bench.limits[0]
    assert check.bar_pct == pytest.approx(100 * 30 / (0.88 * 2030), rel=1e-6)
    assert "swirled unevenly" in {one.key: one.message for one in plan.cautions}["fragrance-limit-in-portion"]


def test_bars_are_known_only_where_a_mould_and_a_cut_are() -> None:
    plan = batch([Portion("a", share_pct=50, additions=(scent(30),)), Portion("b", share_pct=50)])
    assert [bar.name for bar in bars_of(plan.division, arrangement="layers")] == ["the piece"]
    assert of_division(plan.division)  # and without limits judged nothing is said of them


@pytest.mark.parametrize(("few", "many"), [((40, 4), (80, 4)), ((20, 20), (20, 40))])
def test_twice_as_much_is_about_twice_the_work(few: tuple[int, int], many: tuple[int, int]) -> None:
    calls(2, 2)  # what is made once and kept
    assert calls(*many) < 2.5 * calls(*few)
