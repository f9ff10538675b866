"""How many batches an order of bars takes."""

from __future__ import annotations

from decimal import ROUND_CEILING, Decimal

from kettlewright import limits
from kettlewright.errors import Unsolvable, gather
from kettlewright.money import decimal_of

__all__ = ["batches_for"]


def batches_for(bars_count: int, bars_per_batch_count: int, *, broken_pct: float = 0.0,
                kept_back_count: int = 0) -> int:
    """How many batches an order of bars takes.

    Parameters
    ----------
    bars_count, bars_per_batch_count : int
        Ordered, and made of one batch. [bars]
    broken_pct : float
        Of the bars made, over many batches. [%]
    kept_back_count : int
        Good bars of each batch that are not sold. [bars]

    Returns
    -------
    int : bars wanted / (bars of a batch, less what breaks, less what is kept back: as `cost_of` counts good bars),
        rounded up in whole numbers. [batches]

    Raises
    ------
    OutOfRange : a count or part out of bounds, or more batches than can be planned.
    Unsolvable : nothing of a batch is left to sell.
    """
    with gather() as checks:
        for name, count in (("bars_count", bars_count), ("bars_per_batch_count", bars_per_batch_count)):
            with checks.at(name):
                limits.BARS_COUNT.check(count)
        with checks.at("broken_pct"):
            limits.BROKEN_PCT.check(broken_pct)
        with checks.at("kept_back_count"):
            limits.KEPT_BACK_COUNT.check(kept_back_count)
    # decimals: 190 bars of 10 at 5 % are 20 batches, and must not be 21 for the noise of 1 - 0.05
    whole = bars_per_batch_count * (100 - decimal_of(broken_pct))  # in hundredths of a bar
    good = whole - 100 * kept_back_count
    if good <= 0:
        raise Unsolvable(f"Of {bars_per_batch_count} bars {float(whole / 100):.6g} are good and {kept_back_count} are "
                         "kept back, so no bar of a batch is left to sell.", field=("kept_back_count",),
                         value=kept_back_count, allowed=f"below {float(whole / 100):.6g}")
    exact = Decimal(bars_count) * 100 / good
    return int(limits.TIMES_MADE.check(int(exact.to_integral_value(ROUND_CEILING)), "bars_count"))
