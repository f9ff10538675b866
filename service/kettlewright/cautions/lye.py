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
    """Cautions that a recipe triggers.

    Parameters
    ----------
    lye : Lye
        The weighed recipe. [lye]
    at : str
        JSON Pointer to the recipe in the request. [text]

    Returns
    -------
    tuple of Caution : those of the lye first, then those of the pot. [cautions]
    """
    return (*_heat(lye, at), *_strength(lye, at), *of_superfat(lye, at), *_mixing(lye, at), *of_fat_values(lye, at))


def of_mixes(count: int) -> tuple[Caution, ...]:
    """The caution of a pot that does not hold the whole batch (`count`: mixes needed). [cautions]"""
    if count < 2:
        return ()
    return (triggered("several-mixes", Said(
        "Make {count} equal mixes, one after the other: the pot does not hold the whole batch. For each mix, weigh "
        "everything for the jug and the pot and use its own column. Never put the alkali of the whole batch into one "
        "jug.",
        count=count),
        "/pot_volume"),)


def _heat(lye: Lye, at: str) -> Iterator[Caution]:
    peak = lye.solution.peak_temperature
    if peak is None or peak.range.max < _HOT_C:
        return
    hot = peak.range.max
    # an upper bound alone is no reason to call every potash lye a danger: there the lower figure must be near as well
    if (peak.range.min if peak.basis == "upper_bound" else hot) >= peak.boiling_c - _NEAR_BOILING_C:
        severity = "danger"
        advice = Said("It boils and spatters at about {boiling}: never add all the alkali at once. Use ice for part of "
                      "the water, add the alkali in portions with pauses, or use a stock solution made the day before.",
                      boiling=temperature(peak.boiling_c))
    elif hot >= _VERY_HOT_C:
        severity = "warning"
        advice = Said("Use a jug of heavy polypropylene or stainless steel, at most half full; never glass or thin "
                      "plastic. Put it in the sink and add the alkali in portions, with pauses.") \
            if hot > _HALF_FULL_C else \
            Said("Use a jug of heavy polypropylene or stainless steel; never glass or thin plastic. Put it in the sink "
                 "and add the alkali in portions, with pauses.")
    else:
        severity = "info"
        advice = Said("Its heat burns skin as well.")
    message = [Said("The lye may reach {reached}.", reached=_span(peak.range.min, hot)), advice,
               Said("This is an upper estimate without heat loss; with 10 % of the heat lost it is {after_loss}.",
                    after_loss=_span(peak.after_heat_loss.min, peak.after_heat_loss.max))]
    if peak.with_half_ice is not None:
        message.append(Said("With half of the water as ice: {reached}.",
                            reached=_span(peak.with_half_ice.min, peak.with_half_ice.max)))
    if peak.basis == "upper_bound":
        message.append(Said("For potassium hydroxide only an upper bound is known."))
    if any(not one.acid.fatty for one in lye.acids):
        message.append(Said("The heat of the acids is included, with values from memory."))
    yield triggered("lye-hot", sentences(*message), f"{at}/temperatures/water", severity)


def _span(low_c: float, high_c: float) -> Said | Amount:
    low, high = temperature(low_c), temperature(high_c)
    # two degrees are apart in every unit and language, and to write them out to see it takes long
    return high if high_c - low_c < 2 and str(low) == str(high) else Said("{low} to {high}", low=bare(low), high=high)


def _mixing(lye: Lye, at: str) -> Iterator[Caution]:
    needed = None if lye.meeting is None else lye.meeting.lye_c
    if needed is None:
        return
    peak = lye.solution.peak_temperature
    hottest = 100.0 if peak is None else peak.range.max
    if needed > hottest:
        yield triggered("mixing-out-of-reach", Said(
            "Warm the fats more: for the requested pour temperature the lye would need {needed}, hotter than it gets.",
            needed=temperature(needed)), f"{at}/temperatures/pour")
    elif needed < 0:
        yield triggered("mixing-out-of-reach", Said(
            "Let the fats cool first: for the requested pour temperature the lye would have to be frozen."),
            f"{at}/temperatures/pour")


def _strength(lye: Lye, at: str) -> Iterator[Caution]:
    pure = lye.solution.concentration_pure_pct
    if pure > _STRONG_PCT:
        yield triggered("lye-strong", Said(
            "Check that no crystals are left before you use this lye: it contains {pure:.1f} % pure alkali. Above "
            "{strong:.0f} % it is thick and hot and may crystallise as it cools.", pure=pure, strong=_STRONG_PCT),
            f"{at}/water")
    for index, alkali in enumerate(lye.alkalis):
        stock = alkali.portion.stock
        if stock is not None:
            yield triggered("store-lye", NO_TEXT, f"{at}/alkalis/{index}/stock")
            if alkali.key == "NaOH" and stock.temperature_c is not None and any(
                    stock.concentration_pct >= from_pct and stock.temperature_c < below_c
                    for from_pct, below_c in _CRYSTALLISES):
                yield triggered("stock-may-crystallise", Said(
                    "Warm the stock solution to {warm} and mix it thoroughly before you weigh it. With {strength:.9g} "
                    "% at {stored} it may have crystallised, and the remaining liquid is weaker than the label says.",
                    strength=stock.concentration_pct, stored=temperature(stock.temperature_c),
                    warm=temperature(STOCK_KEPT_ABOVE_C)), f"{at}/alkalis/{index}/stock/temperature")
        for name in ("purity_pct", "purity_at_least_pct"):
            purity = getattr(alkali.portion, name)
            if purity is not None and purity < _SOLD_FROM_PCT[alkali.key]:
                yield triggered("purity-implausible", Said(
                    "Check the label: {alkali} of {purity:.9g} % is rarely sold (usual: {usual:.0f} % or more).",
                    alkali=alkali.name, purity=purity, usual=_SOLD_FROM_PCT[alkali.key]),
                    f"{at}/alkalis/{index}/{name}")
    if lye.acids:
        names = tuple(dict.fromkeys(acid.name for acid in lye.acids))
        yield triggered("acid-eats-lye", Said(
            "The alkali that these acids consume is added to the alkali for the fats: {acids:, }.", acids=names),
            f"{at}/acids/0")
