"""A mould in words, as a maker would call it across the workshop."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from kettlewright.amounts import Amount, length, volume
from kettlewright.pour.mould.moulds import Mould
from kettlewright.pour.mould.shapes.base import Dimension
from kettlewright.said import Said

__all__ = ["mould_in_words"]

_SHAPES: Mapping[str, Said] = MappingProxyType({
    "box": Said("box"), "tapered_box": Said("tapered box"), "trough": Said("trough"),
    "half_round": Said("half-round"), "lying_cylinder": Said("lying tube"), "cylinder": Said("tube"),
    "elliptic_cylinder": Said("oval tube"), "prism": Said("prism"), "cone_frustum": Said("cone"),
    "bowl": Said("bowl"), "measured": Said("mould measured with water")})
_DIMENSIONS: Mapping[str, Said] = MappingProxyType({
    "length": Said("length"), "width": Said("width"), "depth": Said("depth"), "diameter": Said("diameter"),
    "short_diameter": Said("shorter diameter"), "base_length": Said("length at the bottom"),
    "base_width": Said("width at the bottom"), "base_diameter": Said("diameter at the bottom"), "side": Said("side"),
    "across_flats": Said("across the flats"), "circumradius": Said("centre to corner"), "sides": Said("sides"),
    "volume": Said("volume")})


def mould_in_words(mould: Mould) -> Said:
    """Count, shape and inside dimensions of a mould, unlined, with its liner.

    Parameters
    ----------
    mould : Mould
        The mould. [mould]

    Returns
    -------
    Said : such as "3 × tube, 74 × 240 mm (diameter, depth), liner 0.5 mm". [text]
    """
    shape = mould.shape
    given = [(one, getattr(shape, one.name)) for one in shape.dimensions if getattr(shape, one.name) is not None]
    sizes = tuple(_size(one, value) for one, value in given)
    name = _SHAPES[shape.key] if mould.count == 1 else Said("{count} × {shape}", count=mould.count,
                                                            shape=_SHAPES[shape.key])
    words = Said("{mould}: {sizes:, }", mould=name, sizes=sizes)
    if not mould.liner_mm:
        return words
    return Said("{mould}, liner {thick}", mould=words, thick=length(mould.liner_mm, digits=4))


def _size(one: Dimension, value: float) -> Said:
    amount: Amount | float = length(value, digits=5) if one.measure == "length" else \
        volume(value, digits=5) if one.measure == "volume" else value
    return Said("{dimension} {size}", dimension=_DIMENSIONS[one.key], size=amount) if isinstance(amount, Amount) else \
        Said("{dimension} {number:.0f}", dimension=_DIMENSIONS[one.key], number=amount)
