"""Cautions of additions: powders, scents, doses too small for the scale, borrowed batter."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from kettlewright.amounts import dose
from kettlewright.cautions.placed_additions import placed_additions
from kettlewright.cautions.triggered import Caution, triggered
from kettlewright.pour import Dilution, Division, WeighedAddition
from kettlewright.said import NO_TEXT, Said

__all__ = ["of_additions"]


def of_additions(division: Division, limited: frozenset[str], carried: frozenset[str],
                 mixes: int) -> Iterator[Caution]:
    """Cautions of all additions, in the pot and in the buckets.

    Parameters
    ----------
    division : Division
        The buckets. [portions]
    limited : set of str
        Additions with an ingredient that has a limit. [keys]
    carried : set of str
        Additions that a fade carries from bucket to bucket on purpose. [keys]
    mixes : int
        Equal mixes that the pot takes the batch in. [count]

    Returns
    -------
    iterator of Caution : [cautions]
    """
    yield from _of_dilutions(division, mixes)
    yield from _of_named(division, limited)
    yield from _of_each(division.additions, "/additions")
    for index, portion in enumerate(division.portions):
        yield from _of_each(portion.additions, f"/portions/{index}/additions")
        if portion.dusting is not None:
            yield triggered("dust", NO_TEXT, f"/portions/{index}/dusting")
    yield from _of_colourants(division)
    yield from _of_free_oil(division)
    yield from _of_borrowing(division, carried)


def _of_named(division: Division, limited: frozenset[str]) -> Iterator[Caution]:
    """Cautions that name additions or buckets: one sentence for all of them."""
    placed = list(placed_additions(division))
    tiny = [(pointer, Said("{mass} of {addition}", mass=dose(one.mass_g, digits=3), addition=one.name)
             if portion is None else Said('{mass} of {addition} ("{portion}")', mass=dose(one.mass_g, digits=3),
                                          addition=one.name, portion=portion.name))
            for pointer, portion, one in placed if one.weigh_g == 0 and one.dilution is None]
    if tiny:
        yield triggered("dose-too-fine", Said(
            "Too little for this scale, even if you dilute it once: {doses:, }. Make a weaker dispersion or a larger "
            "batch.", doses=tuple(text for _, text in tiny)), tiny[0][0])
    fast = {one.key: (pointer, one.name) for pointer, _, one in reversed(placed) if one.addition.thickens_fast}
    if fast:
        pointers, names = zip(*reversed(fast.values()), strict=True)
        yield triggered("thickens-fast", Said(
            "Stir in last and pour at once, since it thickens the batter fast: {additions:, }.", additions=names),
            pointers[0])
    unknown = {one.key: (pointer, one.name) for pointer, _, one in reversed(placed)
               if one.addition.kind == "fragrance" and one.addition.limit_pct is None and one.key not in limited}
    if unknown:
        pointers, names = zip(*reversed(unknown.values()), strict=True)
        yield triggered("fragrance-limit-unknown", Said(
            "{additions:, }: no limit is given. Ask the supplier for the IFRA certificate (category 9).",
            additions=names), pointers[0])


def _of_each(additions: Sequence[WeighedAddition], at: str) -> Iterator[Caution]:
    for index, weighed in enumerate(additions):
        addition, pointer = weighed.addition, f"{at}/{index}"
        if addition.kind == "fragrance":
            yield triggered("fragrance-flammable", NO_TEXT, pointer)
        if addition.kind == "spray":
            yield triggered("alcohol-spray", NO_TEXT, pointer)
        if addition.kind in ("colourant", "clay"):
            yield triggered("dust", NO_TEXT, pointer)
        # mineral pigments have CI 77000 and above (from memory); the others may come from plants
        if addition.kind == "botanical" or (addition.kind == "colourant" and not (addition.inci or "").startswith(
                "CI 77")):
            yield triggered("natural-colour-stains", NO_TEXT, pointer)
        if addition.kind == "sugar" or (any(word in addition.name.casefold() for word in ("honey", "milk")) \
                and addition.kind != "fragrance"):
            yield triggered("overheating", NO_TEXT, pointer)


def _of_dilutions(division: Division, mixes: int) -> Iterator[Caution]:
    """Doses too small for the scale: one dilution and one caution for all doses of an ingredient."""
    pot, parts = (Said("the pot"), 1) if mixes == 1 else (Said("the pot of each mix"), mixes)
    small: dict[str, list[tuple[str, Said, WeighedAddition, Dilution]]] = {}
    for pointer, portion, one in placed_additions(division):
        if one.dilution is not None:
            taken = one.dilution.take_weigh_g
            take = Said("{take} for {where}", take=dose(taken / parts), where=pot) if portion is None else \
                Said("{take} for {where}", take=dose(taken), where=Said('"{portion}"', portion=portion.name))
            small.setdefault(one.key, []).append((pointer, take, one, one.dilution))
    for found in small.values():
        pointer, _, first, dilution = found[0]
        takes = tuple(take for _, take, _, _ in found)
        along = math.fsum(one.carrier_in_take_g for *_, one in found)
        yield triggered("dose-too-fine", Said(
            "{addition}: too little for this scale. Stir {weigh} into {carrier} of oil, water or glycerol, whichever "
            "disperses it, and weigh from that: {takes:, }. If you use oil, {along} of it goes in as well; it gets no "
            "alkali and remains as free fat on top of the superfat.", addition=first.name, weigh=dose(dilution.weigh_g),
            carrier=dose(dilution.carrier_g), takes=takes, along=dose(along, digits=3)), pointer)


def _of_borrowing(division: Division, carried: frozenset[str]) -> Iterator[Caution]:
    """Additions that a bucket gets only with borrowed batter, directly or through other buckets."""
    names = {one.key: one.name for portion in division.portions for one in portion.additions}
    of_pot = {one.key for one in division.additions}
    found: list[tuple[str, Said]] = []
    for index, portion in enumerate(division.portions):
        given = of_pot | carried | {one.key for one in portion.additions}
        brought = tuple(Said("{mass} of {addition}", mass=dose(part.mass_g, digits=3), addition=names[key])
                        for key, part in portion.mix.parts.items() if key not in given)
        if brought:
            lenders = tuple(Said('"{portion}"', portion=one.name) for one in portion.borrowed)
            found.append((f"/portions/{index}/borrows", Said(
                'with batter from {lenders:, }, "{portion}" also gets {brought:, }', portion=portion.name,
                lenders=lenders, brought=brought)))
    if found:
        yield triggered("borrowed-additions", Said(
            "Borrowed additions: {buckets:; }. If a bucket must stay free of that, take no batter from there.",
            buckets=tuple(text for _, text in found)), found[0][0])


def _of_colourants(division: Division) -> Iterator[Caution]:
    unknown: dict[str, tuple[str, str]] = {}
    for pointer, _, one in placed_additions(division):
        if one.addition.kind == "colourant" and one.addition.inci is None:
            unknown.setdefault(one.key, (pointer, one.name))
    if unknown:
        names = tuple(name for _, name in unknown.values())
        yield triggered("colourant-status-unknown", Said(
            "No colour index number is given for {additions:, }: such a colour might not be permitted in cosmetics "
            "where you sell. Check before you sell.", additions=names), next(iter(unknown.values()))[0])


def _of_free_oil(division: Division) -> Iterator[Caution]:
    found = tuple(Said("{portion} {oil}", portion=portion.name, oil=dose(portion.free_fat.mass_g, digits=3))
                  for portion in division.portions if portion.free_fat is not None)
    if found:
        first = next(pointer for pointer, portion, one in placed_additions(division)
                     if portion is not None and one.oil_g)
        yield triggered("dispersion-oil-free", Said(
            "Free fat on top of the superfat, from oil in additions, which gets no alkali: {buckets:, }.",
            buckets=found), first)
