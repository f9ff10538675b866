"""Replies of `portions`: what goes into each bucket, and where it lies."""

from __future__ import annotations

from dataclasses import dataclass

from kettlewright_client.results.ground import Reply
from kettlewright_client.results.moulds import MouldCore

__all__ = ["Addition", "Borrowed", "Column", "Dilution", "Dispersion", "Division", "Dusting", "KeptBack",
           "LargestDose", "Layer", "Limit", "MixingStep", "Overflow", "OverflowLayer", "Portion", "PortionMass",
           "Portions"]


@dataclass(frozen=True, kw_only=True)
class Dilution:
    """How to weigh a dose that is too small for the scale."""

    weigh: float
    carrier_weigh: float
    take_mass: float
    take_weigh: float
    carrier_mass: float


@dataclass(frozen=True, kw_only=True)
class Addition:
    """An addition to weigh."""

    key: str
    name: str
    mass: float
    weigh: float
    allowed_mass: float | None = None
    dilution: Dilution | None = None


@dataclass(frozen=True, kw_only=True)
class Dusting:
    """Powder to sift."""

    key: str
    name: str
    mass: float
    weigh: float
    area: float
    colour: str | None = None


@dataclass(frozen=True, kw_only=True)
class Layer:
    """Heights in each cavity."""

    bottom: float
    top: float
    below_rim: float


@dataclass(frozen=True, kw_only=True)
class Column:
    """Position of a portion between dividers."""

    start: float
    end: float


@dataclass(frozen=True, kw_only=True)
class OverflowLayer:
    """Share of a portion in the overflow mould."""

    key: str
    name: str
    layer: Layer | None


@dataclass(frozen=True, kw_only=True)
class Overflow:
    """Batter that did not go into the mould."""

    mass: float
    volume: float
    depth: float | None
    layers: tuple[OverflowLayer, ...]


@dataclass(frozen=True, kw_only=True)
class Borrowed:
    """Batter from another bucket."""

    key: str
    name: str
    mass: float
    weigh: float


@dataclass(frozen=True, kw_only=True)
class Portion:
    """A bucket to fill."""

    key: str
    name: str
    batter_mass: float
    weigh: float
    mass: float
    volume: float
    additions: tuple[Addition, ...]
    borrowed: tuple[Borrowed, ...]
    lent_mass: float
    layer: Layer | None
    colour: str | None
    dusting: Dusting | None = None
    column: Column | None = None
    free_fat_mass: float | None = None
    superfat_pct: float | None = None


@dataclass(frozen=True, kw_only=True)
class KeptBack:
    """Plain batter set aside."""

    mass: float
    weigh: float


@dataclass(frozen=True, kw_only=True)
class Dispersion:
    """A jar to make before the pour."""

    key: str
    name: str
    carrier: str
    carrier_name: str
    weigh: float
    carrier_weigh: float
    used_mass: float
    left_mass: float


@dataclass(frozen=True, kw_only=True)
class MixingStep:
    """What to stir in next."""

    key: str | None
    name: str
    additions: tuple[str, ...]
    borrows: tuple[str, ...]
    when: str


@dataclass(frozen=True, kw_only=True)
class LargestDose:
    """The largest dose within a limit."""

    portion: str | None
    dose: float
    basis: str
    mass: float


@dataclass(frozen=True, kw_only=True)
class PortionMass:
    """The mass of a portion given by mass, with the largest doses."""

    portion: str
    mass: float


@dataclass(frozen=True, kw_only=True)
class Limit:
    """An ingredient with a limit on the cured bar."""

    key: str
    name: str
    limit_pct: float
    portion: str
    portion_pct: float
    bar: str | None
    bar_pct: float | None
    exceeded: bool
    largest_doses: tuple[LargestDose, ...]
    portion_masses: tuple[PortionMass, ...]


@dataclass(frozen=True, kw_only=True)
class Division:
    """A batch divided into portions."""

    additions: tuple[Addition, ...]
    portions: tuple[Portion, ...]
    residue_mass: float
    pot_mass: float
    mould_mass: float
    dispersions: tuple[Dispersion, ...]
    mixing_order: tuple[MixingStep, ...]
    bucket_order: tuple[str, ...]
    limits: tuple[Limit, ...]
    overflow: Overflow | None = None
    kept_back: KeptBack | None = None


@dataclass(frozen=True, kw_only=True)
class Portions(Division, Reply):
    """Reply of `portions`."""

    arrangement: str
    mould: MouldCore | None = None
