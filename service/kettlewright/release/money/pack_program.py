"""One group of packs that must be decided together, as an integer program on whole coins and whole steps of mass."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

from kettlewright.errors import Unsolvable

__all__ = ["Demand", "Offer", "PackProgram", "Terms"]


_NODES_OF_TIES = 100  # the cost is decided by then; which of the cheapest choices leaves least over matters less

_EXACT_MAX = 1_000_000_000  # the solver's tolerances distinguish whole numbers up to this
_Packs = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Demand:
    """What is short of one ingredient.

    Parameters
    ----------
    key : str
        Of the ingredient. [key]
    mass : int
        At least so much. [steps of mass]
    """

    key: str
    mass: int


@dataclass(frozen=True, slots=True)
class Offer:
    """A pack that may be bought.

    Parameters
    ----------
    key : str
        Of the ingredient in it. [key]
    mass : int
        In it. [steps of mass]
    cost : int
        Of it. [steps of money]
    at_most : int
        How many may be bought. [packs]
    supplier : str, optional
        Key of the supplier, if there are terms. [key]
    """

    key: str
    mass: int
    cost: int
    at_most: int
    supplier: str | None = None


@dataclass(frozen=True, slots=True)
class Terms:
    """Costs of an order from a supplier other than the goods.

    Parameters
    ----------
    shipping : int
        Of each order. [steps of money]
    free_from : int, optional
        Goods from which it is not charged. [steps of money]
    minimum : int
        Goods below which there is no order. [steps of money]
    """

    shipping: int = 0
    free_from: int | None = None
    minimum: int = 0

    def charged(self, goods: int) -> int:
        """Shipping of an order of so much (`goods` [steps of money]). [steps of money]"""
        return 0 if self.free_from is not None and goods >= self.free_from else self.shipping


class PackProgram:
    """One group: variables are the packs, then for each supplier with terms an order and its shipping.

    Parameters
    ----------
    demands : sequence of Demand
        What is short. [steps of mass]
    offers : sequence of Offer
        What may be bought. [steps of mass and money]
    terms : mapping of str to Terms
        Of suppliers, by key. [steps of money]
    """

    def __init__(self, demands: Sequence[Demand], offers: Sequence[Offer], terms: Mapping[str, Terms]) -> None:
        self.demands, self.offers, self.terms = demands, offers, terms
        self.suppliers = sorted({offer.supplier for offer in offers
                                 if offer.supplier is not None and offer.supplier in terms})
        self.size = len(offers) + 2 * len(self.suppliers)
        self.most = [offer.at_most for offer in offers]
        # steps that all masses, and all costs, are whole numbers of
        shipping = [amount for one in (terms[name] for name in self.suppliers)
                    for amount in (one.shipping, one.free_from or 0, one.minimum)]
        self.coin = math.gcd(*(offer.cost for offer in offers), *shipping) or 1
        self.step = math.gcd(*(offer.mass for offer in offers), *(demand.mass for demand in demands)) or 1
        self.costs = [offer.cost // self.coin for offer in offers]
        self.masses = [offer.mass // self.step for offer in offers]
        # finer than the solver can see: it gets rougher masses, needs rounded up and packs down, so it misses no need
        largest = max(*self.masses, sum(demand.mass for demand in demands) // self.step)
        self.rough = -(-largest // _EXACT_MAX)

    def best(self, nodes: int) -> tuple[_Packs, bool, int]:
        """Packs, whether that is proven to be the best, and the nodes it took (`nodes`: at most)."""
        cost = np.zeros(self.size)
        cost[:len(self.offers)] = self.costs
        for index, name in enumerate(self.suppliers):
            cost[self._ship(index)] = self.terms[name].shipping // self.coin
        rows, used, best, proven = list(self._rules()), 0, None, True
        for goal, measure in ((cost, self._cost), *self._ties()):
            allowed = nodes if best is None else min(nodes - used, _NODES_OF_TIES)
            found, sure, took, impossible = self._solve(goal, rows, allowed)
            used += took
            if impossible and best is None:
                raise Unsolvable("The packs you need do not reach the supplier's minimum order. Combine several "
                                 "batches, or add another supplier.", field=("suppliers",))
            if found is not None and not (self._feasible(found) and self._keeps(found, best)):
                found = None  # the solver's tolerance let it through; whole numbers do not
            proven = proven and sure and found is not None
            best = found if found is not None else best if best is not None else self._any()
            rows.append(LinearConstraint(goal, lb=-np.inf, ub=float(measure(best)) + 0.5))
        assert best is not None
        if self.rough > 1:
            best = min((best, *self._of_one_kind()), key=lambda way: (self._cost(way), self._mass(way), sum(way)))
        return best, proven and self.rough == 1 and self._cost(best) <= _EXACT_MAX, used

    def _ties(self) -> Iterator[tuple[np.ndarray, Callable[[_Packs], int]]]:
        """What decides between choices that cost the same: the mass, then the number of packs, by one solve if whole
        numbers of that size can still be distinguished.
        """
        masses = [one // self.rough for one in self.masses]
        pieces = 1 + sum(min(offer.at_most, -(-demand.mass // offer.mass)) for demand in self.demands
                         for offer in self.offers if offer.key == demand.key)
        largest = pieces * sum(demand.mass // self.step for demand in self.demands) // self.rough
        if largest <= _EXACT_MAX:
            yield self._row([mass * pieces + 1 for mass in masses]), lambda counts: sum(
                count * (mass * pieces + 1) for count, mass in zip(counts, masses, strict=True))
            return
        yield self._row(masses), lambda counts: self._mass(counts) // self.rough
        yield self._row([1] * len(masses)), sum

    def _row(self, figures: Sequence[int]) -> np.ndarray:
        row = np.zeros(self.size)
        row[:len(self.offers)] = figures
        return row

    def _order(self, index: int) -> int:
        return len(self.offers) + 2 * index

    def _ship(self, index: int) -> int:
        return len(self.offers) + 2 * index + 1

    def _rules(self) -> Iterator[LinearConstraint]:
        for demand in self.demands:
            row = np.zeros(self.size)
            for index, offer in enumerate(self.offers):
                row[index] = self.masses[index] // self.rough if offer.key == demand.key else 0
            yield LinearConstraint(row, lb=float(-(-demand.mass // (self.step * self.rough))), ub=np.inf)
        for index, name in enumerate(self.suppliers):
            one, order, ship = self.terms[name], self._order(index), self._ship(index)
            mine = [place for place, offer in enumerate(self.offers) if offer.supplier == name]
            goods = np.zeros(self.size)
            for place in mine:
                goods[place] = self.costs[place]
                row = np.zeros(self.size)
                row[place], row[order] = 1, -self.most[place]
                yield LinearConstraint(row, lb=-np.inf, ub=0)  # no pack without an order
            if one.minimum:
                row = goods.copy()
                row[order] = -(one.minimum // self.coin)
                yield LinearConstraint(row, lb=0, ub=np.inf)
            # every order pays shipping, except one that reaches the free-shipping amount
            row = np.zeros(self.size)
            if one.free_from is None:
                row[order], row[ship] = -1, 1
            else:
                row = goods.copy()
                row[order], row[ship] = -(one.free_from // self.coin), one.free_from // self.coin
            yield LinearConstraint(row, lb=0, ub=np.inf)

    def _solve(self, goal: np.ndarray, rows: list[LinearConstraint],
               nodes: int) -> tuple[_Packs | None, bool, int, bool]:
        upper = np.array([*map(float, self.most), *(1.0 for _ in range(2 * len(self.suppliers)))])
        found = milp(goal, integrality=np.ones(self.size, dtype=np.int64), bounds=Bounds(np.zeros(self.size), upper),
                     constraints=rows, options={"node_limit": max(nodes, 1), "mip_rel_gap": 0.0})
        if found.x is None:  # impossible, or nothing found within the nodes
            return None, False, 0 if found.status == 2 else nodes, found.status == 2
        took = int(found.mip_node_count or 0)
        return tuple(round(float(count)) for count in found.x[:len(self.offers)]), found.status == 0, took, False

    def _goods(self, counts: Sequence[int]) -> dict[str, int]:
        """Of each supplier that is ordered from."""
        found: dict[str, int] = {}
        for count, offer in zip(counts, self.offers, strict=True):
            if count and offer.supplier is not None and offer.supplier in self.terms:
                found[offer.supplier] = found.get(offer.supplier, 0) + count * offer.cost
        return found

    def _cost(self, counts: Sequence[int]) -> int:
        """In steps of this group's coin, shipping included."""
        goods = sum(count * offer.cost for count, offer in zip(counts, self.offers, strict=True))
        return (goods + sum(self.terms[name].charged(amount)
                            for name, amount in self._goods(counts).items())) // self.coin

    def _mass(self, counts: Sequence[int]) -> int:
        return sum(count * mass for count, mass in zip(counts, self.masses, strict=True))

    def _feasible(self, counts: Sequence[int]) -> bool:
        met = all(sum(count * offer.mass for count, offer in zip(counts, self.offers, strict=True)
                      if offer.key == demand.key) >= demand.mass for demand in self.demands)
        return met and all(0 <= count <= most for count, most in zip(counts, self.most, strict=True)) and all(
            goods >= self.terms[name].minimum for name, goods in self._goods(counts).items())

    def _keeps(self, counts: Sequence[int], best: Sequence[int] | None) -> bool:
        """Whether it is no worse than an earlier result, by cost and then by leftovers."""
        return best is None or (self._cost(counts), self._mass(counts)) <= (self._cost(best), self._mass(best))

    def _of_one_kind(self) -> Iterator[_Packs]:
        """Each need by its cheapest kind of pack alone: rough masses may have hidden that one fits exactly."""
        counts = [0] * len(self.offers)
        for demand in self.demands:
            ways = [(-(-demand.mass // offer.mass) * offer.cost, index) for index, offer in enumerate(self.offers)
                    if offer.key == demand.key and -(-demand.mass // offer.mass) <= offer.at_most]
            if not ways:
                return
            _, index = min(ways)
            counts[index] = -(-demand.mass // self.offers[index].mass)
        if self._feasible(counts):
            yield tuple(counts)

    def _any(self) -> _Packs:
        """Something that meets the needs, by the price of a gram: for when the nodes are used up before anything."""
        counts = [0] * len(self.offers)
        for demand in self.demands:
            short = demand.mass
            mine = [index for index, offer in enumerate(self.offers) if offer.key == demand.key]
            for index in sorted(mine, key=lambda place: (self.offers[place].cost / self.offers[place].mass, place)):
                counts[index] = min(max(-(-short // self.offers[index].mass), 0), self.most[index])
                short -= counts[index] * self.offers[index].mass
        if not self._feasible(counts):
            raise Unsolvable("There are too many combinations to search. Request fewer ingredients or packs at a time.",
                             field=("packs",))
        return tuple(counts)
