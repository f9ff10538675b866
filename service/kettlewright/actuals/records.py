"""The record of a batch as it was made: who and when, what was put right; label, cost and days from the weighings."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import TypeVar

from kettlewright.actuals.replan import Actuals
from kettlewright.copies import replace
from kettlewright.errors import DomainError, DomainErrors
from kettlewright.plan.batch import Plan
from kettlewright.plan.cost import plan_cost
from kettlewright.plan.label import label_of
from kettlewright.pour import BarMass, Cuts
from kettlewright.release import (
    BatchDates,
    Cost,
    CostOptions,
    DateOptions,
    Label,
    LabelOptions,
    batch_dates,
)
from kettlewright.release.days.closed_days import NONE_CLOSED
from kettlewright.said import Said

__all__ = ["BatchRecord", "Correction", "RecordOptions", "as_made", "record_of"]

_Made = TypeVar("_Made")
_NOT_FOR_SALE = ("do_not_pour", "hold_back", "rebatch_or_discard")


@dataclass(frozen=True, slots=True)
class Correction:
    """Something that was put right while the batch was made.

    Parameters
    ----------
    what, reason : str
        What was done, and the reason. [text]
    """

    what: str
    reason: str


@dataclass(frozen=True, slots=True)
class RecordOptions:
    """What only the maker knows of a batch.

    Parameters
    ----------
    made_on : date, optional
        The day it was poured. [day]
    made_by, checked_by : str, optional
        Who made it, and who checked the weighings. [text]
    corrections : tuple of Correction
        What was put right, and why. [text]
    """

    made_on: date | None = None
    made_by: str | None = None
    checked_by: str | None = None
    corrections: tuple[Correction, ...] = ()


@dataclass(frozen=True, slots=True)
class BatchRecord:
    """The record of a batch as it was made.

    Parameters
    ----------
    options : RecordOptions
        As given. [text]
    complete : bool
        The batch is poured and every row was reported. [yes or no]
    dates : BatchDates, optional
        From the day it was poured, or else as planned. [days]
    label : Label, optional
        From what was weighed; only of a batch that is poured and may be sold. [label]
    cost : Cost, optional
        From what was weighed; only of a batch that is poured. [currency]
    notes : tuple of Said
        What is not in the record, and why. [text]
    """

    options: RecordOptions
    complete: bool
    dates: BatchDates | None
    label: Label | None
    cost: Cost | None
    notes: tuple[Said, ...]


def record_of(plan: Plan, found: Actuals, options: RecordOptions, *, dates: DateOptions | None = None,
              label: LabelOptions | None = None, prices: CostOptions | None = None,
              batch_number: str | None = None, title: str | None = None,
              write: Callable[[str], str] = str) -> BatchRecord:
    """The record of a batch as it was made.

    Parameters
    ----------
    plan : Plan
        As planned. [plan]
    found : Actuals
        As weighed. [g]
    options : RecordOptions
        What only the maker knows. [text]
    dates, label, prices, batch_number, title
        As in the request of the plan. [days, label, currency, text, text]
    write : callable
        How texts of errors are written. [function]

    Returns
    -------
    BatchRecord : [days, label, currency]

    Notes
    -----
    What happened is never rejected: a label or a cost that cannot be computed from it is left out, and a note says why.
    Bars that were weighed replace those of the plan: the lightest and the heaviest bound the net quantity.
    """
    notes: list[Said] = []

    def tried(text: Callable[[str], Said], make: Callable[[], _Made]) -> _Made | None:
        try:
            return make()
        except (DomainError, DomainErrors) as error:
            notes.append(text(str(error.with_texts(write))))
            return None

    when = _days(dates, options.made_on)
    made, poured = as_made(plan, found), found.stage in ("poured", "cut")
    drafted = cost = None
    if label is not None and not poured:
        notes.append(Said("No label yet: the batch is not poured."))
    elif label is not None and (found.step.what in _NOT_FOR_SALE or found.pour.division is None):
        notes.append(Said("No label: the batch must not be sold as it is."))
    elif label is not None:
        wanted = replace(label, title=title, batch_number=label.batch_number or batch_number,
                         sold_on=label.sold_on or (None if when is None else when.release.isoformat()))
        drafted = tried(lambda reason: Said("No label: {reason}", reason=reason), lambda: label_of(made, wanted))
    if prices is not None and not poured:
        notes.append(Said("No cost yet: the batch is not poured."))
    elif prices is not None and found.bars is not None and not found.bars.count:
        notes.append(Said("No cost for each bar: no good bar was made."))
    elif prices is not None:
        paid = made if found.bars is None else replace(made, cuts=None)
        costed = prices if found.bars is None else replace(prices, bars_count=found.bars.count)
        cost = tried(lambda reason: Said("No cost: {reason}", reason=reason), lambda: plan_cost(paid, costed).cost)
    return BatchRecord(options, poured and not found.assumed and not found.still_to_weigh, when, drafted, cost,
                       tuple(notes))


def _days(dates: DateOptions | None, made_on: date | None) -> BatchDates | None:
    """The days from the pour. A batch that was poured or cut on a closed day was made all the same."""
    if made_on is None:
        try:
            return None if dates is None else batch_dates(dates)
        except (DomainError, DomainErrors) as error:
            raise error.at("plan", "dates") from None
    after = DateOptions(pour=made_on) if dates is None else replace(dates, release=None, pour=made_on, earliest=None)
    try:
        return batch_dates(after)
    except (DomainError, DomainErrors):
        pass
    try:
        return batch_dates(replace(after, closed=NONE_CLOSED))
    except (DomainError, DomainErrors) as error:
        raise error.at("record", "made_on") from None


def as_made(plan: Plan, found: Actuals) -> Plan:
    """The plan with everything that was weighed in place of what was planned (`plan`, `found`). [g]"""
    rows = tuple(one.row if one.weighed_g is None else replace(one.row, weigh_g=one.weighed_g, lot=one.lot)
                 for one in found.differences)
    return replace(plan, lye=found.lye, batter=found.batter, weigh_list=rows, cuts=_cuts(plan.cuts, found),
                   division=found.pour.division or plan.division)


def _cuts(cuts: Cuts | None, found: Actuals) -> Cuts | None:
    bars = found.bars
    if cuts is None or bars is None or bars.min_g is None or bars.mean_g is None or bars.max_g is None:
        return cuts
    mass = BarMass(bars.min_g, bars.mean_g, bars.max_g)
    return replace(cuts, bars=replace(cuts.bars, mass=mass), kinds=tuple(
        replace(kind, mass=mass) for kind in cuts.kinds))
