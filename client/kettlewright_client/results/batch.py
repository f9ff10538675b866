"""Reply of `batches`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from kettlewright_client.results.cure import BatchDates
from kettlewright_client.results.cuts import CutsCore
from kettlewright_client.results.fades import FadeCore
from kettlewright_client.results.ground import Reply, Vessels, WeighRow, WorkingLine
from kettlewright_client.results.labels import Label
from kettlewright_client.results.money import Cost
from kettlewright_client.results.moulds import MouldCore
from kettlewright_client.results.portions import Division
from kettlewright_client.results.recipe import LyeCore

__all__ = ["Batch", "Bottle", "Comparison", "Cup", "Links", "Mixes", "Moved", "Pieces", "Resolved", "ResolvedLine"]


@dataclass(frozen=True, kw_only=True)
class Cup:
    """A cup to weigh."""

    name: str
    weigh: float
    diluted: bool
    count: int
    portion: str | None = None


@dataclass(frozen=True, kw_only=True)
class Bottle:
    """What is weighed into one cup or several before any lye is made."""

    kind: str
    key: str
    name: str
    total: float
    step: float
    cups: tuple[Cup, ...]
    form: str | None = None
    lot: str | None = None


@dataclass(frozen=True, kw_only=True)
class Pieces:
    """Pieces of a batch that is not cut."""

    count: int
    mass: float
    cured_mass: float | None


@dataclass(frozen=True, kw_only=True)
class Mixes:
    """The batch in equal mixes, each weighed separately."""

    count: int
    batter_mass: float
    pot_mass: float
    weigh_list: tuple[WeighRow, ...]


@dataclass(frozen=True, kw_only=True)
class ResolvedLine:
    """A value that a plan depends on."""

    what: str
    value: float
    unit: str
    rests_on: str


@dataclass(frozen=True, kw_only=True)
class Resolved:
    """Every value that a plan depends on: keep it, and send it with a remake as `compare_to`."""

    identity: str
    request: str
    version: str
    data_version: str
    lines: tuple[ResolvedLine, ...]


@dataclass(frozen=True, kw_only=True)
class Moved:
    """A value that has changed."""

    what: str
    unit: str
    then: float | None
    now: float | None
    message: str


@dataclass(frozen=True, kw_only=True)
class Comparison:
    """A plan compared with an earlier one."""

    identity: str
    message: str
    moved: tuple[Moved, ...]
    unmoved_count: int


@dataclass(frozen=True, kw_only=True)
class Links:
    """Link to a plan, relative to the service. It opens the batch sheet in a browser and contains the recipe.

    A plan too long for a link has a `message` instead.
    """

    self: str | None = None
    message: str | None = None


@dataclass(frozen=True, kw_only=True)
class Batch(Division, Reply):
    """Reply of `batches`; you can send `recipe` again unchanged."""

    recipe: Mapping[str, Any]
    lye: LyeCore
    vessels: Vessels
    mould: MouldCore
    arrangement: str
    cuts: CutsCore | None
    loss_for_limits_pct: float
    loss_assumed: bool
    weigh_list: tuple[WeighRow, ...]
    set_out: tuple[Bottle, ...]
    pieces: Pieces | None = None
    mixes: Mixes | None = None
    fade: FadeCore | None = None
    workings: tuple[WorkingLine, ...] = ()
    identity: str
    links: Links
    title: str | None = None
    maker: str | None = None
    notes: tuple[str, ...] = ()
    batch_number: str | None = None
    dates: BatchDates | None = None
    label: Label | None = None
    cost: Cost | None = None
    resolved: Resolved | None = None
    comparison: Comparison | None = None
