"""What a bar must be sold for, so that a margin or a markup is left after tax and fees."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal, localcontext

from kettlewright import limits
from kettlewright.errors import Missing, OutOfRange, Unsolvable, gather
from kettlewright.money import EXACTLY, FINER, Money, coin_digits, decimal_of, rounded, rounded_parts

__all__ = ["TAX_SHOWN", "PriceStep", "SalesTax", "Selling", "SellingOptions", "ShopFees", "sell"]

TAX_SHOWN = ("included", "on_top")
_LEFT_LEAST = Decimal("0.001")  # of a price, once margin, tax and fees are taken off it
_SETTLED = Decimal("1e-20")  # smaller remainders of a division are noise and must not push a price up a step


@dataclass(frozen=True, slots=True)
class SalesTax:
    """Tax on what is sold.

    Parameters
    ----------
    rate_pct : float
        On the net price. [%]
    shown : str
        "included" in the price on the tag, or put "on_top" of it at the till. [key]
    """

    rate_pct: float
    shown: str = "included"

    def __post_init__(self) -> None:
        with gather() as checks:
            with checks.at("rate_pct"):
                limits.SALES_TAX_PCT.check(self.rate_pct)
            with checks.at("shown"):
                if self.shown not in TAX_SHOWN:
                    raise OutOfRange(f'"{self.shown}" is not known here; it is one of {", ".join(TAX_SHOWN)}.',
                                     value=self.shown, allowed=", ".join(TAX_SHOWN))


@dataclass(frozen=True, slots=True)
class ShopFees:
    """What the shop, the marketplace or the card costs.

    Parameters
    ----------
    of_gross_pct : float
        Of what the customer pays, tax included. [%]
    fixed_per_order : Money, optional
        Of each order. [currency]
    bars_per_order : float
        Bars in a usual order: they share its fixed fee. [bars]
    """

    of_gross_pct: float = 0.0
    fixed_per_order: Money | None = None
    bars_per_order: float = 1.0

    def __post_init__(self) -> None:
        with gather() as checks:
            with checks.at("of_gross_pct"):
                limits.FEE_PCT.check(self.of_gross_pct)
            with checks.at("bars_per_order"):
                limits.BARS_PER_ORDER.check(self.bars_per_order)


@dataclass(frozen=True, slots=True)
class PriceStep:
    """Allowed prices on a tag: every `step`, and `ends_on` above it.

    Parameters
    ----------
    step, ends_on : Decimal
        A step of 1 and an ending of 0.90 make 6.90, 7.90, 8.90. [currency]

    Raises
    ------
    DomainError : no step, or an ending that is a step or more.
    """

    step: Decimal
    ends_on: Decimal = Decimal(0)

    def __post_init__(self) -> None:
        with gather() as checks:
            with checks.at("step"):
                if self.step <= 0:
                    raise OutOfRange("A step of 0 is not possible: give the distance between two prices, such as 0.50.",
                                     value=str(self.step), allowed="above 0")
            with checks.at("ends_on"):
                if self.step > 0 and not 0 <= self.ends_on < self.step:
                    raise OutOfRange(f"An ending of {self.ends_on} is not within a step of {self.step}: for 6.90, "
                                     "7.90, 8.90 give a step of 1 and an ending of 0.90.",
                                     value=str(self.ends_on), allowed=f"from 0 to below {self.step}")

    def at_least(self, amount: Decimal) -> Decimal:
        """The lowest such price that is not below an amount (`amount`). [currency]"""
        steps = ((amount - self.ends_on) / self.step).to_integral_value(ROUND_CEILING)
        return max(steps, Decimal(0)) * self.step + self.ends_on


@dataclass(frozen=True, slots=True)
class SellingOptions:
    """How the price is to be made. Margin and markup are two things: 40 % margin is 66.7 % markup.

    Parameters
    ----------
    margin_pct : float, optional
        Profit as a part of the net price. [% of net price]
    markup_pct : float, optional
        Profit as a part of the cost. [% of cost]
    sales_tax : SalesTax, optional
        None where not given. [%]
    fees : ShopFees, optional
        None where not given. [%, currency]
    price_step : PriceStep, optional
        The tag goes up to it; without one it is rounded to the coin. [currency]

    Raises
    ------
    DomainErrors, DomainError : neither margin nor markup; values out of bounds.
    """

    margin_pct: float | None = None
    markup_pct: float | None = None
    sales_tax: SalesTax | None = None
    fees: ShopFees | None = None
    price_step: PriceStep | None = None

    def __post_init__(self) -> None:
        with gather() as checks:
            with checks.at("margin_pct"):
                if self.margin_pct is None and self.markup_pct is None:
                    raise Missing('Give "margin_pct" (of the net price), "markup_pct" (on the cost), or both to see '
                                  'both prices.')
                if self.margin_pct is not None:
                    limits.MARGIN_PCT.check(self.margin_pct)
            with checks.at("markup_pct"):
                if self.markup_pct is not None:
                    limits.MARKUP_PCT.check(self.markup_pct)


@dataclass(frozen=True, slots=True)
class Selling:
    """A price and its parts: net + sales tax = gross; cost + fees + profit = net, to the last digit.

    Parameters
    ----------
    by : str
        "margin" or "markup". [key]
    asked_pct : float
        Of it. [%]
    net_exact : Decimal
        The exact net price before rounding, finer than the coin. [currency]
    tag : Decimal
        Price on the tag, with or without tax as requested. [currency]
    gross, net, sales_tax, fees, cost, profit : Decimal
        Of one bar sold for the tag. [currency]
    margin_pct : float, optional
        What is really left of the net price; None where that is 0. [% of net price]
    markup_pct : float, optional
        What is really left on the cost; None where that is 0. [% of cost]
    batch_gross, batch_profit : Decimal
        Of all bars that are sold. [currency]
    """

    by: str
    asked_pct: float
    net_exact: Decimal
    tag: Decimal
    gross: Decimal
    net: Decimal
    sales_tax: Decimal
    fees: Decimal
    cost: Decimal
    profit: Decimal
    margin_pct: float | None
    markup_pct: float | None
    batch_gross: Decimal
    batch_profit: Decimal


def sell(cost: Decimal, options: SellingOptions, *, currency: str, bars: Decimal) -> tuple[Selling, ...]:
    """Prices of a bar by margin, by markup, or by both.

    Parameters
    ----------
    cost : Decimal
        Of one bar that is sold, exact. [currency]
    options : SellingOptions
        How the price is to be made. [%]
    currency : str
        ISO 4217. [key]
    bars : Decimal
        Bars that are sold of a batch. [bars]

    Returns
    -------
    tuple of Selling : margin first. [currency]

    Raises
    ------
    DomainErrors, DomainError : fees that eat the price, an ending finer than the coin.

    Notes
    -----
    With cost c, fixed fee x, fee f of the gross price, tax t and net price n, profit = n - f (1 + t) n - x - c.
    Margin m: profit = m n, so n = (c + x) / (1 - m - f (1 + t)). Markup u: profit = u c, so
    n = (c (1 + u) + x) / (1 - f (1 + t)). Without tax and fees these are c / (1 - m) and c (1 + u). Tax on the fees
    themselves, and what of it can be reclaimed, is not counted: local law and a bookkeeper decide.
    """
    with gather() as checks, checks.at("price_step"):
        _check_coins(options.price_step, currency)
    with localcontext(EXACTLY):
        found = []
        with gather() as checks:
            for by, requested, over, part in _net_prices(cost, options):
                with checks.at(f"{by}_pct"):
                    found.append(_sold(by, requested, _net_price(over, part), cost=cost, options=options,
                                       currency=currency, bars=bars))
        return tuple(found)


def _check_coins(step: PriceStep | None, currency: str) -> None:
    digits = coin_digits(currency)
    with gather() as checks:
        for name in ("step", "ends_on"):
            with checks.at(name):
                amount = Decimal(0) if step is None else getattr(step, name)
                if amount != rounded(amount, digits):
                    raise OutOfRange(f"{amount} {currency} cannot be paid: there are {digits} decimals at most.",
                                     value=str(amount), allowed=f"at most {digits} decimals")


def _net_prices(cost: Decimal, options: SellingOptions) -> Iterator[tuple[str, float, Decimal, Decimal]]:
    """Requested ways, and the divisor that gives the net price."""
    fixed, of_net = _fees_on(options)
    if options.margin_pct is not None:
        yield "margin", options.margin_pct, cost + fixed, 1 - decimal_of(options.margin_pct) / 100 - of_net
    if options.markup_pct is not None:
        yield "markup", options.markup_pct, cost * (1 + decimal_of(options.markup_pct) / 100) + fixed, 1 - of_net


def _net_price(over: Decimal, part: Decimal) -> Decimal:
    if part < _LEFT_LEAST:
        raise Unsolvable(f"No price is high enough: the margin and the fees on the gross price together take "
                         f"{float(100 * (1 - part)):.6g} % of the net price. Lower one of them.",
                         allowed="at most 99.9 % together")
    return over / part


def _fees_on(options: SellingOptions) -> tuple[Decimal, Decimal]:
    """Fixed fee of a bar, and the fee of the gross price as a part of the net price."""
    fees = options.fees or ShopFees()
    fixed = Decimal(0) if fees.fixed_per_order is None else fees.fixed_per_order.amount
    return fixed / decimal_of(fees.bars_per_order), decimal_of(fees.of_gross_pct) / 100 * (1 + _tax(options))


def _tax(options: SellingOptions) -> Decimal:
    return Decimal(0) if options.sales_tax is None else decimal_of(options.sales_tax.rate_pct) / 100


def _sold(by: str, requested: float, net_exact: Decimal, *, cost: Decimal, options: SellingOptions, currency: str,
          bars: Decimal) -> Selling:
    digits = coin_digits(currency)
    included = options.sales_tax is None or options.sales_tax.shown == "included"
    on_net = 1 + _tax(options)
    wanted = (net_exact * on_net if included else net_exact).quantize(_SETTLED)
    tag = rounded(wanted if options.price_step is None else options.price_step.at_least(wanted), digits)
    net = tag / on_net if included else tag
    gross = net * on_net
    fixed, of_net = _fees_on(options)
    fees = fixed + of_net * net
    profit = net - fees - cost
    fine = digits + FINER
    tax, *parts = rounded_parts((gross - net, cost, fees, profit), fine)
    return Selling(by=by, asked_pct=requested, net_exact=rounded(net_exact, fine), tag=tag, gross=rounded(gross, fine),
                   net=sum(parts, Decimal(0)), sales_tax=tax, cost=parts[0], fees=parts[1], profit=parts[2],
                   margin_pct=None if net == 0 else float(100 * profit / net),
                   markup_pct=None if cost == 0 else float(100 * profit / cost),
                   batch_gross=rounded(bars * gross, digits), batch_profit=rounded(bars * profit, digits))
