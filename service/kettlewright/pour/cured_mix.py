"""What a bucket or a bar is made of, and what of that is left once it is cured."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import NamedTuple

from kettlewright.curing import cured_mass
from kettlewright.pour.additions import Addition
from kettlewright.pour.batter import Batter
from kettlewright.pour.buckets import Portion, Poured, lenders_first

__all__ = ["Mix", "Part", "mix_of_pot", "mixes_of_buckets", "shares_together", "together"]


class Part(NamedTuple):
    """An addition in a mix; a tuple, since large batches make hundreds of thousands.

    Parameters
    ----------
    pure_g : float
        What its limit is about: of a dispersion the dry addition. [g]
    mass_g, water_g : float
        All of it as weighed, and the water in that. [g]
    """

    pure_g: float
    mass_g: float
    water_g: float

    def cured_g(self, loss_pct: float | None) -> float:
        """What it adds to the cured mass (`loss_pct` as of `cured_mass` [%]). [g]"""
        return cured_mass(self.mass_g, loss_pct, water_g=self.water_g)


@dataclass(frozen=True)  # no slots: its sums are kept, since every limit of every bar asks for them
class Mix:
    """Batter and what was stirred into it.

    Parameters
    ----------
    batter_g, batter_water_g : float
        Fats and lye, and the water in them. [g]
    parts : mapping of key to Part
        Additions; the same one out of pot and bucket counts together. [g]
    powder_g : float
        Sifted on top. [g]
    """

    batter_g: float
    batter_water_g: float
    parts: Mapping[str, Part]
    powder_g: float = 0.0

    @cached_property
    def mass_g(self) -> float:
        """All of it, fresh. [g]"""
        return math.fsum([self.batter_g, self.powder_g, *(part.mass_g for part in self.parts.values())])

    @cached_property
    def water_g(self) -> float:
        """Water of the batter and of the additions. [g]"""
        return math.fsum([self.batter_water_g, *(part.water_g for part in self.parts.values())])

    def times(self, factor: float) -> Mix:
        """So many times as much of it (`factor` [1]). [g]"""
        return Mix(self.batter_g * factor, self.batter_water_g * factor, {
            key: Part(pure * factor, mass * factor, water * factor)
            for key, (pure, mass, water) in self.parts.items()}, self.powder_g * factor)

    def dusted(self, powder_g: float) -> Mix:
        """The same with powder on top (`powder_g` [g]). [g]"""
        return replace(self, powder_g=self.powder_g + powder_g)

    def pure_g(self, key: str) -> float:
        """Of an addition (`key`), what its limit is about. [g]"""
        return self.parts[key].pure_g if key in self.parts else 0.0

    def cured_g(self, loss_pct: float | None) -> float:
        """Mass once cured (`loss_pct` as of `cured_mass` [% of all of it]). [g]"""
        return cured_mass(self.mass_g, loss_pct, water_g=self.water_g)


def together(mixes: Iterable[Mix]) -> Mix:
    """Several mixes as one (`mixes` [g]). [g]"""
    return shares_together((mix, 1.0) for mix in mixes)


def shares_together(shares: Iterable[tuple[Mix, float]]) -> Mix:
    """So many times of each mix, as one (`shares`: mixes and factors [g, 1]). [g]"""
    shares = tuple(shares)
    parts: dict[str, list[tuple[float, float, float]]] = {}
    for mix, factor in shares:
        for key, (pure, mass, water) in mix.parts.items():
            parts.setdefault(key, []).append((pure * factor, mass * factor, water * factor))
    return Mix(math.fsum(mix.batter_g * factor for mix, factor in shares),
               math.fsum(mix.batter_water_g * factor for mix, factor in shares),
               {key: Part(*found[0]) if len(found) == 1 else Part(*map(math.fsum, zip(*found, strict=True)))
                for key, found in parts.items()},
               math.fsum(mix.powder_g * factor for mix, factor in shares))


def _stirred(additions: Sequence[Addition], masses_g: Sequence[float]) -> Mix:
    return Mix(0.0, 0.0, {addition.key: Part(mass * addition.pure_part, mass, mass * addition.water_part)
                          for addition, mass in zip(additions, masses_g, strict=True) if addition.in_batter})


def mix_of_pot(batter: Batter, additions: Sequence[Addition], exact: Poured) -> Mix:
    """The pot, before any bucket is filled.

    Parameters
    ----------
    batter : Batter
        Before any addition; where its water is not known, all that is not fat counts as water. [g]
    additions : sequence of Addition
        The batch's own. [additions]
    exact : Poured
        Their masses. [g]

    Returns
    -------
    Mix : [g]
    """
    return together([Mix(batter.mass_g, batter.water_at_most_g, {}), _stirred(additions, exact.additions_g)])


def mixes_of_buckets(portions: Sequence[Portion], exact: Poured, pot: Mix) -> tuple[Mix, ...]:
    """Each bucket at its fullest, what it borrowed in it.

    Parameters
    ----------
    portions : sequence of Portion
        As asked. [portions]
    exact : Poured
        Their masses. [g]
    pot : Mix
        What they are filled from. [g]

    Returns
    -------
    tuple of Mix, one for each portion : [g]
    """
    places = {portion.key: index for index, portion in enumerate(portions)}
    found: dict[int, Mix] = {}
    for index in lenders_first(portions):
        portion, bucket = portions[index], exact.buckets[index]
        own = shares_together([(pot, bucket.plain_g / exact.pot_g), (_stirred(portion.additions, bucket.own_g), 1.0)])
        lent = [(found[places[one.key]], mass / exact.buckets[places[one.key]].mass_g)
                for one, mass in zip(portion.borrows, bucket.borrowed_g, strict=True)]
        found[index] = shares_together([(own, 1.0), *lent]) if lent else own
    return tuple(found[index] for index in range(len(portions)))
