"""What a maker can know of a fat of their own: a certificate of the lot, or its fatty acids."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from kettlewright import limits
from kettlewright.errors import OutOfRange, UnknownIngredient, Unsolvable, WrongType, gather
from kettlewright.names import nearest
from kettlewright.ranges import Range
from kettlewright.reference import M_KOH, M_NAOH, fatty_acid_constants, saponification_value_of

__all__ = ["Certificate", "Profile", "check_acid_value", "check_value", "fatty_acid"]

_SUM_TOLERANCE_PCT = 0.5
_PROFILE_HALF_WIDTH = 0.01  # a measured profile gives the value to about 1 % (own decision)
_LIKE_NAOH_PER_GRAM = (0.08, 0.30)
_DAY = re.compile(r"\d{4}-(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])")


def check_value(value: float, *field: str) -> float:
    """A saponification value, or what it was mistaken for.

    Parameters
    ----------
    value : float
        As given. [mg KOH per g fat]
    field : str, any number
        Its path. [path]

    Raises
    ------
    OutOfRange : not from 60 to 400; a coefficient in grams of alkali per gram of fat is named as what it is.
    """
    low, high = _LIKE_NAOH_PER_GRAM
    if low <= value <= high:
        raise OutOfRange(
            f"{value:.9g} looks like grams of alkali for a gram of fat. A saponification value is in mg of KOH: as "
            f"grams of NaOH it would be {1000 * value * M_KOH / M_NAOH:.1f}, as grams of KOH {1000 * value:.1f}; the "
            "certificate says which.", field=field, value=value, allowed=limits.SAPONIFICATION_VALUE.words)
    return limits.SAPONIFICATION_VALUE.check(value, *field)


@dataclass(frozen=True, slots=True)
class Certificate:
    """What the certificate of a lot states.

    Parameters
    ----------
    value : float
        Saponification value. [mg KOH per g fat]
    tolerance : float
        How far it may be off, either way; 1 where not given (own decision). [mg KOH per g fat]
    acid_value : float
        Free fatty acids in it. [mg KOH per g fat]
    date : str, optional
        Day of the certificate, as YYYY-MM-DD. [date]

    Raises
    ------
    DomainErrors, OutOfRange : a value outside any plausible fat, an acid value above it, no date.
    """

    value: float
    tolerance: float = 1.0
    acid_value: float = 0.0
    date: str | None = None

    def __post_init__(self) -> None:
        with gather() as checks:
            with checks.at():
                check_value(self.value, "value")
            with checks.at():
                limits.VALUE_TOLERANCE.check(self.tolerance, "tolerance")
            with checks.at():
                check_acid_value(self.acid_value, self.value, "acid_value")
            with checks.at():
                if self.date is not None and not _DAY.fullmatch(self.date):
                    raise WrongType(f'"{self.date}" is not a day; write it as 2026-10-01.', field=("date",))

    @property
    def range(self) -> Range:
        """The value with its tolerance. [mg KOH per g fat]"""
        return Range(self.value - self.tolerance, self.value + self.tolerance)


def check_acid_value(acid_value: float, saponification_value: float, *field: str) -> float:
    """An acid value that its saponification value can hold (`acid_value`, `saponification_value` [mg KOH/g], `field`).

    Raises
    ------
    OutOfRange : below 0, or above the saponification value, of which it is a part.
    """
    if not (math.isfinite(acid_value) and 0 <= acid_value <= saponification_value):
        raise OutOfRange(f"An acid value of {acid_value:.9g} cannot be: it is a part of the saponification value "
                         f"({saponification_value:.9g}).", field=field, value=acid_value,
                         allowed=f"from 0 to {saponification_value:.9g} mg KOH per g of fat")
    return acid_value


@dataclass(frozen=True, slots=True)
class Profile:
    """The fatty acids of a fat, as a laboratory gives them.

    Parameters
    ----------
    fatty_acids : mapping of str to float
        By notation, such as "C18:1"; they add up to 100. [% of fatty acids]
    unsaponifiable_pct : float
        What alkali does not touch. [% of fat]

    Raises
    ------
    DomainErrors, DomainError : an unknown fatty acid, shares out of bounds, a sum that misses 100.
    """

    fatty_acids: Mapping[str, float] = field(hash=False)
    unsaponifiable_pct: float = 0.5

    def __post_init__(self) -> None:
        object.__setattr__(self, "fatty_acids", MappingProxyType(dict(self.fatty_acids)))
        with gather() as checks:
            for notation, share in self.fatty_acids.items():
                with checks.at("fatty_acids", notation):
                    fatty_acid(notation)
                    limits.SHARE_PCT.check(share)
            with checks.at("unsaponifiable_pct"):
                limits.PART_PCT.check(self.unsaponifiable_pct)
            with checks.at("fatty_acids"):
                total = math.fsum(self.fatty_acids.values())
                if abs(total - 100) > _SUM_TOLERANCE_PCT:
                    raise Unsolvable(f"The fatty acids add up to {total:.9g}, and must add up to 100 (within "
                                     f"{_SUM_TOLERANCE_PCT}); scale them, or add the one that is missing.",
                                     value=total, allowed="a sum of 100")

    @property
    def range(self) -> Range:
        """The saponification value that follows, 1 % either way. [mg KOH per g fat]"""
        value = saponification_value_of(self.fatty_acids, self.unsaponifiable_pct)
        return Range(value * (1 - _PROFILE_HALF_WIDTH), value * (1 + _PROFILE_HALF_WIDTH))


def fatty_acid(notation: str) -> str:
    """The notation, if the table knows it (`notation`, such as "C18:1"). [key]

    Raises
    ------
    UnknownIngredient : no such fatty acid; the sentence names the nearest.
    """
    known = fatty_acid_constants()
    if notation not in known:
        names = {acid.common_name: key for key, acid in known.items()}
        near = (nearest(notation.casefold(), names)
                or nearest(notation, known))
        meant = f' Did you mean "{names.get(near[0], near[0])}"?' if near else ""
        raise UnknownIngredient(f'No fatty acid "{notation}" is known; write it as "C18:1".{meant}', value=notation,
                                allowed=", ".join(known))
    return notation
