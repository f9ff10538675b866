"""Cuts of blocks that are no boxes, the bars that differ, what turning would give, and what planing takes off."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from kettlewright.errors import DomainError, DomainErrors
from kettlewright.plan import CutOptions, plan_batch
from kettlewright.pour import (
    BarCut,
    Block,
    Box,
    Cuts,
    Cylinder,
    Finish,
    LoafCut,
    Mould,
    Portion,
    Prism,
    Shape,
    TaperedBox,
    Trim,
    Trough,
    cut_block,
    solid_of,
)
from kettlewright.pour.mould.solids import bevel_volume
from kettlewright.recipe import Scale
from recipes import SHARES


def whole(cuts: Cuts) -> float:
    shaved = (cuts.shavings_mass_g or 0.0)
    return math.fsum(kind.count * kind.volume_ml for kind in cuts.kinds) + cuts.kerf_volume_ml + shaved \
        + math.fsum(offcut.volume_ml for offcut in cuts.offcuts)


def test_bars_of_a_trough_are_alike_and_weigh_their_section() -> None:
    solid = solid_of(Trough(250, 90, 70, 80), 80)
    assert solid is not None
    found = cut_block(solid, BarCut(thickness_mm=25), density=1.02)
    # trapezium (70 + 90) / 2 x 80 mm, 25 mm thick: 160 mL
    assert [(kind.count, kind.volume_ml) for kind in found.kinds] == [(10, pytest.approx(160, rel=1e-9))]
    assert found.bars.mass is not None
    assert found.bars.mass.mid_g == pytest.approx(163.2)


def test_the_end_bars_of_a_slanted_mould_are_lighter() -> None:
    solid = solid_of(TaperedBox(240, 90, 200, 90, 60), 60)
    assert solid is not None
    found = cut_block(solid, BarCut(thickness_mm=40), density=1.0)
    # six bars of 40 mm; the ends slope inwards by 20 mm over 60 mm: the outer ones lose 20 x 60 / 2 x 90 mm3 = 54 mL
    assert [(kind.count, kind.volume_ml) for kind in found.kinds] == [(4, pytest.approx(216)), (2, pytest.approx(162))]
    assert found.bars.mass is not None
    assert (found.bars.mass.min_g, found.bars.mass.mid_g) == (pytest.approx(162 * 39 / 40 * 89 / 90 * 58 / 60 * 0.99),
                                                              pytest.approx((4 * 216 + 2 * 162) / 6))


def test_rounds_of_a_tube_hold_the_layers_they_are_cut_from() -> None:
    plan = plan_batch(SHARES, Mould(Cylinder(80, 200)), Scale(1e-6, 1e-6, 1e-6), portions=[
        Portion("oat", share_pct=60), Portion("char", share_pct=40)], cut=CutOptions(BarCut(count=4)))
    cuts = plan.cuts
    assert cuts is not None
    assert (cuts.bars.count, cuts.bars.thickness_mm) == (4, pytest.approx(50, abs=1e-3))
    held = [{share.key: share.share_pct for share in kind.layers} for kind in cuts.kinds]
    # oat is 120 mm high: two rounds of it, one of 20 mm oat and 30 mm char, one of char
    assert [kind.count for kind in cuts.kinds] == [2, 1, 1]
    assert held == [{"oat": pytest.approx(100)},
                    {"oat": pytest.approx(40, abs=0.01), "char": pytest.approx(60, abs=0.01)},
                    {"char": pytest.approx(100)}]


def test_loaves_of_a_slanted_mould_hold_other_shares_at_the_edge() -> None:
    trough = Trough(300, 120, 60, 60)
    solid, half = solid_of(trough, 60), trough.height_of(trough.volume_to(60) / 2)
    assert solid is not None
    cuts = cut_block(solid, BarCut(thickness_mm=25), loaf=LoafCut(40),
                     layers=[("low", (0, half)), ("high", (half, 60))])
    assert [kind.count for kind in cuts.kinds] == [24, 12]  # two outer loaves alike, one in the middle
    outer, middle = ({share.key: share.share_pct for share in kind.layers} for kind in cuts.kinds)
    assert outer["high"] > middle["high"] + 10
    for key in ("low", "high"):
        total = sum(kind.count * kind.volume_ml * next(
            (share.share_pct for share in kind.layers if share.key == key), 0) / 100 for kind in cuts.kinds)
        assert total == pytest.approx(trough.volume_to(60) / 2, rel=1e-6)


@pytest.mark.parametrize("shape", [Box(250, 90, 80), TaperedBox(250, 95, 220, 80, 70), Cylinder(75, 250),
                                   Prism(6, 250, side_mm=40)])
def test_there_is_nothing_beyond_the_block(shape: Shape) -> None:
    solid = solid_of(shape, 60)
    assert solid is not None
    everywhere = (-1000.0, 1000.0)
    assert solid.volumes([everywhere], [everywhere], [everywhere])[0, 0].tolist() == 2 * [
        pytest.approx(shape.volume_to(60), rel=1e-12)]
    assert solid.volumes([(300, 1000)], [everywhere])[0, 0, 0] == 0


def test_pieces_that_fit_to_a_hair_are_not_lost() -> None:
    # 60.3 / 20.1 is 2.9999999999999996 in binary
    assert cut_block(Block(60.3, 80, 50), BarCut(thickness_mm=20.1)).bars.count == 3
    assert cut_block(Block(60.29, 80, 50), BarCut(thickness_mm=20.1)).bars.count == 2


def test_turning_the_block_may_give_more() -> None:
    # 400 x 320: loaves of 75 across 320 are 4, bars of 25 along 400 are 15 (kerf 1, trims 4): 60.
    # Turned: 392 + 1 over 76 is 5 loaves, 312 + 1 over 26 is 12 bars: 60 as well
    found = cut_block(Block(400, 320, 60), BarCut(thickness_mm=25), loaf=LoafCut(75), kerf_mm=1, trim=Trim(4, 4))
    assert found.turned is not None
    assert (found.bars.count, found.turned.bars_count) == (60, 60)
    # 300 x 250, loaves of 80, bars of 30: 3 x 10; turned 3 x 8
    other = cut_block(Block(300, 250, 50), BarCut(thickness_mm=30), loaf=LoafCut(80))
    assert other.turned is not None
    assert (other.bars.count, other.turned.bars_count) == (30, 24)
    assert other.turned.volume_yield_pct == pytest.approx(100 * 24 * 80 * 30 / (300 * 250))


@given(st.integers(60, 600), st.integers(60, 600), st.integers(10, 60), st.integers(30, 120), st.integers(0, 3))
def test_turning_is_the_cut_of_the_turned_block(length: int, width: int, thickness: int, loaf: int, kerf: int) -> None:
    def cut(long: float, wide: float) -> Cuts | None:
        try:
            return cut_block(Block(long, wide, 50), BarCut(thickness_mm=thickness), loaf=LoafCut(loaf), kerf_mm=kerf)
        except (DomainError, DomainErrors):
            return None

    found, other = cut(length, width), cut(width, length)
    if found is not None:
        assert (found.turned.bars_count if found.turned else None) == (other.bars.count if other else None)


def test_a_bevel_takes_off_what_a_fine_grid_says() -> None:
    # counted on a grid of a tenth of a millimetre: points of the box beyond the bevel plane of any edge
    length, width, height, leg = 6.0, 5.0, 4.0, 1.0
    x, y, z = (np.arange(0.05, edge, 0.1) for edge in (length, width, height))
    near = [np.minimum(axis, edge - axis) for axis, edge in ((x, length), (y, width), (z, height))]
    a, b, c = np.meshgrid(*near, indexing="ij")
    # cells whose middle lies on the plane count half
    counted = [((a + b < at) | (b + c < at) | (a + c < at)).sum() for at in (leg - 1e-9, leg + 1e-9)]
    assert bevel_volume(length, width, height, leg) == pytest.approx(sum(counted) / 2 * 0.001 / 1000, rel=0.01)


def test_offcuts_come_to_bars_if_melted_down() -> None:
    # 250 mm less 8 x 28 mm leave 26 mm of 80 x 60 mm2: 124.8 g, and a bar weighs 134.4 g; trims of 4 mm add none
    found = cut_block(Block(250, 80, 60), BarCut(thickness_mm=28), density=1.0)
    assert found.rebatch is not None
    assert (found.rebatch.mass_g, found.rebatch.bars_count) == (pytest.approx(124.8), 0)
    wide = cut_block(Block(250, 170, 60), BarCut(thickness_mm=28), loaf=LoafCut(80), density=1.0)
    assert wide.rebatch is not None
    # 10 x 250 x 60 beside the loaves, and 2 x 26 x 80 x 60 behind the bars: 399.6 g
    assert (wide.rebatch.mass_g, wide.rebatch.bars_count) == (pytest.approx(399.6), 2)
    assert cut_block(Block(250, 80, 60), BarCut(thickness_mm=28)).rebatch is None


def test_planing_and_bevel_are_losses() -> None:
    plain = cut_block(Block(250, 80, 60), BarCut(thickness_mm=25), density=1.0)
    found = cut_block(Block(250, 80, 60), BarCut(thickness_mm=25), density=1.0, finish=Finish(2, 1.5))
    assert found.bars.height_mm == 58
    # 25 x 80 x 2 mm3 = 4 mL; 2 x 1.5^2 x (25 + 80 + 58) - 6 x 1.5^3 = 713.25 mm3
    assert found.shavings_mass_g == pytest.approx(10 * (4 + 0.71325), rel=1e-9)
    assert found.bars.mass is not None
    assert plain.bars.mass is not None
    assert plain.bars.mass.mid_g - found.bars.mass.mid_g == pytest.approx(4.71325)
    assert whole(found) == pytest.approx(1200)


def test_a_bar_of_a_wanted_mass_weighs_it_after_planing_and_bevelling() -> None:
    found = cut_block(Block(250, 80, 60), BarCut(mass_g=110), density=1.02, expected_loss_pct=11, finish=Finish(2, 1.5))
    assert found.bars.cured_mass is not None
    assert found.bars.cured_mass.mid_g == pytest.approx(110, rel=1e-9)


@pytest.mark.parametrize(("finish", "words"), [(Finish(60, 0), "uses up a block"), (Finish(0, 12.5), "overlap")])
def test_a_finish_that_leaves_nothing_is_rejected(finish: Finish, words: str) -> None:
    with pytest.raises(DomainError, match=words):
        cut_block(Block(250, 80, 60), BarCut(thickness_mm=25), finish=finish)


def test_only_boxes_are_planed() -> None:
    solid = solid_of(Trough(250, 90, 70, 80), 80)
    assert solid is not None
    with pytest.raises(DomainError, match="box-shaped"):
        cut_block(solid, BarCut(thickness_mm=25), finish=Finish(1, 0))


@given(st.floats(50, 600), st.floats(50, 600), st.floats(20, 90), st.floats(5, 90), st.floats(20, 200), st.floats(0, 3),
       st.floats(0, 10), st.floats(0, 10))
def test_no_cut_plan_exceeds_its_block(length: float, width: float, height: float, thickness: float, loaf: float,
                                       kerf: float, start: float, end: float) -> None:
    try:
        found = cut_block(Block(length, width, height), BarCut(thickness_mm=thickness), loaf=LoafCut(loaf),
                          kerf_mm=kerf, trim=Trim(start, end), density=1.0)
    except (DomainError, DomainErrors):
        return
    assert whole(found) == pytest.approx(length * width * height / 1000, rel=1e-9)
    assert all(0 <= cut <= length for cut in found.positions.bar_cuts_mm)
    assert all(0 <= cut <= width for cut in found.positions.loaf_cuts_mm)
    assert 0 < found.volume_yield_pct <= 100 + 1e-9


def test_a_sliver_stays_on_the_trim_behind_it() -> None:
    # 300 mm less trims of 8 and 7 mm: ten bars of 27.4 mm and nine cuts of 1 mm leave 2 mm. The last bar ends at
    # 291 mm, its cut takes 1 mm, and a second cut at 293 mm would part a slice of 1 mm from the trim
    found = cut_block(Block(300, 80, 60), BarCut(thickness_mm=27.4), kerf_mm=1, trim=Trim(8, 7), density=1.0)
    assert found.bars.count == 10
    assert found.positions.bar_cuts_mm[-1] == pytest.approx(291)
    assert len(found.positions.bar_cuts_mm) == 11  # nine between the bars, one before and one behind them
    assert [(piece.name, piece.length_mm) for piece in found.offcuts] == [
        ("first end trim", pytest.approx(8)), ("last end trim", pytest.approx(8))]
    assert whole(found) == pytest.approx(300 * 80 * 60 / 1000)


def test_a_rest_that_only_the_blade_takes_needs_no_second_cut() -> None:
    # 389.5 mm less fifteen bars of 25 mm and fourteen cuts of 1 mm leave 0.5 mm, half a cut
    found = cut_block(Block(399.5, 80, 60), BarCut(thickness_mm=25), kerf_mm=1, trim=Trim(5, 5), density=1.0)
    assert found.bars.count == 15
    assert found.positions.bar_cuts_mm[-2:] == (pytest.approx(368), pytest.approx(394))
    assert [piece.name for piece in found.offcuts] == ["first end trim", "last end trim"]
    assert whole(found) == pytest.approx(399.5 * 80 * 60 / 1000)


def test_a_rest_that_is_of_use_is_cut_off() -> None:
    # 250 mm less trims of 5 mm, nine bars of 25 mm, cuts of 1 mm: 7 mm are left, of which 6 are a piece
    found = cut_block(Block(250, 80, 60), BarCut(thickness_mm=25), kerf_mm=1, trim=Trim(5, 5), density=1.0)
    assert [(piece.name, piece.length_mm) for piece in found.offcuts][1:] == [
        ("rest", pytest.approx(6)), ("last end trim", pytest.approx(5))]
    assert found.positions.bar_cuts_mm[-2:] == (pytest.approx(238), pytest.approx(245))


@given(st.floats(60, 600), st.floats(5, 60), st.floats(0, 3), st.floats(0, 10), st.floats(0, 10))
def test_no_two_cuts_part_a_slice_too_thin_to_use(length: float, thickness: float, kerf: float, start: float,
                                                  end: float) -> None:
    try:
        found = cut_block(Block(length, 80, 60), BarCut(thickness_mm=thickness), kerf_mm=kerf, trim=Trim(start, end))
    except (DomainError, DomainErrors):
        return
    cuts = found.positions.bar_cuts_mm
    last_bar = found.positions.bar_starts_mm[-1] + thickness
    behind = [cut for cut in cuts if cut >= last_bar - 1e-6]
    assert len(behind) <= 2
    if len(behind) == 2:
        assert behind[1] - behind[0] - kerf >= 5 - 1e-6
    assert whole(found) == pytest.approx(length * 80 * 60 / 1000, rel=1e-9)


def test_more_pieces_than_a_workshop_cuts_are_rejected_at_once() -> None:
    # 4,990 bars, and two offcuts behind each of as many loaves
    with pytest.raises(DomainError, match=r"4,990 bars and 9,98\d offcuts; a cutting plan lists at most 5,000 pieces"):
        cut_block(Block(100, 4990, 50), BarCut(thickness_mm=90), loaf=LoafCut(1, trim=Trim()), trim=Trim(5, 5))
    assert cut_block(Block(90, 4990, 50), BarCut(thickness_mm=90), loaf=LoafCut(1)).bars.count == 4990


def test_more_kinds_of_bars_than_anyone_keeps_apart_are_rejected() -> None:
    # every loaf of this trough lies on another place of its slanted sides: only those of the bottom are alike
    solid = solid_of(Trough(100, 1000, 100, 80), 80)
    assert solid is not None
    with pytest.raises(DomainError, match=r"4\d\d different kinds of bar"):
        cut_block(solid, BarCut(thickness_mm=90), loaf=LoafCut(2.01))
    found = cut_block(solid, BarCut(thickness_mm=90), loaf=LoafCut(2.5))
    assert len(found.kinds) <= 400
    assert whole(found) == pytest.approx(Trough(100, 1000, 100, 80).volume_to(80), rel=1e-9)


def test_bars_alike_by_symmetry_are_one_kind() -> None:
    # equal bars with equal ends: the block is its own mirror image, along and across
    solid = solid_of(TaperedBox(240, 180, 160, 120, 60), 60)
    assert solid is not None
    found = cut_block(solid, BarCut(thickness_mm=20), loaf=LoafCut(30))
    # along: two slanted bars at either end, eight of the bottom; across: one slanted loaf a side, four of the bottom
    assert [kind.count for kind in found.kinds] == [32, 16, 8, 8, 4, 4]
    assert sum(kind.count for kind in found.kinds) == 72
