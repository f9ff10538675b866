"""Reply of `cuts`. Written by `make contract` from openapi.yaml; do not edit."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal, overload

from kettlewright_client.generated.results.shared import Reply
from kettlewright_client.record import Record

__all__ = ["BarKind", "CutBars", "CutBlock", "CutLoaves", "CutPositions", "Cuts", "CutsOfBatch", "FacePoint",
           "LayerShare", "MassRange", "Offcut", "Rebatch", "Turned"]


@dataclass(frozen=True, kw_only=True, repr=False)
class CutBlock(Record):
    """`block` of `CutsOfBatch` (The block that is cut, its largest extents)."""

    length: float
    """Bars are cut along it. Unit: `units.length`, mm if not set."""

    width: float
    """Loaves are cut across it. Unit: `units.length`, mm if not set."""

    height: float
    """Height; of a round its diameter. Unit: `units.length`, mm if not set."""


@dataclass(frozen=True, kw_only=True, repr=False)
class CutLoaves(Record):
    """`loaves` of `CutsOfBatch` (The loaves)."""

    count: int
    """All of them. Unit: loaves."""

    length: float
    """Of each. Unit: `units.length`, mm if not set."""

    width: float
    """Of each. Unit: `units.length`, mm if not set."""

    height: float
    """Of each. Unit: `units.length`, mm if not set."""


@dataclass(frozen=True, kw_only=True, repr=False)
class FacePoint(Record):
    """`face[]` of `CutBars` (Their outline from there, straight between the points; empty if the loaves of a slanted
    mould differ).
    """

    across: float
    """From its left end. Unit: `units.length`, mm if not set."""

    up: float
    """From the table. Unit: `units.length`, mm if not set."""


@dataclass(frozen=True, kw_only=True, repr=False)
class MassRange(Record):
    """`mass` of `CutBars` (Wet, of one bar; null without density), and 9 more."""

    min: float
    """Lower end. Unit: `units.mass`, g if not set."""

    mid: float
    """Middle. Unit: `units.mass`, g if not set."""

    max: float
    """Upper end. Unit: `units.mass`, g if not set."""


@dataclass(frozen=True, kw_only=True, repr=False)
class CutBars(Record):
    """`bars` of `CutsOfBatch` (The bars)."""

    count: int
    """All of them. Unit: bars."""

    length: float
    """Of each: the loaf's width. Unit: `units.length`, mm if not set."""

    thickness: float
    """Of each. Unit: `units.length`, mm if not set."""

    height: float
    """Of each. Unit: `units.length`, mm if not set."""

    form: str
    """What they look like from the cut side: a rectangle (bar), slanted or curved at the sides, a circle or the filled
    part of it, half a circle, an ellipse, a regular polygon. One of bar, slanted, round, half_round, oval, polygon.
    """

    face: tuple[FacePoint, ...]
    """Their outline from there, straight between the points; empty if the loaves of a slanted mould differ."""

    mass: MassRange | None
    """Wet, of one bar; null without density."""

    cured_mass: MassRange | None = None
    """Of one bar after the loss in cure; left out if that is not given."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["mass"]) -> MassRange: ...
        @overload
        def need(self, part: Literal["cured_mass"]) -> MassRange: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class Offcut(Record):
    """`offcuts[]` of `CutsOfBatch` (Every piece that is not a bar)."""

    name: str
    """Where it comes from."""

    length: float
    """Along the block's length. Unit: `units.length`, mm if not set."""

    width: float
    """Along the block's width. Unit: `units.length`, mm if not set."""

    height: float
    """Height. Unit: `units.length`, mm if not set."""

    mass: float | None
    """Wet; null without density. Unit: `units.mass`, g if not set."""

    if TYPE_CHECKING:
        def need(self, part: Literal["mass"]) -> float: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class Rebatch(Record):
    """`rebatch` of `CutsOfBatch` (What the offcuts add up to; null without density)."""

    mass: float
    """All offcuts, wet. Unit: `units.mass`, g if not set."""

    bars_count: int
    """Bars of the planned mass that they would make, melted down. Unit: bars."""


@dataclass(frozen=True, kw_only=True, repr=False)
class LayerShare(Record):
    """`layers[]` of `BarKind` (What it holds, where flat layers are known)."""

    key: str
    """Of the portion."""

    share_pct: float
    """By volume. Unit: % of bar."""


@dataclass(frozen=True, kw_only=True, repr=False)
class BarKind(Record):
    """`kinds[]` of `CutsOfBatch` (Bars that are alike, the most numerous first)."""

    count: int
    """How many. Unit: bars."""

    first_loaf: int
    """Where the first of them is: its loaf. Unit: number, from 1."""

    first_bar: int
    """And its place in that loaf. Unit: number, from 1."""

    volume: float
    """Of one. Unit: `units.volume`, mL if not set."""

    mass: MassRange | None
    """Wet, of one; null without density."""

    layers: tuple[LayerShare, ...]
    """What it holds, where flat layers are known."""

    if TYPE_CHECKING:
        def need(self, part: Literal["mass"]) -> MassRange: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class Turned(Record):
    """`turned` of `CutsOfBatch` (What turning a box-shaped block by a quarter would give, if it gives any bars)."""

    bars_count: int
    """Bars it would give. Unit: bars."""

    volume_yield_pct: float
    """Bars, of the block. Unit: % by volume."""


@dataclass(frozen=True, kw_only=True, repr=False)
class CutPositions(Record):
    """`positions` of `CutsOfBatch` (Where to cut)."""

    loaf: tuple[float, ...]
    """Across the width. Unit: `units.length`, mm if not set."""

    bar: tuple[float, ...]
    """Along the length. Unit: `units.length`, mm if not set."""

    loaf_starts: tuple[float, ...]
    """Where each loaf begins, across the width. Unit: `units.length`, mm if not set."""

    bar_starts: tuple[float, ...]
    """Where each bar begins, along the length. Unit: `units.length`, mm if not set."""


@dataclass(frozen=True, kw_only=True, repr=False)
class CutsOfBatch(Record):
    """`cuts` of `BatchCore` (How the block is cut, as at /v1/cuts; null without a cut), and 1 more."""

    block: CutBlock
    """The block that is cut, its largest extents."""

    loaves: CutLoaves
    """The loaves."""

    bars: CutBars
    """The bars."""

    offcuts: tuple[Offcut, ...]
    """Every piece that is not a bar."""

    kerf_mass: float | None
    """Lost to the blade between pieces; null without density. Unit: `units.mass`, g if not set."""

    rebatch: Rebatch | None
    """What the offcuts add up to; null without density."""

    shavings_mass: float | None
    """Lost to planing and bevelling; null without density. Unit: `units.mass`, g if not set."""

    volume_yield_pct: float
    """Bars, of the block. Unit: % by volume."""

    kinds: tuple[BarKind, ...]
    """Bars that are alike, the most numerous first."""

    turned: Turned | None = None
    """What turning a box-shaped block by a quarter would give, if it gives any bars."""

    positions: CutPositions
    """Where to cut."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["kerf_mass"]) -> float: ...
        @overload
        def need(self, part: Literal["rebatch"]) -> Rebatch: ...
        @overload
        def need(self, part: Literal["shavings_mass"]) -> float: ...
        @overload
        def need(self, part: Literal["turned"]) -> Turned: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class Cuts(Reply, CutsOfBatch):
    """Reply of `cuts`: a block cut into loaves and bars."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["kerf_mass"]) -> float: ...
        @overload
        def need(self, part: Literal["rebatch"]) -> Rebatch: ...
        @overload
        def need(self, part: Literal["shavings_mass"]) -> float: ...
        @overload
        def need(self, part: Literal["turned"]) -> Turned: ...
        def need(self, part: str) -> Any: ...
