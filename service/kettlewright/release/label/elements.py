"""What a market wants on a label besides ingredients and net quantity, and what of it is still missing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kettlewright.release.label.bar_labels import BarLabel
from kettlewright.release.label.label_options import LabelOptions
from kettlewright.release.label.markets import Market, elements_for
from kettlewright.said import Said

__all__ = ["Element", "MissingElement", "elements_of", "missing_of"]


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


def elements_of(options: LabelOptions, market: Market, bars: Sequence[BarLabel]) -> tuple[Element, ...]:
    """What a market wants on the label, with the texts given for it.

    Parameters
    ----------
    options : LabelOptions
        The requested label. [label]
    market : Market
        Where the bars are sold. [market]
    bars : sequence of BarLabel
        Their net quantities. [g]

    Returns
    -------
    tuple of Element : in the order of the market's rules. [text]
    """
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


def missing_of(options: LabelOptions, market: Market, elements: Sequence[Element],
               bars: Sequence[BarLabel]) -> tuple[MissingElement, ...]:
    """What you still have to give before the label is complete.

    Parameters
    ----------
    options : LabelOptions
        The requested label. [label]
    market : Market
        Where the bars are sold. [market]
    elements : sequence of Element
        As of `elements_of`. [text]
    bars : sequence of BarLabel
        Their names and net quantities. [g]

    Returns
    -------
    tuple of MissingElement : each once. [text]
    """
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
