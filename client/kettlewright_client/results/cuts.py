"""Replies of `cuts`."""

from __future__ import annotations

from dataclasses import dataclass

from kettlewright_client.results.ground import Reply, Spread

__all__ = ["BarKind", "Bars", "BlockSize", "Cuts", "CutsCore", "FacePoint", "LayerShare", "Loaves", "Offcut",
           "Positions", "Rebatch", "Turned"]


@dataclass(frozen=True, kw_only=True)
class Loaves:
    """The loaves."""

    count: int
    length: float
    width: float
    height: float


@dataclass(frozen=True, kw_only=True)
class FacePoint:
    """A point of the outline of a piece."""

    across: float
    up: float


@dataclass(frozen=True, kw_only=True)
class Bars:
    """The bars: their form and outline, seen from the cut side."""

    count: int
    length: float
    thickness: float
    height: float
    form: str
    face: tuple[FacePoint, ...]
    mass: Spread | None
    cured_mass: Spread | None = None


@dataclass(frozen=True, kw_only=True)
class Offcut:
    """A piece that is not a bar."""

    name: str
    length: float
    width: float
    height: float
    mass: float | None


@dataclass(frozen=True, kw_only=True)
class Positions:
    """Near edge of each cut, from the block's start."""

    loaf: tuple[float, ...]
    bar: tuple[float, ...]
    loaf_starts: tuple[float, ...]
    bar_starts: tuple[float, ...]


@dataclass(frozen=True, kw_only=True)
class LayerShare:
    """Share of a layer in a bar."""

    key: str
    share_pct: float


@dataclass(frozen=True, kw_only=True)
class BarKind:
    """Bars of one kind."""

    count: int
    first_loaf: int
    first_bar: int
    volume: float
    mass: Spread | None
    layers: tuple[LayerShare, ...]


@dataclass(frozen=True, kw_only=True)
class Turned:
    """The same cut with the block turned by a quarter."""

    bars_count: int
    volume_yield_pct: float


@dataclass(frozen=True, kw_only=True)
class Rebatch:
    """The offcuts together."""

    mass: float
    bars_count: int


@dataclass(frozen=True, kw_only=True)
class BlockSize:
    """The block that is cut."""

    length: float
    width: float
    height: float


@dataclass(frozen=True, kw_only=True)
class CutsCore:
    """How a block is cut."""

    block: BlockSize
    loaves: Loaves
    bars: Bars
    offcuts: tuple[Offcut, ...]
    kerf_mass: float | None
    rebatch: Rebatch | None
    shavings_mass: float | None
    volume_yield_pct: float
    kinds: tuple[BarKind, ...]
    positions: Positions
    turned: Turned | None = None


@dataclass(frozen=True, kw_only=True)
class Cuts(CutsCore, Reply):
    """Reply of `cuts`."""
