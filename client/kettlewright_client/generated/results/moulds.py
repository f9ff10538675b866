"""Reply of `moulds`. Written by `make contract` from openapi.yaml; do not edit."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal, overload

from kettlewright_client.generated.results.shared import Reply
from kettlewright_client.record import Record

__all__ = ["Areas", "Fill", "Filling", "Mould", "MouldSummary", "MouldUse", "ProfilePoint"]


@dataclass(frozen=True, kw_only=True, repr=False)
class Areas(Record):
    """`areas` of `MouldSummary` (Surfaces; null for a measured mould without depth)."""

    bottom: float
    """At the bottom. Unit: cm2."""

    top: float
    """At the fill limit. Unit: cm2."""


@dataclass(frozen=True, kw_only=True, repr=False)
class ProfilePoint(Record):
    """`profile[]` of `MouldSummary` (Width of one cavity's section at rising heights, straight between them; empty for
    a measured mould).
    """

    height: float
    """From its bottom. Unit: `units.length`, mm if not set."""

    width: float
    """Of its section there. Unit: `units.length`, mm if not set."""


@dataclass(frozen=True, kw_only=True, repr=False)
class Fill(Record):
    """`fill` of `MouldSummary` (If a fill was requested)."""

    depth: float | None
    """Height in each cavity; null for a measured mould without depth. Unit: `units.length`, mm if not set."""

    volume: float
    """Over all cavities. Unit: `units.volume`, mL if not set."""

    mass: float | None
    """Over all cavities; null without density. Unit: `units.mass`, g if not set."""

    area: float | None
    """Surface over all cavities; null for a measured mould without depth. Unit: cm2."""

    cavity_mass: float | None
    """In one cavity; null if they differ. Unit: `units.mass`, g if not set."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["depth"]) -> float: ...
        @overload
        def need(self, part: Literal["mass"]) -> float: ...
        @overload
        def need(self, part: Literal["area"]) -> float: ...
        @overload
        def need(self, part: Literal["cavity_mass"]) -> float: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class MouldSummary(Record):
    """`mould` of `Portions` (Where they go, if it was given), and 2 more."""

    name: str | None = None
    """Count, shape and inside dimensions in words."""

    shape: str | None = None
    """As given. One of box, tapered_box, trough, half_round, cylinder, elliptic_cylinder, cone_frustum, lying_cylinder,
    bowl, prism, measured.
    """

    count: int | None = None
    """Cavities. Unit: cavities."""

    volume: float
    """Up to the headspace, over all cavities. Unit: `units.volume`, mL if not set."""

    brim_volume: float
    """Up to the rim, over all cavities. Unit: `units.volume`, mL if not set."""

    areas: Areas | None
    """Surfaces; null for a measured mould without depth."""

    profile: tuple[ProfilePoint, ...]
    """Width of one cavity's section at rising heights, straight between them; empty for a measured mould."""

    fill: Fill | None = None
    """If a fill was requested."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["name"]) -> str: ...
        @overload
        def need(self, part: Literal["shape"]) -> str: ...
        @overload
        def need(self, part: Literal["count"]) -> int: ...
        @overload
        def need(self, part: Literal["areas"]) -> Areas: ...
        @overload
        def need(self, part: Literal["fill"]) -> Fill: ...
        def need(self, part: str) -> Any: ...


@dataclass(frozen=True, kw_only=True, repr=False)
class MouldUse(Record):
    """`uses[]` of `Filling` (Moulds that are filled, in the order given)."""

    key: str
    """A slug of its name."""

    name: str
    """Your name for it."""

    times: int
    """How often. Unit: times."""

    volume: float
    """Each time, to its headspace. Unit: `units.volume`, mL if not set."""


@dataclass(frozen=True, kw_only=True, repr=False)
class Filling(Record):
    """`filling` of `Mould` (How an order is met)."""

    uses: tuple[MouldUse, ...]
    """Moulds that are filled, in the order given."""

    left_over: float
    """Excess over the order. Unit: `units.volume`, mL if not set."""

    pours_count: int
    """Moulds filled in all. Unit: times."""

    proven_optimal: bool
    """No better filling exists; false if the node limit was reached."""


@dataclass(frozen=True, kw_only=True, repr=False)
class Mould(Reply, MouldSummary):
    """Reply of `moulds`: what a mould holds."""

    filling: Filling | None = None
    """How an order is met."""

    if TYPE_CHECKING:
        @overload
        def need(self, part: Literal["name"]) -> str: ...
        @overload
        def need(self, part: Literal["shape"]) -> str: ...
        @overload
        def need(self, part: Literal["count"]) -> int: ...
        @overload
        def need(self, part: Literal["areas"]) -> Areas: ...
        @overload
        def need(self, part: Literal["fill"]) -> Fill: ...
        @overload
        def need(self, part: Literal["filling"]) -> Filling: ...
        def need(self, part: str) -> Any: ...
