"""What a planned batch costs: everything that is weighed for it, by the portion it goes into."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from kettlewright import cautions as caution_texts
from kettlewright.cautions import Caution
from kettlewright.errors import DomainError, gather
from kettlewright.names import slug
from kettlewright.plan.batch import Plan
from kettlewright.pour import MadeDispersion, WeighedAddition
from kettlewright.release import Bucket, Cost, CostRow, CostWishes, cost_of
from kettlewright.said import Said

__all__ = ["CostPlan", "cost_rows", "plan_cost", "plan_cost_of_rows"]


@dataclass(frozen=True, slots=True)
class CostPlan:
    """A cost and what it brings on.

    Parameters
    ----------
    cost : Cost
        Of the batch. [currency]
    cautions : tuple of Caution
        Prices that are missing. [cautions]
    """

    cost: Cost
    cautions: tuple[Caution, ...]


def plan_cost(plan: Plan, wishes: CostWishes) -> CostPlan:
    """What a planned batch costs.

    Parameters
    ----------
    plan : Plan
        The batch. [g]
    wishes : CostWishes
        Prices and how a bar is to be priced. [currency]

    Returns
    -------
    CostPlan : [currency]

    Raises
    ------
    Faults, DomainError : whatever `release.cost_of` refuses; a number of bars beside a cut that tells it.
    """
    told = None if plan.cuts is None else plan.cuts.bars.count
    with gather() as checks, checks.at("bars_count"):
        if told is not None and wishes.bars_count not in (None, told):
            raise DomainError(f"The cut makes {told} bars; leave the number out, or change the cut.",
                              value=wishes.bars_count, allowed=str(told))
    pieces = plan.pieces
    count = told or wishes.bars_count or (pieces.count if pieces is not None else 1)
    division = plan.division
    kept = 0.0 if division.kept_back is None else division.kept_back.weigh_g
    buckets = [Bucket(portion.key, portion.name, portion.weigh_g) for portion in division.portions]
    return _told(cost_of(cost_rows(plan), wishes, bars_count=count, buckets=buckets,
                         residue_g=division.residue_mass_g + kept), wishes)


def plan_cost_of_rows(rows: tuple[CostRow, ...], wishes: CostWishes) -> CostPlan:
    """What a list of ingredients costs.

    Parameters
    ----------
    rows : tuple of CostRow
        What goes into the batch. [g]
    wishes : CostWishes
        Prices, and the bars they make. [currency]

    Returns
    -------
    CostPlan : [currency]

    Raises
    ------
    Faults, DomainError : whatever `release.cost_of` refuses; no number of bars.
    """
    if wishes.bars_count is None:
        raise DomainError("How many bars the rows make is needed here.", field=("bars_count",))
    return _told(cost_of(rows, wishes, bars_count=wishes.bars_count), wishes)


def _told(cost: Cost, wishes: CostWishes) -> CostPlan:
    return CostPlan(cost, caution_texts.of_missing_prices(((one.key, one.name) for one in cost.missing),
                                                          [one.key for one in wishes.ingredients]))


def cost_rows(plan: Plan) -> tuple[CostRow, ...]:
    """Everything of a batch that costs money, as weighed.

    Parameters
    ----------
    plan : Plan
        The batch. [g]

    Returns
    -------
    tuple of CostRow : pot first, then what goes into one portion only. [g]

    Notes
    -----
    Ice is water. A stock has a key of its own ("NaOH_stock"), since the dry alkali has another price. What is sprayed
    on the whole batch is shared by the portions, and none of it stays in the pot. A dispersion costs what its jar
    holds, its spare too, shared by what the doses take. What a bucket lends is counted where it was mixed.
    """
    return tuple(_rows(plan))


def _rows(plan: Plan) -> Iterator[CostRow]:
    lye, division = plan.lye, plan.division
    yield from (CostRow(fat.key, fat.name, fat.weigh_g) for fat in lye.fats)
    yield from (CostRow(acid.key, acid.name, acid.weigh_g) for acid in lye.acids)
    yield from (CostRow(liquid.key, liquid.name, liquid.weigh_g) for liquid in lye.liquids)
    for alkali in lye.alkalis:
        key, name = (alkali.key, alkali.name) if alkali.stock is None else (
            f"{alkali.key}_stock", Said("{alkali} stock", alkali=alkali.name))
        yield CostRow(key, name, alkali.weigh_g)
    yield CostRow("water", Said("water"), lye.water.weigh_g)
    plain = math.fsum(portion.weigh_g for portion in division.portions)
    jars = {jar.key: jar for jar in plan.bench.dispersions}
    for addition in division.additions:
        if addition.addition.in_batter:
            yield from _of_addition(addition, jars.get(addition.key), None)
            continue
        for portion in division.portions:
            yield CostRow(addition.key, addition.name, addition.weigh_g * portion.weigh_g / plain, portion.key)
    for portion in division.portions:
        for addition in portion.additions:
            yield from _of_addition(addition, jars.get(addition.key), portion.key)
        if portion.dusting is not None:
            yield CostRow(portion.dusting.key, portion.dusting.name, portion.dusting.weigh_g, portion.key)


def _of_addition(addition: WeighedAddition, jar: MadeDispersion | None, portion: str | None) -> Iterator[CostRow]:
    if jar is None or not jar.used_g:
        yield CostRow(addition.key, addition.name, addition.weigh_g, portion)
        return
    part = addition.weigh_g / jar.used_g
    yield CostRow(addition.key, addition.name, jar.dry_weigh_g * part, portion)
    yield CostRow(slug(jar.carrier_name), jar.carrier_name, jar.carrier_weigh_g * part, portion)
