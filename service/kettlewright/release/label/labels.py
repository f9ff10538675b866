"""The label of every kind of bar of a batch: ingredients, allergens, net quantity and other required elements."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from kettlewright.curing import cured_mass
from kettlewright.names import slug
from kettlewright.pour import BarMass, Cuts, Division
from kettlewright.recipe import Lye
from kettlewright.release.label.allergens_found import LISTS, AllergenFound, ChosenList, allergens_in, choose_list
from kettlewright.release.label.bar_contents import BarContent, bars_of
from kettlewright.release.label.bucket_contents import LeftOut, buckets_of, doubtful_numbers, left_out
from kettlewright.release.label.ingredient_list import Ingredient, ingredient_list
from kettlewright.release.label.label_options import LabelOptions
from kettlewright.release.label.markets import MARKETS, Market, elements_for, soap_or_cosmetic
from kettlewright.release.label.naming import Namer
from kettlewright.release.label.net_quantity import NetQuantity, net_quantity
from kettlewright.release.label.pot_contents import pot_of
from kettlewright.said import Said

__all__ = ["BarLabel", "Element", "Label", "MissingElement", "NamedByList", "make_label"]


@dataclass(frozen=True, slots=True)
class Element:
    """A label element other than the ingredients.

    Parameters
    ----------
    key : str
        Key. [key]
    name : Said
        What it is. [text]
    required : str
        "always", "if_any" or "unless_clear". [key]
    text : str, optional
        As printed, if given. [text]
    """

    key: str
    name: Said
    required: str
    text: str | None


@dataclass(frozen=True, slots=True)
class MissingElement:
    """A required label element that was not given.

    Parameters
    ----------
    key : str
        Which. [key]
    message : Said
        What to do. [text]
    """

    key: str
    message: Said


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


@dataclass(frozen=True, slots=True)
class Label:
    """Everything of the labels of a batch.

    Parameters
    ----------
    market : Market
        Where it is sold. [market]
    naming : str
        "as_added" or "as_reacted". [key]
    allergen_list : ChosenList
        Which list was gone by, and why. [key]
    bars : tuple of BarLabel
        One for each list that differs. [labels]
    elements : tuple of Element
        Other elements. [text]
    missing : tuple of MissingElement
        Elements that are missing. [text]
    left_out : tuple of LeftOut
        What is used and is no ingredient. [text]
    loss_pct : float
        Loss in cure that was taken. [% of the bar as poured]
    loss_assumed : bool
        All water was assumed to evaporate, since no loss is given. [yes or no]
    sold_as : str, optional
        Of the US, as answered. [key]
    soap_part_pct : float
        Salts of fatty acids in what is not water. [% by mass]
    what_follows : Said, optional
        US only: consequences of being soap or a cosmetic. [text]
    notes : tuple of Said
        What to know. [text]
    """

    market: Market
    naming: str
    allergen_list: ChosenList
    bars: tuple[BarLabel, ...]
    elements: tuple[Element, ...]
    missing: tuple[MissingElement, ...]
    left_out: tuple[LeftOut, ...]
    loss_pct: float
    loss_assumed: bool
    sold_as: str | None
    soap_part_pct: float
    what_follows: Said | None
    notes: tuple[Said, ...]


def make_label(options: LabelOptions, lye: Lye, division: Division, *, arrangement: str, cuts: Cuts | None = None,
               expected_loss_pct: float | None = None) -> Label:
    """The labels of a batch: one for every kind of bar whose ingredient list differs.

    Parameters
    ----------
    options : LabelOptions
        The requested label. [label]
    lye : Lye
        The weighed recipe. [g]
    division : Division
        Its buckets and the mould. [g]
    arrangement : str
        How the portions lie. [key]
    cuts : Cuts, optional
        How the block is cut; without it each cavity is a piece. [mm]
    expected_loss_pct : float, optional
        Loss in cure; where not given, all the water is taken as lost. [% of a bar as cut]

    Returns
    -------
    Label : [% by mass, g]

    Raises
    ------
    Unsolvable : a net quantity that the bars cannot hold.
    """
    market = MARKETS[options.market]
    namer = Namer(market, {slug(own.key): own for own in options.names})
    loss = expected_loss_pct
    pot = pot_of(lye, division.additions, namer, as_reacted=options.naming == "as_reacted")
    found = bars_of(division, buckets_of(division, pot, namer), cuts, arrangement,
                    piece_tolerance_pct=options.piece_tolerance_pct)
    chosen = choose_list(options.market, sold_on=options.sold_on, requested=options.allergen_list)
    bars = tuple(_bar_label(alike, market, chosen, loss, options) for alike in _alike(found, chosen, loss))
    part = _soap_part(lye, division)
    elements = _elements(options, market, bars)
    us = market.key == "US"
    return Label(
        market=market, naming=options.naming, allergen_list=chosen, bars=bars, elements=elements,
        missing=_missing(options, market, elements, bars), left_out=left_out(division),
        loss_pct=division.loss_taken_pct, loss_assumed=expected_loss_pct is None,
        sold_as=options.sold_as if us else None, soap_part_pct=part,
        what_follows=soap_or_cosmetic(options.sold_as, part) if us else None,
        notes=(*_notes(options, market, bars, cuts, expected_loss_pct is None), *doubtful_numbers(division)))


def _listed(bar: BarContent, chosen: ChosenList, loss_pct: float | None) -> tuple[tuple[AllergenFound, ...],
                                                                           tuple[Ingredient, ...]]:
    allergens = allergens_in(bar.content, loss_pct=loss_pct)
    named = [(one.name, one.mass_g) for one in allergens if one.above_limit and chosen.key in one.lists]
    return allergens, ingredient_list(bar.content, named)


def _alike(bars: Sequence[BarContent], chosen: ChosenList, loss_pct: float | None) -> list[list[BarContent]]:
    """Bars whose printed lists are the same, in the order of the first of each."""
    found: dict[tuple[object, ...], list[BarContent]] = {}
    for bar in bars:
        _, lines = _listed(bar, chosen, loss_pct)
        # the overflow mould makes an unknown number of bars, so it has its own label
        key = (bar.mass is None, *((line.name.casefold(), line.group) for line in lines))
        found.setdefault(key, []).append(bar)
    return list(found.values())


def _bar_label(bars: Sequence[BarContent], market: Market, chosen: ChosenList, loss_pct: float | None,
               options: LabelOptions) -> BarLabel:
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
    return BarMass(*(cured_mass(one, loss_pct, water_g=one * water) for one in (mass.min_g, mass.mid_g, mass.max_g)))


def _soap_part(lye: Lye, division: Division) -> float:
    """Salts of fatty acids in what is not water, over the whole batch. [% by mass]"""
    own = [(portion.batter_mass_g, math.fsum(one.mass_g for one in portion.additions if one.addition.in_batter))
           for portion in division.portions]
    plain, added = (math.fsum(one[place] for one in own) for place in (0, 1))
    powder = math.fsum(portion.dusting.mass_g for portion in division.portions if portion.dusting is not None)
    of_pot = plain / division.pot_mass_g
    water = lye.soap.water_mass_g * of_pot
    return 100 * lye.soap.mass_g * of_pot / (plain + added + powder - water)


def _elements(options: LabelOptions, market: Market, bars: Sequence[BarLabel]) -> tuple[Element, ...]:
    lasts = None
    if options.durability is not None:
        lasts = f"best used before the end of {options.durability}"
    elif options.period_after_opening_months is not None:
        lasts = f"{options.period_after_opening_months} M, with the sign of the open jar"
    quantities = list(dict.fromkeys(bar.net_quantity.text for bar in bars
                                    if bar.net_quantity is not None and bar.net_quantity.text is not None))
    texts = {"responsible_person": options.responsible_person, "batch_number": options.batch_number, "lasts": lasts,
            "function": options.function, "precautions": " ".join(options.precautions) or None,
            "net_quantity": " / ".join(quantities) or None}
    return tuple(Element(rule.key, rule.name, rule.required, texts[rule.key])
                 for rule in elements_for(market, sold_as=options.sold_as))


def _missing(options: LabelOptions, market: Market, elements: Sequence[Element],
             bars: Sequence[BarLabel]) -> tuple[MissingElement, ...]:
    hints = {rule.key: rule.ask for rule in market.elements}
    found = [MissingElement(one.key, hints[one.key]) for one in elements if one.text is None and hints[one.key]]
    if market.key == "US" and options.sold_as is None:
        found.append(MissingElement("sold_as", Said(
            'Is it soap or a cosmetic? Give "sold_as"; the consequences are listed with it.')))
    for name in dict.fromkeys(line.name for bar in bars for line in bar.ingredients if line.named_by == "fallback"):
        found.append(MissingElement("inci", Said('The label name of "{name}": give its "inci", or a line in "names".',
                                           name=name)))
    if any(bar.net_quantity is None for bar in bars):
        found.append(MissingElement("net_quantity", Said(
            "The number of bars in the overflow mould is not known: weigh them on the day of packing.")))
    return tuple(dict.fromkeys(found))


def _notes(options: LabelOptions, market: Market, bars: Sequence[BarLabel], cuts: Cuts | None,
           loss_assumed: bool) -> tuple[Said, ...]:
    notes = list(market.notes)
    if loss_assumed:
        notes.append(Said('Give "expected_loss_pct": without it all water is assumed to evaporate, so bars weigh more '
                          'than stated here, and the shares of allergens are lower.'))
    if cuts is None:
        notes.append(Said('Pieces that are not cut are assumed to vary by {off:.9g} % either way (own decision, no '
                          'source): weigh ten and give "piece_tolerance_pct".', off=options.piece_tolerance_pct))
    notes.append(Said("The number of short bars is an estimate: masses are assumed to follow a triangular distribution "
                      "over their range (own decision). Weigh bars on the day of packing."))
    if options.naming == "as_reacted":
        notes.append(Said("As reacted: shares of the batter once all alkali has turned fat into soap. The EU "
                          "regulation counts ingredients at the time they are added; both ways are in use. Ask your "
                          "assessor."))
    if any(line.role == "perfume" for bar in bars for line in bar.ingredients):
        notes.append(Said("A scent and its components are listed as {perfume}; names given for scents are not "
                          "printed.", perfume=market.perfume))
    return tuple(notes)
