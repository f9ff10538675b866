"""Cautions of the lye: heat, strength, stock, purity, acids."""

from __future__ import annotations

from collections.abc import Iterator

from kettlewright.amounts import Amount, bare, temperature
from kettlewright.cautions.catalogue import STOCK_KEPT_ABOVE_C
from kettlewright.cautions.fat_values import of_fat_values
from kettlewright.cautions.superfat import of_superfat
from kettlewright.cautions.triggered import Caution, triggered
from kettlewright.recipe import Lye
from kettlewright.said import NO_TEXT, Said, sentences

__all__ = ["of_lye", "of_mixes"]

_HOT_C, _VERY_HOT_C, _HALF_FULL_C, _NEAR_BOILING_C = 50.0, 70.0, 90.0, 5.0
_STRONG_PCT = 40.0
# strength of a stock from which on it may crystallise below a temperature; 32 to 38 % from memory
_CRYSTALLISES = ((38.0, STOCK_KEPT_ABOVE_C), (32.0, 15.0))
_SOLD_FROM_PCT = {"NaOH": 95.0, "KOH": 85.0}


def of_lye(lye: Lye, *, at: str = "") -> tuple[Caution, ...]:
    """What a recipe brings on.

    Parameters
    ----------
    lye : Lye
        The weighed recipe. [lye]
    at : str
        Where the recipe stands in the request, as a JSON Pointer. [text]

    Returns
    -------
    tuple of Caution : the lye's first, then the pot's. [cautions]
    """
    return (*_heat(lye, at), *_strength(lye, at), *of_superfat(lye, at), *_mixing(lye, at), *of_fat_values(lye, at))


def of_mixes(count: int) -> tuple[Caution, ...]:
    """What a pot that does not hold the whole batch brings on (`count`: mixes it takes). [cautions]"""
    if count < 2:
        return ()
    return (triggered("several-mixes", Said(
        "The pot does not hold the whole batch: make {count} equal mixes, one after the other. Weigh jug and pot "
        "again for each mix, by its own column; never put the alkali of the whole batch into one jug.", count=count),
        "/pot_volume"),)


def _reached(low_c: float, high_c: float) -> Said | Amount:
    low, high = temperature(low_c), temperature(high_c)
    return high if str(low) == str(high) else Said("{low} to {high}", low=bare(low), high=high)


def _heat(lye: Lye, at: str) -> Iterator[Caution]:
    peak = lye.solution.peak_temperature
    if peak is None or peak.range.max < _HOT_C:
        return
    hot = peak.range.max
    told = [Said("The lye may reach {reached} (an upper estimate: nothing lost to the room; {after_loss} with a tenth "
                 "lost).", reached=_reached(peak.range.min, hot),
                 after_loss=_reached(peak.after_heat_loss.min, peak.after_heat_loss.max))]
    if peak.with_half_ice is not None:
        told.append(Said("Half of the water as ice: {reached}.",
                         reached=_reached(peak.with_half_ice.min, peak.with_half_ice.max)))
    if peak.basis == "upper_bound":
        told.append(Said("Of potassium hydroxide only an upper bound is known."))
    if any(not one.acid.fatty for one in lye.acids):
        told.append(Said("The heat of the acids is included, by figures from memory."))
    pointer = f"{at}/temperatures/water"
    # an upper bound alone is no reason to call every potash lye a danger: there the lower figure must be near as well
    if (peak.range.min if peak.basis == "upper_bound" else hot) >= peak.boiling_c - _NEAR_BOILING_C:
        told.append(Said("It boils at about {boiling}: never all the alkali at once. Use ice for part of the water, "
                         "pauses, or a stock made the day before.", boiling=temperature(peak.boiling_c)))
        yield triggered("lye-hot", sentences(*told), pointer, "danger")
    elif hot >= _VERY_HOT_C:
        told.append(Said("Heavy polypropylene or stainless steel and at most half full, never glass or thin plastic; "
                         "in the sink, in portions, with pauses.") if hot > _HALF_FULL_C else
                    Said("Heavy polypropylene or stainless steel, never glass or thin plastic; in the sink, in "
                         "portions, with pauses."))
        yield triggered("lye-hot", sentences(*told), pointer, "warning")
    else:
        told.append(Said("It burns skin by heat as well."))
        yield triggered("lye-hot", sentences(*told), pointer, "info")


def _mixing(lye: Lye, at: str) -> Iterator[Caution]:
    needed = None if lye.meeting is None else lye.meeting.lye_c
    if needed is None:
        return
    peak = lye.solution.peak_temperature
    hottest = 100.0 if peak is None else peak.range.max
    if needed > hottest:
        yield triggered("mixing-out-of-reach", Said(
            "For the batter asked the lye would need {needed}, more than it reaches: warm the fats further.",
            needed=temperature(needed)), f"{at}/temperatures/pour")
    elif needed < 0:
        yield triggered("mixing-out-of-reach", Said("For the batter asked the lye would have to be ice: let the fats "
                                                   "cool first."), f"{at}/temperatures/pour")


def _strength(lye: Lye, at: str) -> Iterator[Caution]:
    pure = lye.solution.concentration_pure_pct
    if pure > _STRONG_PCT:
        yield triggered("lye-strong", Said(
            "The lye holds {pure:.1f} % pure alkali; above {strong:.0f} % it is thick and hot and may crystallise as "
            "it cools.", pure=pure, strong=_STRONG_PCT), f"{at}/water")
    for index, alkali in enumerate(lye.alkalis):
        stock = alkali.portion.stock
        if stock is not None:
            yield triggered("store-lye", NO_TEXT, f"{at}/alkalis/{index}/stock")
            if alkali.key == "NaOH" and stock.temperature_c is not None and any(
                    stock.concentration_pct >= from_pct and stock.temperature_c < below_c
                    for from_pct, below_c in _CRYSTALLISES):
                yield triggered("stock-may-crystallise", Said(
                    "A stock of {strength:.9g} % at {stored} may have crystallised: what is still liquid is weaker "
                    "than its label. Warm it to {warm} and mix it through before weighing.",
                    strength=stock.concentration_pct, stored=temperature(stock.temperature_c),
                    warm=temperature(STOCK_KEPT_ABOVE_C)), f"{at}/alkalis/{index}/stock/temperature")
        for name in ("purity_pct", "purity_at_least_pct"):
            purity = getattr(alkali.portion, name)
            if purity is not None and purity < _SOLD_FROM_PCT[alkali.key]:
                yield triggered("purity-implausible", Said(
                    "{alkali} of {purity:.9g} % is rarely sold (usual: from {usual:.0f} %); look at the label again.",
                    alkali=alkali.name, purity=purity, usual=_SOLD_FROM_PCT[alkali.key]),
                    f"{at}/alkalis/{index}/{name}")
    if lye.acids:
        names = tuple(dict.fromkeys(acid.name for acid in lye.acids))
        yield triggered("acid-eats-lye", Said("The alkali for {acids:, } is added on top of the fats' alkali.",
                                              acids=names), f"{at}/acids/0")
