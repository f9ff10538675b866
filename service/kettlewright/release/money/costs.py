"""What a batch and a bar cost, by ingredient and by portion; nothing without a price counts as free."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal, localcontext

from kettlewright.copies import replace
from kettlewright.errors import Unsolvable, gather
from kettlewright.money import EXACTLY, FINER, coin_digits, decimal_of, rounded, rounded_parts
from kettlewright.reference import fats_called
from kettlewright.release.money.cost_options import CostOptions, CostRow, PortionOfPot
from kettlewright.release.money.selling import Selling, sell

__all__ = ["PARTS_OF_COST", "Cost", "CostLine", "Unpriced", "cost_of"]

PARTS_OF_COST = ("ingredients", "packaging", "labour", "overhead")


@dataclass(frozen=True, slots=True)
class CostLine:
    """What one ingredient, or one portion, costs.

    Parameters
    ----------
    key, name : str
        Which. [text]
    mass_g : float
        Of it. [g]
    cost : Decimal
        ResponsePart finer than the coin. [currency]
    share_pct : float
        Part of the cost of all ingredients; 0 if they are free. [%]
    """

    key: str
    name: str
    mass_g: float
    cost: Decimal
    share_pct: float


@dataclass(frozen=True, slots=True)
class Unpriced:
    """An ingredient without a price.

    Parameters
    ----------
    key, name : str
        Which. [text]
    mass_g : float
        Of it. [g]
    """

    key: str
    name: str
    mass_g: float


@dataclass(frozen=True, slots=True)
class Cost:
    """The cost of a batch. Amounts have two digits more than the coin, and parts add up to their sums.

    Parameters
    ----------
    currency : str
        ISO 4217. [key]
    missing : tuple of Unpriced
        Without a price, and so not in any sum. [g]
    ingredients : tuple of CostLine
        The dearest first. [currency]
    portions : tuple of CostLine
        The dearest first; their ingredients only. [currency]
    residue : Decimal, optional
        Ingredients that stay behind in the pot, if there are portions. [currency]
    batch, bar : mapping of str to Decimal
        `PARTS_OF_COST` and "total", of the batch and of one bar that is sold. [currency]
    made, broken, kept_back, good : Decimal
        Bars of a batch; good ones are sold and carry the cost of all. On average: they may be fractions. [bars]
    selling : tuple of Selling
        Prices, if requested and nothing is missing. [currency]
    """

    currency: str
    missing: tuple[Unpriced, ...]
    ingredients: tuple[CostLine, ...]
    portions: tuple[CostLine, ...]
    residue: Decimal | None
    batch: Mapping[str, Decimal]
    bar: Mapping[str, Decimal]
    made: Decimal
    broken: Decimal
    kept_back: Decimal
    good: Decimal
    selling: tuple[Selling, ...]

    @property
    def complete(self) -> bool:
        """Whether everything had a price. [yes or no]"""
        return not self.missing


def cost_of(rows: Sequence[CostRow], options: CostOptions, *, bars_count: int, buckets: Sequence[PortionOfPot] = (),
            residue_g: float = 0.0) -> Cost:
    """What a batch and a bar cost.

    Parameters
    ----------
    rows : sequence of CostRow, length n >= 1
        What goes into it; nothing of a mass of 0 costs anything. [g]
    options : CostOptions
        Prices, packaging, work, losses, and how a bar is to be priced. [currency]
    bars_count : int
        Bars made of the batch. [bars]
    buckets : sequence of PortionOfPot
        Portions: the cost of the pot is divided by what each takes from it. [g]
    residue_g : float
        Batter that stays behind in the pot, with its share of the cost. [g]

    Returns
    -------
    Cost : [currency]

    Raises
    ------
    DomainErrors, DomainError : several currencies or none, no bar left to sell, a price that fees eat.

    Notes
    -----
    Ingredients: sum of mass times price for a gram. Packaging: of the bars that are sold. Total: all of it and the
    overhead on it. A bar: total over good bars (made, less what breaks, less what is kept back).
    """
    currency = options.currency_of(rows)
    with localcontext(EXACTLY):
        made, broken, kept, good = _bars(bars_count, options)
        found = _priced(rows, options)
        weight = sum((decimal_of(bucket.pot_mass_g) for bucket in buckets), decimal_of(residue_g))
        exact = _parts(sum(found.costs.values(), Decimal(0)), options, good)
        fine = coin_digits(currency) + FINER
        batch, bar = _rounded_amounts(exact, fine), _rounded_amounts([part / good for part in exact], fine)
        by_portion = _by_portion(found, buckets, residue_g, weight)
        lines = [CostLine(key, found.names[key], float(found.masses[key]), cost, _share(cost, found.costs))
                 for key, cost in found.costs.items()]
        rounded_lines = _rounded_lines(lines, fine, batch["ingredients"])
        *portions, rest = _rounded_lines(by_portion, fine, batch["ingredients"]) if buckets else [None]
        selling: tuple[Selling, ...] = ()
        with gather() as checks, checks.at("selling"):
            if options.selling is not None and not found.missing:
                selling = sell(sum(exact, Decimal(0)) / good, options.selling, currency=currency, bars=good)
    return Cost(currency, found.missing, _dearest_first(rounded_lines, found.costs),
                _dearest_first([line for line in portions if line is not None],
                               {line.key: line.cost for line in by_portion}),
                None if rest is None else rest.cost, batch, bar, made, broken, kept, good, selling)


def _bars(count: int, options: CostOptions) -> tuple[Decimal, Decimal, Decimal, Decimal]:
    made, kept = Decimal(count), Decimal(options.kept_back_count)
    broken = made * decimal_of(options.broken_pct) / 100
    good = made - broken - kept
    if good <= 0:
        raise Unsolvable(f"Of {count} bars {float(broken):.6g} break and {kept} are kept back: no bar is left to carry "
                         "the cost.", field=("kept_back_count",), value=options.kept_back_count,
                         allowed=f"below {float(made - broken):.6g}")
    return made, broken, kept, good


@dataclass(frozen=True, slots=True)
class _Priced:
    """Ingredients by key, exact, and what each row costs."""

    names: Mapping[str, str]
    masses: Mapping[str, Decimal]
    costs: Mapping[str, Decimal]
    rows: Sequence[tuple[CostRow, Decimal]]
    missing: tuple[Unpriced, ...]


def _priced(rows: Sequence[CostRow], options: CostOptions) -> _Priced:
    listed = {one.key: one.price for one in options.ingredients}
    for one in options.ingredients:  # "olive oil" prices olive, unless olive has a price under its key
        called = fats_called(one.key, whole=True)
        if len(called) == 1:
            listed.setdefault(called[0].key, one.price)
    names: dict[str, str] = {}
    masses: dict[str, Decimal] = {}
    costs: dict[str, Decimal] = {}
    each: list[tuple[CostRow, Decimal]] = []
    missing: dict[str, Unpriced] = {}
    for row in rows:
        mass = decimal_of(row.mass_g)
        if mass == 0:
            continue
        price = listed.get(row.key, row.price)
        if price is None:
            before = missing.get(row.key, Unpriced(row.key, row.name, 0.0))
            missing[row.key] = replace(before, mass_g=float(decimal_of(before.mass_g) + mass))
            continue
        cost = mass * price.cost / price.mass_g
        names.setdefault(row.key, row.name)
        masses[row.key] = masses.get(row.key, Decimal(0)) + mass
        costs[row.key] = costs.get(row.key, Decimal(0)) + cost
        each.append((row, cost))
    return _Priced(names, masses, costs, each, tuple(missing.values()))


def _parts(ingredients: Decimal, options: CostOptions, good: Decimal) -> list[Decimal]:
    """Exact, in the order of `PARTS_OF_COST`."""
    packaging = good * sum((one.amount_per_bar for one in options.packaging), Decimal(0))
    work = options.labour
    labour = Decimal(0) if work is None else decimal_of(work.work_hours) * work.per_hour.amount
    overhead = (ingredients + packaging + labour) * decimal_of(options.overhead_pct) / 100
    return [ingredients, packaging, labour, overhead]


def _rounded_amounts(exact: Sequence[Decimal], digits: int) -> dict[str, Decimal]:
    return {**dict(zip(PARTS_OF_COST, rounded_parts(exact, digits), strict=True)),
            "total": rounded(sum(exact, Decimal(0)), digits)}


def _by_portion(found: _Priced, buckets: Sequence[PortionOfPot], residue_g: float, weight: Decimal) -> list[CostLine]:
    """Contents of each bucket, and last of the pot; exact."""
    if not buckets:
        return []
    in_pot = [(row, cost) for row, cost in found.rows if row.portion is None]
    pot_cost = sum((cost for _, cost in in_pot), Decimal(0))
    lines = []
    for bucket in (*buckets, PortionOfPot("", "", residue_g)):
        own = [(row, cost) for row, cost in found.rows if row.portion == bucket.key]
        taken = decimal_of(bucket.pot_mass_g)
        cost = sum((cost for _, cost in own), Decimal(0)) + (pot_cost * taken / weight if weight else Decimal(0))
        lines.append(CostLine(bucket.key, bucket.name, bucket.pot_mass_g + sum(row.mass_g for row, _ in own), cost,
                              _share(cost, found.costs)))
    return lines


def _share(cost: Decimal, costs: Mapping[str, Decimal]) -> float:
    whole = sum(costs.values(), Decimal(0))
    return float(100 * cost / whole) if whole else 0.0


def _rounded_lines(lines: Sequence[CostLine], digits: int, whole: Decimal) -> list[CostLine]:
    amounts = rounded_parts([line.cost for line in lines], digits, whole=whole)
    return [replace(line, cost=cost) for line, cost in zip(lines, amounts, strict=True)]


def _dearest_first(lines: Sequence[CostLine], exact: Mapping[str, Decimal]) -> tuple[CostLine, ...]:
    """By the exact cost, so that rounding does not turn an order round."""
    return tuple(sorted(lines, key=lambda line: -exact[line.key]))
