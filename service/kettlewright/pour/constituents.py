"""The supplier's composition of a fragrance: its constituents, by CAS number or by name."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kettlewright import limits
from kettlewright.errors import DomainError, Unsolvable, check_either, gather, repeated
from kettlewright.reference import AllergenEntry, allergen_named, allergen_of_cas, check_cas

__all__ = ["Constituent", "check_composition"]

_SUM_TOLERANCE_PCT = 0.01


@dataclass(frozen=True, slots=True)
class Constituent:
    """One line of a supplier's composition.

    Parameters
    ----------
    pct : float
        Share of the fragrance as bought. [% by mass]
    cas, name : str, optional
        Exactly one: its registry number, or the name of a listed allergen. [CAS number, text]

    Raises
    ------
    DomainErrors, DomainError : both or neither of number and name, a number whose check digit does not fit, a name that
        is not on the list, a part outside 0 to 100.
    """

    pct: float
    cas: str | None = None
    name: str | None = None

    def __post_init__(self) -> None:
        with gather() as checks:
            with checks.at():
                check_either(self.cas, self.name, 'Give each constituent either "cas" or "name"', field=("cas",))
            with checks.at("pct"):
                limits.SHARE_PCT.check(self.pct)
            with checks.at("cas"):
                if self.cas is not None:
                    check_cas(self.cas)
            with checks.at("name"):
                if self.name is not None and self.cas is None:
                    allergen_named(self.name)

    @property
    def entry(self) -> AllergenEntry | None:
        """The listed allergen, if it is one. [row]"""
        return allergen_of_cas(self.cas) if self.cas is not None else allergen_named(self.name or "")


def check_composition(parts: Sequence[Constituent], of: str) -> None:
    """Validate a composition.

    Parameters
    ----------
    parts : sequence of Constituent
        The lines. [% by mass]
    of : str
        Name of the fragrance. [text]

    Raises
    ------
    DomainErrors : the same number or name twice, more than 100 % together.
    """
    with gather() as checks:
        for index in repeated(part.cas or (part.name or "").casefold().strip() for part in parts):
            with checks.at(index):
                raise DomainError(f'"{parts[index].cas or parts[index].name}" appears twice in the composition of '
                                  f'"{of}"; add the two lines together.')
        with checks.at():
            total = math.fsum(part.pct for part in parts)
            if total > 100 + _SUM_TOLERANCE_PCT:
                raise Unsolvable(f'The composition of "{of}" adds up to {total:.6g} %; it cannot be more than 100. '
                                 "Check the supplier's sheet: some give ranges, whose upper ends must not be added "
                                 "up.", value=total, allowed="at most 100 together")
