"""What a label may promise as net quantity: bars differ, and the law says how far they may fall short."""

from __future__ import annotations

import math
from dataclasses import dataclass

from kettlewright import amounts, limits
from kettlewright.errors import NotLawful
from kettlewright.pour import BarMass
from kettlewright.reference import ToleranceRow, net_content_tolerances
from kettlewright.release.label.markets import Market
from kettlewright.said import EnglishText

__all__ = ["G_PER_OZ", "NetQuantity", "net_quantity", "printed_quantity", "share_below", "tolerance_for"]

G_PER_OZ = 28.349523125
_OZ_PER_LB = 16
_OZ_STEPS = 100  # two decimals
_WHOLE_FROM_G = 10.0
_KG_FROM_G = 1000.0
_NOISE = 1e-12
_SLACK = 1 + 1e-9
"""How far arithmetic may be off where a promise is compared with a bar. [1]"""
_SMALL_SHARE = 0.025  # of bars below the tolerance, by average quantity; from memory


@dataclass(frozen=True, slots=True)
class NetQuantity:
    """What a label promises, and how bars keep it.

    Parameters
    ----------
    promise_g : float
        The exact net quantity behind the printed one: as requested, else what every bar holds. [g]
    asked : bool
        Whether the maker gave it. [yes or no]
    text : str, optional
        As printed; None if it is too little to print. [text]
    every_bar_g : float
        What the lightest bar holds. [g]
    largest_g : float
        The most the rules of the market would let be promised. [g]
    largest_text : str, optional
        The same as printed. [text]
    tolerance_g : float
        How far a bar may fall short of the promise. [g]
    tolerance_provenance, tolerance_source : str
        How it is known, one of `PROVENANCES`, and its source. [text]
    mass : BarMass
        Of one bar on the day of packing. [g]
    short_share_pct, beyond_share_pct : float
        Bars that weigh less than the promise, and less than the promise less the tolerance. [% of bars]
    short_count, beyond_count : int
        The same, rounded up. [bars]
    """

    promise_g: float
    asked: bool
    text: str | None
    every_bar_g: float
    largest_g: float
    largest_text: str | None
    tolerance_g: float
    tolerance_provenance: str
    tolerance_source: str
    mass: BarMass
    short_share_pct: float
    beyond_share_pct: float
    short_count: int
    beyond_count: int


def tolerance_for(scheme: str, nominal_g: float) -> ToleranceRow | None:
    """How far a bar may fall short.

    Parameters
    ----------
    scheme : str
        "EU_76_211_TNE" or "US_HB133_MAV". [key]
    nominal_g : float
        Net quantity on the label. [g]

    Returns
    -------
    ToleranceRow or None : None outside the table. [g]

    References
    ----------
    .. [1] Directive 76/211/EEC, Annex I 2.4: tolerable negative error, 5 g to 10 kg. Read up to 1 kg; that percentages
       are rounded up to 0.1 g (last sentence) is from memory.
    .. [2] NIST Handbook 133, table 2-5: maximum allowable variation. From memory but for one row.
    """
    rows = net_content_tolerances()[scheme]
    if nominal_g == rows[0].over_g:
        return rows[0]
    return next((row for row in rows if row.over_g < nominal_g <= row.up_to_g), None)


def share_below(mass: BarMass, limit_g: float) -> float:
    """What part of the bars weighs less than a limit.

    Parameters
    ----------
    mass : BarMass
        Least, middle and most a bar may weigh. [g]
    limit_g : float
        The limit. [g]

    Returns
    -------
    float : 0 to 1. [part of the bars]

    Notes
    -----
    Own decision, no source: masses are spread as a triangle over the range, most of them in the middle. Several errors
    of like size that add up make a bell that is narrower than that.
    """
    low, mid, high = mass.ends
    if limit_g <= low * _SLACK:  # as the promise is held: a bar short by the arithmetic alone is not short
        return 0.0
    if limit_g > high or high <= low:
        return 1.0
    if limit_g <= mid:
        return (limit_g - low) ** 2 / ((high - low) * (mid - low))
    return 1 - (high - limit_g) ** 2 / ((high - low) * (high - mid)) if high > mid else 1.0


def _light_end(mass: BarMass) -> float:
    """What all but the small share of the bars weigh at least. [g]"""
    low, mid, high = mass.ends
    return min(low + math.sqrt(_SMALL_SHARE * max((high - low) * (mid - low), 0.0)), mid)


def _largest(market: Market, mass: BarMass) -> float:
    """The most that may be promised: no more than the mean, and no bar too far below. [g]"""
    european = market.tolerances.startswith("EU")
    best = mass.min_g
    for row in net_content_tolerances()[market.tolerances]:
        part = row.pct / 100
        ways = [mass.mid_g, row.up_to_g]
        if european:  # n - tolerance at the light end; n - twice the tolerance at the lightest bar
            ways += [(_light_end(mass) + row.mass_g) / (1 - part), (mass.min_g + 2 * row.mass_g) / (1 - 2 * part)]
        else:
            ways.append((mass.min_g + row.mass_g) / (1 - part))
        candidate = min(ways)
        if candidate > row.over_g:
            best = max(best, candidate)
    while european and _holds_next(market, mass, best):  # a tolerance that is rounded up lets a little more pass
        best = _next_printed(best)
    return best


def _next_printed(mass_g: float) -> float:
    printed = _down(mass_g)[0]
    return printed + (1.0 if printed >= _WHOLE_FROM_G else 0.1)


def _holds_next(market: Market, mass: BarMass, best_g: float) -> bool:
    more = _next_printed(best_g)
    row = tolerance_for(market.tolerances, more)
    return row is not None and _holds(market, mass, more, row.tolerance_g(more))


def net_quantity(market: Market, mass: BarMass, count: int, *, requested_g: float | None = None) -> NetQuantity:
    """The net quantity a label may state, and how many bars would fall short of it.

    Parameters
    ----------
    market : Market
        Whose units and tolerances. [market]
    mass : BarMass
        Of one bar on the day of packing, by the tolerance of the cut and of the cure. [g]
    count : int
        How many bars. [bars]
    requested_g : float, optional
        The requested net quantity; by default what every bar holds. [g]

    Returns
    -------
    NetQuantity : [g, % of bars]

    Raises
    ------
    Unsolvable : more is requested than the bars can hold by the rules of the market.

    Notes
    -----
    EU and Great Britain: the mean is no less than the promise, at most 2.5 % of the bars are short by more than the
    tolerance, and none by more than twice. US: the mean is no less, and none is short by more than the variation.
    """
    largest = _largest(market, mass)
    promise = mass.min_g if requested_g is None else requested_g
    # the printed quantity is rounded down, and the bars must meet it
    printed = _held(market, promise)
    row = tolerance_for(market.tolerances, printed)
    tolerance = 0.0 if row is None else row.tolerance_g(printed)
    if requested_g is not None and not _holds(market, mass, printed, tolerance):
        raise _too_much(market, mass, requested_g, printed, largest)
    short, beyond = share_below(mass, printed), share_below(mass, printed - tolerance)
    return NetQuantity(
        promise_g=printed, asked=requested_g is not None, text=printed_quantity(market.key, promise),
        every_bar_g=_down(mass.min_g)[0], largest_g=_held(market, largest),
        largest_text=printed_quantity(market.key, largest), tolerance_g=tolerance,
        tolerance_provenance="own_decision" if row is None else row.provenance,
        tolerance_source="outside the table: no tolerance is used" if row is None else row.source, mass=mass,
        short_share_pct=100 * short, beyond_share_pct=100 * beyond, short_count=_up(short * count),
        beyond_count=_up(beyond * count))


def _holds(market: Market, mass: BarMass, printed_g: float, tolerance_g: float) -> bool:
    if printed_g > mass.mid_g * _SLACK:
        return False
    if market.tolerances.startswith("EU"):
        return (printed_g - tolerance_g <= _light_end(mass) * _SLACK
                and printed_g - 2 * tolerance_g <= mass.min_g * _SLACK)
    return printed_g - tolerance_g <= mass.min_g * _SLACK


def _too_much(market: Market, mass: BarMass, requested_g: float, printed_g: float, largest_g: float) -> NotLawful:
    why = EnglishText("on average they weigh {mean}", mean=amounts.mass(mass.mid_g, digits=4)) \
        if printed_g > mass.mid_g else "too many of them would be short by more than is tolerated"
    # a table that rises in steps can refuse a quantity and let a somewhat larger one pass
    most = _held(market, largest_g) if requested_g > largest_g else _down(mass.min_g)[0]
    return NotLawful(
        EnglishText("A net quantity of {requested} is more than these bars can hold on the day of packing: {why}, and "
                    "the lightest {lightest}. State at most {most}, or cut larger bars.",
                    requested=amounts.mass(requested_g), why=why, lightest=amounts.mass(mass.min_g, digits=4),
                    most=amounts.at_most(amounts.mass(most))),
        field=("net_quantity",), value=requested_g, allowed=limits.up_to(amounts.mass(most)))


def _held(market: Market, mass_g: float) -> float:
    """Net quantity on the label, which the bars must meet: the larger of two units, each rounded down. [g]"""
    grams = _down(mass_g)[0]
    return max(grams, _hundredths_of_oz(mass_g) / _OZ_STEPS * G_PER_OZ) if market.key == "US" else grams


def _hundredths_of_oz(mass_g: float) -> int:
    return math.floor(mass_g / G_PER_OZ * _OZ_STEPS * (1 + _NOISE))


def _up(bars: float) -> int:
    return math.ceil(bars - 1e-9)


def _floor(value: float, step: float) -> float:
    return math.floor(value / step * (1 + _NOISE)) * step


def _down(mass_g: float) -> tuple[float, str]:
    """Whole grams (tenths below 10 g), down; and as a text. [g]"""
    if mass_g >= _WHOLE_FROM_G * (1 - _NOISE):
        whole = _floor(mass_g, 1.0)
        return whole, f"{whole:.0f} g" if whole < _KG_FROM_G else f"{whole / 1000:.3f}".rstrip("0").rstrip(".") + " kg"
    tenths = math.floor(mass_g * 10 * (1 + _NOISE)) / 10
    return tenths, f"{tenths:g} g"


def printed_quantity(market: str, mass_g: float) -> str | None:
    """A net quantity in the units of a market, rounded down.

    Parameters
    ----------
    market : str
        "EU", "GB" or "US". [key]
    mass_g : float
        The quantity. [g]

    Returns
    -------
    str or None : None if it rounds to zero. [text]

    References
    ----------
    .. [1] 16 CFR 500: ounces (from a pound on, pounds too) and metric. Read that both are needed; the form is from
       memory. 1 oz = 28.349523125 g, exactly.
    """
    grams, metric = _down(mass_g)
    if grams <= 0:
        return None
    if market != "US":
        return metric
    hundredths = _hundredths_of_oz(mass_g)
    if hundredths <= 0:
        return None
    ounces = f"{hundredths / _OZ_STEPS:.2f} oz"
    pounds, rest = divmod(hundredths, _OZ_PER_LB * _OZ_STEPS)
    if pounds:
        ounces += f" ({pounds} lb {rest / _OZ_STEPS:.2f} oz)" if rest else f" ({pounds} lb)"
    return f"Net Wt {ounces} ({metric})"
