"""Replies of `actuals`: what was really weighed, and the next step."""

from __future__ import annotations

from dataclasses import dataclass

from kettlewright_client.results.cure import DryingCurve
from kettlewright_client.results.ground import Reply, Spread, WeighRow
from kettlewright_client.results.portions import Column, Layer
from kettlewright_client.results.recipe import LyeCore, Superfat

__all__ = ["ActualPortion", "ActualPour", "Actuals", "After", "BarsMade", "Difference", "Drying", "Missing",
           "NextAction", "Otherwise"]


@dataclass(frozen=True, kw_only=True)
class Missing:
    """An ingredient that was forgotten or weighed short, and how much to add, in its own unit."""

    kind: str
    where: str
    portion: str | None = None
    key: str
    name: str
    form: str | None = None
    lot: str | None = None
    put_in: float
    unit: str


@dataclass(frozen=True, kw_only=True)
class Otherwise:
    """What to do if you cannot add the missing masses."""

    what: str
    key: str | None
    weigh: float | None
    unit: str
    message: str


@dataclass(frozen=True, kw_only=True)
class NextAction:
    """What to do next; `what` is do_not_pour or rebatch_or_discard if the batch is lye-heavy or not soap."""

    what: str
    key: str | None
    weigh: float | None
    unit: str
    message: str
    missing: tuple[Missing, ...] = ()
    otherwise: Otherwise | None = None


@dataclass(frozen=True, kw_only=True)
class After:
    """The batch after the next action."""

    superfat: Superfat
    batter_mass: float


@dataclass(frozen=True, kw_only=True)
class Difference:
    """A row of the weigh list and what was weighed, in its own unit."""

    kind: str
    where: str
    portion: str | None = None
    key: str
    name: str
    form: str | None = None
    lot: str | None = None
    planned: float
    weighed: float | None
    off: float | None
    off_pct: float | None
    step: float
    unit: str
    state: str


@dataclass(frozen=True, kw_only=True)
class ActualPortion:
    """A bucket, filled or still to fill."""

    key: str
    name: str
    told: bool
    planned_weigh: float
    weigh: float
    planned_layer: Layer | None
    layer: Layer | None
    column: Column | None = None


@dataclass(frozen=True, kw_only=True)
class ActualPour:
    """How the available batter fills buckets and mould."""

    portions: tuple[ActualPortion, ...]
    in_pot_mass: float
    remains_mass: float
    over_mass: float
    missing_depth: float | None


@dataclass(frozen=True, kw_only=True)
class BarsMade:
    """Bars made and bars planned."""

    planned_count: int
    count: int
    off_count: int
    yield_pct: float
    planned_mass: Spread | None
    min_mass: float | None
    mean_mass: float | None
    max_mass: float | None
    total_mass: float | None
    weighed_count: int
    outside_count: int | None


@dataclass(frozen=True, kw_only=True)
class Drying:
    """How a bar dries."""

    curve: DryingCurve
    loss_bound_pct: float
    notes: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Actuals(Reply):
    """Reply of `actuals`."""

    identity: str
    stage: str
    next_action: NextAction
    as_weighed: LyeCore
    after: After | None = None
    difference: tuple[Difference, ...]
    assumed_as_planned: tuple[WeighRow, ...]
    still_to_weigh: tuple[WeighRow, ...]
    pour: ActualPour
    bars: BarsMade | None = None
    drying: Drying | None = None
