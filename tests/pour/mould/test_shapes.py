"""What must hold for every shape there is; a new one is tested as soon as it is in the registry."""

from __future__ import annotations

import dataclasses
import itertools
import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from kettlewright.errors import DomainError, DomainErrors
from kettlewright.plan import CutOptions, plan_batch
from kettlewright.pour import SHAPES, BarCut, Mould, Portion, Shape, Trim, cut_block, solid_of
from kettlewright.pour.mould.shapes import PIECE_FORMS
from recipes import FINE, SHARES
from scipy.integrate import quad
from shapely import Polygon

PORTIONS = [Portion("low", share_pct=40), Portion("middle", share_pct=35), Portion("high", share_pct=25)]

every_shape = pytest.mark.parametrize("made", SHAPES.values(), ids=SHAPES)
every_cut_shape = pytest.mark.parametrize("made", [made for made in SHAPES.values() if made.cut_as],
                                          ids=[key for key, made in SHAPES.items() if made.cut_as])


def depth_of(shape: Shape) -> float:
    assert shape.height_mm is not None
    return shape.height_mm


@every_shape
def test_its_dimensions_are_its_fields(made: type[Shape]) -> None:
    assert {one.name for one in made.dimensions} == {field.name for field in dataclasses.fields(made)}
    assert made.piece in PIECE_FORMS
    names = {one.name for one in made.dimensions}
    assert set(made.one_of) | {one.widens_to for one in made.dimensions if one.widens_to} <= names
    assert SHAPES[made.key] is made


@every_shape
@given(up=st.floats(0.001, 1))
def test_the_height_of_a_volume_is_the_height_it_was_poured_to(made: type[Shape], up: float) -> None:
    shape = made.example()
    height = depth_of(shape) * up
    assert shape.height_of(shape.volume_to(height)) == pytest.approx(height, rel=1e-7)
    assert shape.brim_ml == pytest.approx(shape.volume_to(depth_of(shape)), rel=1e-12)
    area = quad(lambda at: shape.area_at(at) * 100, 0, height, epsabs=0, epsrel=1e-10, limit=300)[0]
    assert shape.volume_to(height) * 1000 == pytest.approx(area, rel=1e-8)


@every_shape
def test_a_liner_takes_its_walls_off_or_is_rejected(made: type[Shape]) -> None:
    shape = made.example()
    if not any(one.walls for one in made.dimensions):
        with pytest.raises((DomainError, DomainErrors), match="takes no liner"):
            Mould(shape, liner_mm=1)
        return
    lined = Mould(shape, liner_mm=1.5).cavity
    # common sense: a wall on either side of whatever lies across, one below
    assert depth_of(shape) - depth_of(lined) in (pytest.approx(1.5), pytest.approx(3))
    top, lined_top = depth_of(shape) * 0.5, depth_of(lined) * 0.5
    wide, narrow = shape.width_at(top), lined.width_at(lined_top)
    assert wide is not None
    assert narrow is not None
    assert 0 < narrow < wide
    assert lined.brim_ml < shape.brim_ml
    with pytest.raises((DomainError, DomainErrors), match="leaves no space"):
        Mould(shape, liner_mm=1000)


@every_shape
def test_a_headspace_is_left_free(made: type[Shape]) -> None:
    shape = made.example()
    mould = Mould(shape, count=3, headspace_mm=5)
    assert mould.volume_ml == pytest.approx(3 * shape.volume_to(depth_of(shape) - 5))
    assert mould.areas is not None
    assert mould.areas.top == pytest.approx(3 * shape.area_at(depth_of(shape) - 5))


@every_shape
@pytest.mark.parametrize("wrong", [0, -1, math.nan, math.inf, 1e9])
def test_a_dimension_that_cannot_be_is_rejected_at_its_field(made: type[Shape], wrong: float) -> None:
    for one in made.dimensions:
        if not one.in_example:
            continue
        right: dict[str, Any] = {other.name: other.example for other in made.dimensions if other.in_example}
        if one.measure == "volume" and wrong == 1e9:
            continue  # a thousand cubic metres are within the bounds
        with pytest.raises((DomainError, DomainErrors)) as caught:
            made(**{**right, one.name: wrong})
        error = caught.value
        fields = {fault.field for fault in error.errors} if isinstance(error, DomainErrors) else {error.field}
        assert (one.key,) in fields


@every_shape
def test_a_bottom_wider_than_the_rim_is_rejected(made: type[Shape]) -> None:
    for one in made.dimensions:
        if one.widens_to:
            rim = next(other.example for other in made.dimensions if other.name == one.widens_to)
            with pytest.raises((DomainError, DomainErrors), match="wider than the rim"):
                made(**{**{other.name: other.example for other in made.dimensions}, one.name: rim + 1})


@every_shape
def test_of_dimensions_that_say_the_same_one_is_given(made: type[Shape]) -> None:
    if not made.one_of:
        return
    rest = {one.name: one.example for one in made.dimensions if one.name not in made.one_of}
    every = {one.name: one.example for one in made.dimensions}
    for dimensions in (rest, every):
        with pytest.raises((DomainError, DomainErrors), match="exactly one of"):
            made(**dimensions)
    for name in made.one_of:
        assert made(**rest, **{name: every[name]}).brim_ml > 0


@every_shape
def test_layers_have_the_volumes_of_their_shares(made: type[Shape]) -> None:
    shape = made.example()
    mould = Mould(shape, headspace_mm=4)
    plan = plan_batch(SHARES, mould, FINE, portions=PORTIONS)
    layers = [portion.layer for portion in plan.division.portions]
    volumes = [shape.volume_to(layer.top_mm) - shape.volume_to(layer.bottom_mm) for layer in layers if layer]
    assert [volume / mould.volume_ml for volume in volumes] == [pytest.approx(part, abs=1e-5)
                                                                 for part in (0.40, 0.35, 0.25)]
    keys = {caution.key for caution in plan.cautions}
    assert ("height-estimated" in keys) == made.heights_estimated


@every_shape
def test_columns_have_places_where_the_shape_keeps_them(made: type[Shape]) -> None:
    shape = made.example()
    plan = plan_batch(SHARES, Mould(shape), FINE, portions=PORTIONS, arrangement="columns")
    places = [portion.column for portion in plan.division.portions]
    assert [place is not None for place in places] == 3 * [made.columns]
    if made.columns:
        width = shape.width_at(0.0) or 0.0
        assert [place.end_mm - place.start_mm for place in places if place] == [
            pytest.approx(part * width, rel=1e-5) for part in (0.40, 0.35, 0.25)]


@every_shape
def test_the_profile_is_the_width(made: type[Shape]) -> None:
    shape = made.example()
    profile = Mould(shape).profile
    if shape.width_at(0.0) is None:
        assert profile == ()
        return
    assert [point.width_mm for point in profile] == [
        pytest.approx(shape.width_at(point.height_mm), abs=1e-9) for point in profile]
    drawn = math.fsum((low.width_mm + high.width_mm) / 2 * (high.height_mm - low.height_mm)
                      for low, high in itertools.pairwise(profile))
    section = quad(lambda at: shape.width_at(at) or 0.0, 0, depth_of(shape), epsabs=0, epsrel=1e-9, limit=300)[0]
    assert drawn == pytest.approx(section, rel=2e-3 if len(profile) > 2 else 1e-9)


@every_shape
def test_what_is_not_cut_refuses_a_cut(made: type[Shape]) -> None:
    options = CutOptions(BarCut(count=2))
    if made.cut_as:
        assert plan_batch(SHARES, Mould(made.example()), FINE, cut=options).cuts is not None
        return
    with pytest.raises((DomainError, DomainErrors), match="not cut"):
        plan_batch(SHARES, Mould(made.example()), FINE, cut=options)


@every_cut_shape
@pytest.mark.parametrize("fill", [0.35, 0.8, 1])
@pytest.mark.parametrize("kerf", [0, 1.5])
def test_bars_offcuts_and_kerf_are_the_block(made: type[Shape], fill: float, kerf: float) -> None:
    shape = made.example()
    solid = solid_of(shape, depth_of(shape) * fill)
    assert solid is not None
    cuts = cut_block(solid, BarCut(thickness_mm=11), kerf_mm=kerf, trim=Trim(4, 3), density=1.0)
    whole = math.fsum(kind.count * kind.volume_ml for kind in cuts.kinds) + cuts.kerf_volume_ml \
        + math.fsum(offcut.volume_ml for offcut in cuts.offcuts)
    assert whole == pytest.approx(shape.volume_to(depth_of(shape) * fill), rel=1e-9)
    assert (cuts.kerf_volume_ml > 0) == (kerf > 0)
    assert sum(kind.count for kind in cuts.kinds) == cuts.bars.count


@every_cut_shape
def test_layers_in_the_bars_add_up_to_the_layers(made: type[Shape]) -> None:
    shape = made.example()
    solid, half = solid_of(shape, depth_of(shape)), shape.height_of(shape.brim_ml / 3)
    assert solid is not None
    cuts = cut_block(solid, BarCut(count=7), layers=[("low", (0.0, half)), ("high", (half, depth_of(shape)))])
    for key, part in (("low", 1 / 3), ("high", 2 / 3)):
        held = math.fsum(kind.count * kind.volume_ml * share.share_pct / 100 for kind in cuts.kinds
                         for share in kind.layers if share.key == key)
        assert held == pytest.approx(part * shape.brim_ml, rel=1e-9)


@every_cut_shape
def test_the_face_of_a_piece_times_its_thickness_is_its_volume(made: type[Shape]) -> None:
    shape = made.example()
    solid = solid_of(shape, depth_of(shape) * 0.8)
    assert solid is not None
    middle = solid.length_mm / 2
    bars = cut_block(solid, BarCut(count=5)).bars
    face = Polygon([(point.across_mm, point.up_mm) for point in bars.face])
    assert face.is_valid
    left, low, right, high = face.bounds
    assert (left, low) == (pytest.approx(0, abs=0.01), pytest.approx(0, abs=0.01))
    assert high == pytest.approx(bars.height_mm, rel=2e-3)
    # a polygon is given by its flats: from corner to corner it is wider
    assert right == pytest.approx(bars.length_mm, rel=0.16 if made.one_of else 2e-3)
    slice_ml = solid.volumes([(middle - 0.5, middle + 0.5)], [(0.0, solid.width_mm)])[0, 0, 0]
    # a round face is drawn by chords, which lie within it
    assert face.area / 1000 == pytest.approx(slice_ml, rel=3e-3)
