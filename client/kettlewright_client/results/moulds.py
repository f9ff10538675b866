"""Replies of `moulds`."""

from __future__ import annotations

from dataclasses import dataclass

from kettlewright_client.results.ground import Reply

__all__ = ["Areas", "Fill", "Filling", "Mould", "MouldCore", "MouldUse", "ProfilePoint"]


@dataclass(frozen=True, kw_only=True)
class Areas:
    """Surfaces, in cm2."""

    bottom: float
    top: float


@dataclass(frozen=True, kw_only=True)
class Fill:
    """Batter in a mould."""

    depth: float | None
    volume: float
    mass: float | None
    area: float | None
    cavity_mass: float | None


@dataclass(frozen=True, kw_only=True)
class ProfilePoint:
    """Width of a section at a height."""

    height: float
    width: float


@dataclass(frozen=True, kw_only=True)
class MouldCore:
    """Volume of a mould."""

    volume: float
    brim_volume: float
    areas: Areas | None
    profile: tuple[ProfilePoint, ...]
    fill: Fill | None
    name: str | None = None
    shape: str | None = None
    count: int | None = None


@dataclass(frozen=True, kw_only=True)
class MouldUse:
    """A mould to fill."""

    key: str
    name: str
    times: int
    volume: float


@dataclass(frozen=True, kw_only=True)
class Filling:
    """How moulds meet an order."""

    uses: tuple[MouldUse, ...]
    left_over: float
    pours_count: int
    proven_optimal: bool


@dataclass(frozen=True, kw_only=True)
class Mould(MouldCore, Reply):
    """Reply of `moulds`."""

    filling: Filling | None = None
