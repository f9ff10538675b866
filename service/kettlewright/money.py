"""Money: exact decimals with a currency of ISO 4217, rounded half to even when told and nowhere else."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import ROUND_FLOOR, ROUND_HALF_EVEN, Context, Decimal, localcontext
from functools import cache

from iso4217 import Currency

from kettlewright.errors import DomainError, OutOfRange, Unsolvable

__all__ = ["EXACTLY", "FINER", "Money", "coin_digits", "decimal_of", "one_currency", "rounded", "rounded_parts"]

EXACTLY = Context(prec=60, rounding=ROUND_HALF_EVEN)
"""Digits enough that no sum of a request is ever short of one; the arithmetic of money runs in it."""

FINER = 2
"""Digits beyond the coin that a calculated amount is told with: a pinch of colourant costs less than a cent."""

_NOT_PAID_WITH = frozenset({"XXX", "XTS"})  # no currency, and a code for tests


@dataclass(frozen=True, slots=True)
class Money:
    """An amount of one currency.

    Parameters
    ----------
    amount : Decimal
        How much. [currency]
    currency : str
        ISO 4217. [key]

    Raises
    ------
    DomainError : no currency that is paid with.
    """

    amount: Decimal
    currency: str

    def __post_init__(self) -> None:
        coin_digits(self.currency)


@cache
def _digits() -> dict[str, int]:
    return {one.code: one.exponent for one in Currency if one.exponent is not None and one.code not in _NOT_PAID_WITH}


def coin_digits(currency: str) -> int:
    """Decimal places of the smallest coin of a currency.

    Parameters
    ----------
    currency : str
        ISO 4217. [key]

    Returns
    -------
    int : 2 for EUR, 0 for JPY, 3 for BHD. [digits]

    Raises
    ------
    DomainError : no currency of the list, or one that is not paid with, such as gold.

    References
    ----------
    .. [1] ISO 4217, list one, minor units. By the iso4217 library, which carries the list of the maintenance agency.
    """
    found = _digits().get(currency)
    if found is None:
        near = next((code for code in sorted(_digits()) if code[:2] == currency[:2]), None)
        meant = f' Did you mean "{near}"?' if near else ""
        raise OutOfRange(f'"{currency}" is no currency of ISO 4217 that is paid with.{meant}',
                         field=("currency",), value=currency, allowed="a currency of ISO 4217, such as EUR")
    return found


def one_currency(amounts: Iterable[str]) -> str | None:
    """The currency all prices of a request stand in.

    Parameters
    ----------
    amounts : iterable of str
        Their currencies, ISO 4217. [keys]

    Returns
    -------
    str : None where there are no prices. [key]

    Raises
    ------
    Unsolvable : more than one; rates of exchange are not known here.
    """
    found = sorted(set(amounts))
    if len(found) > 1:
        raise Unsolvable(f"Prices stand in {', '.join(found[:-1])} and {found[-1]}; rates of exchange are not known "
                         "here, so give all of them in one currency.", value=found, allowed="one currency")
    return found[0] if found else None


def decimal_of(value: float) -> Decimal:
    """A measured number as the decimal that was meant: 146.4, not 146.400000000000006.

    Parameters
    ----------
    value : float
        A mass, hours or a percentage. [as given]

    Returns
    -------
    Decimal : with 12 significant digits, which swallows the noise of binary arithmetic and no weighing. [as given]
    """
    return Decimal(f"{value:.12g}")


def rounded(amount: Decimal, digits: int) -> Decimal:
    """An amount as it is told.

    Parameters
    ----------
    amount : Decimal
        Exact. [currency]
    digits : int
        Decimal places. [digits]

    Returns
    -------
    Decimal : half to even, never a negative zero. [currency]
    """
    with localcontext(EXACTLY):
        return amount.quantize(Decimal(1).scaleb(-digits)) + 0


def rounded_parts(parts: Sequence[Decimal], digits: int, *, whole: Decimal | None = None) -> tuple[Decimal, ...]:
    """Parts of a sum as they are told: by largest remainder, so that they add up to the sum as it is told.

    Parameters
    ----------
    parts : sequence of Decimal
        Exact. [currency]
    digits : int
        Decimal places. [digits]
    whole : Decimal, optional
        What they are to add up to, within a step for each part; their rounded sum where not given. [currency]

    Returns
    -------
    tuple of Decimal : none is a step or more off its exact amount, where the whole is theirs. [currency]

    Raises
    ------
    DomainError : parts and whole are not of one sum.
    """
    if not parts:
        return ()
    with localcontext(EXACTLY):
        step = Decimal(1).scaleb(-digits)
        goal = rounded(sum(parts, Decimal(0)), digits) if whole is None else rounded(whole, digits)
        down = [part.quantize(step, rounding=ROUND_FLOOR) for part in parts]
        missing = int((goal - sum(down, Decimal(0))) / step)
        if not 0 <= missing <= len(parts):
            raise DomainError("These parts do not belong to this whole.")
        by_rest = sorted(range(len(parts)), key=lambda index: down[index] - parts[index])  # the largest rest first
        up = frozenset(by_rest[:missing])
        return tuple(part + (step if index in up else 0) + 0 for index, part in enumerate(down))
