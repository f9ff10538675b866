"""What is short, and the packs on offer, in whole coins and whole steps of mass."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from kettlewright import amounts, limits
from kettlewright.errors import Unsolvable, gather
from kettlewright.money import Money
from kettlewright.names import slug
from kettlewright.release.money.pack_choice import PackChoice, choose_packs
from kettlewright.release.money.pack_program import Demand, Offer, Terms
from kettlewright.release.money.packs import Pack, Supplier
from kettlewright.said import EnglishText

__all__ = ["Shortage", "packs_for_shortages", "terms_in_coins", "whole_steps"]


@dataclass(frozen=True, slots=True)
class Shortage:
    """What is needed of one ingredient, and what is there.

    Parameters
    ----------
    key, name : str
        Which. [text]
    needed, there : Decimal
        All needs, and stock at hand. [g, pieces]
    counted : bool
        By the count, else by mass. [yes or no]
    """
    key: str
    name: str
    needed: Decimal
    there: Decimal
    counted: bool

    @property
    def short(self) -> Decimal:
        """What must be bought. [g, pieces]"""
        return max(self.needed - self.there, Decimal(0))


def packs_for_shortages(lines: Mapping[str, Shortage], offered: Sequence[tuple[int, Pack]],
                        suppliers: Sequence[Supplier], digits: int) -> PackChoice:
    """The packs to buy, decided in whole steps: of coins, and of the finest decimal that any of these masses has.

    Parameters
    ----------
    lines : mapping of str to Shortage
        What is needed, by key. [g, pieces]
    offered : sequence of (int, Pack)
        Packs of what is short, each with its index in the request. [currency, g]
    suppliers : sequence of Supplier
        Terms of those that have any. [currency]
    digits : int
        Decimals of the currency. [digits]

    Returns
    -------
    PackChoice : [packs]

    Raises
    ------
    DomainErrors : more packs than can be planned, or all that may be bought are not enough.
    """
    sold = dict.fromkeys(pack.key for _, pack in offered)
    finest = min((_exponent(mass) for mass in (*(lines[key].short for key in sold),
                                              *(pack.price.mass_g for _, pack in offered))), default=0)
    terms = {slug(one.name): terms_in_coins(one, digits) for one in suppliers}
    offers = []
    with gather() as checks:
        for index, pack in offered:
            with checks.at("packs", index, "price", "per_mass"):
                offers.append(_offer(pack, lines[pack.key], terms, finest=finest, digits=digits))
    demands = [Demand(key, whole_steps(lines[key].short, finest)) for key in sold]
    with gather() as checks, checks.at("packs"):
        _check_enough(lines, demands, offers)
    return choose_packs(demands, offers, {key: one for key, one in terms.items() if one != Terms()})


def _exponent(mass: Decimal) -> int:
    exponent = mass.normalize().as_tuple().exponent
    return min(int(exponent), 0)


def whole_steps(amount: Decimal, exponent: int) -> int:
    """An amount in whole steps (`amount` [g or currency], `exponent` of ten [digits]). [steps]"""
    return int(amount.scaleb(-exponent))


def _coins(money: Money | None, digits: int) -> int:
    return 0 if money is None else whole_steps(money.amount, -digits)


def terms_in_coins(supplier: Supplier, digits: int) -> Terms:
    """Terms of a supplier (`supplier` [currency], `digits` of the currency [digits]). [steps of money]"""
    return Terms(_coins(supplier.shipping, digits),
                 None if supplier.free_from is None else _coins(supplier.free_from, digits),
                 _coins(supplier.minimum_order, digits))


def _offer(pack: Pack, line: Shortage, terms: Mapping[str, Terms], *, finest: int, digits: int) -> Offer:
    enough = int((line.short / pack.price.mass_g).to_integral_value(ROUND_CEILING))
    if enough > limits.PACKS_COUNT.high:
        raise Unsolvable(f"{enough:,} of this pack of {pack.key} would be needed; at most "
                         f"{limits.PACKS_COUNT.high:,.0f} are planned. Is the unit right?",
                         value=pack.price.per_mass_g)
    supplier = None if pack.supplier is None else slug(pack.supplier)
    cost = whole_steps(pack.price.cost, -digits)
    one = terms.get(supplier or "", Terms())
    # more than the need may be bought to reach a minimum or free shipping
    to_reach = max(one.minimum, one.free_from or 0)
    more = min(-(-to_reach // cost), int(limits.PACKS_COUNT.high)) if cost else 0
    most = max(enough, more)
    return Offer(pack.key, whole_steps(pack.price.mass_g, finest), cost,
                 most if pack.at_most is None else min(most, pack.at_most), supplier)


def _check_enough(lines: Mapping[str, Shortage], demands: Sequence[Demand], offers: Sequence[Offer]) -> None:
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
