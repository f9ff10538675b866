"""The label of every kind of bar of a batch: ingredients, allergens, net quantity and other required elements."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kettlewright.names import slug
from kettlewright.pour import Cuts, Division
from kettlewright.recipe import Lye
from kettlewright.release.label.allergens_found import ChosenList, choose_list
from kettlewright.release.label.bar_contents import bars_of
from kettlewright.release.label.bar_labels import BarLabel, alike_contents, bar_label
from kettlewright.release.label.bucket_contents import NotOnLabel, buckets_of, doubtful_numbers, left_out
from kettlewright.release.label.contents import Content
from kettlewright.release.label.elements import Element, MissingElement, elements_of, missing_of
from kettlewright.release.label.label_options import LabelOptions
from kettlewright.release.label.markets import MARKETS, Market, soap_or_cosmetic
from kettlewright.release.label.naming import Namer
from kettlewright.release.label.pot_contents import pot_of
from kettlewright.said import Said

__all__ = ["Label", "label_of_contents", "make_label", "namer_of"]


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
    left_out : tuple of NotOnLabel
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
    title : str, optional
        Name of the soap, as given. [text]
    """

    market: Market
    naming: str
    allergen_list: ChosenList
    bars: tuple[BarLabel, ...]
    elements: tuple[Element, ...]
    missing: tuple[MissingElement, ...]
    left_out: tuple[NotOnLabel, ...]
    loss_pct: float
    loss_assumed: bool
    sold_as: str | None
    soap_part_pct: float
    what_follows: Said | None
    notes: tuple[Said, ...]
    title: str | None = None


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
    namer = namer_of(options)
    pot = pot_of(lye, division.additions, namer, as_reacted=options.naming == "as_reacted")
    return label_of_contents(
        options, division, buckets_of(division, pot, namer), arrangement=arrangement, cuts=cuts,
        expected_loss_pct=expected_loss_pct, soap_part_pct=_soap_part(lye, division), made_of=(division,))


def namer_of(options: LabelOptions) -> Namer:
    """Names for the market of a label, with the maker's own (`options` [label]). [names]"""
    return Namer(MARKETS[options.market], {slug(own.key): own for own in options.names}, options.shared_names)


def label_of_contents(options: LabelOptions, division: Division, buckets: Mapping[str, tuple[Content, Content]], *,
                      arrangement: str, cuts: Cuts | None, expected_loss_pct: float | None, soap_part_pct: float,
                      made_of: Sequence[Division]) -> Label:
    """The labels of buckets whose contents are known.

    Parameters
    ----------
    options : LabelOptions
        The requested label. [label]
    division : Division
        The buckets and the mould. [g]
    buckets : mapping of str to (Content, Content)
        What leaves each bucket and its powder, by key. [g]
    arrangement, cuts, expected_loss_pct
        As for `make_label`. [key, mm, % of a bar as cut]
    soap_part_pct : float
        Salts of fatty acids in what is not water. [% by mass]
    made_of : sequence of Division
        Batches whose additions are in it: some of them are no ingredients. [g]

    Returns
    -------
    Label : [% by mass, g]

    Raises
    ------
    Unsolvable : a net quantity that the bars cannot hold.
    """
    market, loss = MARKETS[options.market], expected_loss_pct
    found = bars_of(division, buckets, cuts, arrangement, piece_tolerance_pct=options.piece_tolerance_pct)
    chosen = choose_list(options.market, sold_on=options.sold_on, requested=options.allergen_list)
    bars = tuple(bar_label(alike, market, chosen, loss, options) for alike in alike_contents(found, chosen, loss))
    elements = elements_of(options, market, bars)
    us = market.key == "US"
    return Label(
        market=market, naming=options.naming, allergen_list=chosen, bars=bars, elements=elements,
        missing=missing_of(options, market, elements, bars),
        left_out=tuple(dict.fromkeys(one for batch in made_of for one in left_out(batch))),
        loss_pct=division.loss_taken_pct, loss_assumed=expected_loss_pct is None,
        sold_as=options.sold_as if us else None, soap_part_pct=soap_part_pct,
        what_follows=soap_or_cosmetic(options.sold_as, soap_part_pct) if us else None,
        notes=(*_notes(options, market, bars, cuts, expected_loss_pct is None),
               *dict.fromkeys(one for batch in made_of for one in doubtful_numbers(batch))),
        title=options.title)


def _soap_part(lye: Lye, division: Division) -> float:
    """Salts of fatty acids in what is not water, over the whole batch. [% by mass]"""
    own = [(portion.batter_mass_g, math.fsum(one.mass_g for one in portion.additions if one.addition.in_batter))
           for portion in division.portions]
    plain, added = (math.fsum(one[place] for one in own) for place in (0, 1))
    powder = math.fsum(portion.dusting.mass_g for portion in division.portions if portion.dusting is not None)
    of_pot = plain / division.pot_mass_g
    water = lye.soap.water_mass_g * of_pot
    return 100 * lye.soap.mass_g * of_pot / (plain + added + powder - water)


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
