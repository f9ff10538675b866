"""What a planned batch costs: everything that is weighed for it, by the portion it goes into."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from kettlewright import cautions as caution_texts
from kettlewright.cautions import Caution
from kettlewright.errors import DomainError, Missing, gather
from kettlewright.plan.batch import Plan
from kettlewright.release import Cost, CostOptions, CostRow, PortionOfPot, cost_of
from kettlewright.said import Said
from kettlewright.weigh_list import WeighRow

__all__ = ["CostPlan", "cost_rows", "plan_cost", "plan_cost_of_rows"]


@dataclass(frozen=True, slots=True)
class CostPlan:
    """A cost with its cautions.

    Parameters
    ----------
    cost : Cost
        Of the batch. [currency]
    cautions : tuple of Caution
        Prices that are missing. [cautions]
    """

    cost: Cost
    cautions: tuple[Caution, ...]


def plan_cost(plan: Plan, options: CostOptions) -> CostPlan:
    """What a planned batch costs.

    Parameters
    ----------
    plan : Plan
        The batch. [g]
    options : CostOptions
        Prices and how a bar is to be priced. [currency]

    Returns
    -------
    CostPlan : [currency]

    Raises
    ------
    DomainErrors, DomainError : whatever `release.cost_of` refuses; a number of bars as well as a cut.
    """
    counted = None if plan.cuts is None else plan.cuts.bars.count
    with gather() as checks, checks.at("bars_count"):
        if counted is not None and options.bars_count not in (None, counted):
            raise DomainError(f"The cut makes {counted} bars. Leave out the number, or change the cut.",
                              value=options.bars_count, allowed=str(counted))
    pieces = plan.pieces
    count = counted or options.bars_count or (pieces.count if pieces is not None else 1)
    division = plan.division
    kept = 0.0 if division.kept_back is None else division.kept_back.weigh_g
    buckets = [PortionOfPot(portion.key, portion.name, portion.weigh_g) for portion in division.portions]
    return _with_cautions(cost_of(cost_rows(plan), options, bars_count=count, buckets=buckets,
                         residue_g=division.residue_mass_g + kept), options)


def plan_cost_of_rows(rows: tuple[CostRow, ...], options: CostOptions) -> CostPlan:
    """What a list of ingredients costs.

    Parameters
    ----------
    rows : tuple of CostRow
        What goes into the batch. [g]
    options : CostOptions
        Prices, and the bars they make. [currency]

    Returns
    -------
    CostPlan : [currency]

    Raises
    ------
    DomainErrors, DomainError : whatever `release.cost_of` refuses; no number of bars.
    """
    if options.bars_count is None:
        raise Missing('"bars_count" is required: the number of bars that the rows make.', field=("bars_count",))
    return _with_cautions(cost_of(rows, options, bars_count=options.bars_count), options)


def _with_cautions(cost: Cost, options: CostOptions) -> CostPlan:
    return CostPlan(cost, caution_texts.of_missing_prices(((one.key, one.name) for one in cost.missing),
                                                          [one.key for one in options.ingredients]))


def cost_rows(plan: Plan) -> tuple[CostRow, ...]:
    """Everything of a batch that costs money, as weighed.

    Parameters
    ----------
    plan : Plan
        The batch. [g]

    Returns
    -------
    tuple of CostRow : the rows of its weigh list that are bought, in their order. [g]

    Notes
    -----
    A row is bought under its `buy`: ice is water, and a stock has a key of its own ("NaOH_stock"), since the dry alkali
    has another price. What is sprayed on the whole batch is shared by the portions, and none of it stays in the pot. A
    dispersion costs what its jar holds, its spare too, shared by what the doses take. What a bucket lends is counted
    where it was mixed.
    """
    return tuple(_rows(plan))


def _rows(plan: Plan) -> Iterator[CostRow]:
    for row in plan.weigh_list:
        if row.buy is not None:
            name = Said("water") if row.kind == "ice" else row.name
            yield from (CostRow(row.buy, name, row.weigh_g * part, portion) for portion, part in _shared(row, plan))


def _shared(row: WeighRow, plan: Plan) -> Iterator[tuple[str | None, float]]:
    """Portions a row goes into, and what part of it into each; none of them is the pot."""
    if row.where == "jar":
        doses = [one for one in plan.weigh_list if one.kind == "dispersion" and one.key == row.key]
        used = math.fsum(one.weigh_g for one in doses)
        for dose in doses if used else ():
            yield from ((portion, part * dose.weigh_g / used) for portion, part in _shared(dose, plan))
    elif row.where == "mould" and row.portion is None:
        poured = math.fsum(portion.weigh_g for portion in plan.division.portions)
        yield from ((portion.key, portion.weigh_g / poured) for portion in plan.division.portions)
    else:
        yield row.portion, 1.0
