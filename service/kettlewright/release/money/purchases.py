"""Purchases: needs less stock at hand, in packs, at the least cost."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from decimal import Decimal, localcontext

from kettlewright.errors import DomainError, OutOfRange, gather
from kettlewright.money import EXACTLY, coin_digits, decimal_of, one_currency, rounded
from kettlewright.names import slug
from kettlewright.release.money.bought import Bought, BoughtPacks, Purchases, SupplierOrder
from kettlewright.release.money.packs import AtHand, Need, Pack, Supplier
from kettlewright.release.money.whole_steps import Shortage, packs_for_shortages, terms_in_coins, whole_steps

__all__ = ["choose_purchases"]


def choose_purchases(needs: Sequence[Need], packs: Sequence[Pack], *, at_hand: Sequence[AtHand] = (),
                     suppliers: Sequence[Supplier] = ()) -> Purchases:
    """The cheapest packs that meet all needs.

    Parameters
    ----------
    needs : sequence of Need, length n >= 1
        What batches take. [g]
    packs : sequence of Pack
        What is sold. [currency, g]
    at_hand : sequence of AtHand
        What is there; it is used first. [g]
    suppliers : sequence of Supplier
        Terms of those that have any. [currency]

    Returns
    -------
    Purchases : of the cheapest ways the one with least left over, of those the one with the fewest packs.
        [g, currency]

    Raises
    ------
    DomainErrors, DomainError : several currencies, a supplier unknown or given twice, packs that do not come to the
        need, one thing by mass and by the count.

    Notes
    -----
    Where ways are equally cheap, a piece left over counts as a gram.

    References
    ----------
    .. [1] Integer program, HiGHS by scipy.optimize.milp.
    """
    with gather() as checks:
        with checks.at():
            currency = one_currency((*(pack.price.currency for pack in packs), *_currencies(suppliers)))
        _check_suppliers(packs, suppliers, checks)
        _check_measures(needs, packs, at_hand, checks)
    with localcontext(EXACTLY):
        lines = _lines(needs, at_hand)
        offered = [(index, pack) for index, pack in enumerate(packs)
                   if pack.key in lines and lines[pack.key].short > 0]
        digits = 0 if currency is None else coin_digits(currency)
        choice = packs_for_shortages(lines, offered, suppliers, digits)
        counts = {index: count for (index, _), count in zip(offered, choice.counts, strict=True) if count}
        bought = tuple(_bought(line, [BoughtPacks(packs[index], count, rounded(count * packs[index].price.cost, digits))
                                      for index, count in counts.items() if packs[index].key == line.key], digits)
                       for line in lines.values())
        orders = _orders(bought, suppliers, digits)
        goods = sum((one.cost for one in bought if one.cost is not None), rounded(Decimal(0), digits))
        shipping = sum((order.shipping for order in orders), rounded(Decimal(0), digits))
    return Purchases(bought, orders, currency, goods, shipping, goods + shipping, sum(counts.values()),
                     math.fsum(one.left_over_g for one in bought if one.packs and not one.counted),
                     choice.proven_optimal)


def _currencies(suppliers: Sequence[Supplier]) -> Iterator[str]:
    for one in suppliers:
        yield from (money.currency for money in (one.shipping, one.free_from, one.minimum_order) if money is not None)


def _check_suppliers(packs: Sequence[Pack], suppliers: Sequence[Supplier], checks: gather) -> None:
    known: set[str] = set()
    for index, one in enumerate(suppliers):
        with checks.at("suppliers", index, "name"):
            if slug(one.name) in known:
                raise DomainError(f'"{slug(one.name)}" appears twice: give the terms of each supplier once.',
                                  value=one.name)
            known.add(slug(one.name))
    for index, pack in enumerate(packs):
        with checks.at("packs", index, "supplier"):
            if known and pack.supplier is not None and slug(pack.supplier) not in known:
                raise OutOfRange(f'No terms are given for "{pack.supplier}", only for {", ".join(sorted(known))}. Add '
                                 'it to suppliers, with its name alone if it has none.',
                                 value=pack.supplier, allowed=", ".join(sorted(known)))


def _check_measures(needs: Sequence[Need], packs: Sequence[Pack], at_hand: Sequence[AtHand], checks: gather) -> None:
    """A thing is bought by mass or by the count, and its packs and what is there likewise."""
    counted: dict[str, bool] = {}
    for need in needs:
        if counted.setdefault(need.key, need.counted) != need.counted:
            with checks.at("needs"):
                raise DomainError(f'"{need.key}" is needed both by mass and by count: give one of '
                                  'them.', value=need.key)
    packs_and_stock: tuple[tuple[str, Sequence[Pack | AtHand]], ...] = (("packs", packs), ("at_hand", at_hand))
    for field, holders in packs_and_stock:
        for index, one in enumerate(holders):
            with checks.at(field, index):
                if counted.get(one.key, one.counted) != one.counted:
                    is_needed, given = ("count", "mass") if counted[one.key] else ("mass", "count")
                    where = ("price", f"per_{is_needed}") if field == "packs" else (is_needed,)
                    raise DomainError(f'"{one.key}" is needed by {is_needed} but given by {given}: give its '
                                      f'"{where[-1]}".', field=where, value=one.key)


def _lines(needs: Sequence[Need], at_hand: Sequence[AtHand]) -> dict[str, Shortage]:
    there: dict[str, Decimal] = {}
    for stock in at_hand:
        there[stock.key] = there.get(stock.key, Decimal(0)) + decimal_of(stock.mass_g)
    lines: dict[str, Shortage] = {}
    for need in needs:
        before = lines.get(need.key)
        lines[need.key] = Shortage(need.key, need.name if before is None else before.name,
                                decimal_of(need.mass_g) + (Decimal(0) if before is None else before.needed),
                                there.get(need.key, Decimal(0)), need.counted)
    return lines


def _bought(line: Shortage, packs: Sequence[BoughtPacks], digits: int) -> Bought:
    mass = sum((one.count * one.pack.price.mass_g for one in packs), Decimal(0))
    without = line.short > 0 and not packs
    cost = None if without else sum((one.cost for one in packs), rounded(Decimal(0), digits))
    return Bought(line.key, line.name, float(line.needed), float(line.there), float(line.short), tuple(packs),
                  float(mass), float(max(line.there + mass - line.needed, Decimal(0))), cost, without,
                  line.counted)


def _orders(bought: Sequence[Bought], suppliers: Sequence[Supplier], digits: int) -> tuple[SupplierOrder, ...]:
    orders = []
    for supplier in suppliers:
        costs = [packs.cost for one in bought for packs in one.packs
                 if packs.pack.supplier is not None and slug(packs.pack.supplier) == slug(supplier.name)]
        if costs:
            goods = sum(costs, Decimal(0))
            charged = terms_in_coins(supplier, digits).charged(whole_steps(goods, -digits))
            orders.append(SupplierOrder(supplier.name, goods, rounded(Decimal(charged).scaleb(-digits), digits)))
    return tuple(orders)
