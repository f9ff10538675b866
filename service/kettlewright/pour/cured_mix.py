"""What a bucket or a bar is made of, and what of that is left once it is cured."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from kettlewright.pour.additions import Addition
from kettlewright.pour.batter import Batter
from kettlewright.pour.buckets import Portion, Poured, lenders_first

__all__ = ["Mix", "Part", "mix_of_pot", "mixes_of_buckets", "together"]


@dataclass(frozen=True, slots=True)
class Part:
    """An addition in a mix.

    Parameters
    ----------
    pure_g : float
        What its limit speaks of: of a dispersion the dry addition. [g]
    cured_g : float
        What of it stays in the cured bar: all but its water. [g]
    """

    pure_g: float
    cured_g: float


@dataclass(frozen=True, slots=True)
class Mix:
    """Batter and what was stirred into it.

    Parameters
    ----------
    batter_g : float
        Fats and lye; the loss in cure is told of it. [g]
    parts : mapping of key to Part
        Additions; the same one out of pot and bucket counts together. [g]
    """

    batter_g: float
    parts: Mapping[str, Part]

    def times(self, factor: float) -> Mix:
        """So many times as much of it (`factor` [1]). [g]"""
        return Mix(self.batter_g * factor, {key: Part(part.pure_g * factor, part.cured_g * factor)
                                            for key, part in self.parts.items()})

    def pure_g(self, key: str) -> float:
        """Of an addition (`key`), what its limit speaks of. [g]"""
        return self.parts[key].pure_g if key in self.parts else 0.0

    def cured_g(self, loss_pct: float) -> float:
        """Mass once cured: batter less its loss (`loss_pct` [% of batter]), additions less their water. [g]"""
        return self.batter_g * (1 - loss_pct / 100) + math.fsum(part.cured_g for part in self.parts.values())


def together(mixes: Iterable[Mix]) -> Mix:
    """Several mixes as one (`mixes` [g]). [g]"""
    mixes = tuple(mixes)
    keys = dict.fromkeys(key for mix in mixes for key in mix.parts)
    return Mix(math.fsum(mix.batter_g for mix in mixes),
               {key: Part(math.fsum(mix.parts[key].pure_g for mix in mixes if key in mix.parts),
                          math.fsum(mix.parts[key].cured_g for mix in mixes if key in mix.parts)) for key in keys})


def _stirred(batter_g: float, additions: Sequence[Addition], masses_g: Sequence[float]) -> Mix:
    return Mix(batter_g, {addition.key: Part(mass * addition.pure_part, mass * addition.cured_part)
                          for addition, mass in zip(additions, masses_g, strict=True) if addition.in_batter})


def mix_of_pot(batter: Batter, additions: Sequence[Addition], exact: Poured) -> Mix:
    """The pot, before any bucket is filled.

    Parameters
    ----------
    batter : Batter
        Before any addition. [g]
    additions : sequence of Addition
        The batch's own. [additions]
    exact : Poured
        Their masses. [g]

    Returns
    -------
    Mix : [g]
    """
    return _stirred(batter.mass_g, additions, exact.additions_g)


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
        own = together([pot.times(bucket.plain_g / exact.pot_g), _stirred(0.0, portion.additions, bucket.own_g)])
        lent = [found[places[one.key]].times(mass / exact.buckets[places[one.key]].mass_g)
                for one, mass in zip(portion.borrows, bucket.borrowed_g, strict=True)]
        found[index] = together([own, *lent]) if lent else own
    return tuple(found[index] for index in range(len(portions)))
