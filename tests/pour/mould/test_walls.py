"""Volumes between cuts against scipy's quadrature of the sections, which is written here anew."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from kettlewright.pour import HalfRound, LyingCylinder, Shape, TaperedBox, Trough, solid_of
from scipy.integrate import quad
from scipy.optimize import brentq

Interval = tuple[float, float]
Extent = Callable[[float], float]


def overlap(piece: Interval, whole: float, extent: float) -> float:
    """Of a piece and a section that is centred in the whole extent. [mm]"""
    return max(min(piece[1], (whole + extent) / 2) - max(piece[0], (whole - extent) / 2), 0.0)


def turns(extent: Extent, edges: Interval, whole: float, low: float, high: float) -> list[float]:
    """Heights at which the wall passes an edge, found by bracketing on both sides of the widest place."""
    heights = [low + (high - low) * step / 200 for step in range(201)]
    found = []
    for edge in edges:
        def beyond(height: float, edge: float = edge) -> float:
            return extent(height) / 2 - abs(edge - whole / 2)
        for one, other in itertools.pairwise(heights):
            if beyond(one) * beyond(other) < 0:
                found.append(float(brentq(beyond, one, other, xtol=1e-13)))
    return found


def by_quadrature(length: Extent, width: Extent, whole: tuple[float, float], x: Interval, y: Interval,
                  heights: Interval) -> float:
    """Volume of a piece of a layer. [mL]"""
    low, high = heights
    kinks = sorted({low, high, *turns(length, x, whole[0], low, high), *turns(width, y, whole[1], low, high)})
    return math.fsum(quad(lambda at: overlap(x, whole[0], length(at)) * overlap(y, whole[1], width(at)), begin, end,
                          epsabs=0, epsrel=1e-11, limit=300)[0] for begin, end in itertools.pairwise(kinks)
                     ) / 1000


def chord(diameter: float) -> Extent:
    return lambda height: 2 * math.sqrt(max(height * (diameter - height), 0.0))


def slanted(base: float, rim: float, depth: float) -> Extent:
    return lambda height: base + (rim - base) * height / depth


def cast(kind: str, a: float, b: float, c: float, part: float, up: float) -> tuple[Shape, Extent, Extent, float, tuple[
        float, float]]:
    """A shape, its length and width at a height, how high it is filled, and its largest extents."""
    if kind == "tapered":
        length, width = slanted(a * part, a, c), slanted(b * (1.1 - part), b, c)
        return TaperedBox(a, b, a * part, b * (1.1 - part), c), length, width, c * up, (length(c * up), width(c * up))
    if kind == "trough":
        width = slanted(b * part, b, c)
        return Trough(a, b, b * part, c), lambda _: a, width, c * up, (a, width(c * up))
    if kind == "half round":
        return HalfRound(a, b), lambda _: a, chord(b), b / 2 * up, (a, chord(b)(b / 2 * up))
    top = b * up
    return LyingCylinder(b, a), lambda _: a, chord(b), top, (a, chord(b)(min(top, b / 2)))


parts = st.floats(0, 1)


# a chord falls steeply to nothing at the bottom, where quad asks for more steps than it needs for these digits
@pytest.mark.filterwarnings("ignore::scipy.integrate.IntegrationWarning")
@pytest.mark.parametrize("kind", ["tapered", "trough", "half round", "lying cylinder"])
@given(a=st.floats(20, 600), b=st.floats(20, 400), c=st.floats(10, 200), part=st.floats(0.1, 1), up=st.floats(0.05, 1),
       x=st.tuples(parts, parts), y=st.tuples(parts, parts), heights=st.tuples(parts, parts))
def test_a_piece_of_a_layer_has_the_volume_of_its_sections(kind: str, a: float, b: float, c: float, part: float,
                                                           up: float, x: Any, y: Any, heights: Any) -> None:
    shape, length, width, top, whole = cast(kind, a, b, c, part, up)
    solid = solid_of(shape, top)
    assert solid is not None
    assert (solid.length_mm, solid.width_mm) == (pytest.approx(whole[0]), pytest.approx(whole[1]))
    along, across, layer = (tuple(sorted(edge * size for edge in pair))
                            for pair, size in ((x, whole[0]), (y, whole[1]), (heights, top)))
    found = solid.volumes([along], [across], [layer])[0, 0]
    for volume, between in ((found[0], (0.0, top)), (found[1], layer)):
        expected = by_quadrature(length, width, whole, along, across, between)
        # to 1e-9 of the piece, and below that to the rounding of the block's own lengths
        assert volume == pytest.approx(expected, rel=1e-9, abs=1e-12 * whole[0] * whole[1] * top / 1000)


@pytest.mark.parametrize("kind", ["tapered", "trough", "half round", "lying cylinder"])
@given(a=st.floats(20, 600), b=st.floats(20, 400), c=st.floats(10, 200), part=st.floats(0.1, 1), up=st.floats(0.05, 1),
       cuts=st.lists(parts, max_size=6), slices=st.lists(parts, max_size=6), levels=st.lists(parts, max_size=6))
def test_pieces_and_layers_add_up_to_the_block(kind: str, a: float, b: float, c: float, part: float, up: float,
                                               cuts: list[float], slices: list[float], levels: list[float]) -> None:
    shape, _, _, top, whole = cast(kind, a, b, c, part, up)
    solid = solid_of(shape, top)
    assert solid is not None

    def intervals(edges: list[float], size: float) -> list[Interval]:
        at = sorted({0.0, size, *(edge * size for edge in edges)})
        return list(itertools.pairwise(at))

    found = solid.volumes(intervals(cuts, whole[0]), intervals(slices, whole[1]), intervals(levels, top))
    assert found[:, :, 0].sum() == pytest.approx(shape.volume_to(top), rel=1e-9)
    assert found[:, :, 1:].sum() == pytest.approx(shape.volume_to(top), rel=1e-9)
