"""The composition of a bucket or a bar, fresh and cured."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from kettlewright.curing import cured_mass
from kettlewright.pour.additions import Addition
from kettlewright.pour.batter import Batter
from kettlewright.pour.buckets import Poured, lenders_first
from kettlewright.pour.requested_portions import Portion

__all__ = ["Mix", "MixPart", "mix_of_pot", "mixes_of_buckets", "shares_together", "together"]


class MixPart(NamedTuple):
    """An addition in a mix; a tuple, since large batches create hundreds of thousands of them.

    Parameters
    ----------
    pure_g : float
        The part that its limit refers to: of a dispersion, the dry addition. [g]
    mass_g, water_g : float
        Its mass as weighed, and the water in it. [g]
    """

    pure_g: float
    mass_g: float
    water_g: float

    def cured_g(self, loss_pct: float | None) -> float:
        """Its contribution to the cured mass (`loss_pct` as for `cured_mass` [%]). [g]"""
        return cured_mass(self.mass_g, loss_pct, water_g=self.water_g)


@dataclass(frozen=True)  # no slots: the sums are cached, since every limit of every bar needs them
class Mix:
    """Batter with its additions.

    Parameters
    ----------
    batter_g, batter_water_g : float
        Fats and lye, and the water in them. [g]
    parts : mapping of key to MixPart
        Additions; the same one from pot and bucket is added up. [g]
    powder_g : float
        Powder sifted on top. [g]
    """

    batter_g: float
    batter_water_g: float
    parts: Mapping[str, MixPart]
    powder_g: float = 0.0

    @cached_property
    def mass_g(self) -> float:
        """Fresh mass. [g]"""
        return math.fsum([self.batter_g, self.powder_g, *[part.mass_g for part in self.parts.values()]])

    @cached_property
    def water_g(self) -> float:
        """Water in batter and additions. [g]"""
        return math.fsum([self.batter_water_g, *[part.water_g for part in self.parts.values()]])

    def times(self, factor: float) -> Mix:
        """The mix multiplied by a factor (`factor` [1]). [g]"""
        if factor == 1.0:
            return self
        return Mix(self.batter_g * factor, self.batter_water_g * factor, {
            key: MixPart(pure * factor, mass * factor, water * factor)
            for key, (pure, mass, water) in self.parts.items()}, self.powder_g * factor)

    def dusted(self, powder_g: float) -> Mix:
        """The mix with powder on top (`powder_g` [g]). [g]"""
        return Mix(self.batter_g, self.batter_water_g, self.parts, self.powder_g + powder_g) if powder_g else self

    def pure_g(self, key: str) -> float:
        """The part of an addition (`key`) that its limit refers to. [g]"""
        return self.parts[key].pure_g if key in self.parts else 0.0

    def cured_g(self, loss_pct: float | None) -> float:
        """Cured mass (`loss_pct` as for `cured_mass` [% of all of it]). [g]"""
        # the water is a sum over all parts, which a known loss does not need
        return cured_mass(self.mass_g, loss_pct, water_g=self.water_g if loss_pct is None else 0.0)


def together(mixes: Iterable[Mix]) -> Mix:
    """The sum of several mixes (`mixes` [g]). [g]"""
    return shares_together((mix, 1.0) for mix in mixes)


def shares_together(shares: Iterable[tuple[Mix, float]]) -> Mix:
    """The weighted sum of mixes (`shares`: mixes and factors [g, 1]). [g]"""
    mixes = [mix.times(factor) for mix, factor in shares]
    parts: dict[str, list[MixPart]] = {}
    for mix in mixes:
        for key, part in mix.parts.items():
            parts.setdefault(key, []).append(part)
    return Mix(math.fsum([mix.batter_g for mix in mixes]), math.fsum([mix.batter_water_g for mix in mixes]),
               {key: found[0] if len(found) == 1 else MixPart(*map(math.fsum, zip(*found, strict=True)))
                for key, found in parts.items()},
               math.fsum([mix.powder_g for mix in mixes]))


def _stirred(additions: Sequence[Addition], masses_g: Sequence[float]) -> Mix:
    return Mix(0.0, 0.0, {addition.key: MixPart(mass * addition.pure_part, mass, mass * addition.water_part)
                          for addition, mass in zip(additions, masses_g, strict=True) if addition.in_batter})


def mix_of_pot(batter: Batter, additions: Sequence[Addition], exact: Poured) -> Mix:
    """The composition of the pot, before any bucket is filled.

    Parameters
    ----------
    batter : Batter
        Before any addition; if its water is not known, everything that is not fat counts as water. [g]
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
    """The composition of each bucket at its fullest, including borrowed batter.

    Parameters
    ----------
    portions : sequence of Portion
        As requested. [portions]
    exact : Poured
        Their masses. [g]
    pot : Mix
        The pot they are filled from. [g]

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
