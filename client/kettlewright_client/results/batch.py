"""Reply of `batches`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from kettlewright_client.results.cuts import CutsCore
from kettlewright_client.results.fades import FadeCore
from kettlewright_client.results.ground import Reply, Vessels, WeighRow, WorkingLine
from kettlewright_client.results.moulds import MouldCore
from kettlewright_client.results.portions import Division
from kettlewright_client.results.recipe import LyeCore

__all__ = ["Batch", "Mixes", "Pieces"]


@dataclass(frozen=True, kw_only=True)
class Pieces:
    """What a batch that is not cut comes to."""

    count: int
    mass: float
    cured_mass: float | None


@dataclass(frozen=True, kw_only=True)
class Mixes:
    """The batch in equal goes."""

    count: int
    weigh_list: tuple[WeighRow, ...]


@dataclass(frozen=True, kw_only=True)
class Batch(Division, Reply):
    """Reply of `batches`; `recipe` can be sent again as it stands."""

    recipe: Mapping[str, Any]
    lye: LyeCore
    vessels: Vessels
    mould: MouldCore
    arrangement: str
    cuts: CutsCore | None
    loss_for_limits_pct: float
    weigh_list: tuple[WeighRow, ...]
    pieces: Pieces | None = None
    mixes: Mixes | None = None
    fade: FadeCore | None = None
    workings: tuple[WorkingLine, ...] = ()
