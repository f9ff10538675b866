"""Volumes, heights and cutting plans against values worked by hand and against a geometry library."""

from __future__ import annotations

import math

import pytest
import shapely
from kettlewright.pour import (
    BarCut,
    Block,
    Box,
    Cylinder,
    LoafCut,
    Measured,
    Mould,
    Tolerance,
    Trim,
    cut_block,
    fill_by_volume,
)


def test_a_slab_of_40_by_30_cm_is_3_cm_high_with_3600_ml() -> None:
    # computed by hand: 3600 / (40 * 30)
    assert fill_by_volume(Mould(Box(400, 300, 60)), 3600).depth_mm == pytest.approx(30, abs=1e-6)


def test_an_upright_cylinder_of_75_mm_holds_1104_ml_in_250_mm() -> None:
    # computed by hand: pi * 3.75^2 * 25
    assert Mould(Cylinder(75, 250)).volume_ml == pytest.approx(1104.466, abs=1e-3)


def test_six_measured_cavities_filled_to_92_percent() -> None:
    # computed by hand: 6 * 115 * 0.92
    mould = Mould(Measured(115, depth_mm=50), count=6, headspace_mm=4)
    assert mould.volume_ml == pytest.approx(634.8, abs=1e-6)


@pytest.mark.parametrize(("length", "width", "height"), [(40, 30, 60), (123.4, 56.7, 8.9), (9999, 1, 10000)])
def test_boxes_agree_with_a_geometry_library(length: float, width: float, height: float) -> None:
    outline = shapely.box(0, 0, length, width)
    mould = Mould(Box(length, width, height))
    assert mould.area_at(height / 2) == pytest.approx(outline.area / 100, rel=1e-12)
    assert mould.volume_ml == pytest.approx(outline.area * height / 1000, rel=1e-12)


@pytest.mark.parametrize(("diameter", "height"), [(75, 250), (3.3, 1000), (9000, 2)])
def test_cylinders_agree_with_a_geometry_library(diameter: float, height: float) -> None:
    # a circle of 4 * 2**12 chords is smaller than the circle by less than 3e-8 of it
    outline = shapely.Point(0, 0).buffer(diameter / 2, quad_segs=2**12)
    mould = Mould(Cylinder(diameter, height))
    assert mould.area_at(0) == pytest.approx(outline.area / 100, rel=5e-8)
    assert mould.volume_ml == pytest.approx(outline.area * height / 1000, rel=5e-8)


@pytest.mark.parametrize(("length", "thickness", "kerf", "trim", "count", "left", "equal"), [
    (250, 25, 1, Trim(5, 5), 9, 7.0, 25.7778), (254, 25.4, 0, Trim(), 10, 0.0, 25.4),
    (400, 80, 2, Trim(4, 4), 4, 66.0, 96.5), (310, 25, 1, Trim(), 11, 25.0, 300 / 11)])
def test_pieces_along_an_edge(length: float, thickness: float, kerf: float, trim: Trim, count: int, left: float,
                              equal: float) -> None:
    # computed by hand: n = floor((U + k) / (b + k)); left = U - n b - (n - 1) k
    block = Block(length, 80, 60)
    cuts = cut_block(block, BarCut(thickness_mm=thickness), kerf_mm=kerf, trim=trim)
    assert cuts.bars.count == count
    rest = sum(piece.length_mm for piece in cuts.offcuts if piece.name == "rest")
    assert rest == pytest.approx(left - min(kerf, left), abs=1e-6)
    assert cut_block(block, BarCut(count=count), kerf_mm=kerf, trim=trim).bars.thickness_mm == pytest.approx(
        equal, abs=1e-3)


def test_a_slab_cut_into_loaves_and_bars() -> None:
    # computed by hand: across 312 mm four loaves of 75 leave 9; along 390 mm fifteen bars of 25 leave 1
    cuts = cut_block(Block(400, 320, 60), BarCut(thickness_mm=25), loaf=LoafCut(75, 1, Trim(4, 4)), kerf_mm=1,
                     trim=Trim(5, 5))
    assert (cuts.loaves.count, cuts.bars.count) == (4, 60)
    assert cuts.volume_yield_pct == pytest.approx(87.891, abs=1e-2)
    assert sum(piece.width_mm for piece in cuts.offcuts if piece.name == "side rest") == pytest.approx(8)
    assert not [piece for piece in cuts.offcuts if piece.name.endswith(", rest")]  # the last cut takes the 1 mm


def test_kerf_lies_between_pieces_not_after_each() -> None:
    # computed by hand: nine bars of 25 and eight cuts of 1 fill 233 mm exactly; counted nine times they would not
    cuts = cut_block(Block(233, 75, 60), BarCut(thickness_mm=25), kerf_mm=1, density=1.02)
    assert cuts.bars.count == 9
    assert cuts.kerf_mass_g == pytest.approx(36.72, abs=0.01)
    assert cuts.offcuts == ()


def test_the_mass_of_a_bar_at_the_corners_of_the_tolerance() -> None:
    # computed by hand: 7.5 x 2.5 x 6 cm, +/- 0.1, 0.1, 0.2 cm, 1.02 g/mL
    bars = cut_block(Block(25, 75, 60), BarCut(count=1), density=1.02,
                     tolerance=Tolerance(1, 1, 2, density_pct=0)).bars
    assert bars.mass is not None
    assert (bars.mass.min_g, bars.mass.mid_g, bars.mass.max_g) == (
        pytest.approx(105.07, abs=0.01), pytest.approx(114.75, abs=0.01), pytest.approx(124.96, abs=0.01))


def test_a_bar_wanted_by_its_cured_mass_is_cut_heavier() -> None:
    # computed by hand: 110 g after 11.5 % loss is 124.29 g wet
    bars = cut_block(Block(400, 80, 50), BarCut(mass_g=110), density=1.0, expected_loss_pct=11.5).bars
    assert bars.mass is not None
    assert bars.cured_mass is not None
    assert bars.mass.mid_g == pytest.approx(124.29, abs=0.01)
    assert bars.cured_mass.mid_g == pytest.approx(110, abs=1e-9)


def test_a_round_slice_has_the_area_of_its_circle() -> None:
    assert Mould(Cylinder(80, 100), liner_mm=1).area_at(10) == pytest.approx(math.pi * 39**2 / 100)
