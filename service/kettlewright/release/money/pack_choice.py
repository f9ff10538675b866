"""Which packs meet all needs at the least cost: an integer program on whole coins and whole steps of mass."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kettlewright.errors import Unsolvable
from kettlewright.release.money.one_ingredient import SEARCHED_MAX, PackSize, cheapest_packs
from kettlewright.release.money.pack_program import Demand, Offer, PackProgram, Terms

__all__ = ["NODES_MAX", "TOGETHER_MAX", "PackChoice", "choose_packs"]

NODES_MAX = 250
"""Nodes all programs of one request share (each may take one): never seconds, so that the same body gives the same
bytes."""

TOGETHER_MAX = 100
"""Packs that may have to be decided together, since suppliers with terms join them."""


@dataclass(frozen=True, slots=True)
class PackChoice:
    """How many of each pack to buy.

    Parameters
    ----------
    counts : tuple of int
        In the order of the offers. [packs]
    proven_optimal : bool
        Nothing better exists; else nothing better was found within the nodes. [yes or no]
    """

    counts: tuple[int, ...]
    proven_optimal: bool


def choose_packs(demands: Sequence[Demand], offers: Sequence[Offer], terms: Mapping[str, Terms]) -> PackChoice:
    """The cheapest packs, shipping included; of those the ones with least left over; of those the fewest.

    Parameters
    ----------
    demands : sequence of Demand
        Each of a key of its own, above 0, and within what its offers come to. [steps of mass]
    offers : sequence of Offer
        Packs of these keys. [steps of mass and money]
    terms : mapping of str to Terms
        Of suppliers that have any. [steps of money]

    Returns
    -------
    PackChoice : [packs]

    Raises
    ------
    Unsolvable : no order reaches its supplier's minimum; more packs to decide together than is possible.

    Notes
    -----
    Minimise sum n c + shipping, sum n q >= need for each ingredient, n whole. Ingredients that share no supplier with
    terms are solved by themselves. What the solver finds in binary numbers is checked in whole ones.

    References
    ----------
    .. [1] Integer program, HiGHS by scipy.optimize.milp.
    """
    counts = [0] * len(offers)
    nodes, searches, proven = NODES_MAX, SEARCHED_MAX, True
    of_key: dict[str, list[int]] = {}
    for index, offer in enumerate(offers):
        of_key.setdefault(offer.key, []).append(index)
    needed = {demand.key: demand for demand in demands}
    for group in _groups(demands, offers, terms):
        inside = sorted(index for key in group for index in of_key.get(key, ()))
        if len(group) == 1 and not any(offers[index].supplier in terms for index in inside):
            packs = [PackSize(offers[index].mass, offers[index].cost, offers[index].at_most) for index in inside]
            alone = cheapest_packs(packs, needed[next(iter(group))].mass, searched_max=searches)
            searches, proven = max(searches - alone.searched, 0), proven and alone.proven
            for index, count in zip(inside, alone.counts, strict=True):
                counts[index] = count
            continue
        if len(group) > 1 and len(inside) > TOGETHER_MAX:
            raise Unsolvable(f"Supplier terms link {len(inside)} packs, but at most {TOGETHER_MAX} can be decided "
                             "together. Request fewer ingredients at a time, or leave out packs that you never buy.",
                             field=("packs",), value=len(inside), allowed=f"at most {TOGETHER_MAX}")
        program = PackProgram([needed[demand.key] for demand in demands if demand.key in group],
                           [offers[index] for index in inside], terms)
        found, sure, used = program.best(nodes)
        nodes, proven = max(nodes - used, 0), proven and sure
        for index, count in zip(inside, found, strict=True):
            counts[index] = count
    return PackChoice(tuple(counts), proven)


def _groups(demands: Sequence[Demand], offers: Sequence[Offer], terms: Mapping[str, Terms]) -> list[set[str]]:
    """Keys that have to be decided together, since one order may hold both."""
    groups: list[tuple[set[str], set[str]]] = []
    for demand in demands:
        keys = {demand.key}
        suppliers = {offer.supplier for offer in offers
                     if offer.key == demand.key and offer.supplier is not None and offer.supplier in terms}
        apart = []
        for other_keys, other_suppliers in groups:
            if suppliers & other_suppliers:
                keys, suppliers = keys | other_keys, suppliers | other_suppliers
            else:
                apart.append((other_keys, other_suppliers))
        groups = [*apart, (keys, suppliers)]
    return [keys for keys, _ in groups]
