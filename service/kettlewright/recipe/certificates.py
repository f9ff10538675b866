"""What a maker can know about a fat: the certificate of a lot, or its fatty acids."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from kettlewright import limits
from kettlewright.errors import OutOfRange, UnknownIngredient, Unsolvable, WrongType, gather
from kettlewright.names import did_you_mean, nearest
from kettlewright.ranges import Range
from kettlewright.reference import M_KOH, M_NAOH, fatty_acid_constants, saponification_value_of

__all__ = ["Certificate", "Profile", "check_acid_value", "check_value", "fatty_acid"]

_SUM_TOLERANCE_PCT = 0.5
_PROFILE_HALF_WIDTH = 0.01  # a measured profile gives the value within about 1 % (own decision)
_LIKE_NAOH_PER_GRAM = (0.08, 0.30)
_DAY = re.compile(r"\d{4}-(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])")


def check_value(value: float, *field: str) -> float:
    """Check a saponification value, and recognise a value in another unit.

    Parameters
    ----------
    value : float
        The value given. [mg KOH per g fat]
    field : str, any number
        Its path. [path]

    Raises
    ------
    OutOfRange : not from 60 to 400; a value that looks like grams of alkali per gram of fat is explained.
    """
    low, high = _LIKE_NAOH_PER_GRAM
    if low <= value <= high:
        raise OutOfRange(
            f"{value:.9g} looks like grams of alkali per gram of fat. A saponification value is in mg of KOH: it would "
            f"be {1000 * value * M_KOH / M_NAOH:.1f} if these are grams of NaOH, {1000 * value:.1f} if grams of KOH; "
            "see the certificate.", field=field, value=value, allowed=limits.SAPONIFICATION_VALUE.words)
    return limits.SAPONIFICATION_VALUE.check(value, *field)


@dataclass(frozen=True, slots=True)
class Certificate:
    """The certificate of a lot.

    Parameters
    ----------
    value : float
        Saponification value. [mg KOH per g fat]
    tolerance : float
        Tolerance of the value, either way; 1 if not given (own decision). [mg KOH per g fat]
    acid_value : float
        Free fatty acids in the fat. [mg KOH per g fat]
    date : str, optional
        Day of the certificate, as YYYY-MM-DD. [date]

    Raises
    ------
    DomainErrors, OutOfRange : a value outside any plausible fat, an acid value above it, an invalid date.
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
                    raise WrongType(f'"{self.date}" is not a date; write it as 2026-10-01.', field=("date",))

    @property
    def range(self) -> Range:
        """The value with its tolerance. [mg KOH per g fat]"""
        return Range(self.value - self.tolerance, self.value + self.tolerance)


def check_acid_value(acid_value: float, saponification_value: float, *field: str) -> float:
    """Check an acid value against its saponification value (`acid_value`, `saponification_value` [mg KOH/g], `field`).

    Raises
    ------
    OutOfRange : below 0, or above the saponification value that includes it.
    """
    if not (math.isfinite(acid_value) and 0 <= acid_value <= saponification_value):
        raise OutOfRange(f"An acid value of {acid_value:.9g} is not possible: it is part of the saponification value "
                         f"({saponification_value:.9g}).", field=field, value=acid_value,
                         allowed=f"from 0 to {saponification_value:.9g} mg KOH per g of fat")
    return acid_value


@dataclass(frozen=True, slots=True)
class Profile:
    """The fatty acids of a fat, as a laboratory reports them.

    Parameters
    ----------
    fatty_acids : mapping of str to float
        By notation, such as "C18:1"; they add up to 100. [% of fatty acids]
    unsaponifiable_pct : float
        The part that alkali does not react with. [% of fat]

    Raises
    ------
    DomainErrors, DomainError : an unknown fatty acid, shares out of bounds, a sum that is not 100.
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
                    raise Unsolvable(f"The fatty acids add up to {total:.9g}; they must add up to 100 (within "
                                     f"{_SUM_TOLERANCE_PCT}). Scale them, or add the one that is missing.",
                                     value=total, allowed="a sum of 100")

    @property
    def range(self) -> Range:
        """The saponification value that follows, within 1 % either way. [mg KOH per g fat]"""
        value = saponification_value_of(self.fatty_acids, self.unsaponifiable_pct)
        return Range(value * (1 - _PROFILE_HALF_WIDTH), value * (1 + _PROFILE_HALF_WIDTH))


def fatty_acid(notation: str) -> str:
    """The notation, if it is in the table (`notation`, such as "C18:1"). [key]

    Raises
    ------
    UnknownIngredient : no such fatty acid; the error suggests the nearest.
    """
    known = fatty_acid_constants()
    if notation not in known:
        names = {acid.common_name: key for key, acid in known.items()}
        meant = did_you_mean([names.get(one, one) for one in nearest(notation, [*names, *known])])
        raise UnknownIngredient(f'"{notation}" is not a known fatty acid; write it as "C18:1".{meant}', value=notation,
                                allowed=", ".join(known))
    return notation
