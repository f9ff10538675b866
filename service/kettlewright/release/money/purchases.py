"""Purchases: needs less stock at hand, in packs, at the least cost."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal, localcontext

from kettlewright import amounts, limits
from kettlewright.errors import DomainError, OutOfRange, Unsolvable, gather
from kettlewright.money import EXACTLY, Money, coin_digits, decimal_of, one_currency, rounded
from kettlewright.names import slug
from kettlewright.release.money.pack_choice import Demand, Offer, PackChoice, Terms, choose_packs
from kettlewright.release.money.packs import AtHand, Need, Pack, Supplier
from kettlewright.said import EnglishText

__all__ = ["Bought", "BoughtPacks", "Purchases", "SupplierOrder", "batches_for", "choose_purchases"]


@dataclass(frozen=True, slots=True)
class BoughtPacks:
    """Packs of one kind to buy.

    Parameters
    ----------
    pack : Pack
        Which. [pack]
    count : int
        How many. [packs]
    cost : Decimal
        Of all of them. [currency]
    """

    pack: Pack
    count: int
    cost: Decimal


@dataclass(frozen=True, slots=True)
class Bought:
    """What is bought of one ingredient. at hand + bought = needed + left over, unless packs are missing.

    Parameters
    ----------
    key, name : str
        Which. [text]
    needed_g, at_hand_g, short_g : float
        All needs, stock at hand, and the shortage. [g]
    packs : tuple of BoughtPacks
        To buy, in the order given. [packs]
    bought_g, left_over_g : float
        In these packs; there when the needs are taken. [g]
    cost : Decimal, optional
        Of these packs; None if something is short and no pack of it is given. [currency]
    without_packs : bool
        Something is short and no pack of it is given. [yes or no]
    counted : bool
        By the count: all that is in grams above is in pieces. [yes or no]
    """

    key: str
    name: str
    needed_g: float
    at_hand_g: float
    short_g: float
    packs: tuple[BoughtPacks, ...]
    bought_g: float
    left_over_g: float
    cost: Decimal | None
    without_packs: bool
    counted: bool = False


@dataclass(frozen=True, slots=True)
class SupplierOrder:
    """One order.

    Parameters
    ----------
    name : str
        Of the supplier. [text]
    goods, shipping : Decimal
        Packs, and bringing them. [currency]
    """

    name: str
    goods: Decimal
    shipping: Decimal


@dataclass(frozen=True, slots=True)
class Purchases:
    """Everything to buy.

    Parameters
    ----------
    ingredients : tuple of Bought
        In the order of the needs. [g]
    orders : tuple of SupplierOrder
        Orders with suppliers whose terms are given. [currency]
    currency : str, optional
        ISO 4217; None if no pack is given. [key]
    goods, shipping, total : Decimal
        Of all. [currency]
    packs_count : int
        All packs. [packs]
    left_over_g : float
        Of all ingredients that are bought by mass. [g]
    proven_optimal : bool
        No cheaper way exists, none as cheap leaves less over, none of those takes fewer packs. [yes or no]
    """

    ingredients: tuple[Bought, ...]
    orders: tuple[SupplierOrder, ...]
    currency: str | None
    goods: Decimal
    shipping: Decimal
    total: Decimal
    packs_count: int
    left_over_g: float
    proven_optimal: bool


def batches_for(bars_count: int, bars_per_batch_count: int, *, broken_pct: float = 0.0,
                kept_back_count: int = 0) -> int:
    """How many batches an order of bars takes.

    Parameters
    ----------
    bars_count, bars_per_batch_count : int
        Ordered, and made of one batch. [bars]
    broken_pct : float
        Of the bars made, over many batches. [%]
    kept_back_count : int
        Good bars of each batch that are not sold. [bars]

    Returns
    -------
    int : bars wanted / (bars of a batch, less what breaks, less what is kept back: as `cost_of` counts good bars),
        rounded up in whole numbers. [batches]

    Raises
    ------
    OutOfRange : a count or part out of bounds, or more batches than can be planned.
    Unsolvable : nothing of a batch is left to sell.
    """
    with gather() as checks:
        for name, count in (("bars_count", bars_count), ("bars_per_batch_count", bars_per_batch_count)):
            with checks.at(name):
                limits.BARS_COUNT.check(count)
        with checks.at("broken_pct"):
            limits.BROKEN_PCT.check(broken_pct)
        with checks.at("kept_back_count"):
            limits.KEPT_BACK_COUNT.check(kept_back_count)
    # decimals: 190 bars of 10 at 5 % are 20 batches, and must not be 21 for the noise of 1 - 0.05
    whole = bars_per_batch_count * (100 - decimal_of(broken_pct))  # in hundredths of a bar
    good = whole - 100 * kept_back_count
    if good <= 0:
        raise Unsolvable(f"Of {bars_per_batch_count} bars {float(whole / 100):.6g} are good and {kept_back_count} are "
                         "kept back, so no bar of a batch is left to sell.", field=("kept_back_count",),
                         value=kept_back_count, allowed=f"below {float(whole / 100):.6g}")
    exact = Decimal(bars_count) * 100 / good
    return int(limits.TIMES_MADE.check(int(exact.to_integral_value(ROUND_CEILING)), "bars_count"))


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
        choice = _chosen(lines, offered, suppliers, digits)
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


@dataclass(frozen=True, slots=True)
class _Line:
    key: str
    name: str
    needed: Decimal
    there: Decimal
    counted: bool

    @property
    def short(self) -> Decimal:
        return max(self.needed - self.there, Decimal(0))


def _lines(needs: Sequence[Need], at_hand: Sequence[AtHand]) -> dict[str, _Line]:
    there: dict[str, Decimal] = {}
    for stock in at_hand:
        there[stock.key] = there.get(stock.key, Decimal(0)) + decimal_of(stock.mass_g)
    lines: dict[str, _Line] = {}
    for need in needs:
        before = lines.get(need.key)
        lines[need.key] = _Line(need.key, need.name if before is None else before.name,
                                decimal_of(need.mass_g) + (Decimal(0) if before is None else before.needed),
                                there.get(need.key, Decimal(0)), need.counted)
    return lines


def _chosen(lines: Mapping[str, _Line], offered: Sequence[tuple[int, Pack]], suppliers: Sequence[Supplier],
            digits: int) -> PackChoice:
    """Everything in whole steps: of coins, and of the finest decimal that any of these masses has."""
    sold = dict.fromkeys(pack.key for _, pack in offered)
    finest = min((_exponent(mass) for mass in (*(lines[key].short for key in sold),
                                              *(pack.price.mass_g for _, pack in offered))), default=0)
    terms = {slug(one.name): _terms(one, digits) for one in suppliers}
    offers = []
    with gather() as checks:
        for index, pack in offered:
            with checks.at("packs", index, "price", "per_mass"):
                offers.append(_offer(pack, lines[pack.key], terms, finest=finest, digits=digits))
    demands = [Demand(key, _whole(lines[key].short, finest)) for key in sold]
    with gather() as checks, checks.at("packs"):
        _check_enough(lines, demands, offers)
    return choose_packs(demands, offers, {key: one for key, one in terms.items() if one != Terms()})


def _exponent(mass: Decimal) -> int:
    exponent = mass.normalize().as_tuple().exponent
    return min(int(exponent), 0)


def _whole(amount: Decimal, exponent: int) -> int:
    return int(amount.scaleb(-exponent))


def _coins(money: Money | None, digits: int) -> int:
    return 0 if money is None else _whole(money.amount, -digits)


def _terms(supplier: Supplier, digits: int) -> Terms:
    return Terms(_coins(supplier.shipping, digits),
                 None if supplier.free_from is None else _coins(supplier.free_from, digits),
                 _coins(supplier.minimum_order, digits))


def _offer(pack: Pack, line: _Line, terms: Mapping[str, Terms], *, finest: int, digits: int) -> Offer:
    enough = int((line.short / pack.price.mass_g).to_integral_value(ROUND_CEILING))
    if enough > limits.PACKS_COUNT.high:
        raise Unsolvable(f"{enough:,} of this pack of {pack.key} would be needed; at most "
                         f"{limits.PACKS_COUNT.high:,.0f} are planned. Is the unit right?",
                         value=pack.price.per_mass_g)
    supplier = None if pack.supplier is None else slug(pack.supplier)
    cost = _whole(pack.price.cost, -digits)
    one = terms.get(supplier or "", Terms())
    # more than the need may be bought to reach a minimum or free shipping
    to_reach = max(one.minimum, one.free_from or 0)
    more = min(-(-to_reach // cost), int(limits.PACKS_COUNT.high)) if cost else 0
    most = max(enough, more)
    return Offer(pack.key, _whole(pack.price.mass_g, finest), cost,
                 most if pack.at_most is None else min(most, pack.at_most), supplier)


def _check_enough(lines: Mapping[str, _Line], demands: Sequence[Demand], offers: Sequence[Offer]) -> None:
    with gather() as checks:
        for demand in demands:
            with checks.at():
                sold = sum(offer.mass * offer.at_most for offer in offers if offer.key == demand.key)
                if sold < demand.mass:
                    short = lines[demand.key].short
                    missing = float(short * (demand.mass - sold) / demand.mass)
                    if lines[demand.key].counted:
                        raise Unsolvable(f"All the packs of {demand.key} that you may buy are {missing:.9g} pieces "
                                         f"short of the {float(short):.9g} you need. Raise at_most, or add a pack.")
                    raise Unsolvable(EnglishText("All the packs of {key} that you may buy are {missing} short of the "
                                                 "{needed} you need. Raise at_most, or add a pack.",
                                                 key=demand.key, missing=amounts.mass(missing),
                                                 needed=amounts.mass(float(short))))


def _bought(line: _Line, packs: Sequence[BoughtPacks], digits: int) -> Bought:
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
            charged = _terms(supplier, digits).charged(_whole(goods, -digits))
            orders.append(SupplierOrder(supplier.name, goods, rounded(Decimal(charged).scaleb(-digits), digits)))
    return tuple(orders)
