"""What went where, and what is left of each lot: plain functions over rows."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

__all__ = ["BatchRows", "LotLeft", "LotOnShelf", "PlannedRow", "Use", "Weighed", "left_of", "uses_of"]

Place = tuple[str, str, str, str, str]
"""Identifies a row of a weigh list: kind, where, portion, key, lot as planned."""


@dataclass(frozen=True, slots=True)
class LotOnShelf:
    """A lot as received.

    Parameters
    ----------
    key, lot : str
        Of the ingredient, as in `buy` of a weigh list; the supplier's number. [text]
    mass_g : float
        As received. [g]
    received_on : str
        Day. [date]
    best_before : str, optional
        Day. [date]
    used_up_on : str, optional
        Day on which you marked it as used up. [date]
    """

    key: str
    lot: str
    mass_g: float
    received_on: str
    best_before: str | None = None
    used_up_on: str | None = None


@dataclass(frozen=True, slots=True)
class PlannedRow:
    """A row of a weigh list that comes out of a lot.

    Parameters
    ----------
    key : str
        What is bought. [key]
    mass_g : float
        Of it. [g]
    share : float
        Of what is weighed; below 1 where a dilution is weighed. [1]
    """

    key: str
    mass_g: float
    share: float = 1.0


@dataclass(frozen=True, slots=True)
class Weighed:
    """What was really weighed in place of a planned row.

    Parameters
    ----------
    lot : str
        Of what was weighed; empty if unknown. [text]
    mass_g : float
        How much. [g]
    """

    lot: str
    mass_g: float


@dataclass(frozen=True, slots=True)
class BatchRows:
    """A batch and its rows.

    Parameters
    ----------
    number, identity, made_on : str
        Of the batch, of its plan, day. [text]
    bars_count : int, optional
        Bars it gave. [bars]
    planned : mapping of Place to PlannedRow
        Each row that comes out of a lot. [g]
    weighed : mapping of Place to sequence of Weighed
        What was really weighed, of rows that were. [g]
    """

    number: str
    identity: str
    made_on: str
    bars_count: int | None
    planned: Mapping[Place, PlannedRow]
    weighed: Mapping[Place, Sequence[Weighed]]


@dataclass(frozen=True, slots=True)
class Use:
    """What a batch took of a lot.

    Parameters
    ----------
    number, identity, made_on : str
        Of the batch. [text]
    bars_count : int, optional
        All its bars: whatever is in the pot or a bucket may be in any of them. [bars]
    key, lot : str
        What was taken; the lot is empty where none is known. [text]
    mass_g : float
        How much. [g]
    basis : str
        "weighed", "planned" (the plan names the lot), or "assumed" (nobody named one: the oldest with enough left).
        [word]
    """

    number: str
    identity: str
    made_on: str
    bars_count: int | None
    key: str
    lot: str
    mass_g: float
    basis: str


@dataclass(frozen=True, slots=True)
class LotLeft:
    """What is left of a lot.

    Parameters
    ----------
    key, lot : str
        Which. [text]
    received_g, used_g, left_g : float
        Mass. [g]
    received_on : str
        Day. [date]
    best_before : str, optional
        Day. [date]
    past : bool
        It is past its best-before day. [yes or no]
    """

    key: str
    lot: str
    received_g: float
    used_g: float
    left_g: float
    received_on: str
    best_before: str | None
    past: bool


def _oldest_first(lot: LotOnShelf) -> tuple[str, str, str]:
    return (lot.best_before or "9999", lot.received_on, lot.lot)


def uses_of(batches: Iterable[BatchRows], lots: Iterable[LotOnShelf]) -> list[Use]:
    """What every batch took of which lot.

    Parameters
    ----------
    batches : iterable of BatchRows
        In the order in which they were made. [batches]
    lots : iterable of LotOnShelf
        All lots. [lots]

    Returns
    -------
    list of Use : a row whose lot nobody named is taken from the oldest lots of its key that have something left, and
        from lot "" beyond them. The uses of a row add up to its mass. [g]
    """
    by_key: dict[str, list[LotOnShelf]] = {}
    left: dict[tuple[str, str], float] = {}
    for lot in lots:
        by_key.setdefault(lot.key, []).append(lot)
        left[lot.key, lot.lot] = lot.mass_g
    for known in by_key.values():
        known.sort(key=_oldest_first)
    found, open_rows = [], []
    for batch in batches:
        for place, row in batch.planned.items():
            weighed = batch.weighed.get(place)
            parts = [(one.lot or place[4], one.mass_g * row.share, "weighed") for one in weighed] if weighed else [
                (place[4], row.mass_g, "planned")]
            for lot_name, part_g, basis in parts:
                if not lot_name:
                    open_rows.append((batch, row.key, part_g))
                    continue
                found.append(_use(batch, row.key, lot_name, part_g, basis))
                if (row.key, lot_name) in left:
                    left[row.key, lot_name] -= part_g
    for batch, key, mass_g in open_rows:  # after all that is known, so that no assumption takes what was weighed
        for lot in by_key.get(key, ()):
            taken = min(mass_g, max(left[key, lot.lot], 0.0)) if lot.used_up_on is None else 0.0
            if taken > 0:
                left[key, lot.lot] -= taken
                mass_g -= taken
                found.append(_use(batch, key, lot.lot, taken, "assumed"))
        if mass_g > 0:
            found.append(_use(batch, key, "", mass_g, "assumed"))
    return found


def _use(batch: BatchRows, key: str, lot: str, mass_g: float, basis: str) -> Use:
    return Use(batch.number, batch.identity, batch.made_on, batch.bars_count, key, lot, mass_g, basis)


def left_of(lots: Iterable[LotOnShelf], uses: Iterable[Use], *, today: str) -> list[LotLeft]:
    """What is left of each lot, the oldest first.

    Parameters
    ----------
    lots : iterable of LotOnShelf
        All lots. [lots]
    uses : iterable of Use
        Of all batches. [uses]
    today : str
        Day; a lot whose best-before day lies before it is past. [date]

    Returns
    -------
    list of LotLeft : by key; below 0 where more was taken than received, 0 where it was marked as used up. [g]
    """
    used: dict[tuple[str, str], float] = {}
    for use in uses:
        used[use.key, use.lot] = used.get((use.key, use.lot), 0.0) + use.mass_g
    return [LotLeft(lot.key, lot.lot, lot.mass_g, taken, lot.mass_g - taken if lot.used_up_on is None else 0.0,
                    lot.received_on, lot.best_before, bool(lot.best_before and lot.best_before < today))
            for lot in sorted(lots, key=lambda one: (one.key, *_oldest_first(one)))
            for taken in [used.get((lot.key, lot.lot), 0.0)]]
