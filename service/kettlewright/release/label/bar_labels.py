"""The label of one kind of bar: its ingredients, allergens and net quantity."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kettlewright.copies import replace
from kettlewright.curing import cured_mass
from kettlewright.pour import BarMass
from kettlewright.release.label.allergens_found import LISTS, AllergenFound, ChosenList, allergens_in
from kettlewright.release.label.bar_contents import BarContent
from kettlewright.release.label.ingredient_list import Ingredient, ingredient_list
from kettlewright.release.label.label_options import LabelOptions
from kettlewright.release.label.markets import Market
from kettlewright.release.label.net_quantity import NetQuantity, net_quantity

__all__ = ["BarLabel", "NamedByList", "alike_contents", "bar_label"]


@dataclass(frozen=True, slots=True)
class NamedByList:
    """What a list of allergens names.

    Parameters
    ----------
    list : str
        "long" or "first_26". [key]
    names : tuple of str
        Above the limit in these bars. [text]
    """

    list: str
    names: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class BarLabel:
    """The label of bars whose list is the same.

    Parameters
    ----------
    count : int, optional
        Number of bars; None if not known. [bars]
    where : tuple of str
        Which bars, in words. [text]
    holds : tuple of str
        Keys of the portions in them. [keys]
    ingredients : tuple of Ingredient
        The list; shares and concentrations are those of the most numerous bars. [% by mass]
    text : str
        The list as printed. [text]
    allergens : tuple of AllergenFound
        Every listed allergen in them, named or not. [% of the cured bar]
    declared : tuple of str
        Names of those on the label. [text]
    by_list : tuple of NamedByList
        What each list would have named. [text]
    net_quantity : NetQuantity, optional
        None where the mass of a bar is not known. [g]
    """

    count: int | None
    where: tuple[str, ...]
    holds: tuple[str, ...]
    ingredients: tuple[Ingredient, ...]
    text: str
    allergens: tuple[AllergenFound, ...]
    declared: tuple[str, ...]
    by_list: tuple[NamedByList, ...]
    net_quantity: NetQuantity | None


def _listed(bar: BarContent, chosen: ChosenList, loss_pct: float | None) -> tuple[tuple[AllergenFound, ...],
            tuple[Ingredient, ...]]:
    allergens = allergens_in(bar.content, loss_pct=loss_pct)
    named = [(one.name, one.mass_g) for one in allergens if one.above_limit and chosen.key in one.lists]
    return allergens, ingredient_list(bar.content, named)


def alike_contents(bars: Sequence[BarContent], chosen: ChosenList, loss_pct: float | None) -> list[list[BarContent]]:
    """Bars whose printed lists are the same, in the order of the first of each.

    Parameters
    ----------
    bars : sequence of BarContent
        All bars. [g]
    chosen : ChosenList
        The list of allergens to print. [key]
    loss_pct : float, optional
        Loss in cure. [% of a bar as cut]

    Returns
    -------
    list of list of BarContent : [g]
    """
    found: dict[tuple[object, ...], list[BarContent]] = {}
    for bar in bars:
        _, lines = _listed(bar, chosen, loss_pct)
        # the overflow mould makes an unknown number of bars, so it has its own label
        key = (bar.mass is None, *((line.name.casefold(), line.group) for line in lines))
        found.setdefault(key, []).append(bar)
    return list(found.values())


def bar_label(bars: Sequence[BarContent], market: Market, chosen: ChosenList, loss_pct: float | None,
              options: LabelOptions) -> BarLabel:
    """The label of bars whose lists are the same.

    Parameters
    ----------
    bars : sequence of BarContent
        As of `alike_contents`. [g]
    market : Market
        Where they are sold. [market]
    chosen : ChosenList
        The list of allergens to print. [key]
    loss_pct : float, optional
        Loss in cure. [% of a bar as cut]
    options : LabelOptions
        The requested label. [label]

    Returns
    -------
    BarLabel : shares are those of the most numerous bars. [% by mass]

    Raises
    ------
    Unsolvable : a net quantity that the bars cannot hold.
    """
    most = max(bars, key=lambda bar: bar.count)
    allergens, lines = _listed(most, chosen, loss_pct)
    lines = _wherever(lines, [_listed(bar, chosen, loss_pct)[1] for bar in bars if bar is not most])
    listed = [NamedByList(key, tuple(one.name for one in allergens if one.above_limit and key in one.lists))
              for key in LISTS]
    count = sum(bar.count for bar in bars)
    mass = _mass_of(bars, loss_pct)
    quantity = None
    if mass is not None:
        quantity = net_quantity(market, mass, count, requested_g=options.net_quantity_g)
    return BarLabel(
        count=count or None, where=tuple(bar.where for bar in bars),
        holds=tuple(dict.fromkeys(key for bar in bars for key in bar.holds)), ingredients=lines,
        text=f"Ingredients: {', '.join(line.name for line in lines)}.",
        allergens=_highest(allergens, bars, loss_pct),
        declared=tuple(one.name for one in allergens if one.above_limit and chosen.key in one.lists),
        by_list=() if chosen.key == "none" else tuple(listed), net_quantity=quantity)


def _wherever(lines: Sequence[Ingredient], others: Sequence[Sequence[Ingredient]]) -> tuple[Ingredient, ...]:
    """Lines with every place their ingredient comes from: bars of equal lists may hold it out of other buckets."""
    places: dict[str, dict[str, None]] = {}
    for line in (line for found in (lines, *others) for line in found):
        places.setdefault(line.name.casefold(), {}).update(dict.fromkeys(line.pointers))
    return tuple(replace(line, pointers=tuple(places[line.name.casefold()])) for line in lines)


def _highest(found: Sequence[AllergenFound], bars: Sequence[BarContent], loss_pct: float | None
             ) -> tuple[AllergenFound, ...]:
    """The same allergens, each at its highest concentration in any bar."""
    highest: dict[str, float] = {}
    for bar in bars:
        for one in allergens_in(bar.content, loss_pct=loss_pct):
            highest[one.name] = max(one.concentration_pct, highest.get(one.name, 0.0))
    return tuple(replace(one, concentration_pct=highest[one.name]) for one in found)


def _mass_of(bars: Sequence[BarContent], loss_pct: float | None) -> BarMass | None:
    cured = [(bar.count, _cured(bar, bar.mass, loss_pct)) for bar in bars if bar.mass is not None and bar.count]
    if not cured:
        return None
    count = sum(n for n, _ in cured)
    return BarMass(min(mass.min_g for _, mass in cured), math.fsum(n * mass.mid_g for n, mass in cured) / count,
                   max(mass.max_g for _, mass in cured))


def _cured(bar: BarContent, mass: BarMass, loss_pct: float | None) -> BarMass:
    """A bar of any mass in its range holds the same share of water."""
    water = bar.content.water_g / bar.content.whole_g
    return BarMass(*(cured_mass(one, loss_pct, water_g=one * water) for one in mass.ends))
