"""Money: exact decimals in an ISO 4217 currency, rounded half to even only when written to a response."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import ROUND_FLOOR, ROUND_HALF_EVEN, Context, Decimal, localcontext
from functools import cache

from iso4217 import Currency

from kettlewright.errors import DomainError, OutOfRange, Unsolvable
from kettlewright.names import did_you_mean

__all__ = ["EXACTLY", "FINER", "Money", "coin_digits", "decimal_of", "one_currency", "rounded", "rounded_parts"]

EXACTLY = Context(prec=60, rounding=ROUND_HALF_EVEN)
"""Context for money arithmetic: more digits than any sum in a request needs."""

FINER = 2
"""Decimal places beyond the smallest coin for calculated amounts: a pinch of colourant costs less than a cent."""

_NOT_PAID_WITH = frozenset({"XXX", "XTS"})  # "no currency", and a code for tests


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
    DomainError : not a currency you can pay with.
    """

    amount: Decimal
    currency: str

    def __post_init__(self) -> None:
        coin_digits(self.currency)


@cache
def _digits() -> dict[str, int]:
    return {one.code: one.exponent for one in Currency if one.exponent is not None and one.code not in _NOT_PAID_WITH}


def coin_digits(currency: str) -> int:
    """Decimal places of a currency's smallest coin.

    Parameters
    ----------
    currency : str
        ISO 4217. [key]

    Returns
    -------
    int : 2 for EUR, 0 for JPY, 3 for BHD. [digits]

    Raises
    ------
    DomainError : not in the list, or not a currency you can pay with, such as gold.

    References
    ----------
    .. [1] ISO 4217, list one, minor units. From the iso4217 library, which contains the maintenance agency's list.
    """
    found = _digits().get(currency)
    if found is None:
        near = next((code for code in sorted(_digits()) if code[:2] == currency[:2]), None)
        meant = did_you_mean([near] if near else [])
        raise OutOfRange(f'"{currency}" is not an ISO 4217 currency that you can pay with.{meant}',
                         field=("currency",), value=currency, allowed="an ISO 4217 currency, such as EUR")
    return found


def one_currency(amounts: Iterable[str]) -> str | None:
    """The one currency of all prices in a request.

    Parameters
    ----------
    amounts : iterable of str
        Their currencies, ISO 4217. [keys]

    Returns
    -------
    str : None if there are no prices. [key]

    Raises
    ------
    Unsolvable : more than one currency; exchange rates are not known here.
    """
    found = sorted(set(amounts))
    if len(found) > 1:
        raise Unsolvable(f"Prices are in {', '.join(found[:-1])} and {found[-1]}. Exchange rates are not known here: "
                         "give all prices in one currency.", value=found, allowed="one currency")
    return found[0] if found else None


def decimal_of(value: float) -> Decimal:
    """A measured number as the decimal that was meant: 146.4, not 146.400000000000006.

    Parameters
    ----------
    value : float
        A mass, hours or a percentage. [as given]

    Returns
    -------
    Decimal : rounded to 12 significant digits: finer than any weighing, coarser than binary noise. [as given]
    """
    return Decimal(f"{value:.12g}")


def rounded(amount: Decimal, digits: int) -> Decimal:
    """Round an amount for a response.

    Parameters
    ----------
    amount : Decimal
        Exact. [currency]
    digits : int
        Decimal places. [digits]

    Returns
    -------
    Decimal : rounded half to even, never a negative zero. [currency]
    """
    with localcontext(EXACTLY):
        return amount.quantize(Decimal(1).scaleb(-digits)) + 0


def rounded_parts(parts: Sequence[Decimal], digits: int, *, whole: Decimal | None = None) -> tuple[Decimal, ...]:
    """Round the parts of a sum by largest remainder, so that they add up to the rounded sum.

    Parameters
    ----------
    parts : sequence of Decimal
        Exact. [currency]
    digits : int
        Decimal places. [digits]
    whole : Decimal, optional
        The sum of the parts to within one step for each part; their rounded sum if not given. [currency]

    Returns
    -------
    tuple of Decimal : each less than one step away from its exact amount if `whole` is their sum. [currency]

    Raises
    ------
    DomainError : the parts do not add up to the whole.
    """
    if not parts:
        return ()
    with localcontext(EXACTLY):
        step = Decimal(1).scaleb(-digits)
        goal = rounded(sum(parts, Decimal(0)), digits) if whole is None else rounded(whole, digits)
        down = [part.quantize(step, rounding=ROUND_FLOOR) for part in parts]
        missing = int((goal - sum(down, Decimal(0))) / step)
        if not 0 <= missing <= len(parts):
            raise DomainError("These parts do not add up to the whole.")
        by_rest = sorted(range(len(parts)), key=lambda index: down[index] - parts[index])  # largest remainder first
        up = frozenset(by_rest[:missing])
        return tuple(part + (step if index in up else 0) + 0 for index, part in enumerate(down))
