"""From a planned batch to its sale: dates, label and cost, each if requested."""

from __future__ import annotations

from dataclasses import dataclass

from kettlewright import cautions as caution_texts
from kettlewright.cautions import Caution
from kettlewright.copies import replace
from kettlewright.errors import gather
from kettlewright.plan.batch import Plan
from kettlewright.plan.cost import plan_cost
from kettlewright.plan.label import label_of
from kettlewright.release import BatchDates, Cost, CostOptions, DateOptions, Label, LabelOptions, batch_dates

__all__ = ["ToSale", "plan_to_sale"]


@dataclass(frozen=True, slots=True)
class ToSale:
    """What a batch needs until it is sold.

    Parameters
    ----------
    dates : BatchDates, optional
        Its days. [day]
    label : Label, optional
        Its labels. [label]
    cost : Cost, optional
        What it costs. [currency]
    cautions : tuple of Caution
        What these bring on. [cautions]
    """

    dates: BatchDates | None
    label: Label | None
    cost: Cost | None
    cautions: tuple[Caution, ...]


def plan_to_sale(plan: Plan, *, dates: DateOptions | None = None, label: LabelOptions | None = None,
                 prices: CostOptions | None = None, batch_number: str | None = None,
                 title: str | None = None) -> ToSale:
    """Days, label and cost of a planned batch.

    Parameters
    ----------
    plan : Plan
        The batch. [plan]
    dates : DateOptions, optional
        By its release or its pour. [days]
    label : LabelOptions, optional
        The requested label; release day and batch number fill what it leaves open. [label]
    prices : CostOptions, optional
        Prices, and how a bar is to be priced. [currency]
    batch_number, title : str, optional
        The maker's. [text]

    Returns
    -------
    ToSale : [days, label, currency]

    Raises
    ------
    DomainErrors : whatever each of them refuses, at its place.
    """
    when = drafted = cost = None
    with gather() as checks, checks.at("dates"):
        when = None if dates is None else batch_dates(dates)
    if label is not None:
        label = replace(label, title=title, batch_number=label.batch_number or batch_number,
                        sold_on=label.sold_on or (None if when is None else when.release.isoformat()))
    with gather() as checks:
        with checks.at():
            drafted = None if label is None else label_of(plan, label)
        with checks.at("prices"):
            cost = None if prices is None else plan_cost(plan, prices)
    return ToSale(when, drafted, None if cost is None else cost.cost, (
        *(() if drafted is None else caution_texts.of_label(drafted)), *(() if cost is None else cost.cautions)))
