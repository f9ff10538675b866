"""Shapes of a cavity: how much they hold up to a height, how high a volume reaches, how they are cut and drawn.

A new shape is a class with the attributes that `base.Shape` lists, and an entry in `SHAPES`.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from kettlewright.pour.mould.shapes.base import PIECE_FORMS, Dimension, Point, Shape
from kettlewright.pour.mould.shapes.blocks import Box, HalfRound, LyingCylinder, TaperedBox, Trough
from kettlewright.pour.mould.shapes.pieces import Bowl, ConeFrustum, Measured
from kettlewright.pour.mould.shapes.tubes import Cylinder, EllipticCylinder, Prism

__all__ = ["PIECE_FORMS", "SHAPES", "Bowl", "Box", "ConeFrustum", "Cylinder", "Dimension", "EllipticCylinder",
           "HalfRound", "LyingCylinder", "Measured", "Point", "Prism", "Shape", "TaperedBox", "Trough"]

SHAPES: Mapping[str, type[Shape]] = MappingProxyType({shape.key: shape for shape in (
    Box, TaperedBox, Trough, HalfRound, Cylinder, EllipticCylinder, ConeFrustum, LyingCylinder, Bowl, Prism, Measured)})
"""All shapes, by their key in a request."""
